//! Inspection kinds: selections from the catalogue, with what is required for a verdict and how long it holds.

use serde::{Deserialize, Serialize};

/// A set of checks by id.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize, Serialize)]
pub enum Selection {
    /// Every check that applies.
    All,
    /// These checks.
    These(Vec<String>),
    /// Every check but these.
    AllBut(Vec<String>),
}

impl Selection {
    /// Whether a check is in it.
    pub fn holds(&self, check: &str) -> bool {
        match self {
            Self::All => true,
            Self::These(ids) => ids.iter().any(|id| id == check),
            Self::AllBut(ids) => !ids.iter().any(|id| id == check),
        }
    }
}

/// A kind of inspection.
#[derive(Clone, Debug, PartialEq, Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
pub struct Kind {
    /// Its id: ride, season, periodic, purchase, sale, fall, trip, storage, work.
    pub id: String,
    /// What it is called: `before a ride`.
    pub name: String,
    /// How the verdict names it: `a before-ride look`.
    pub called: String,
    /// The checks it asks.
    pub checks: Selection,
    /// Those without which there is no verdict.
    pub required: Selection,
    /// Days after which its verdict lapses (common practice; the owner may set another).
    pub lapses_after_days: u32,
    /// Kilometres after which its verdict lapses (common practice).
    pub lapses_after_km: u32,
}
