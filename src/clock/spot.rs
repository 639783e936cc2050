//! A place round a wheel, stored in a form that does not depend on the side.

use serde::{Deserialize, Serialize};

use super::{ClockTime, Side};

/// Degrees from the valve, clockwise as seen from the right of the machine, 0 ≤ angle < 360.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd, Serialize, Deserialize)]
#[serde(try_from = "f64", into = "f64")]
pub struct Spot(f64);

impl Spot {
    /// At the valve stem.
    pub const VALVE: Self = Self(0.0);

    /// From degrees clockwise as seen from the right; any finite angle, else none.
    pub fn from_degrees(degrees: f64) -> Option<Self> {
        degrees.is_finite().then(|| {
            let turned = degrees.rem_euclid(360.0);
            Self(if turned >= 360.0 { 0.0 } else { turned })
        })
    }
    /// Degrees clockwise from the valve as seen from the right.
    pub fn degrees(self) -> f64 {
        self.0
    }
    /// The spot at a clock position read from a side.
    pub fn at(time: ClockTime, side: Side) -> Self {
        Self::from_side_degrees(time.degrees(), side)
    }
    /// Degrees clockwise from the valve as seen from a side.
    pub fn degrees_from(self, side: Side) -> f64 {
        match side {
            Side::Right => self.0,
            Side::Left => (360.0 - self.0).rem_euclid(360.0),
        }
    }
    /// The spot at an angle clockwise as seen from a side. A non-finite angle falls on the valve.
    pub fn from_side_degrees(degrees: f64, side: Side) -> Self {
        let right = match side {
            Side::Right => degrees,
            Side::Left => -degrees,
        };
        Self::from_degrees(right).unwrap_or(Self::VALVE)
    }
    /// The clock position read from a side, to the nearest minute.
    pub fn time(self, side: Side) -> ClockTime {
        ClockTime::from_degrees(self.degrees_from(side))
    }
    /// The smaller angle between two spots, 0 to 180 degrees.
    pub fn apart(self, other: Self) -> f64 {
        let between = (self.0 - other.0).rem_euclid(360.0);
        between.min(360.0 - between)
    }
}

impl TryFrom<f64> for Spot {
    type Error = String;
    fn try_from(degrees: f64) -> Result<Self, String> {
        Self::from_degrees(degrees).ok_or_else(|| {
            format!("expected an angle in degrees from the valve, found {degrees}: write it as in 135.0")
        })
    }
}

impl From<Spot> for f64 {
    fn from(spot: Spot) -> f64 {
        spot.0
    }
}
