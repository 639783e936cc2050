//! Damaged and made-up input at every door by which a stranger's bytes come in. Each target first meets its kept corpus
//! (`corpus/TARGET`: one input a file, or one a line in files that end in `.lines`), then inputs made from it by a
//! mutator that is the same on every machine. What comes of an input is told in a few words; one with an outcome that
//! was not seen before joins the others, so that the search goes on from there.
//!
//! `STEMCLOCK_FUZZ_SECONDS` gives each target so long instead of a few rounds, `STEMCLOCK_FUZZ_INPUTS` so many inputs,
//! `STEMCLOCK_FUZZ_SEED` another beginning.
//! What breaks a target is written to `target/fuzz/TARGET`; mended, it goes to the corpus.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops at the first surprise")]

mod driver;
mod entries;
mod files;
mod mutate;
mod pdfs;
#[path = "../support/plain_pdf.rs"]
mod plain_pdf;
mod records;

use driver::{Target, fuzz};

macro_rules! targets {
    ($($name:ident),+ $(,)?) => {$(
        #[test]
        fn $name() {
            let target: Target = $name::target();
            assert_eq!(target.name, stringify!($name));
            fuzz(target);
        }
    )+};
}

use entries::{clock, size, tin, units, vin};
use files::{packs, photos};
use pdfs::reports;
use records::loader;

targets!(loader, size, clock, units, vin, tin, photos, reports, packs);
