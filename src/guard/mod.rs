//! What strangers' bytes may cost and how their words are shown: one table of limits, one way to make hidden signs
//! visible, one way to read their text.
//!
//! ```text
//! limits    every limit with its reason, in one table
//! plain     control signs, and signs that turn or hide text, made visible; cells and JSON made harmless
//! reading   RON text to a value: counted, no deeper and no longer than stated, its words made plain on the way in
//! ```
//!
//! It must not know files, records, pages or the window, and no other room.

pub mod limits;
mod plain;
mod reading;

pub use limits::{LIMITS, Limit};
pub use plain::{brief, cell, is_hidden, json, line, text};
pub use reading::{from_ron, has_lines, most_words};
