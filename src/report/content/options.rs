//! The choices of a report: what is left out for strangers, what is written short.

use serde::{Deserialize, Serialize};

/// The choices that change what a report says. Nothing here can leave out a dangerous or major finding, an unchecked
/// item, the day or the odometer.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Options {
    /// What is left out.
    pub privacy: Privacy,
    /// Whether minor findings are only counted.
    pub count_minors: bool,
    /// The minutes there are for the walk, where the report asks for them.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub minutes: Option<u32>,
    /// Whether only what fits into the minutes is on the walk, where the required checks alone take longer.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    pub part: bool,
}

/// What of the owner and the papers is left out, from the pages and from the record inside the file.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Privacy {
    /// The identification number.
    pub vin: bool,
    /// The registration.
    pub registration: bool,
    /// The names of people: the inspector, whoever closed a finding or set a class.
    pub people: bool,
    /// The place of the inspection.
    pub place: bool,
}

impl Privacy {
    /// Nothing is left out.
    pub const NONE: Self = Self { vin: false, registration: false, people: false, place: false };
    /// Everything that tells who and where is left out.
    pub const ALL: Self = Self { vin: true, registration: true, people: true, place: true };
}

impl Default for Privacy {
    fn default() -> Self {
        Self::NONE
    }
}

impl Default for Options {
    fn default() -> Self {
        Self { privacy: Privacy::NONE, count_minors: false, minutes: None, part: false }
    }
}

impl Options {
    /// The choices that a kind of report begins with.
    pub fn of(kind: &super::ReportKind) -> Self {
        Self { privacy: if kind.is_private { Privacy::ALL } else { Privacy::NONE }, ..Self::default() }
    }
}
