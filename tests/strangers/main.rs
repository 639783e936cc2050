//! Files from strangers, at every door by which they come in: the built program is run on real files made to hurt, and
//! must say what it expected, what it found and the way out, within the memory stated beside each.
#![cfg(unix)]
#![allow(clippy::unwrap_used, reason = "a test stops at the first surprise")]

mod bench;
mod folder;
mod many;
mod own;
mod packs;
mod pdfs;
mod pictures;
#[path = "../support/plain_pdf.rs"]
mod plain_pdf;
mod shown;
mod typefaces;
