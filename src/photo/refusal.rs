//! Why a file is not taken as a picture: what was expected, what was found, and the way out.

use thiserror::Error;

use super::Kind;
use super::open::{MOST_BYTES, MOST_PIXELS};

/// Why a file is not taken. Nothing of it is kept.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum Refusal {
    /// It is no picture of a kind that is taken.
    #[error("expected a JPEG, PNG or WebP picture, found {found}: {way_out}")]
    NoPicture {
        /// What it is instead.
        found: &'static str,
        /// What to do.
        way_out: &'static str,
    },
    /// The name says another kind than the bytes.
    #[error(
        "expected {} file, as the ending .{ending} says, found {} file: give it the ending .{} and add it again",
        named_kind(ending), .is.with_article(), .is.ending()
    )]
    LyingName {
        /// The ending of the name.
        ending: String,
        /// What it is.
        is: Kind,
    },
    /// The file is too large to be read.
    #[error("expected at most {} MiB, found {bytes} bytes: make the picture smaller and add it again", MOST_BYTES >> 20)]
    TooManyBytes {
        /// Its size.
        bytes: usize,
    },
    /// Opening it would take too much memory.
    #[error(
        "expected at most {} million pixels, found {width} × {height}: make the picture smaller and add it again",
        MOST_PIXELS / 1_000_000
    )]
    TooManyPixels {
        /// Its width.
        width: u32,
        /// Its height.
        height: u32,
    },
    /// It has no pixels.
    #[error("expected a picture with at least one pixel, found {width} × {height}: take or export it again")]
    NoPixels {
        /// Its width.
        width: u32,
        /// Its height.
        height: u32,
    },
    /// It is a moving picture.
    #[error("expected a still picture, found a moving {kind}: save one picture of it and add that")]
    Moving {
        /// Its kind.
        kind: Kind,
    },
    /// It ends too early.
    #[error("expected a whole {kind} file, found one that is cut short: copy it again from the camera or phone")]
    CutShort {
        /// Its kind.
        kind: Kind,
    },
    /// Its inside does not hold together.
    #[error("expected a sound {kind} file, found a damaged one ({why}): copy it again, or export it anew")]
    Damaged {
        /// Its kind.
        kind: Kind,
        /// What the reader said.
        why: String,
    },
    /// The copy could not be put together.
    #[error("the copy of the picture could not be put together ({0}): close other programs and try again")]
    Copy(String),
}

fn named_kind(ending: &str) -> String {
    Kind::of_ending(ending).map_or_else(|| "another kind of".to_owned(), |kind| kind.with_article().to_owned())
}
