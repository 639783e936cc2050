//! The record of one inspection, one file of the garage.

use std::collections::BTreeMap;
use std::fmt;

use chrono::{NaiveDate, NaiveTime};
use serde::{Deserialize, Serialize};

use super::{Answer, CheckRef, Finding, FindingId, Overrule, Revisit};
use crate::units::{Distance, Temperature};

/// The id of an inspection: its date, kind and a random part; also the name of its file.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(transparent)]
pub struct InspectionId(pub String);

impl fmt::Display for InspectionId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

/// How it was on the day.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Conditions {
    /// Where it was done.
    pub place: String,
    /// Temperature of the air.
    pub ambient: Option<Temperature>,
    /// Hours the machine has stood: three or more make a cold tyre.
    pub standing_hours: Option<f64>,
    /// Whether it carries a passenger or luggage, so that the loaded placard pressure counts.
    pub loaded: bool,
}

/// An inspection of one machine on one day.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Inspection {
    /// The schema of this record.
    pub schema: u32,
    /// Its id, also the name of its file.
    pub id: InspectionId,
    /// The kind by its id: ride, season, periodic, purchase, sale, fall, trip, storage, work.
    pub kind: String,
    /// The day.
    pub date: NaiveDate,
    /// When it began, where known.
    #[serde(default)]
    pub started: Option<NaiveTime>,
    /// Who looked.
    #[serde(default)]
    pub inspector: String,
    /// The odometer.
    #[serde(default)]
    pub odometer: Option<Distance>,
    /// How it was on the day.
    #[serde(default)]
    pub conditions: Conditions,
    /// The checks that it asks, where it does not ask those of its kind: after work, what the work has disturbed.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub asks: Vec<CheckRef>,
    /// The findings that were open when it began, each a check of its own.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub carried: BTreeMap<FindingId, Revisit>,
    /// The answers by check; a check without an answer is unchecked.
    #[serde(default)]
    pub answers: BTreeMap<CheckRef, Answer>,
    /// What was found.
    #[serde(default)]
    pub findings: Vec<Finding>,
    /// Severities set by a person on judged readings, by check.
    #[serde(default)]
    pub overrules: BTreeMap<CheckRef, Overrule>,
    /// Remarks on the whole.
    #[serde(default)]
    pub note: String,
}

impl Inspection {
    /// An inspection of a kind on a day, with nothing looked at yet.
    pub fn new(id: InspectionId, kind: impl Into<String>, date: NaiveDate) -> Self {
        Self {
            schema: crate::machine::SCHEMA,
            id,
            kind: kind.into(),
            date,
            started: None,
            inspector: String::new(),
            odometer: None,
            conditions: Conditions::default(),
            asks: Vec::new(),
            carried: BTreeMap::new(),
            answers: BTreeMap::new(),
            findings: Vec::new(),
            overrules: BTreeMap::new(),
            note: String::new(),
        }
    }
    /// The answer to a check, if any was given.
    pub fn answer(&self, check: &CheckRef) -> Option<&Answer> {
        self.answers.get(check)
    }
    /// The findings of a check.
    pub fn findings_of<'a>(&'a self, check: &'a CheckRef) -> impl Iterator<Item = &'a Finding> {
        self.findings.iter().filter(move |f| &f.check == check)
    }
}
