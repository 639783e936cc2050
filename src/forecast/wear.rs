//! The wear model: a line that one bad reading cannot turn, with an interval for the distance at which it reaches a
//! limit.
//!
//! Slope by Theil and Sen, height by Hodges and Lehmann on what is left over. The interval inverts the error of the
//! line at a distance: the stated error of the gauge with its rounding, the uneven wear of the road behind, and that of
//! the road still to come. Where the readings scatter more or less than stated, the scale follows them, weighed against
//! the statement as if that were worth [`STATED_WORTH`] readings; the quantile is Student's with both together.
//!
//! What the interval promises is the true distance at which the limit is reached, not the next reading. Its coverage
//! is measured in `tests/forecast`.

use super::gauge::Gauge;
use crate::stats::{DIRECT, TheilSen, hodges_lehmann, student_quantile, theil_sen};

/// How many readings the stated errors are worth against the readings' own scatter. Assumption: hands differ from the
/// stated error by about a third, which is what eight degrees of freedom say.
const STATED_WORTH: f64 = 8.0;
/// A reading farther off the line than this many of its standard errors counts as if it were this far: it is unlikely
/// to be a reading at all, and would widen the interval without end.
const FAR: f64 = 3.0;
/// The confidence of every interval that is shown.
pub const CONFIDENCE: f64 = 0.8;

/// Which way a part wears.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Way {
    /// The figure falls: tread, lining, disc.
    Falls,
    /// The figure grows: drum, chain.
    Grows,
}

impl Way {
    /// The figure turned so that it always falls.
    fn falling(self, value: f64) -> f64 {
        match self {
            Self::Falls => value,
            Self::Grows => -value,
        }
    }
}

/// A line through readings, and how sure it is.
#[derive(Clone, Debug, PartialEq)]
pub struct Wear {
    /// The line of the pairwise slopes, with Sen's interval for the slope.
    pub line: TheilSen,
    /// How many readings it rests on.
    pub readings: usize,
    /// Whether it rests on two readings only: nothing checks them, so it is marked as cautious.
    pub cautious: bool,
    /// Where the figures that were read begin and end.
    pub span: (f64, f64),
    way: Way,
    gauge: Gauge,
    /// y at x = 0 by the Hodges–Lehmann middle, figures falling.
    height: f64,
    slope: f64,
    xs: Vec<f64>,
    /// How much wider or narrower than stated the readings scatter.
    scale: f64,
    freedom: f64,
}

/// Why there is no line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NoWear {
    /// One reading gives none.
    TooFew(usize),
    /// All at one distance.
    OneDistance,
    /// More readings are questioned than a third: they are settled first.
    Questioned,
    /// The newest reading goes the wrong way: the part that is in now may not be the one that wore.
    NewestQuestioned,
    /// The readings show no wear beyond the error of the gauge.
    NothingToSee,
}

impl NoWear {
    /// In a plain sentence.
    pub fn words(&self) -> String {
        match self {
            Self::TooFew(0) => "Nothing has been read yet.".into(),
            Self::TooFew(_) => "One reading gives no forecast: measure again after some distance.".into(),
            Self::OneDistance => {
                "All readings are of one distance and give no forecast: measure again after some distance.".into()
            }
            Self::Questioned => {
                "Too many readings go the wrong way to fit a line: settle them first, or record the part that was fitted."
                    .into()
            }
            Self::NewestQuestioned => {
                "The newest reading goes the wrong way. If a new part was fitted, record it and the forecast begins \
                 there; else measure again. Until then there is none."
                    .into()
            }
            Self::NothingToSee => "No wear to be seen beyond the error of the gauge yet.".into(),
        }
    }
}

/// A figure that is reached.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Crossing {
    /// The distance at which the line reaches the limit.
    pub at: f64,
    /// The near end of the interval. It may lie behind: the limit may be reached already.
    pub earliest: f64,
    /// The far end; none where the readings cannot exclude that it is never reached.
    pub latest: Option<f64>,
}

impl Wear {
    /// Fits readings (distance, figure), in any order.
    ///
    /// # Errors
    /// Too few readings, all of one distance, or no wear to be seen.
    pub fn fit(readings: &[(f64, f64)], way: Way, gauge: Gauge) -> Result<Self, NoWear> {
        if readings.len() < 2 {
            return Err(NoWear::TooFew(readings.len()));
        }
        let line = theil_sen(readings, CONFIDENCE).ok_or(NoWear::OneDistance)?;
        let slope = way.falling(line.slope);
        if slope >= 0.0 {
            return Err(NoWear::NothingToSee);
        }
        let points = thinned(readings, way);
        let xs: Vec<f64> = points.iter().map(|p| p.0).collect();
        let over: Vec<f64> = points.iter().map(|(x, y)| y - slope * x).collect();
        let height = hodges_lehmann(&over).ok_or(NoWear::OneDistance)?;
        let fold = |pick: fn(f64, f64) -> f64, start: f64| readings.iter().map(|r| r.0).fold(start, pick);
        let mut wear = Self {
            line,
            readings: readings.len(),
            cautious: readings.len() == 2,
            span: (fold(f64::min, f64::INFINITY), fold(f64::max, f64::NEG_INFINITY)),
            way,
            gauge,
            height,
            slope,
            xs,
            scale: 1.0,
            freedom: STATED_WORTH,
        };
        wear.learn_scale(&over);
        Ok(wear)
    }

    /// Weighs the scatter of the readings against the stated errors.
    fn learn_scale(&mut self, over: &[f64]) {
        let own = over.len() as f64 - 2.0;
        if own <= 0.0 {
            return;
        }
        let (mut seen, mut expected) = (0.0, 0.0);
        for (i, left) in over.iter().map(|o| o - self.height).enumerate() {
            let at = self.variance_at(self.xs[i], Some(i));
            expected += at;
            seen += (left * left).min(FAR * FAR * self.reading_variance(self.xs[i]));
        }
        self.freedom = STATED_WORTH + own;
        self.scale = (STATED_WORTH + own * seen / expected) / self.freedom;
    }

    fn reading_variance(&self, x: f64) -> f64 {
        let from_start = x - self.span.0;
        self.gauge.variance() + self.rate_squared() * self.gauge.uneven_covariance(from_start, from_start)
    }

    fn rate_squared(&self) -> f64 {
        self.slope * self.slope
    }

    /// The weight of each reading in the height of the line at x, as least squares has it; the robust line is close.
    fn weights(&self, x: f64) -> Vec<f64> {
        let n = self.xs.len() as f64;
        let mean = self.xs.iter().sum::<f64>() / n;
        let spread: f64 = self.xs.iter().map(|v| (v - mean).powi(2)).sum();
        self.xs.iter().map(|v| 1.0 / n + (v - mean) * (x - mean) / spread).collect()
    }

    /// The variance of the line less the true figure at x, as stated; with `own`, of the line less that reading.
    fn variance_at(&self, x: f64, own: Option<usize>) -> f64 {
        let mut weights = self.weights(x);
        if let Some(own) = own {
            weights[own] -= 1.0;
        }
        let start = self.span.0;
        let read: f64 = weights.iter().map(|w| w * w).sum::<f64>() * self.gauge.variance();
        let mut uneven = 0.0;
        for (i, w) in weights.iter().enumerate() {
            for (j, v) in weights.iter().enumerate() {
                uneven += w * v * self.gauge.uneven_covariance(self.xs[i] - start, self.xs[j] - start);
            }
        }
        if own.is_none() {
            let to = x - start;
            for (i, w) in weights.iter().enumerate() {
                uneven -= 2.0 * w * self.gauge.uneven_covariance(self.xs[i] - start, to);
            }
            uneven += self.gauge.uneven_covariance(to, to);
        }
        read + self.rate_squared() * uneven.max(0.0)
    }

    /// The figure on the line at a distance.
    pub fn at(&self, x: f64) -> f64 {
        self.way.falling(self.height + self.slope * x)
    }

    /// Half the width of the interval of the true figure at a distance.
    pub fn half_width(&self, x: f64) -> f64 {
        let t = student_quantile(0.5 + CONFIDENCE / 2.0, self.freedom).unwrap_or(f64::INFINITY);
        t * (self.scale * self.variance_at(x, None)).max(0.0).sqrt()
    }

    /// Wear by one of distance, always positive.
    pub fn rate(&self) -> f64 {
        -self.slope
    }

    /// The distance at which the true figure reaches a limit.
    pub fn crossing(&self, limit: f64) -> Crossing {
        let limit = self.way.falling(limit);
        let above = |x: f64, sign: f64| self.height + self.slope * x + sign * self.half_width(x) > limit;
        let at = (limit - self.height) / self.slope;
        Crossing {
            at,
            earliest: self.edge(|x| above(x, -1.0)).unwrap_or(f64::NEG_INFINITY),
            latest: self.edge(|x| above(x, 1.0)),
        }
    }

    /// The distance beyond the last reading, or before it, at which a condition that holds early ends; none if never.
    fn edge(&self, holds: impl Fn(f64) -> bool) -> Option<f64> {
        let (first, last) = self.span;
        let reach = (last - first).max(self.gauge.stretch / 10.0);
        let (mut low, mut high) = if holds(last) {
            let mut step = reach;
            while holds(last + step) {
                step *= 2.0;
                if step > 1000.0 * reach {
                    return None;
                }
            }
            (last, last + step)
        } else {
            let mut step = reach;
            while !holds(last - step) {
                step *= 2.0;
                if step > 1000.0 * reach {
                    return Some(last - step);
                }
            }
            (last - step, last)
        };
        for _ in 0..45 {
            let middle = f64::midpoint(low, high);
            if holds(middle) {
                low = middle;
            } else {
                high = middle;
            }
        }
        Some(high)
    }
}

/// Readings with their figures falling; thousands of them stand by every so manieth, for the error of the line takes
/// n² steps and no longer shrinks by more of them.
fn thinned(readings: &[(f64, f64)], way: Way) -> Vec<(f64, f64)> {
    const ENOUGH: usize = 100;
    let mut points: Vec<(f64, f64)> = readings.iter().map(|(x, y)| (*x, way.falling(*y))).collect();
    points.sort_by(|a, b| a.0.total_cmp(&b.0));
    if points.len() <= ENOUGH {
        return points;
    }
    let last = points.len() - 1;
    (0..ENOUGH).map(|i| points[i * last / (ENOUGH - 1)]).collect()
}

/// The readings that go the wrong way: figures in order of distance that cannot belong to one part that only wears.
///
/// The longest run in which no figure stands above the one before by more than chance is believed; answers with the
/// places of the others, in order. Beyond [`DIRECT`] readings nothing is questioned: one bad one no longer turns the
/// line.
pub fn questioned(figures: &[f64], way: Way, gauge: Gauge) -> Vec<usize> {
    if figures.len() < 2 || figures.len() > DIRECT {
        return Vec::new();
    }
    let slack = gauge.slack();
    let falling: Vec<f64> = figures.iter().map(|v| way.falling(*v)).collect();
    let mut best: Vec<(usize, Option<usize>)> = Vec::with_capacity(falling.len());
    for (i, figure) in falling.iter().enumerate() {
        let mut longest = (1, None);
        for j in 0..i {
            if *figure <= falling[j] + slack && best[j].0 + 1 > longest.0 {
                longest = (best[j].0 + 1, Some(j));
            }
        }
        best.push(longest);
    }
    let mut end = None;
    for (i, (length, _)) in best.iter().enumerate() {
        if end.is_none_or(|e: usize| *length > best[e].0) {
            end = Some(i);
        }
    }
    let mut believed = Vec::new();
    while let Some(i) = end {
        believed.push(i);
        end = best[i].1;
    }
    (0..falling.len()).filter(|i| !believed.contains(i)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn two_readings_give_a_cautious_figure_and_one_gives_none() {
        assert_eq!(Wear::fit(&[], Way::Falls, Gauge::TREAD), Err(NoWear::TooFew(0)));
        assert_eq!(Wear::fit(&[(0.0, 6.0)], Way::Falls, Gauge::TREAD), Err(NoWear::TooFew(1)));
        let two = Wear::fit(&[(0.0, 6.0), (4000.0, 4.0)], Way::Falls, Gauge::TREAD).expect("two readings");
        assert!(two.cautious);
        // By hand: 0.5 mm in 1000 km, so 1.6 mm is reached 4.4 / 0.5 = 8.8 thousand km on.
        let crossing = two.crossing(1.6);
        assert!((crossing.at - 8800.0).abs() < 1e-6, "{crossing:?}");
        assert!(crossing.earliest < 8000.0 && crossing.latest.is_some_and(|l| l > 9600.0), "{crossing:?}");
    }

    #[test]
    fn what_grows_is_what_falls_turned_over() {
        let falls = [(0.0, 6.0), (1000.0, 5.5), (2100.0, 4.9), (3000.0, 4.5)];
        let grows = falls.map(|(x, y)| (x, -y));
        let a = Wear::fit(&falls, Way::Falls, Gauge::TREAD).expect("wear").crossing(1.6);
        let b = Wear::fit(&grows, Way::Grows, Gauge::TREAD).expect("wear").crossing(-1.6);
        assert_eq!(a, b);
        assert!(Wear::fit(&grows, Way::Falls, Gauge::TREAD).is_err(), "no wear in a figure that grows");
    }

    #[test]
    fn the_interval_is_narrow_among_the_readings_and_widens_ahead() {
        let readings = [(0.0, 6.0), (1000.0, 5.5), (2000.0, 5.0), (3000.0, 4.5), (4000.0, 4.0)];
        let wear = Wear::fit(&readings, Way::Falls, Gauge::TREAD).expect("wear");
        assert!(wear.half_width(2000.0) < wear.half_width(6000.0));
        assert!(wear.half_width(6000.0) < wear.half_width(12_000.0));
        assert!((wear.at(2000.0) - 5.0).abs() < 1e-9);
    }

    #[test]
    fn hardly_any_wear_leaves_the_far_end_open() {
        let readings = [(0.0, 6.0), (100.0, 6.0), (200.0, 5.9)];
        let wear = Wear::fit(&readings, Way::Falls, Gauge::TREAD).expect("wear");
        assert_eq!(wear.crossing(1.6).latest, None);
        let flat = [(0.0, 6.0), (100.0, 6.0), (200.0, 6.0)];
        assert_eq!(Wear::fit(&flat, Way::Falls, Gauge::TREAD), Err(NoWear::NothingToSee));
    }

    #[test]
    fn a_reading_that_goes_the_wrong_way_is_named() {
        let none: [usize; 0] = [];
        assert_eq!(questioned(&[6.0, 5.5, 5.8, 5.0], Way::Falls, Gauge::TREAD), none, "within the gauge's error");
        assert_eq!(questioned(&[6.0, 5.5, 7.5, 5.0], Way::Falls, Gauge::TREAD), [2]);
        assert_eq!(questioned(&[6.0, 2.0, 5.5, 5.0], Way::Falls, Gauge::TREAD), [1], "too low among the others");
        assert_eq!(questioned(&[4.0, 7.0], Way::Falls, Gauge::TREAD), [1], "of two, the later one");
        assert_eq!(questioned(&[110.0, 110.5, 109.0, 111.0], Way::Grows, Gauge::DISC), [2]);
    }

    #[test]
    fn thousands_of_readings_are_fitted() {
        let mut random = fastrand::Rng::with_seed(5);
        let readings: Vec<(f64, f64)> =
            (0..5000).map(|i| (f64::from(i), 7.0 - 0.0006 * f64::from(i) + random.f64() * 0.4 - 0.2)).collect();
        let wear = Wear::fit(&readings, Way::Falls, Gauge::TREAD).expect("wear");
        assert!((wear.crossing(1.6).at - 9000.0).abs() < 200.0, "{:?}", wear.crossing(1.6));
    }
}
