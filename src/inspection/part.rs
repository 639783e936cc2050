//! Parts that wear and are replaced: which one, what was fitted, when and at which odometer.

use serde::{Deserialize, Serialize};

use crate::clock::Side;
use crate::machine::{FluidKind, Tyre, WheelPosition};
use crate::units::{Distance, Length};

/// A part with a life of its own: it is fitted, wears, and is replaced.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum PartRef {
    /// The tyre of a wheel. A new one is a new mounting.
    Tyre(WheelPosition),
    /// The pads or shoes of a wheel; those of one disc alone where a side is named.
    Lining(WheelPosition, Option<Side>),
    /// A brake disc.
    Disc(WheelPosition, Side),
    /// The chain with its sprockets.
    Chain,
    /// The drive belt.
    Belt,
    /// The starter or on-board battery.
    Battery,
    /// A fluid.
    Fluid(FluidKind),
    /// Any other, in the owner's words.
    Other(String),
}

impl PartRef {
    /// In words: `rear tyre`, `front pads or shoes, left`, `engine oil`.
    pub fn words(&self) -> String {
        match self {
            Self::Tyre(w) => format!("{} tyre", w.word()),
            Self::Lining(w, None) => format!("{} pads or shoes", w.word()),
            Self::Lining(w, Some(side)) => format!("{} pads, {}", w.word(), side.word()),
            Self::Disc(w, side) => format!("{} disc, {}", w.word(), side.word()),
            Self::Chain => "chain".into(),
            Self::Belt => "drive belt".into(),
            Self::Battery => "battery".into(),
            Self::Fluid(kind) => kind.word().into(),
            Self::Other(what) => what.trim().to_owned(),
        }
    }
    /// The wheel it is at, if any.
    pub fn wheel(&self) -> Option<WheelPosition> {
        match self {
            Self::Tyre(w) | Self::Lining(w, _) | Self::Disc(w, _) => Some(*w),
            _ => None,
        }
    }
}

/// Whether a part was new when it was fitted.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub enum Condition {
    /// New.
    #[default]
    New,
    /// Used before, and how far it had run where that is known.
    Used(Option<Distance>),
}

/// A part that was fitted. The day is the event's.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Fitting {
    /// Which part.
    pub part: PartRef,
    /// The odometer when it was fitted.
    #[serde(default)]
    pub odometer: Option<Distance>,
    /// New or used.
    #[serde(default)]
    pub condition: Condition,
    /// What it is, in the owner's words: `sintered pads`, `DOT 4`.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub what: String,
    /// Its least tread, lining or thickness when it was fitted, where it was measured: the first reading of its life.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub measured: Option<Length>,
    /// For a tyre: what is moulded on it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tyre: Option<Box<Tyre>>,
    /// A remark.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub note: String,
}

impl Fitting {
    /// A new part of which nothing else is known.
    pub fn new(part: PartRef) -> Self {
        Self {
            part,
            odometer: None,
            condition: Condition::New,
            what: String::new(),
            measured: None,
            tyre: None,
            note: String::new(),
        }
    }
}
