//! Dial readings round a wheel or disc: the total indicator reading, as [`crate::survey`] works it out.

use crate::inspection::{Answer, DialPoint, Value};
use crate::survey::{Sample, figures};
use crate::units::Length;

use super::proof::{at, value};

pub use crate::survey::LEAST_PLACES;

/// Fewer places than this are not called all round (house rule, as for tread).
const ALL_ROUND: usize = 8;

/// What a survey with the dial shows.
#[derive(Clone, Debug, PartialEq)]
pub struct Swing {
    /// Greatest less least reading: the total indicator reading.
    pub total: Length,
    /// The place of the greatest reading.
    pub high: Sample,
    /// The place of the least reading.
    pub low: Sample,
    /// At how many places it was read.
    pub places: usize,
}

/// The total indicator reading of a survey; none with fewer than [`LEAST_PLACES`] places.
pub fn swing(points: &[DialPoint]) -> Option<Swing> {
    let samples: Vec<Sample> = points.iter().map(|p| Sample { spot: p.spot, value: p.reading.as_mm() }).collect();
    let found = figures(&samples, 0.0).filter(|f| f.shows_runout())?;
    Some(Swing { total: Length::mm(found.spread), high: found.greatest, low: found.least, places: points.len() })
}

impl Swing {
    /// Where it holds and where the high place is, in words.
    pub fn places(&self) -> String {
        let extent = if self.places >= ALL_ROUND {
            "all round".into()
        } else {
            format!("at the {} places measured", self.places)
        };
        format!("{extent}, high at {}, low at {}", at(self.high.spot), at(self.low.spot))
    }
}

/// The dial readings of a field.
pub(super) fn survey<'a>(answer: Option<&'a Answer>, field: &str) -> Option<&'a [DialPoint]> {
    match value(answer, field) {
        Some(Value::Dial(_, points)) => Some(points),
        _ => None,
    }
}

/// The least and the greatest length of a field that is read round the wheel.
pub(super) fn round(answer: Option<&Answer>, field: &str) -> Option<(Length, Length)> {
    match value(answer, field) {
        Some(Value::Round(points)) => {
            let by = |a: &Length, b: &Length| a.base().total_cmp(&b.base());
            let lengths = || points.iter().map(|p| p.reading);
            lengths().min_by(by).zip(lengths().max_by(by))
        }
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::clock::Spot;

    #[test]
    fn the_total_reading_is_from_the_lowest_to_the_highest() {
        let points: Vec<DialPoint> = [0.0, 0.05, -0.10, 0.20]
            .iter()
            .enumerate()
            .map(|(i, mm)| DialPoint {
                spot: Spot::from_degrees(90.0 * i as f64).expect("finite"),
                reading: Length::mm(*mm),
            })
            .collect();
        let found = swing(&points).expect("four places");
        assert_eq!(found.total, Length::mm(0.30));
        assert_eq!((found.high.spot.degrees(), found.low.spot.degrees()), (270.0, 180.0));
        assert_eq!(swing(&points[..3]), None);
    }
}
