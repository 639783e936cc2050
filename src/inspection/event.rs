//! What happens between inspections: findings closed, watched or linked, jobs, parts fitted, falls, the odometer.
//!
//! One file each, never edited. A wrong event is answered by a further one that takes it back.

use std::fmt;

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use super::{FindingId, FindingRef, Fitting, InspectionId, Job};
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
    /// The work of an earlier job was looked at again.
    LookedAgain {
        /// The event of the job.
        job: EventId,
        /// The inspection in which it was looked at, where it was one.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        inspection: Option<InspectionId>,
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
    /// (house rule 3: repair plus a second look, or withdrawal with a name and the reason).
    pub fn lacking(&self, by: &str) -> Option<&'static str> {
        let blank = |text: &str| text.trim().is_empty();
        match self {
            Self::Repaired { work, .. } if blank(work) => Some("what was done"),
            Self::Repaired { second_look, .. } | Self::LookedAgain { second_look, .. } if blank(second_look) => {
                Some("what the second look after the work showed")
            }
            Self::Withdrawn { reason } if blank(reason) => Some("why it was no finding"),
            Self::Withdrawn { .. } if blank(by) => Some("the name of the person who withdraws it"),
            Self::Repaired { .. } | Self::LookedAgain { .. } | Self::Withdrawn { .. } => None,
        }
    }
}

/// How long a minor finding is watched: to a day, an odometer reading, or whichever is first.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Until {
    /// The day.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub date: Option<NaiveDate>,
    /// The odometer.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub odometer: Option<Distance>,
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
    /// Work was done of which only a note is kept: nobody can say what it touched, so earlier verdicts lapse whole.
    Work {
        /// What was done.
        note: String,
    },
    /// A job: work of which the catalogue says what it disturbs. Only that is asked again.
    Job(Box<Job>),
    /// A part was fitted: the life of the one before it ends, a new one begins.
    PartFitted(Box<Fitting>),
    /// The odometer was read.
    Odometer(Distance),
    /// The odometer, or the instrument that holds it, was replaced.
    OdometerReplaced {
        /// What the old one showed last, where it could be read.
        #[serde(default)]
        last: Option<Distance>,
        /// What the new one showed when it went in.
        first: Distance,
        /// A remark.
        #[serde(default, skip_serializing_if = "String::is_empty")]
        note: String,
    },
    /// Fuel was filled in, or a traction battery charged, and the odometer read.
    Fill {
        /// The odometer.
        odometer: Distance,
        /// How much, in the owner's words.
        #[serde(default, skip_serializing_if = "String::is_empty")]
        note: String,
    },
    /// A minor finding is watched: it stays open and counts (house rule 3).
    Watched {
        /// The finding.
        of: FindingRef,
        /// How long.
        until: Until,
        /// Why it can wait.
        #[serde(default, skip_serializing_if = "String::is_empty")]
        reason: String,
    },
    /// A finding is an earlier one seen again: one defect, not two.
    SameDefect {
        /// The finding of the earlier day.
        earlier: FindingRef,
        /// The finding of the later day.
        later: FindingRef,
    },
    /// Two findings that lie near each other are two defects.
    Apart {
        /// The finding of the earlier day.
        earlier: FindingRef,
        /// The finding of the later day.
        later: FindingRef,
    },
    /// A defect was planted on the machine for a class. The machine is not ridden until it is taken out again.
    Planted {
        /// The id of the exercise it is for; empty where none is named.
        #[serde(default, skip_serializing_if = "String::is_empty")]
        exercise: String,
        /// What was planted, and where.
        what: String,
        /// How it is taken out.
        remove: String,
    },
    /// A planted defect was taken out, and its place looked at again.
    Unplanted {
        /// The event of the planting.
        planted: EventId,
        /// What the second look showed.
        look: String,
    },
    /// An earlier event was wrong: it counts no more, and stays in the record.
    TakenBack {
        /// The event.
        event: EventId,
        /// What was wrong with it.
        reason: String,
    },
}

impl EventKind {
    /// The odometer that the event tells, as it was read.
    pub fn odometer(&self) -> Option<Distance> {
        match self {
            Self::Odometer(read) | Self::Fill { odometer: read, .. } => Some(*read),
            Self::PartFitted(fitting) => fitting.odometer,
            Self::Job(job) => job.odometer,
            _ => None,
        }
    }
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
