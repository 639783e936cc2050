//! Pictures as bytes: which kind of file it really is, what opening it may cost, its metadata taken out, marks burnt in.
//!
//! ```text
//! kind      the true kind of a file          jpeg, png, webp  the file without its metadata, pixels untouched
//! open      decoded within limits, upright   take_in          a file from outside to the copy for the garage
//! mark      arrows, circles, blur boxes      photo_ref        a photo as a record names it
//! burn      marks into pixels
//! print     a JPEG for a page                screen           pixels for the window
//! ```
//!
//! Bytes in, bytes out: it must not know files, records, pages or the window. Every file is taken for hostile: what is
//! in it comes out as a picture or as a refusal that says what was expected, what was found and the way out.

mod burn;
mod jpeg;
mod kind;
mod mark;
mod open;
mod photo_ref;
mod png;
mod print;
mod refusal;
mod screen;
mod take_in;
mod webp;

pub use kind::Kind;
pub use mark::{At, Lines, PhotoMark, WHOLE, line_width};
pub use open::{MOST_BYTES, MOST_PIXELS, must_open};
pub use photo_ref::PhotoRef;
pub use print::{Printed, for_print, marked_copy};
pub use refusal::Refusal;
pub use screen::{Screen, for_screen};
pub use take_in::{Keep, Taken, as_png, take_in};
