//! Reusable pieces: a drawing painted, a severity mark, a field for a quantity. They know no panel.

mod paint;

pub use paint::{paint, scale_to_fit};
