//! Records of a class exercise: what the students are given, the instructor's key, and a student's sheet.
//!
//! The exercise travels to the students; the key stays in the instructor's garage. Records only: nothing is scored
//! here.

mod exercise_record;
mod key;
mod sheet;

pub use exercise_record::{EXERCISE_MINUTES, Exercise, ExerciseId};
pub use key::{Key, Mark, Marking, ReadingMark, ZoneRule};
pub use sheet::{Sheet, SheetId};
