//! What happens between inspections: findings closed, work done, falls, odometer readings. One file each, never edited.

use std::fmt;

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use super::{FindingId, InspectionId};
use crate::units::Distance;

/// The id of an event: its date and a random part; also the name of its file.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(transparent)]
pub struct EventId(pub String);

impl fmt::Display for EventId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

/// How a finding was closed.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub enum Closing {
    /// Repaired and looked at again.
    Repaired {
        /// What was done.
        work: String,
        /// What the second look showed.
        second_look: String,
    },
    /// Recorded by mistake.
    Withdrawn {
        /// Why it was no finding.
        reason: String,
    },
}

impl Closing {
    /// What a closing by a person must say and does not, in words after "expected"; none when it is whole
    /// (decisions 3: repair plus a second look, or withdrawal with a name and the reason).
    pub fn lacking(&self, by: &str) -> Option<&'static str> {
        let blank = |text: &str| text.trim().is_empty();
        match self {
            Self::Repaired { work, .. } if blank(work) => Some("what was done"),
            Self::Repaired { second_look, .. } if blank(second_look) => {
                Some("what the second look after the work showed")
            }
            Self::Withdrawn { reason } if blank(reason) => Some("why it was no finding"),
            Self::Withdrawn { .. } if blank(by) => Some("the name of the person who withdraws it"),
            Self::Repaired { .. } | Self::Withdrawn { .. } => None,
        }
    }
}

/// What happened.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub enum EventKind {
    /// A finding of an inspection was closed.
    FindingClosed {
        /// The inspection that holds it.
        inspection: InspectionId,
        /// The finding.
        finding: FindingId,
        /// How.
        closing: Closing,
    },
    /// The machine fell or crashed: earlier verdicts lapse.
    Fall {
        /// What happened.
        note: String,
    },
    /// Work was done that no finding asked for: earlier verdicts lapse for what it touched.
    Work {
        /// What was done.
        note: String,
    },
    /// The odometer was read.
    Odometer(Distance),
}

/// An event of one machine.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Event {
    /// The schema of this record.
    pub schema: u32,
    /// Its id, also the name of its file.
    pub id: EventId,
    /// The day.
    pub date: NaiveDate,
    /// Who recorded it.
    #[serde(default)]
    pub by: String,
    /// What happened.
    pub kind: EventKind,
}
