//! A planned walk as it is followed: the plan's steps with the changes of set-up and the findings of an earlier day as
//! steps of their own, the cautions of each, and the number by which a printed sheet is found again.
//!
//! ```text
//! again   findings of an earlier day between the checks of their place
//! legs    a plan as one step after another: set the machine up, then look
//! sheet   the plan of a printed sheet, its number, and the way back from the number to the plan
//! ```
//!
//! Pure: takes records and the day, gives words and steps. The guided walk in the window and the carry sheet on paper
//! are made of the same steps.

mod again;
mod legs;
mod sheet;

pub use again::{AGAIN_SECONDS, Again, beside};
pub use legs::{Leg, cautions_of, legs, minutes_words};
pub use sheet::{Sheet, SheetNumber, Wanted, find, sheet};
