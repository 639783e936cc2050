//! A finding of an earlier day, looked at again in a later inspection: still there, grown, or gone.

use serde::{Deserialize, Serialize};

use crate::units::Length;

/// What was seen of a finding of an earlier day.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Seen {
    /// Nobody has looked yet.
    #[default]
    NotYet,
    /// It is there as it was.
    Still,
    /// It is there and has grown.
    Grown,
    /// It is no longer to be seen. That closes nothing: a finding closes by an event.
    Gone,
    /// Could not be looked at, with the reason; counts as not looked at.
    CouldNot(String),
}

impl Seen {
    /// Whether somebody still has to look.
    pub fn is_open(&self) -> bool {
        matches!(self, Self::NotYet | Self::CouldNot(_))
    }
    /// In a word or two, for a list.
    pub fn short(&self) -> &'static str {
        match self {
            Self::NotYet => "look again",
            Self::Still => "still there",
            Self::Grown => "grown",
            Self::Gone => "gone",
            Self::CouldNot(_) => "could not",
        }
    }
    /// In words.
    pub fn words(&self) -> String {
        match self {
            Self::NotYet => "not yet looked at again".into(),
            Self::Still => "still there".into(),
            Self::Grown => "still there and grown".into(),
            Self::Gone => "no longer to be seen".into(),
            Self::CouldNot(why) => format!("could not be looked at again: {why}"),
        }
    }
}

/// The second look at a finding of an earlier day, kept in the inspection that asks it.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Revisit {
    /// What was seen.
    pub seen: Seen,
    /// Its size on that day, where it was measured.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub size: Option<Length>,
    /// A remark.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub note: String,
}
