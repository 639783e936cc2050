//! `reckon runout`: dial readings round a wheel or a disc: total indicator reading, first harmonic, what is left over.

use chrono::NaiveDate;
use clap::{Args, ValueEnum};
use serde_json::json;

use super::entry::{above_zero, clock_reading, figure};
use super::{Reckon, ReckonError, Reckoning};
use crate::clock::{Side, Spot};
use crate::inspection::DialPoint;
use crate::rules::dial::{LEAST_PLACES, swing};
use crate::units::Length;

/// A gap wider than this is said: the bend may sit in it.
const WIDE_GAP_DEG: f64 = 60.0;
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

/// `reading ≈ mean + a·cos θ + b·sin θ` by least squares.
#[derive(Clone, Copy, Debug)]
struct Harmonic {
    mean: f64,
    a: f64,
    b: f64,
}

impl Harmonic {
    /// Fits it. None where the places do not fix it (fewer than three, or nearly in one).
    fn fit(points: &[(f64, f64)]) -> Option<Self> {
        // The normal equations, as a matrix of three rows with the right-hand side in the fourth column.
        let mut m = [[0.0f64; 4]; 3];
        for (angle, reading) in points {
            let basis = [1.0, angle.cos(), angle.sin()];
            for row in 0..3 {
                for column in 0..3 {
                    m[row][column] += basis[row] * basis[column];
                }
                m[row][3] += basis[row] * reading;
            }
        }
        let solved = solve(m, points.len() as f64)?;
        Some(Self { mean: solved[0], a: solved[1], b: solved[2] })
    }
    fn at(self, angle: f64) -> f64 {
        self.mean + self.a * angle.cos() + self.b * angle.sin()
    }
    fn amplitude(self) -> f64 {
        self.a.hypot(self.b)
    }
    fn high_spot(self) -> Spot {
        Spot::from_degrees(self.b.atan2(self.a).to_degrees()).unwrap_or(Spot::VALVE)
    }
}

/// Gauss with pivoting. None where a pivot is too small against the number of points for the answer to mean anything.
fn solve(mut m: [[f64; 4]; 3], points: f64) -> Option<[f64; 3]> {
    for column in 0..3 {
        let pivot = (column..3).max_by(|x, y| m[*x][column].abs().total_cmp(&m[*y][column].abs()))?;
        m.swap(column, pivot);
        if m[column][column].abs() < 1e-3 * points {
            return None;
        }
        for row in 0..3 {
            if row != column {
                let factor = m[row][column] / m[column][column];
                let above = m[column];
                for (value, pivot) in m[row].iter_mut().zip(above) {
                    *value -= factor * pivot;
                }
            }
        }
    }
    Some([0, 1, 2].map(|i| m[i][3] / m[i][i]))
}

/// The widest angle between two neighbouring places, in degrees.
fn widest_gap(points: &[DialPoint]) -> f64 {
    let mut degrees: Vec<f64> = points.iter().map(|p| p.spot.degrees()).collect();
    degrees.sort_by(f64::total_cmp);
    let across = degrees.first().zip(degrees.last()).map_or(360.0, |(first, last)| first + 360.0 - last);
    degrees.windows(2).map(|w| w[1] - w[0]).fold(across, f64::max)
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
        let Some(swing) = swing(&points) else {
            return Err(ReckonError::expected(
                "readings at 4 clock positions",
                points.len(),
                "read every three hours of the clock",
            ));
        };
        let total = swing.total.as_mm();
        let place = |spot: Spot| format!("{} from the {}", spot.time(self.side), self.side.word());
        let as_numbers: Vec<(f64, f64)> =
            points.iter().map(|p| (p.spot.degrees().to_radians(), p.reading.as_mm())).collect();
        let harmonic = Harmonic::fit(&as_numbers);
        let over = limit.is_some_and(|l| total > l + 1e-9);
        let gap = widest_gap(&points);
        let mut answer = Reckoning::new(
            format!("Run-out, {}", self.way.word()),
            json!({
                "way": self.way.word(),
                "side": self.side.word(),
                "places": swing.places,
                "total_mm": total,
                "high_mm": swing.high.reading.as_mm(),
                "high_at": swing.high.spot.time(self.side).to_string(),
                "low_mm": swing.low.reading.as_mm(),
                "low_at": swing.low.spot.time(self.side).to_string(),
                "widest_gap_deg": gap,
                "limit_mm": limit,
                "over_limit": over,
            }),
        );
        answer.line(format!(
            "Total indicator reading {} mm over {} places: {} mm at {}, {} mm at {}.",
            figure(total, 3),
            swing.places,
            figure(swing.high.reading.as_mm(), 3),
            place(swing.high.spot),
            figure(swing.low.reading.as_mm(), 3),
            place(swing.low.spot)
        ));
        if let Some(limit) = limit {
            answer.line(format!("{} the limit of {} mm.", if over { "Above" } else { "Within" }, figure(limit, 3)));
        }
        answer.formula(format!(
            "total = {} − ({}) = {} mm",
            figure(swing.high.reading.as_mm(), 3),
            figure(swing.low.reading.as_mm(), 3),
            figure(total, 3)
        ));
        match harmonic {
            Some(harmonic) => add_harmonic(&mut answer, harmonic, &points, self.side),
            None => answer.line("The places are too close together for a high spot to be worked out: read all round."),
        }
        if gap > WIDE_GAP_DEG + 1e-9 {
            answer.caution(format!("Nothing was read over {}° of the wheel: a bend may sit there.", figure(gap, 0)));
        }
        answer.source("total indicator reading: workshop practice; harmonic by least squares, so gaps are allowed");
        answer.source("limits: the service manual or the stamp on the part; DVSA manual 5.2.2 for rims: lateral 4 mm steel, 2 mm aluminium, radial 3 mm");
        answer.caution("Take out the play of the bearing first, and turn the wheel by hand with the engine off.");
        Ok(answer)
    }
}

fn add_harmonic(answer: &mut Reckoning, harmonic: Harmonic, points: &[DialPoint], side: Side) {
    let left_over = |p: &DialPoint| p.reading.as_mm() - harmonic.at(p.spot.degrees().to_radians());
    let worst = points.iter().max_by(|x, y| left_over(x).abs().total_cmp(&left_over(y).abs()));
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
    if let Some(worst) = worst {
        answer.data["largest_left_over_mm"] = left_over(worst).into();
        answer.data["largest_left_over_at"] = worst.spot.time(side).to_string().into();
        answer.line(format!(
            "Left over at most {} mm, at {} from the {}: a local bend if it stands well above the rest.",
            figure(left_over(worst), 3),
            worst.spot.time(side),
            side.word()
        ));
    }
    answer.formula(format!(
        "reading ≈ {} + {} × cos θ + {} × sin θ mm, θ clockwise from the valve seen from the right",
        figure(harmonic.mean, 4),
        figure(harmonic.a, 4),
        figure(harmonic.b, 4)
    ));
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_pure_harmonic_is_found_again_with_gaps() {
        // mean 0.1, amplitude 0.3, high spot at 60°, read at five uneven places: nothing may be left over.
        let reading = |deg: f64| (deg.to_radians(), 0.1 + 0.3 * (deg - 60.0).to_radians().cos());
        let points: Vec<(f64, f64)> = [0.0, 45.0, 110.0, 200.0, 290.0].map(reading).to_vec();
        let found = Harmonic::fit(&points).expect("five places fix it");
        assert!((found.mean - 0.1).abs() < 1e-9 && (found.amplitude() - 0.3).abs() < 1e-9);
        assert!((found.high_spot().degrees() - 60.0).abs() < 1e-6);
        assert!(points.iter().all(|(angle, value)| (found.at(*angle) - value).abs() < 1e-9));
    }

    #[test]
    fn places_in_one_corner_fix_nothing() {
        let points: Vec<(f64, f64)> = [0.0f64, 0.5, 1.0, 1.5].map(|deg| (deg.to_radians(), deg)).to_vec();
        assert!(Harmonic::fit(&points).is_none());
    }
}
