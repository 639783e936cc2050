//! Which check on which part: `tyre-pressure@front`, `disc@front.left`, `fluid-level@engine-oil`.

use std::fmt;

use serde::{Deserialize, Serialize};

use crate::clock::Side;
use crate::machine::{FluidKind, WheelPosition};

/// What a check is made on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Subject {
    /// The machine as a whole.
    Machine,
    /// A wheel.
    Wheel(WheelPosition),
    /// A disc at one side of a wheel.
    Disc(WheelPosition, Side),
    /// A fluid.
    Fluid(FluidKind),
}

impl Subject {
    /// In words: `front`, `front, left disc`, `engine oil`; empty for the machine as a whole.
    pub fn words(self) -> String {
        match self {
            Self::Machine => String::new(),
            Self::Wheel(w) => w.word().into(),
            Self::Disc(w, s) => format!("{}, {} disc", w.word(), s.word()),
            Self::Fluid(f) => f.word().into(),
        }
    }
    /// The wheel it is on, if any.
    pub fn wheel(self) -> Option<WheelPosition> {
        match self {
            Self::Wheel(w) | Self::Disc(w, _) => Some(w),
            Self::Machine | Self::Fluid(_) => None,
        }
    }
    /// The part with an id, as it stands behind the `@`.
    pub(super) fn parse(text: &str) -> Option<Self> {
        if text == "machine" {
            return Some(Self::Machine);
        }
        if let Some((wheel, side)) = text.split_once('.') {
            return Some(Self::Disc(WheelPosition::from_id(wheel)?, side.parse().ok()?));
        }
        WheelPosition::from_id(text).map(Self::Wheel).or_else(|| FluidKind::from_id(text).map(Self::Fluid))
    }
}

impl fmt::Display for Subject {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Machine => f.write_str("machine"),
            Self::Wheel(w) => f.write_str(w.id()),
            Self::Disc(w, s) => write!(f, "{}.{}", w.id(), s.word()),
            Self::Fluid(k) => f.write_str(k.id()),
        }
    }
}

/// A check of the catalogue on one part of one machine. Stored as text.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct CheckRef {
    /// The id of the check in the catalogue.
    pub check: String,
    /// The part.
    pub subject: Subject,
}

impl CheckRef {
    /// Makes a reference.
    pub fn new(check: impl Into<String>, subject: Subject) -> Self {
        Self { check: check.into(), subject }
    }
}

impl fmt::Display for CheckRef {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}@{}", self.check, self.subject)
    }
}
impl From<CheckRef> for String {
    fn from(check: CheckRef) -> String {
        check.to_string()
    }
}
impl TryFrom<String> for CheckRef {
    type Error = String;
    fn try_from(text: String) -> Result<Self, String> {
        let error =
            || format!("expected a check and its part, as in tyre-pressure@front or disc@front.left, found \"{text}\"");
        let (check, subject) = text.split_once('@').ok_or_else(error)?;
        if check.is_empty() {
            return Err(error());
        }
        Ok(Self { check: check.to_owned(), subject: Subject::parse(subject).ok_or_else(error)? })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn references_survive_their_text_form() {
        for text in ["tyre-pressure@front", "disc@front-left.right", "fluid-level@engine-oil", "horn@machine"] {
            assert_eq!(CheckRef::try_from(text.to_owned()).map(|c| c.to_string()), Ok(text.to_owned()));
        }
        assert!(CheckRef::try_from("horn".to_owned()).is_err());
        assert!(CheckRef::try_from("horn@moon".to_owned()).is_err());
    }
}
