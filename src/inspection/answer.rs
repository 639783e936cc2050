//! The answer to one check: its state and what was read.

use std::collections::BTreeMap;

use chrono::{NaiveDate, NaiveTime};
use serde::{Deserialize, Serialize};

use super::{TorqueApplied, Zone};
use crate::clock::{Side, Spot};
use crate::machine::{FluidState, Stance};
use crate::units::{Distance, Force, Length, Mass, Pressure, Speed, Temperature, Torque, Voltage};

/// What the person said of a check. A finding is not said here: it follows from the findings of the inspection.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub enum CheckState {
    /// Nobody has looked yet.
    #[default]
    Unchecked,
    /// Looked at and found sound.
    Sound,
    /// The machine lacks the part.
    NotApplicable,
    /// Could not be checked, with the reason; counts as unchecked.
    CouldNot(String),
}

/// The answer to one check.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Answer {
    /// What the person said.
    pub state: CheckState,
    /// What was read, by the field's id in the catalogue.
    #[serde(skip_serializing_if = "BTreeMap::is_empty")]
    pub readings: BTreeMap<String, Value>,
    /// A remark.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub note: String,
    /// When it was last answered; kept in a class exercise only, for the time at each station.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub at: Option<NaiveTime>,
}

/// A depth of tread in the zones read at one clock position.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TreadPoint {
    /// Where round the wheel.
    pub spot: Spot,
    /// Depth by zone.
    pub depths: Vec<(Zone, Length)>,
}

/// A dial reading at one clock position: lateral + towards the machine's right, radial + outward.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DialPoint {
    /// Where round the wheel.
    pub spot: Spot,
    /// What the dial showed.
    pub reading: Length,
}

/// A plain number at one clock position: what a tension meter shows at a spoke, say.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct NumberPoint {
    /// Where round the wheel.
    pub spot: Spot,
    /// What was read, finite.
    pub reading: f64,
}

/// A fluid level with the stance and the temperature it was read in.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LevelReading {
    /// What the window or the stick showed.
    pub mark: Mark,
    /// How the machine stood.
    pub stance: Stance,
    /// How warm the fluid was.
    pub state: FluidState,
}

/// Where a fluid level stands against its marks.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Mark {
    /// Above the upper mark.
    AboveMax,
    /// Between the marks.
    Between,
    /// Just under the lower mark.
    BelowMin,
    /// Well under the lower mark.
    WellBelowMin,
    /// Nothing to be seen.
    NoneVisible,
}

impl Mark {
    /// Every mark from high to low.
    pub const ALL: [Self; 5] = [Self::AboveMax, Self::Between, Self::BelowMin, Self::WellBelowMin, Self::NoneVisible];
    /// In words.
    pub fn word(self) -> &'static str {
        match self {
            Self::AboveMax => "above the upper mark",
            Self::Between => "between the marks",
            Self::BelowMin => "below the lower mark",
            Self::WellBelowMin => "well below the lower mark",
            Self::NoneVisible => "none visible",
        }
    }
}

/// A reading of any kind. Quantities keep the unit they were typed in.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub enum Value {
    /// A pressure.
    Pressure(Pressure),
    /// A length or depth.
    Length(Length),
    /// A temperature.
    Temperature(Temperature),
    /// A voltage.
    Voltage(Voltage),
    /// A torque.
    Torque(Torque),
    /// A distance.
    Distance(Distance),
    /// A speed.
    Speed(Speed),
    /// A mass.
    Mass(Mass),
    /// A force.
    Force(Force),
    /// A plain number with no unit.
    Number(f64),
    /// A day.
    Date(NaiveDate),
    /// One of the choices of the field, by id.
    Choice(String),
    /// A fluid level.
    Level(LevelReading),
    /// Tread depths round the wheel.
    Tread(Vec<TreadPoint>),
    /// Torques found or applied, each at a fastener of the machine's record.
    Torques(Vec<TorqueApplied>),
    /// Dial readings round the wheel, with the side the dial stood on.
    Dial(Side, Vec<DialPoint>),
    /// Lengths that cannot be negative, round the wheel: the thickness of a disc, the slack of a chain.
    Round(Vec<DialPoint>),
    /// Plain numbers round the wheel: the tension of spokes on the meter's own scale.
    Numbers(Vec<NumberPoint>),
}
