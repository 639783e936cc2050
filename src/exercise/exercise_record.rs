//! The exercise itself, as the students get it. It must hold nothing of the key, not even a count.

use std::fmt;

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use crate::machine::MachineId;

/// The id of an exercise, with a random part; also the name of its folder.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(transparent)]
pub struct ExerciseId(pub String);

impl fmt::Display for ExerciseId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

/// What the students are given beside the machine's record.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Exercise {
    /// The schema of this record.
    pub schema: u32,
    /// Its id.
    pub id: ExerciseId,
    /// What the instructor calls it.
    pub title: String,
    /// The machine they walk round.
    pub machine: MachineId,
    /// The kind of inspection they make, by its id.
    pub kind: String,
    /// The day of the class.
    pub date: NaiveDate,
    /// A time limit in minutes, if there is one.
    #[serde(default)]
    pub minutes: Option<u32>,
    /// What the instructor tells them.
    #[serde(default)]
    pub task: String,
}
