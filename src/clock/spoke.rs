//! Spokes, numbered from the valve clockwise as seen from the right. The valve hole lies midway between two spokes.

use thiserror::Error;

use super::Spot;

/// How many spokes a wheel has, 2 to 120.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SpokeCount(u16);

/// Why a spoke or a number of spokes makes no sense.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum SpokeError {
    /// No wheel has so many spokes.
    #[error("expected 2 to 120 spokes, found {0}: count the nipples once round the rim")]
    Count(u32),
    /// The wheel has no such spoke.
    #[error("expected a spoke from 1 to {of}, found {found}: count clockwise from the valve as seen from the right")]
    Number {
        /// The spoke asked for.
        found: u32,
        /// How many there are.
        of: u16,
    },
}

impl SpokeCount {
    /// A number of spokes.
    pub fn new(count: u32) -> Result<Self, SpokeError> {
        if (2..=120).contains(&count) { Ok(Self(count as u16)) } else { Err(SpokeError::Count(count)) }
    }
    /// The number.
    pub fn get(self) -> u16 {
        self.0
    }
    /// Where spoke `number` stands at its nipple: (number − ½)·360/N clockwise from the right.
    pub fn spot(self, number: u32) -> Result<Spot, SpokeError> {
        if number == 0 || number > u32::from(self.0) {
            return Err(SpokeError::Number { found: number, of: self.0 });
        }
        Ok(Spot::from_degrees((f64::from(number) - 0.5) * 360.0 / f64::from(self.0)).unwrap_or(Spot::VALVE))
    }
    /// The nearest spoke to a spot, or the two that tie, lower number first (at the valve: the last and the first).
    pub fn nearest(self, spot: Spot) -> (u16, Option<u16>) {
        let steps = spot.degrees() / 360.0 * f64::from(self.0);
        let below = steps.floor();
        // Half way between two spokes within a thousandth of a step is a tie, as seen by eye.
        if (steps - below).abs() < 1e-3 || (steps - below - 1.0).abs() < 1e-3 {
            let boundary = steps.round() as u16;
            let first = if boundary == 0 { self.0 } else { boundary };
            return (first, Some(first % self.0 + 1));
        }
        (below as u16 % self.0 + 1, None)
    }
}
