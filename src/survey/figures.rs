//! What one ring of readings shows: least, greatest, mean, spread, gaps, harmonic, outliers, the local bend.

use super::outlier::mad;
use super::{Harmonic, outliers};
use crate::clock::Spot;

/// Fewer places than this show no run-out (house figure: an egg shape has two high and two low places).
pub const LEAST_PLACES: usize = 4;
/// A gap wider than this is said: a bend may sit in it (house figure, two hours of the clock).
pub const WIDE_GAP_DEG: f64 = 60.0;
/// The local bend is worked out against a circle through the other places, which three of them fix and two more test.
pub const LEAST_FOR_BEND: usize = 6;
/// A normal deviation for one of MAD.
const NORMAL_PER_MAD: f64 = 1.482_6;

/// One reading at its place, in the base unit of its dimension.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sample {
    /// Where round the wheel.
    pub spot: Spot,
    /// What was read.
    pub value: f64,
}

/// A stretch of the wheel at which nothing was read, clockwise as seen from the right.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gap {
    /// The last place read before it.
    pub from: Spot,
    /// The first place read after it.
    pub to: Spot,
    /// How wide it is, in degrees.
    pub degrees: f64,
}

/// A place that stands off the circle through all other places.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bend {
    /// Where.
    pub spot: Spot,
    /// How far off that circle it is; positive is above it.
    pub off: f64,
}

/// What a ring of readings shows.
#[derive(Clone, Debug, PartialEq)]
pub struct Figures {
    /// The readings clockwise from the valve, as seen from the right.
    pub samples: Vec<Sample>,
    /// The least reading; the first of several.
    pub least: Sample,
    /// The greatest reading.
    pub greatest: Sample,
    /// Their mean.
    pub mean: f64,
    /// Greatest less least; for a dial this is the total indicator reading.
    pub spread: f64,
    /// The widest stretch without a reading; with one reading the whole wheel.
    pub widest_gap: Gap,
    /// The first harmonic, where the places fix it.
    pub harmonic: Option<Harmonic>,
    /// The reading that is left over most when the harmonic is taken off, and by how much.
    pub left_over: Option<Sample>,
    /// A place that stands off the circle through all others by more than these scatter.
    pub bend: Option<Bend>,
    /// The readings that stand apart from the rest.
    pub outliers: Vec<Sample>,
}

impl Figures {
    /// Whether there are enough places for a swing to be seen.
    pub fn shows_runout(&self) -> bool {
        self.samples.len() >= LEAST_PLACES
    }
    /// Whether a stretch is so wide that it is said.
    pub fn has_wide_gap(&self) -> bool {
        self.widest_gap.degrees > WIDE_GAP_DEG + 1e-9
    }
    /// The middle between the greatest and the least reading.
    pub fn middle(&self) -> f64 {
        (self.least.value + self.greatest.value) / 2.0
    }
}

/// Works out a ring of readings. `step` is the finest difference that the gauge shows, in the same unit. None without a
/// reading; readings that are not finite are left out.
pub fn figures(samples: &[Sample], step: f64) -> Option<Figures> {
    let mut samples: Vec<Sample> = samples.iter().copied().filter(|s| s.value.is_finite()).collect();
    samples.sort_by(|a, b| a.spot.degrees().total_cmp(&b.spot.degrees()));
    let by = |a: &&Sample, b: &&Sample| a.value.total_cmp(&b.value);
    let (least, greatest) = (*samples.iter().min_by(by)?, *samples.iter().max_by(by)?);
    let values: Vec<f64> = samples.iter().map(|s| s.value).collect();
    let points: Vec<(Spot, f64)> = samples.iter().map(|s| (s.spot, s.value)).collect();
    let harmonic = Harmonic::fit(&points);
    let left_over = harmonic.and_then(|h| {
        let off = samples.iter().map(|s| Sample { spot: s.spot, value: s.value - h.at(s.spot) });
        off.max_by(|a, b| a.value.abs().total_cmp(&b.value.abs()))
    });
    Some(Figures {
        mean: values.iter().sum::<f64>() / values.len() as f64,
        spread: greatest.value - least.value,
        widest_gap: widest_gap(&samples)?,
        bend: bend(&points, step),
        outliers: outliers(&values, step).into_iter().map(|i| samples[i]).collect(),
        least,
        greatest,
        harmonic,
        left_over,
        samples,
    })
}

fn widest_gap(sorted: &[Sample]) -> Option<Gap> {
    let across = |a: &Sample, b: &Sample| {
        let degrees = (b.spot.degrees() - a.spot.degrees()).rem_euclid(360.0);
        Gap { from: a.spot, to: b.spot, degrees: if degrees == 0.0 { 360.0 } else { degrees } }
    };
    let round = sorted.iter().zip(sorted.iter().cycle().skip(1)).map(|(a, b)| across(a, b));
    round.fold(None, |widest: Option<Gap>, gap| match widest {
        Some(old) if old.degrees >= gap.degrees - 1e-9 => Some(old),
        _ => Some(gap),
    })
}

/// The place that is farthest off the circle (the harmonic) through all *other* places, where it is off by more than
/// 3.5 times what these scatter about it. A fit through all places would be drawn towards a bend and hide part of it.
fn bend(points: &[(Spot, f64)], step: f64) -> Option<Bend> {
    if points.len() < LEAST_FOR_BEND {
        return None;
    }
    let without = |at: usize| {
        let rest: Vec<(Spot, f64)> =
            points.iter().enumerate().filter(|(i, _)| *i != at).map(|(_, point)| *point).collect();
        let circle = Harmonic::fit(&rest)?;
        let off: Vec<f64> = rest.iter().map(|(spot, value)| value - circle.at(*spot)).collect();
        let (spot, value) = points[at];
        Some((Bend { spot, off: value - circle.at(spot) }, mad(&off)? * NORMAL_PER_MAD))
    };
    let (worst, scatter) =
        (0..points.len()).filter_map(without).max_by(|a, b| a.0.off.abs().total_cmp(&b.0.off.abs()))?;
    let apart = (super::THRESHOLD * scatter).max(2.0 * step + 1e-9);
    (worst.off.abs() > apart).then_some(worst)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ring(values: &[f64]) -> Vec<Sample> {
        let step = 360.0 / values.len() as f64;
        let at = |i: usize| Spot::from_degrees(i as f64 * step).expect("finite");
        values.iter().enumerate().map(|(i, value)| Sample { spot: at(i), value: *value }).collect()
    }

    #[test]
    fn least_greatest_mean_and_spread_are_what_they_say() {
        let found = figures(&ring(&[0.0, 0.05, -0.10, 0.20]), 0.01).expect("four readings");
        assert_eq!((found.least.value, found.greatest.value), (-0.10, 0.20));
        assert_eq!((found.least.spot.degrees(), found.greatest.spot.degrees()), (180.0, 270.0));
        assert!((found.spread - 0.30).abs() < 1e-12 && (found.mean - 0.0375).abs() < 1e-12);
        assert!(found.shows_runout() && !figures(&ring(&[0.0, 1.0, 2.0]), 0.01).expect("three").shows_runout());
        assert_eq!(figures(&[], 0.01), None);
        assert_eq!(figures(&[Sample { spot: Spot::VALVE, value: f64::NAN }], 0.01), None);
    }

    #[test]
    fn the_widest_gap_goes_over_the_valve_too() {
        let at = |degrees: f64| Sample { spot: Spot::from_degrees(degrees).expect("finite"), value: 1.0 };
        let found = figures(&[at(30.0), at(90.0), at(200.0), at(250.0)], 0.01).expect("four readings");
        assert_eq!((found.widest_gap.from.degrees(), found.widest_gap.to.degrees()), (250.0, 30.0));
        assert_eq!(found.widest_gap.degrees, 140.0);
        assert!(found.has_wide_gap());
        assert_eq!(figures(&[at(30.0)], 0.01).expect("one").widest_gap.degrees, 360.0);
        assert!(!figures(&ring(&[1.0; 6]), 0.01).expect("six").has_wide_gap(), "60° are read at six places");
    }

    #[test]
    fn a_dent_is_told_from_a_rim_that_stands_askew() {
        // A rim askew by ±0.4 mm with its high spot at 90°, and a dent of 0.5 mm at 180°.
        let askew: Vec<f64> = (0..12).map(|i| 0.4 * (f64::from(i) * 30.0 - 90.0).to_radians().cos()).collect();
        let found = figures(&ring(&askew), 0.01).expect("twelve readings");
        assert_eq!(found.bend, None, "a rim that only stands askew has no local bend");
        let mut dented = askew.clone();
        dented[6] += 0.5;
        let bend = figures(&ring(&dented), 0.01).expect("twelve readings").bend.expect("a dent");
        assert_eq!(bend.spot.degrees(), 180.0);
        assert!((bend.off - 0.5).abs() < 1e-9, "the circle through the others is the undented rim: {bend:?}");
    }
}
