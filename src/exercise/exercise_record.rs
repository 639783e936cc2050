//! The exercise itself, as the students get it. It must hold nothing of the key, not even a count.

use std::fmt;

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use crate::machine::MachineId;

/// The id of an exercise, with a random part; also the name of its folder.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(transparent)]
pub struct ExerciseId(pub String);

impl ExerciseId {
    /// An id from a title and a random part.
    pub fn of(title: &str, random: &str) -> Self {
        Self(named_id(title, "exercise", random))
    }
}

/// The letters and digits of a name, joined, with a random part behind them: it can be the name of a file anywhere.
pub(super) fn named_id(name: &str, otherwise: &str, random: &str) -> String {
    let letters = name.to_lowercase();
    let words: Vec<&str> = letters.split(|c: char| !c.is_ascii_alphanumeric()).filter(|w| !w.is_empty()).collect();
    let joined: String = words.join("-").chars().take(40).collect();
    let joined = joined.trim_end_matches('-');
    format!("{}-{random}", if joined.is_empty() { otherwise } else { joined })
}

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

/// The time limits that an exercise can have, in minutes.
pub const EXERCISE_MINUTES: std::ops::RangeInclusive<u32> = 1..=600;

impl Exercise {
    /// What is wrong with the time limit, if anything: expected, found and the way out.
    pub fn wrong_limit(&self) -> Option<String> {
        let minutes = self.minutes.filter(|n| !EXERCISE_MINUTES.contains(n))?;
        let (least, most) = (EXERCISE_MINUTES.start(), EXERCISE_MINUTES.end());
        Some(format!(
            "expected a time limit of {least} to {most} whole minutes, or none, found {minutes}: write it as in 40"
        ))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_id_is_made_of_what_every_disk_takes() {
        for (title, id) in [
            ("Walk round the Heron", "walk-round-the-heron-7k2m"),
            ("  Kürbis & Co. ", "k-rbis-co-7k2m"),
            ("../..", "exercise-7k2m"),
            ("", "exercise-7k2m"),
        ] {
            assert_eq!(ExerciseId::of(title, "7k2m").0, id);
        }
    }
}
