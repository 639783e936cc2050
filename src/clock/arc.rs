//! Distances from the valve round a circumference, both ways.

use super::Spot;

/// How far a spot is from the valve round a circumference, in millimetres. The two add up to the circumference.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Arc {
    /// Ahead of the valve: the spot meets the road before the valve does when rolling forward.
    pub ahead_mm: f64,
    /// Behind the valve.
    pub behind_mm: f64,
}

impl Arc {
    /// The distances of a spot on a circumference in mm.
    pub fn of(spot: Spot, circumference_mm: f64) -> Self {
        let ahead_mm = spot.degrees() / 360.0 * circumference_mm;
        Self { ahead_mm, behind_mm: circumference_mm - ahead_mm }
    }
    /// The spot at a distance ahead of the valve in mm (negative: behind). None for a circumference that is not
    /// above zero or a distance of more than one turn.
    pub fn spot_ahead(distance_mm: f64, circumference_mm: f64) -> Option<Spot> {
        let usable = circumference_mm.is_finite() && circumference_mm > 0.0 && distance_mm.abs() <= circumference_mm;
        usable.then(|| Spot::from_degrees(distance_mm / circumference_mm * 360.0)).flatten()
    }
}
