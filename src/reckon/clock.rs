//! `reckon clock`: a spot on a wheel, from one clock reading, a distance or a spoke to all the others; and where it
//! stands on the parked wheel.

use std::f64::consts::PI;

use chrono::NaiveDate;
use clap::{ArgGroup, Args};
use serde_json::json;

use super::entry::{above_zero, figure};
use super::{Reckon, ReckonError, Reckoning};
use crate::clock::{Arc, ClockTime, Parked, Side, SpokeCount, Spot};
use crate::inspection::{Along, Zone};
use crate::tyre::TyreMarking;
use crate::units::Length;

/// The entries of the clock calculator.
#[derive(Clone, Debug, Args)]
#[command(group = ArgGroup::new("spot").required(true).multiple(false).args(["at", "ahead", "spoke"]))]
pub struct Clock {
    /// The tyre's marking, for distances, as in "180/55 ZR17 M/C 73W"
    #[arg(long, value_name = "SIZE", value_parser = TyreMarking::parse)]
    pub tyre: TyreMarking,
    /// The spot by its clock position, with twelve at the valve stem, as in 4:30 (needs --side)
    #[arg(long, value_name = "CLOCK", requires = "side")]
    pub at: Option<ClockTime>,
    /// The spot by its distance ahead of the valve, as in "707 mm"; behind it with a minus
    #[arg(long, value_name = "DISTANCE", allow_hyphen_values = true)]
    pub ahead: Option<Length>,
    /// The spot by its spoke, counted from the valve clockwise as seen from the right (needs --spokes)
    #[arg(long, value_name = "NUMBER", requires = "spokes")]
    pub spoke: Option<u32>,
    /// The side of the machine that you stand on, as the rider sits: left or right
    #[arg(long, value_name = "SIDE")]
    pub side: Option<Side>,
    /// Where on the wheel: centre, left-shoulder, right-sidewall, rim, left-rim-flange, spoke, hub, left-disc, …
    #[arg(long, value_name = "ZONE", default_value = "centre", value_parser = read_zone)]
    pub zone: Zone,
    /// How many spokes the wheel has
    #[arg(long, value_name = "COUNT")]
    pub spokes: Option<u32>,
    /// The diameter of the disc, for distances round a disc
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub disc_diameter: Option<Length>,
    /// Where the valve stands on the parked wheel, with twelve straight up, seen from --side
    #[arg(long, value_name = "CLOCK", requires = "side")]
    pub valve_at: Option<ClockTime>,
}

/// Reads a zone by its words, blanks or dashes between them; `rim` is the rim well.
fn read_zone(text: &str) -> Result<Zone, String> {
    let wanted = text.trim().to_lowercase().replace(['-', '_'], " ");
    match wanted.as_str() {
        "centre" | "center" => return Ok(Zone::Centre),
        "rim" => return Ok(Zone::RimWell),
        _ => {}
    }
    Zone::ALL.into_iter().find(|z| z.words() == wanted).ok_or_else(|| {
        let names: Vec<String> = Zone::ALL
            .iter()
            .map(|z| if *z == Zone::Centre { "centre".into() } else { z.words().replace(' ', "-") })
            .collect();
        format!(
            "expected one of {}, or rim, found \"{}\": write it as in --zone right-shoulder",
            names.join(", "),
            text.trim()
        )
    })
}

/// A circumference, what it is called and how it comes about.
struct Turn {
    mm: f64,
    along: &'static str,
    formula: String,
}

impl Clock {
    fn turn(&self) -> Result<Turn, ReckonError> {
        let size = &self.tyre.size;
        Ok(match self.zone.along() {
            Along::Crown => Turn {
                mm: size.circumference_mm(),
                along: "crown",
                formula: format!(
                    "circumference = π × ({} × 25.4 + 2 × {} × {} / 100) = {} mm",
                    figure(size.rim_inch, 1),
                    figure(size.width_mm, 2),
                    figure(size.aspect_percent, 1),
                    figure(size.circumference_mm(), 1)
                ),
            },
            Along::Rim => Turn {
                mm: PI * size.rim_diameter_mm(),
                along: "rim",
                formula: format!(
                    "round the rim = π × {} in × 25.4 mm = {} mm",
                    figure(size.rim_inch, 1),
                    figure(PI * size.rim_diameter_mm(), 1)
                ),
            },
            Along::Disc => {
                let Some(diameter) = self.disc_diameter else {
                    return Err(ReckonError::expected(
                        "the diameter of the disc for a distance round it",
                        "none",
                        "add --disc-diameter, as in --disc-diameter \"320 mm\"",
                    ));
                };
                let mm = PI * above_zero("a disc diameter", diameter)?;
                Turn { mm, along: "disc", formula: format!("round the disc = π × {diameter} = {} mm", figure(mm, 1)) }
            }
        })
    }

    fn spot(&self, turn: &Turn, spokes: Option<SpokeCount>) -> Result<Spot, ReckonError> {
        match (self.at, self.side, self.ahead, self.spoke, spokes) {
            (Some(time), Some(side), ..) => Ok(Spot::at(time, side)),
            (None, _, Some(distance), ..) => Arc::spot_ahead(distance.as_mm(), turn.mm).ok_or_else(|| {
                ReckonError::expected(
                    &format!("a distance of at most one turn, {} mm along the {}", figure(turn.mm, 0), turn.along),
                    distance,
                    "measure from the valve to the spot, ahead of it or (with a minus) behind it",
                )
            }),
            (None, _, None, Some(spoke), Some(count)) => {
                count.spot(spoke).map_err(|e| ReckonError::new(format!("--spoke: {e}")))
            }
            _ => Err(ReckonError::expected(
                "a spot",
                "none",
                "give --at 4:30 --side right, or --ahead \"707 mm\", or --spoke 14 --spokes 36",
            )),
        }
    }
}

/// `15`, or `15 and 16` for a tie.
fn spoke_words((first, second): (u16, Option<u16>)) -> String {
    second.map_or_else(|| first.to_string(), |s| format!("{first} and {s}"))
}

impl Reckon for Clock {
    const ID: &'static str = "clock";
    const ABOUT: &'static str = "A spot on a wheel: clock readings from both sides, distances from the valve, spokes";
    const EXAMPLE: &'static str = "clock --tyre \"180/55 ZR17 M/C 73W\" --at 4:30 --side right --spokes 40";

    fn reckon(&self, _today: NaiveDate) -> Result<Reckoning, ReckonError> {
        let spokes =
            self.spokes.map(SpokeCount::new).transpose().map_err(|e| ReckonError::new(format!("--spokes: {e}")))?;
        let turn = self.turn()?;
        let spot = self.spot(&turn, spokes)?;
        let arc = Arc::of(spot, turn.mm);
        let (right, left) = (spot.time(Side::Right), spot.time(Side::Left));
        let ahead = figure(arc.ahead_mm, 0);
        let mut answer = Reckoning::new(
            format!("Spot on a wheel, {}", self.zone.words()),
            json!({
                "clock_from_right": right.to_string(),
                "clock_from_left": left.to_string(),
                "clockwise_from_right_deg": spot.degrees(),
                "zone": self.zone.words(),
                "along": turn.along,
                "circumference_mm": turn.mm,
                "ahead_mm": arc.ahead_mm,
                "behind_mm": arc.behind_mm,
            }),
        );
        answer.line(format!("{right} from the right · {left} from the left."));
        let how = match self.zone.along() {
            Along::Rim => format!("along the rim ({} in × 25.4 mm)", figure(self.tyre.size.rim_inch, 1)),
            _ => format!("along the {}", turn.along),
        };
        answer.line(format!("{ahead} mm ahead of the valve {how}, {} mm behind it.", figure(arc.behind_mm, 0)));
        answer.formula(turn.formula.clone());
        answer.formula(format!(
            "ahead = {}° / 360° × {} mm = {} mm; behind = {} mm − {} mm = {} mm",
            figure(spot.degrees(), 2),
            figure(turn.mm, 1),
            figure(arc.ahead_mm, 1),
            figure(turn.mm, 1),
            figure(arc.ahead_mm, 1),
            figure(arc.behind_mm, 1)
        ));
        if let Some(count) = spokes {
            add_spokes(&mut answer, spot, count);
        }
        if let (Some(valve), Some(side)) = (self.valve_at, self.side) {
            add_parked(&mut answer, spot, valve, side, self.tyre.size.circumference_mm());
        }
        answer.source(
            "hour-hand clock with twelve at the valve stem: one hour is 30°, one minute half a degree (house rule)",
        );
        answer.source("sizes from the tyre's marking (geometry)");
        answer.caution("Left and right are the machine's, as the rider sits. Ahead: the spot meets the road before the valve does.");
        Ok(answer)
    }
}

fn add_spokes(answer: &mut Reckoning, spot: Spot, count: SpokeCount) {
    let (first, second) = count.nearest(spot);
    let n = count.get();
    // Counted anticlockwise from the left, the numbers are the same: the number does not depend on the side.
    let many = if second.is_some() { "Nearest spokes" } else { "Nearest spoke" };
    answer.line(format!(
        "{many} of {n}: {}, counted from the valve clockwise as seen from the right (anticlockwise from the left).",
        spoke_words((first, second))
    ));
    let angle = (f64::from(first) - 0.5) * 360.0 / f64::from(n);
    answer.formula(format!(
        "spoke {first} stands at ({first} − ½) × 360° / {n} = {}°, at its nipple; the valve hole lies midway between two",
        figure(angle, 2)
    ));
    let numbers: Vec<u16> = [Some(first), second].into_iter().flatten().collect();
    answer.data["spokes"] = n.into();
    answer.data["nearest_spokes"] = numbers.into();
}

fn add_parked(answer: &mut Reckoning, spot: Spot, valve: ClockTime, side: Side, turn_mm: f64) {
    let parked = Parked::valve_at(valve, side);
    let shown = parked.now(spot).time(side);
    let roll = parked.roll_to_top(spot, turn_mm);
    let underneath = parked.is_underneath(spot);
    answer.line(format!(
        "Parked with the valve at {valve} seen from the {}: the spot stands at {shown} (twelve is straight up).",
        side.word()
    ));
    if roll.back_mm < 0.5 {
        answer.line("It is at the top of the wheel.");
    } else {
        answer.line(format!(
            "{}oll forward {} mm or back {} mm to bring it to the top.",
            if underneath { "It is under the tyre: roll it. R" } else { "R" },
            figure(roll.forward_mm, 0),
            figure(roll.back_mm, 0)
        ));
    }
    answer.formula(format!(
        "shown = valve + spot, both from the {}: {valve} + {} = {shown}",
        side.word(),
        spot.time(side)
    ));
    answer.data["parked"] = json!({
        "side": side.word(),
        "valve_at": valve.to_string(),
        "spot_at": shown.to_string(),
        "roll_forward_mm": roll.forward_mm,
        "roll_back_mm": roll.back_mm,
        "underneath": underneath,
    });
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_zone_is_read_by_its_words() {
        for zone in Zone::ALL {
            assert_eq!(read_zone(&zone.words().replace(' ', "-")), Ok(zone));
        }
        assert_eq!(read_zone("Rim"), Ok(Zone::RimWell));
        assert!(read_zone("shoulder").expect_err("no side").contains("right-shoulder"));
    }
}
