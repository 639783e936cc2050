//! The instructor's key: what there is to find, how near is near enough, and what counts how much. It never leaves the
//! instructor's garage.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::ExerciseId;
use crate::inspection::{CheckRef, Finding, FindingId, Inspection, Value};

/// Which zones count as the right one.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum ZoneRule {
    /// The zone of the key only.
    Same,
    /// The zone of the key or the one beside it.
    #[default]
    Neighbouring,
    /// Any zone of the wheel.
    Any,
}

/// How one finding of the key is marked.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Mark {
    /// How near a position must be, in minutes of the hour-hand clock (house rule 26): 60 minutes are 30 degrees.
    pub near_minutes: f64,
    /// Which zones count.
    pub zone: ZoneRule,
    /// Further names that count, each as `check:fault`; the finding's own always does.
    pub also: Vec<String>,
    /// How much it weighs; 1 where nothing is said.
    pub weight: f64,
}

impl Default for Mark {
    /// Half an hour either way, the zone beside counts, weight one.
    fn default() -> Self {
        Self { near_minutes: 30.0, zone: ZoneRule::default(), also: Vec::new(), weight: 1.0 }
    }
}

impl Mark {
    /// Whether a name counts for the key's finding.
    pub fn accepts(&self, key: &Finding, named: &Finding) -> bool {
        let own = key.check.check == named.check.check && key.fault == named.fault;
        let name = format!("{}:{}", named.check.check, named.fault);
        own || self.also.iter().any(|also| also.trim() == name)
    }
}

/// A reading of the key that is marked, and how far a student's may be from it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ReadingMark {
    /// The check.
    pub check: CheckRef,
    /// The field, by its id in the catalogue.
    pub field: String,
    /// How far off still counts, as a quantity of the reading's kind; a choice or a day must be the same.
    #[serde(default)]
    pub within: Option<Value>,
    /// How much it weighs.
    #[serde(default = "one")]
    pub weight: f64,
}

fn one() -> f64 {
    1.0
}

/// What counts how much. Shares are of the weight of the finding, 0 to 1.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Marking {
    /// What a false alarm costs, in weights.
    pub false_alarm: f64,
    /// The share that is left for a finding in the wrong place.
    pub misplaced: f64,
    /// The share that is left for a finding in the right place under a name that does not count.
    pub other_name: f64,
    /// The share that is left for a finding with another severity than the key's.
    pub other_severity: f64,
    /// What the right verdict is worth, in weights.
    pub verdict: f64,
}

impl Default for Marking {
    /// A false alarm costs half a weight; half is left for the wrong place, another name or another severity; the
    /// verdict weighs one.
    fn default() -> Self {
        Self { false_alarm: 0.5, misplaced: 0.5, other_name: 0.5, other_severity: 0.5, verdict: 1.0 }
    }
}

/// The key of an exercise.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Key {
    /// The schema of this record.
    pub schema: u32,
    /// The exercise it belongs to.
    pub exercise: ExerciseId,
    /// What there is to find and to read.
    pub inspection: Inspection,
    /// How each finding is marked; one that is not named is marked by the default.
    #[serde(default)]
    pub marks: BTreeMap<FindingId, Mark>,
    /// The readings that are marked.
    #[serde(default)]
    pub readings: Vec<ReadingMark>,
    /// What counts how much.
    #[serde(default)]
    pub marking: Marking,
}

impl Key {
    /// A key that takes an inspection as it is, every finding marked by the default and no reading marked.
    pub fn of(exercise: ExerciseId, inspection: Inspection) -> Self {
        let (marks, readings) = (BTreeMap::new(), Vec::new());
        Self { schema: crate::machine::SCHEMA, exercise, inspection, marks, readings, marking: Marking::default() }
    }
    /// How a finding of the key is marked.
    pub fn mark(&self, finding: &FindingId) -> Mark {
        self.marks.get(finding).cloned().unwrap_or_default()
    }
}
