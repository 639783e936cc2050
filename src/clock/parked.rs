//! Where a spot is on the parked wheel, once it is known where the valve stands.

use super::{ClockTime, Side, Spot};

/// A wheel at rest: twelve is straight up, and the valve stands somewhere.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Parked {
    /// Where the valve stands, as an angle clockwise from straight up seen from the right.
    valve: Spot,
}

/// How to bring a spot to the top of the wheel, in millimetres along the crown.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Roll {
    /// Roll the machine forward by this much.
    pub forward_mm: f64,
    /// Or back by this much.
    pub back_mm: f64,
}

impl Parked {
    /// The valve stands at this clock position, seen from a side; twelve is straight up.
    pub fn valve_at(time: ClockTime, side: Side) -> Self {
        Self { valve: Spot::at(time, side) }
    }
    /// From the valve's angle clockwise from straight up as seen from the right.
    pub fn from_spot(valve: Spot) -> Self {
        Self { valve }
    }
    /// Where the valve stands, as a spot from straight up.
    pub fn valve(self) -> Spot {
        self.valve
    }
    /// Where a spot stands now, as an angle from straight up. Shown = valve + spot, whatever the side.
    pub fn now(self, spot: Spot) -> Spot {
        Spot::from_degrees(self.valve.degrees() + spot.degrees()).unwrap_or(Spot::VALVE)
    }
    /// Which way and how far to roll so that the spot comes to the top.
    pub fn roll_to_top(self, spot: Spot, circumference_mm: f64) -> Roll {
        let now = self.now(spot).degrees();
        let forward = (360.0 - now).rem_euclid(360.0);
        let back = now;
        Roll { forward_mm: forward / 360.0 * circumference_mm, back_mm: back / 360.0 * circumference_mm }
    }
    /// Whether the spot is under the tyre, where nobody can see it: within 20° of straight down.
    pub fn is_underneath(self, spot: Spot) -> bool {
        (self.now(spot).degrees() - 180.0).abs() <= 20.0
    }
}
