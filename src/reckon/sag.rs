//! `reckon sag`: rider sag and friction of a suspension from three lengths.

use chrono::NaiveDate;
use clap::Args;
use serde_json::json;

use super::entry::{above_zero, figure};
use super::{Reckon, ReckonError, Reckoning};
use crate::units::Length;

/// Per cent of the travel that a street machine sags with its rider (seen, several setting guides agree).
const STREET_PERCENT: (f64, f64) = (25.0, 33.0);
/// The same in mm, where the travel is not known (same).
const STREET_MM: (f64, f64) = (30.0, 35.0);

/// The entries of the sag calculator.
#[derive(Clone, Debug, Args)]
pub struct Sag {
    /// Fully extended, wheel off the ground (L1), as in "560 mm"
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub extended: Length,
    /// Rider aboard, after pressing down and letting it rise slowly (L2)
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub down: Length,
    /// Rider aboard, after lifting and letting it drop slowly (L3)
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub up: Length,
    /// The machine's own weight on its wheels, no rider (for the free sag)
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub free: Option<Length>,
    /// The whole travel, from the manual, as in "120 mm"
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub travel: Option<Length>,
}

impl Reckon for Sag {
    const ID: &'static str = "sag";
    const ABOUT: &'static str = "Suspension: rider sag, friction, per cent of the travel";
    const EXAMPLE: &'static str = "sag --extended \"560 mm\" --down \"524 mm\" --up \"530 mm\" --travel \"120 mm\"";

    fn reckon(&self, _today: NaiveDate) -> Result<Reckoning, ReckonError> {
        let l1 = above_zero("an extended length", self.extended)?;
        let l2 = above_zero("a length after pressing down", self.down)?;
        let l3 = above_zero("a length after lifting", self.up)?;
        if l2 > l3 {
            return Err(ReckonError::expected(
                "the length after pressing down to be the shorter one",
                format!("{} after pressing down and {} after lifting", self.down, self.up),
                "are the two swapped? Pressing down gives --down, lifting gives --up",
            ));
        }
        if l3 > l1 {
            return Err(ReckonError::expected(
                &format!("a length after lifting of at most the extended one, {}", self.extended),
                self.up,
                "measure the extended length again with the wheel off the ground, between the same two points",
            ));
        }
        let sag = l1 - (l2 + l3) / 2.0;
        let friction = l3 - l2;
        let free = self.free.map(|l| above_zero("a length without the rider", l)).transpose()?;
        if let (Some(free), Some(length)) = (free, self.free)
            && !(l3..=l1).contains(&free)
        {
            return Err(ReckonError::expected(
                &format!(
                    "a length without the rider between the lifted {} and the extended {}",
                    self.up, self.extended
                ),
                length,
                "measure it again between the same two points, nobody aboard",
            ));
        }
        let free_sag = free.map(|free| l1 - free);
        let travel = self.travel.map(|t| above_zero("a travel", t)).transpose()?;
        if let Some(travel) = travel.filter(|t| *t < sag) {
            return Err(ReckonError::expected(
                &format!("a travel of at least the sag, {} mm", figure(sag, 1)),
                format!("{} mm", figure(travel, 1)),
                "look up the travel in the manual, or measure again",
            ));
        }
        let percent = travel.map(|t| 100.0 * sag / t);
        let (value, (low, high), unit) = match percent {
            Some(percent) => (percent, STREET_PERCENT, "% of the travel"),
            None => (sag, STREET_MM, "mm"),
        };
        let place = match value {
            v if v < low => "below",
            v if v > high => "above",
            _ => "within",
        };
        let mut answer = Reckoning::new(
            "Suspension sag",
            json!({
                "extended_mm": l1,
                "down_mm": l2,
                "up_mm": l3,
                "sag_mm": sag,
                "friction_mm": friction,
                "free_sag_mm": free_sag,
                "travel_mm": travel,
                "sag_percent": percent,
                "street_band": place,
            }),
        );
        let share = percent.map(|p| format!(", {} % of the travel", figure(p, 1))).unwrap_or_default();
        answer.line(format!("Rider sag {} mm{share}; friction {} mm.", figure(sag, 1), figure(friction, 1)));
        answer.line(format!(
            "{} the usual {} to {} {unit} of a street machine.",
            match place {
                "below" => "Below",
                "above" => "Above",
                _ => "Within",
            },
            figure(low, 0),
            figure(high, 0)
        ));
        if let Some(free_sag) = free_sag {
            answer.line(format!(
                "Free sag {} mm, the machine alone; at the rear 0 to 5 mm is usual on the street.",
                figure(free_sag, 1)
            ));
            answer.formula(format!(
                "free sag = L1 − L(free) = {} − {} = {} mm",
                figure(l1, 1),
                figure(l1 - free_sag, 1),
                figure(free_sag, 1)
            ));
        }
        answer.formula(format!(
            "sag = L1 − (L2 + L3) / 2 = {} − ({} + {}) / 2 = {} mm",
            figure(l1, 1),
            figure(l2, 1),
            figure(l3, 1),
            figure(sag, 1)
        ));
        answer.formula(format!(
            "friction = L3 − L2 = {} − {} = {} mm",
            figure(l3, 1),
            figure(l2, 1),
            figure(friction, 1)
        ));
        if let (Some(travel), Some(percent)) = (travel, percent) {
            answer.formula(format!("100 × {} / {} = {} %", figure(sag, 1), figure(travel, 1), figure(percent, 1)));
        }
        answer.source(
            "common practice: setting guides that agree on the method and the street band; the manual goes first",
        );
        answer.caution(
            "A helper steadies the machine. Measure between the same two points each time, rider in full gear.",
        );
        Ok(answer)
    }
}
