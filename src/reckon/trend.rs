//! `reckon trend`: how fast a figure changes over distance, and when it reaches a limit.

use chrono::NaiveDate;
use clap::Args;
use serde_json::json;

use super::entry::{figure, number};
use super::{Reckon, ReckonError, Reckoning};
use crate::forecast::gauge::Gauge;
use crate::forecast::wear::{CONFIDENCE, Way, Wear};
use crate::stats::{LeastSquares, theil_sen};
use crate::units::{Distance, Length};

/// The entries of the trend calculator.
#[derive(Clone, Debug, Args)]
pub struct Trend {
    /// Distance and value, as in "1200 5.4" or "1200 km 5.4 mm"; km and mm unless a unit stands
    #[arg(required = true, value_name = "READING")]
    pub readings: Vec<String>,
    /// The figure that must be kept, as in 1.6 or "2/32"
    #[arg(long, value_name = "VALUE", allow_hyphen_values = true)]
    pub limit: Option<String>,
    /// Standard error of one reading, as in "0.2 mm"; 0.2 mm if left out
    #[arg(long, value_name = "VALUE")]
    pub gauge: Option<String>,
    /// The step of the scale, as in "0.1 mm"; half a 32nd of an inch if left out
    #[arg(long, value_name = "VALUE")]
    pub step: Option<String>,
    /// Confidence of the interval of the slope, in per cent
    #[arg(long, value_name = "PERCENT", default_value = "80", value_parser = number)]
    pub confidence: f64,
    /// A distance at which to foretell the next reading
    #[arg(long, value_name = "DISTANCE", allow_hyphen_values = true)]
    pub at: Option<String>,
}

/// One reading: km, value, and the unit the value was typed in, if any.
struct Pair {
    km: f64,
    value: f64,
    has_unit: bool,
}

impl Reckon for Trend {
    const ID: &'static str = "trend";
    const ABOUT: &'static str = "Wear: slope over distance with its interval, and when a limit is reached";
    const EXAMPLE: &'static str = "trend \"0 6.1\" \"1200 5.4\" \"2600 4.7\" --limit 1.6";

    fn reckon(&self, _today: NaiveDate) -> Result<Reckoning, ReckonError> {
        let confidence = self.confidence / 100.0;
        if !(confidence > 0.0 && confidence < 1.0) {
            return Err(ReckonError::expected(
                "a confidence above 0 and below 100 per cent",
                figure(self.confidence, 3),
                "write it as in --confidence 80",
            ));
        }
        let pairs: Vec<Pair> = self.readings.iter().map(|r| pair(r)).collect::<Result<_, _>>()?;
        let points: Vec<(f64, f64)> = pairs.iter().map(|p| (p.km, p.value)).collect();
        let Some(line) = theil_sen(&points, confidence) else {
            return Err(ReckonError::expected(
                "readings at two different distances or more",
                format!("{} at one distance", points.len()),
                "one reading gives no slope: measure again after some distance",
            ));
        };
        let two = points.len() == 2;
        let limit = self.limit.as_deref().map(|l| value("a limit", l)).transpose()?;
        let gauge = self.stated()?;
        let interval = line.interval.filter(|_| points.len() > 2);
        let mut answer = Reckoning::new(
            format!("Trend of {} readings", points.len()),
            json!({
                "readings": points.len(),
                "slope_mm_per_km": line.slope,
                "intercept_mm": line.intercept,
                "confidence": confidence,
                "slope_low_mm_per_km": interval.map(|i| i.0),
                "slope_high_mm_per_km": interval.map(|i| i.1),
                "cautious": two,
            }),
        );
        let per = |slope: f64| figure(slope * 1000.0, 4);
        answer.line(match interval {
            Some((low, high)) => format!(
                "{} mm in 1000 km, {} % between {} and {}",
                per(line.slope),
                figure(self.confidence, 1),
                per(low),
                per(high)
            ),
            None => {
                format!("{} mm in 1000 km; a cautious figure, two readings have nothing to check them", per(line.slope))
            }
        });
        answer.formula(format!(
            "slope = median of (y2 − y1)/(x2 − x1) over all pairs = {} mm/km; line through the medians: y = {} + slope·x",
            figure(line.slope, 9),
            figure(line.intercept, 4)
        ));
        answer.source(
            "slope: Theil (1950); interval: Sen, JASA 63 (1968) 1379–1389, Kendall's variance, normal approximation",
        );
        if let Some(limit) = limit {
            self.crossing(&mut answer, &points, limit, gauge)?;
        }
        if let Some(at) = &self.at {
            self.next(&mut answer, &points, distance(at)?, confidence)?;
        }
        if pairs.iter().any(|p| p.has_unit) && pairs.iter().any(|p| !p.has_unit) {
            answer.caution("Some values stand with a unit and some without; those without are taken for mm.");
        }
        answer.caution(
            "An estimate, no verdict: measure before you rely on it. Readings of another part do not belong here.",
        );
        Ok(answer)
    }
}

impl Trend {
    fn stated(&self) -> Result<Gauge, ReckonError> {
        let read = |what: &str, text: &Option<String>, default: f64| match text {
            None => Ok(default),
            Some(text) => match value(what, text)? {
                v if v >= 0.0 => Ok(v),
                _ => Err(ReckonError::expected(&format!("{what} of zero or more"), text, "write it as in \"0.2 mm\"")),
            },
        };
        Ok(Gauge {
            error: read("an error of the gauge", &self.gauge, Gauge::TREAD.error)?,
            step: read("a step of the scale", &self.step, Gauge::TREAD.step)?,
            ..Gauge::TREAD
        })
    }

    fn crossing(
        &self,
        answer: &mut Reckoning,
        points: &[(f64, f64)],
        limit: f64,
        gauge: Gauge,
    ) -> Result<(), ReckonError> {
        let first = points.iter().min_by(|a, b| a.0.total_cmp(&b.0)).map_or(0.0, |p| p.1);
        let way = if first >= limit { Way::Falls } else { Way::Grows };
        let wear = match Wear::fit(points, way, gauge) {
            Ok(wear) => wear,
            Err(_) => {
                answer.line(format!("{} is not reached: the readings do not run towards it", figure(limit, 4)));
                put(answer, &[("limit_mm", json!(limit)), ("crossing_km", json!(null))]);
                return Ok(());
            }
        };
        let crossing = wear.crossing(limit);
        let km = |km: f64| figure(km, 0);
        let late = crossing.latest.map_or("open".to_owned(), km);
        let cautious = if wear.cautious { "; cautious, two readings only" } else { "" };
        answer.line(format!(
            "reaches {} mm at about {} km, 80 % between {} and {late}{cautious}",
            figure(limit, 4),
            km(crossing.at),
            km(crossing.earliest)
        ));
        let last = points.iter().map(|p| p.0).fold(f64::NEG_INFINITY, f64::max);
        answer.line(if crossing.at > last {
            format!("that is {} km after the last reading", km(crossing.at - last))
        } else {
            "that lies before the last reading: measure it now".to_owned()
        });
        answer.formula(format!(
            "crossing = (limit − height)/slope, height by the Hodges–Lehmann middle; interval where |line − limit| ≤ t·s: \
             one reading {} mm, step {} mm (variance step²/12), wear uneven by {} % over stretches of {} km",
            figure(gauge.error, 3),
            figure(gauge.step, 4),
            figure(gauge.uneven * 100.0, 0),
            figure(gauge.stretch, 0)
        ));
        answer.source("error of the gauge and unevenness of wear: assumptions, no published figures; coverage measured by simulation");
        put(
            answer,
            &[
                ("limit_mm", json!(limit)),
                ("crossing_km", json!(crossing.at)),
                ("crossing_earliest_km", json!(crossing.earliest)),
                ("crossing_latest_km", json!(crossing.latest)),
                ("crossing_confidence", json!(CONFIDENCE)),
                ("left_km", json!(crossing.at - last)),
            ],
        );
        Ok(())
    }

    fn next(&self, answer: &mut Reckoning, points: &[(f64, f64)], at: f64, confidence: f64) -> Result<(), ReckonError> {
        let fitted = LeastSquares::fit(points).and_then(|l| Some((l, l.next_interval(at, confidence)?)));
        let Some((line, (low, high))) = fitted else {
            return Err(ReckonError::expected(
                "three readings or more to foretell one",
                points.len(),
                "add readings, or leave --at out",
            ));
        };
        answer.line(format!(
            "the next reading at {} km: {} mm, {} % between {} and {}",
            figure(at, 1),
            figure(line.at(at), 3),
            figure(self.confidence, 1),
            figure(low, 3),
            figure(high, 3)
        ));
        answer.formula(format!(
            "least squares: y = {} + {}·x, s = {}; ŷ ± t(n − 2)·s·√(1 + 1/n + (x − x̄)²/Sxx)",
            figure(line.intercept, 4),
            figure(line.slope, 9),
            figure(line.spread, 4)
        ));
        answer.source("interval of the next value: Penn State STAT 501, lesson 3");
        put(
            answer,
            &[
                ("next_at_km", json!(at)),
                ("next_mm", json!(line.at(at))),
                ("next_low_mm", json!(low)),
                ("next_high_mm", json!(high)),
                ("least_squares_slope", json!(line.slope)),
                ("least_squares_intercept", json!(line.intercept)),
                ("least_squares_spread", json!(line.spread)),
            ],
        );
        Ok(())
    }
}

/// Adds fields to the data of an answer.
fn put(answer: &mut Reckoning, fields: &[(&str, serde_json::Value)]) {
    if let serde_json::Value::Object(data) = &mut answer.data {
        data.extend(fields.iter().map(|(name, value)| ((*name).to_owned(), value.clone())));
    }
}

/// A length in mm; a plain number is taken for mm.
fn value(what: &str, text: &str) -> Result<f64, ReckonError> {
    Length::parse(text, Some(Length::mm(0.0).unit()))
        .map(|l| l.as_mm())
        .map_err(|e| ReckonError::new(format!("{what}: {e}")))
}

/// A distance in km; a plain number is taken for km. Below nought is no odometer, and is let through for a distance
/// counted from somewhere.
fn distance(text: &str) -> Result<f64, ReckonError> {
    match number(text) {
        Ok(km) if km.is_finite() => Ok(km),
        _ => Distance::parse(text, Some(Distance::km(0.0).unit()))
            .map(|d| d.as_km())
            .map_err(|e| ReckonError::new(e.to_string())),
    }
}

/// Reads `1200 5.4` or `1200 km 5.4 mm`.
fn pair(text: &str) -> Result<Pair, ReckonError> {
    let in_this = |message: String| ReckonError::new(format!("in \"{}\": {message}", text.trim()));
    let words: Vec<&str> = text.split_whitespace().collect();
    let is_number = |w: &&str| w.starts_with(|c: char| c.is_ascii_digit() || "-−+.,".contains(c));
    // The value begins at the last word that begins like a number.
    let start = words.iter().rposition(is_number).filter(|at| *at > 0);
    let Some(start) = start else {
        return Err(in_this(
            "expected a distance and a value, found only one of them: write both, as in \"1200 5.4\" or \"1200 km 5.4 mm\""
                .into(),
        ));
    };
    let (far, read) = (words[..start].join(" "), words[start..].join(" "));
    let km = distance(&far).map_err(|e| in_this(e.to_string()))?;
    let value = value("the value", &read).map_err(|e| in_this(e.to_string()))?;
    Ok(Pair { km, value, has_unit: read.chars().any(char::is_alphabetic) || read.contains('/') })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn trend(readings: &[&str], limit: Option<&str>) -> Result<Reckoning, ReckonError> {
        let trend = Trend {
            readings: readings.iter().map(|r| (*r).to_owned()).collect(),
            limit: limit.map(str::to_owned),
            gauge: None,
            step: None,
            confidence: 80.0,
            at: None,
        };
        trend.reckon(NaiveDate::default())
    }

    #[test]
    fn readings_are_read_with_and_without_units() {
        for (text, km, mm) in [
            ("1200 5.4", 1200.0, 5.4),
            ("1200 km 5.4 mm", 1200.0, 5.4),
            ("1000 mi 4/32 in", 1609.344, 3.175),
            ("0 6,1mm", 0.0, 6.1),
            ("12 000 km 4 mm", 12_000.0, 4.0),
        ] {
            let found = pair(text).unwrap_or_else(|e| panic!("{text}: {e}"));
            assert!(
                (found.km - km).abs() < 1e-9 && (found.value - mm).abs() < 1e-9,
                "{text}: {} {}",
                found.km,
                found.value
            );
        }
    }

    #[test]
    fn bad_readings_name_the_way_out() {
        for (readings, words) in [
            (vec!["1200"], "write both"),
            (vec!["a b"], "expected a distance and a value"),
            (vec!["1200 5.4 psi"], "in \"1200 5.4 psi\""),
            (vec!["1200 psi 5.4"], "in \"1200 psi 5.4\""),
            (vec!["1200 5.4"], "measure again after some distance"),
            (vec!["1200 5.4", "1200 5.3"], "at one distance"),
        ] {
            let message = trend(&readings, None).expect_err("refused").to_string();
            assert!(message.contains(words), "{readings:?}: {message}");
        }
    }

    #[test]
    fn the_example_reaches_its_limit() {
        // By hand: 0.7/1200, 1.4/2600, 0.7/1400 mm/km; the middle is 1.4/2600.
        let answer = trend(&["0 6.1", "1200 5.4", "2600 4.7"], Some("1.6")).expect("an answer");
        let slope = answer.data["slope_mm_per_km"].as_f64().expect("a number");
        assert!((slope + 1.4 / 2600.0).abs() < 1e-12);
        let at = answer.data["crossing_km"].as_f64().expect("a number");
        assert!((8200.0..8500.0).contains(&at), "{at}");
        assert!(trend(&["0 6.1", "1200 5.4"], Some("1.6")).expect("an answer").lines[0].contains("cautious"));
        assert!(
            trend(&["0 5.0", "1200 5.4"], Some("1.6")).expect("an answer").lines[1].contains("do not run towards it")
        );
    }
}
