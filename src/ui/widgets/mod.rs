//! Reusable pieces: a drawing painted, an entry that keeps what was typed, choices, things to press. They know no panel.

mod choice;
mod doubt;
mod entry;
mod fields;
mod icon;
mod notch;
mod paint;
mod press;
mod section;
mod seen;
mod typing;
mod words;

pub use choice::{choice, segments, yes_no};
pub use doubt::Doubted;
pub use entry::{Entry, NAME_WIDTH, named};
pub use fields::{QuantityField, day_field, read_day, read_liked, read_quantity, whole_field, words_field};
pub use icon::{Icon, icon};
pub use notch::notch;
pub use paint::{paint, scale_to_fit};
pub use press::{Press, press};
pub use section::section;
pub use seen::seen_only;
pub use typing::{typed_line, typed_lines};
pub use words::{caption, heading, sentence, strong, tokens, trouble};
