//! `reckon pressure`: what a tyre set at one temperature reads at another, and that it is pumped back to the placard.
//!
//! The gas law compares two readings and sets a tyre in a warm garage for the cold; it never excuses a low reading:
//! a cold tyre must read the placard at whatever the ambient is.

use chrono::NaiveDate;
use clap::Args;
use serde_json::json;

use super::entry::{above_zero, both, figure, like};
use super::{Reckon, ReckonError, Reckoning};
use crate::physics::gas::{Air, GasError, outside_at, reads};
use crate::tyre::pressure_doubt;
use crate::units::{Length, Pressure, Temperature};

/// The entries of the pressure calculator.
#[derive(Clone, Debug, Args)]
pub struct TyrePressure {
    /// What the gauge showed when the tyre was set, as in "36 psi"
    #[arg(long, value_name = "PRESSURE", allow_hyphen_values = true)]
    pub set: Pressure,
    /// How warm the tyre was when it was set, as in "68 F"
    #[arg(long, value_name = "TEMPERATURE", allow_hyphen_values = true)]
    pub set_at: Temperature,
    /// How warm the tyre is now, as in "41 F"
    #[arg(long, value_name = "TEMPERATURE", allow_hyphen_values = true)]
    pub now: Temperature,
    /// The set pressure was read on a tyre hot from riding: what it would show cold
    #[arg(long)]
    pub hot: bool,
    /// The placard's cold pressure, if it is not what the tyre was set to
    #[arg(long, value_name = "PRESSURE", allow_hyphen_values = true)]
    pub placard: Option<Pressure>,
    /// Height above sea level where the tyre is now, as in "1500 m"
    #[arg(long, value_name = "HEIGHT", allow_hyphen_values = true)]
    pub altitude: Option<Length>,
    /// Height above sea level where the tyre was set (sea level if left out)
    #[arg(long, value_name = "HEIGHT", allow_hyphen_values = true)]
    pub set_altitude: Option<Length>,
}

/// What to do about a cold tyre that reads so.
fn what_to_do(reads_kpa: f64, placard: Pressure) -> (&'static str, String) {
    let off = reads_kpa - placard.as_kpa();
    let apart = like(off.abs(), placard);
    let unit = placard.unit();
    // Within half of the last digit that a gauge shows, there is nothing to do.
    let step = unit.factor * 10f64.powi(-(unit.decimals as i32)) / 2.0;
    if off.abs() < step {
        ("none", "nothing to do: it reads the placard".into())
    } else if off < 0.0 {
        ("pump", format!("pump back to {placard}, {apart} more"))
    } else {
        (
            "let-down",
            format!("if the tyre is cold, let it down to {placard}, {apart} less; if it is warm from riding, leave it"),
        )
    }
}

impl Reckon for TyrePressure {
    const ID: &'static str = "pressure";
    const ABOUT: &'static str = "What a tyre set at one temperature reads at another";
    const EXAMPLE: &'static str = "pressure --set \"36 psi\" --set-at \"68 F\" --now \"41 F\"";

    fn reckon(&self, _today: NaiveDate) -> Result<Reckoning, ReckonError> {
        let set_kpa = above_zero("a set pressure", self.set)?;
        let placard = self.placard.unwrap_or(self.set);
        above_zero("a placard pressure", placard)?;
        let gas = |e: GasError| ReckonError::new(e.to_string());
        let sea_level = Length::metres(0.0);
        let air = |temperature, height: Option<Length>| {
            outside_at(height.unwrap_or(sea_level)).map(|outside| Air { temperature, outside }).map_err(gas)
        };
        let (then, now) = (air(self.set_at, self.set_altitude)?, air(self.now, self.altitude)?);
        let reads_now = reads(self.set, then, now).map_err(gas)?.as_kpa();
        // The other way round: what to set there so that the placard is read here.
        let to_set = reads(placard, now, then).map_err(gas)?.as_kpa();
        let (t1, t2) = (self.set_at.as_kelvin(), self.now.as_kelvin());
        let (a1, a2) = (then.outside.as_kpa(), now.outside.as_kpa());
        let height_m = |height: Option<Length>| height.unwrap_or(sea_level).as_metres();
        let (h1, h2) = (height_m(self.set_altitude), height_m(self.altitude));
        let reads = reads_now;
        let unit = self.set.unit();
        let (action, words) = what_to_do(reads, placard);
        let data = json!({
            "set_kpa": set_kpa,
            "set_at_c": self.set_at.as_celsius(),
            "now_c": self.now.as_celsius(),
            "set_altitude_m": h1,
            "altitude_m": h2,
            "ambient_when_set_kpa": a1,
            "ambient_now_kpa": a2,
            "reads_kpa": reads,
            format!("reads{}", unit.json): Pressure::from_base(reads).amount_in(unit),
            "placard_kpa": placard.as_kpa(),
            "difference_kpa": reads - placard.as_kpa(),
            "action": action,
            "set_to_read_placard_now_kpa": to_set,
        });
        let mut answer = Reckoning::new("Tyre pressure and temperature", data);
        let short = |kpa: f64| Pressure::from_base(kpa).show_in(unit, false);
        if self.hot {
            answer.data["hot"] = true.into();
            answer.data["action"] = "measure-cold".into();
            let against = self.placard.map_or_else(String::new, |p| format!(" The placard asks {p} cold."));
            answer.line(format!(
                "{} read hot at {} would be about {} cold at {}.{against} This explains a hot reading and is none itself: \
                 never let a hot tyre down; measure it cold.",
                self.set,
                self.set_at,
                Pressure::from_base(reads).show_in(unit, false),
                self.now
            ));
        } else {
            answer.line(format!(
                "{} set at {} reads {} at {}: {words}.",
                self.set,
                self.set_at,
                Pressure::from_base(reads).show_in(unit, false),
                self.now
            ));
        }
        answer.line(format!(
            "Set: {} at {}; reads now: {} at {}.",
            both(self.set),
            both(self.set_at),
            like(reads, self.set),
            both(self.now)
        ));
        if !self.hot {
            answer.line(format!(
                "To read {placard} at {}, set {} at {}{}.",
                self.now,
                short(to_set),
                self.set_at,
                if t1 > t2 { " (a warm garage before a ride in the cold)" } else { "" }
            ));
        }
        if let Some(doubt) = pressure_doubt(self.set, self.placard) {
            answer.line(doubt);
        }
        if h1 != h2 {
            answer.line(format!(
                "Air around the tyre: {} kPa where it was set ({} m), {} kPa where it is now ({} m).",
                figure(a1, 3),
                figure(h1, 0),
                figure(a2, 3),
                figure(h2, 0)
            ));
        }
        answer.formula(format!(
            "p2 = (p1 + a1) × T2 / T1 − a2 = ({} + {}) × {} / {} − {} = {} kPa",
            figure(set_kpa, 2),
            figure(a1, 3),
            figure(t2, 2),
            figure(t1, 2),
            figure(a2, 3),
            figure(reads, 2)
        ));
        if h1 != 0.0 || h2 != 0.0 {
            for (name, h, a) in [("a1", h1, a1), ("a2", h2, a2)] {
                answer.formula(format!(
                    "{name} = 101.325 × (1 − 0.0065 × {} / 288.15)^5.25588 = {} kPa",
                    figure(h, 1),
                    figure(a, 3)
                ));
            }
            answer.source("standard atmosphere: ISO 2533 (ICAO Doc 7488)");
        }
        answer.source("Gay-Lussac's law at constant volume, on absolute pressures; air taken as an ideal gas");
        answer.caution(
            "Cold means after three hours at rest, at whatever the temperature of the day is: a cold tyre must read the \
             placard today, and cold weather excuses no low reading.",
        );
        answer.caution("A tyre that is hot from riding reads higher; that is normal and it is never bled.");
        Ok(answer)
    }
}
