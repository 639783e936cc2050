//! A student's sheet: the one file that comes back.

use std::fmt;

use serde::{Deserialize, Serialize};

use super::ExerciseId;
use crate::inspection::Inspection;
use crate::machine::Machine;

/// The id of a sheet: the exercise's and a random part; also the name of its file.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(transparent)]
pub struct SheetId(pub String);

impl SheetId {
    /// An id from a student's name and a random part.
    pub fn of(student: &str, random: &str) -> Self {
        Self(super::exercise_record::named_id(student, "sheet", random))
    }
}

impl fmt::Display for SheetId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

/// What a student hands in.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Sheet {
    /// The schema of this record.
    pub schema: u32,
    /// Its id.
    pub id: SheetId,
    /// The exercise it answers.
    pub exercise: ExerciseId,
    /// Who hands it in.
    pub student: String,
    /// The machine as the student had it, so that an edited one is noticed.
    pub machine: Machine,
    /// What the student saw, found and read.
    pub inspection: Inspection,
}
