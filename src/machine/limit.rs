//! Service limits and torque figures, each with its source.

use std::fmt;

use serde::{Deserialize, Serialize};

use super::WheelPosition;
use crate::clock::Side;
use crate::units::{Length, Torque, Voltage};

/// Where a figure of one machine comes from, in falling order of trust.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum LimitSource {
    /// The placard on the machine.
    Placard,
    /// A page of the service manual.
    Manual(String),
    /// Stamped on the part itself.
    Stamped,
    /// Common practice.
    CommonPractice,
}

impl fmt::Display for LimitSource {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Placard => f.write_str("placard"),
            Self::Manual(page) if page.trim().is_empty() => f.write_str("service manual"),
            Self::Manual(page) => write!(f, "service manual, {page}"),
            Self::Stamped => f.write_str("stamped on the part"),
            Self::CommonPractice => f.write_str("common practice"),
        }
    }
}

/// What a service limit is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum LimitKind {
    /// Least tread depth of the machine's own tyre or of the owner.
    TreadMinimum(WheelPosition),
    /// Least lining of a pad or shoe.
    LiningMinimum(WheelPosition),
    /// Least thickness of a disc.
    DiscMinimum(WheelPosition, Side),
    /// Greatest run-out of a disc, total indicator reading.
    DiscRunoutMaximum(WheelPosition),
    /// Greatest inside diameter of a drum.
    DrumMaximum(WheelPosition),
    /// Greatest lateral run-out of a rim.
    RimLateralMaximum(WheelPosition),
    /// Greatest radial run-out of a rim.
    RimRadialMaximum(WheelPosition),
    /// Least free play or deflection of chain or belt.
    DriveSlackMinimum,
    /// Greatest free play or deflection of chain or belt.
    DriveSlackMaximum,
    /// Greatest length over the pitches measured.
    ChainLengthMaximum,
    /// Least free play of the throttle.
    ThrottlePlayMinimum,
    /// Greatest free play of the throttle.
    ThrottlePlayMaximum,
    /// Greatest free play of the clutch lever.
    ClutchPlayMaximum,
    /// Least toe-in of a sidecar over the length of the board.
    SidecarToeMinimum,
    /// Greatest toe-in of a sidecar.
    SidecarToeMaximum,
    /// Least lean-out of the machine over the height of the plumb line.
    SidecarLeanMinimum,
    /// Greatest lean-out of the machine.
    SidecarLeanMaximum,
}

impl LimitKind {
    /// In words.
    pub fn words(self) -> String {
        match self {
            Self::TreadMinimum(w) => format!("least tread, {}", w.word()),
            Self::LiningMinimum(w) => format!("least lining, {}", w.word()),
            Self::DiscMinimum(w, s) => format!("least disc thickness, {} {}", w.word(), s.word()),
            Self::DiscRunoutMaximum(w) => format!("greatest disc run-out, {}", w.word()),
            Self::DrumMaximum(w) => format!("greatest drum diameter, {}", w.word()),
            Self::RimLateralMaximum(w) => format!("greatest lateral rim run-out, {}", w.word()),
            Self::RimRadialMaximum(w) => format!("greatest radial rim run-out, {}", w.word()),
            Self::DriveSlackMinimum => "least drive slack".into(),
            Self::DriveSlackMaximum => "greatest drive slack".into(),
            Self::ChainLengthMaximum => "greatest chain length over the pitches measured".into(),
            Self::ThrottlePlayMinimum => "least throttle play".into(),
            Self::ThrottlePlayMaximum => "greatest throttle play".into(),
            Self::ClutchPlayMaximum => "greatest clutch lever play".into(),
            Self::SidecarToeMinimum => "least sidecar toe-in".into(),
            Self::SidecarToeMaximum => "greatest sidecar toe-in".into(),
            Self::SidecarLeanMinimum => "least lean-out".into(),
            Self::SidecarLeanMaximum => "greatest lean-out".into(),
        }
    }
}

/// The value of a service limit.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub enum Quota {
    /// A length.
    Length(Length),
    /// A voltage.
    Voltage(Voltage),
}

/// A service limit of one machine.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Limit {
    /// What it is about.
    pub kind: LimitKind,
    /// The figure.
    pub value: Quota,
    /// Where it comes from.
    pub source: LimitSource,
}

/// A tightening torque of one machine.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TorqueFigure {
    /// The fastener, in the owner's words.
    pub fastener: String,
    /// The figure.
    pub torque: Torque,
    /// Where it comes from.
    pub source: LimitSource,
}
