//! `reckon runout`: dial readings round a wheel or a disc: total indicator reading, first harmonic, what is left over.

use chrono::NaiveDate;
use clap::{Args, ValueEnum};
use serde_json::json;

use super::entry::{above_zero, clock_reading, figure};
use super::{Reckon, ReckonError, Reckoning};
use crate::clock::{Side, Spot};
use crate::inspection::DialPoint;
use crate::survey::{Figures, Harmonic, LEAST_FOR_BEND, LEAST_PLACES, Sample, figures};
use crate::units::Length;

/// The finest division of a workshop dial in mm.
const GAUGE_STEP_MM: f64 = 0.01;
/// More positions than a hand reads round a wheel.
const MOST_PLACES: usize = 720;

/// The entries of the run-out calculator.
#[derive(Clone, Debug, Args)]
pub struct Runout {
    /// The side the clock positions are read from, as the rider sits: left or right
    #[arg(long, value_name = "SIDE")]
    pub side: Side,
    /// What the dial touched
    #[arg(long, value_name = "WAY", value_enum, default_value_t = Way::Lateral)]
    pub way: Way,
    /// The limit for the total indicator reading, from the manual
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub limit: Option<Length>,
    /// One a clock position: the clock, then the dial, as in "1:30 0.12 mm" (mm unless a unit stands)
    ///
    /// Positive is towards the machine's right (lateral) or outward (radial). Positions may be left out.
    #[arg(value_name = "READING", required = true)]
    pub readings: Vec<String>,
}

/// What the dial touched.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Way {
    /// The side of the rim or disc: positive towards the machine's right
    Lateral,
    /// The outside: positive outward
    Radial,
}

impl Way {
    fn word(self) -> &'static str {
        match self {
            Self::Lateral => "lateral",
            Self::Radial => "radial",
        }
    }
}

impl Runout {
    fn points(&self) -> Result<Vec<DialPoint>, ReckonError> {
        let mut points: Vec<DialPoint> = Vec::new();
        for text in &self.readings {
            let (spot, entries) = clock_reading(text, self.side)?;
            let [reading] = entries[..] else {
                return Err(ReckonError::new(format!(
                    "in \"{}\": expected one dial reading after the clock position, found {}: leave the position out if it was not read",
                    text.trim(),
                    entries.len()
                )));
            };
            if points.iter().any(|p| p.spot == spot) {
                return Err(ReckonError::expected(
                    "each clock position once",
                    format!("{} twice", spot.time(self.side)),
                    "keep the reading that was taken with more care",
                ));
            }
            points.push(DialPoint { spot, reading });
        }
        // After the entries, so that a wrong one is named rather than only counted.
        if !(LEAST_PLACES..=MOST_PLACES).contains(&self.readings.len()) {
            return Err(ReckonError::expected(
                &format!("readings at {LEAST_PLACES} to {MOST_PLACES} clock positions"),
                self.readings.len(),
                "read at least every three hours of the clock; eight or twelve places show more",
            ));
        }
        Ok(points)
    }
}

impl Reckon for Runout {
    const ID: &'static str = "runout";
    const ABOUT: &'static str = "Run-out from dial readings round the clock: total, high spot, local bend";
    const EXAMPLE: &'static str =
        "runout --side right \"12:00 0.05 mm\" \"3:00 0.12 mm\" \"6:00 0.02 mm\" \"9:00 -0.06 mm\"";

    fn reckon(&self, _today: NaiveDate) -> Result<Reckoning, ReckonError> {
        let points = self.points()?;
        let limit = self.limit.map(|l| above_zero("a limit", l)).transpose()?;
        let samples: Vec<Sample> = points.iter().map(|p| Sample { spot: p.spot, value: p.reading.as_mm() }).collect();
        let Some(found) = figures(&samples, GAUGE_STEP_MM).filter(Figures::shows_runout) else {
            return Err(ReckonError::expected(
                "readings at 4 clock positions",
                points.len(),
                "read every three hours of the clock",
            ));
        };
        let total = found.spread;
        let place = |spot: Spot| format!("{} from the {}", spot.time(self.side), self.side.word());
        let over = limit.is_some_and(|l| total > l + 1e-9);
        let gap = found.widest_gap.degrees;
        let mut answer = Reckoning::new(
            format!("Run-out, {}", self.way.word()),
            json!({
                "way": self.way.word(),
                "side": self.side.word(),
                "places": found.samples.len(),
                "total_mm": total,
                "high_mm": found.greatest.value,
                "high_at": found.greatest.spot.time(self.side).to_string(),
                "low_mm": found.least.value,
                "low_at": found.least.spot.time(self.side).to_string(),
                "widest_gap_deg": gap,
                "limit_mm": limit,
                "over_limit": over,
            }),
        );
        answer.line(format!(
            "Total indicator reading {} mm over {} places: {} mm at {}, {} mm at {}.",
            figure(total, 3),
            found.samples.len(),
            figure(found.greatest.value, 3),
            place(found.greatest.spot),
            figure(found.least.value, 3),
            place(found.least.spot)
        ));
        if let Some(limit) = limit {
            answer.line(format!("{} the limit of {} mm.", if over { "Above" } else { "Within" }, figure(limit, 3)));
        }
        answer.formula(format!(
            "total = {} − ({}) = {} mm",
            figure(found.greatest.value, 3),
            figure(found.least.value, 3),
            figure(total, 3)
        ));
        match found.harmonic {
            Some(harmonic) => add_harmonic(&mut answer, harmonic, &found, self.side),
            None => answer.line("The places are too close together for a high spot to be worked out: read all round."),
        }
        if found.has_wide_gap() {
            answer.caution(format!("Nothing was read over {}° of the wheel: a bend may sit there.", figure(gap, 0)));
        }
        answer.source("total indicator reading: workshop practice; harmonic by least squares, so gaps are allowed");
        answer.source("limits: the service manual or the stamp on the part; DVSA manual 5.2.2 for rims: lateral 4 mm steel, 2 mm aluminium, radial 3 mm");
        answer.caution("Take out the play of the bearing first, and turn the wheel by hand with the engine off.");
        Ok(answer)
    }
}

fn add_harmonic(answer: &mut Reckoning, harmonic: Harmonic, found: &Figures, side: Side) {
    let high = harmonic.high_spot();
    answer.data["mean_mm"] = harmonic.mean.into();
    answer.data["first_harmonic_mm"] = harmonic.amplitude().into();
    answer.data["high_spot_at"] = high.time(side).to_string().into();
    answer.data["high_spot_clockwise_from_right_deg"] = high.degrees().into();
    if harmonic.amplitude() > 1e-6 {
        answer.line(format!(
            "First harmonic: ±{} mm about a mean of {} mm, high spot at {} from the {}.",
            figure(harmonic.amplitude(), 3),
            figure(harmonic.mean, 3),
            high.time(side),
            side.word()
        ));
    } else {
        answer.line(format!("First harmonic: none, mean {} mm.", figure(harmonic.mean, 3)));
    }
    if let Some(worst) = found.left_over {
        answer.data["largest_left_over_mm"] = worst.value.into();
        answer.data["largest_left_over_at"] = worst.spot.time(side).to_string().into();
        answer.line(format!(
            "Left over at most {} mm, at {} from the {}.",
            figure(worst.value, 3),
            worst.spot.time(side),
            side.word()
        ));
    }
    answer.data["bend_mm"] = found.bend.map(|b| b.off).into();
    answer.data["bend_at"] = found.bend.map(|b| b.spot.time(side).to_string()).into();
    match found.bend {
        Some(bend) => {
            answer.line(format!(
                "Local bend: {} mm off the circle of the other places, at {} from the {}.",
                figure(bend.off, 3),
                bend.spot.time(side),
                side.word()
            ));
            answer.source(
                "local bend: off the circle of all other places by more than 3.5 times their scatter (MAD), house rule",
            );
        }
        None if found.samples.len() >= LEAST_FOR_BEND => answer.line("No place stands off the circle of the others."),
        None => answer.line(format!("A local bend shows from {LEAST_FOR_BEND} places on.")),
    }
    answer.formula(format!(
        "reading ≈ {} + {} × cos θ + {} × sin θ mm, θ clockwise from the valve seen from the right",
        figure(harmonic.mean, 4),
        figure(harmonic.cos, 4),
        figure(harmonic.sin, 4)
    ));
}
