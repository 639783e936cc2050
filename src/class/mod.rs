//! Scoring a class: each student's findings are matched to the key's by optimal assignment, and what they come to for
//! each student and for the class.
//!
//! Pure: takes records, gives figures. Must not know files, the window or the day.

mod figures;
mod nearness;
mod pack;
mod planted;
mod readings;
mod results;
mod score;
mod sheets;
mod stations;
mod table;
pub mod words;

pub use figures::{ClassFigures, OfFinding, Share, class_figures};
pub use nearness::{Nearness, PositionSlip, nearness};
pub use pack::{for_students, pack};
pub use planted::not_in_key;
pub use readings::{ReadingOutcome, ReadingScore};
pub use results::{Results, Roster, results};
pub use score::{Alarm, Missed, Outcome, Pairing, Score, score};
pub use sheets::{Refused, sort_sheets};
pub use table::{TABLE_BEGINS, table};
