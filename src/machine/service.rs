//! Services of one machine that come round by date, by distance, or by whichever is first.

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use super::{FluidKind, LimitSource};
use crate::units::Distance;

/// A service that comes round.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Service {
    /// What is done: `engine oil and filter`.
    pub what: String,
    /// The fluid it changes, if it changes one: its fittings count as done.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub fluid: Option<FluidKind>,
    /// Months from one to the next.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub every_months: Option<u32>,
    /// Distance from one to the next.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub every: Option<Distance>,
    /// When it was last done.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub last_on: Option<NaiveDate>,
    /// The odometer when it was last done.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub last_at: Option<Distance>,
    /// Where the interval comes from.
    pub source: LimitSource,
}

impl Service {
    /// A service of which only the name is known; common practice until the handbook is looked up.
    pub fn new(what: impl Into<String>) -> Self {
        Self {
            what: what.into(),
            fluid: None,
            every_months: None,
            every: None,
            last_on: None,
            last_at: None,
            source: LimitSource::CommonPractice,
        }
    }
}
