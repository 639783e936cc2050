//! How well a quantity is read, and how unevenly it wears: the stated errors that a forecast reckons with.
//!
//! No published figures were found for hand gauges used by riders on their own machines. The figures here are our
//! assumptions, from memory of what such gauges repeat to, and they are said wherever a forecast is shown.

/// The share of the mean rate by which wear differs from one stretch of road to the next: tyres, pads and chains wear
/// by rider, load, road and weather. Assumption.
const UNEVEN: f64 = 0.3;
/// The length of such a stretch in km. Assumption.
const STRETCH_KM: f64 = 1000.0;

/// The errors of a kind of reading.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gauge {
    /// Standard error of one reading, in the unit of the series: another hand, another groove, another place.
    pub error: f64,
    /// The step of the scale, in the same unit. A reading is rounded to it.
    pub step: f64,
    /// The share of the mean rate by which wear differs from stretch to stretch.
    pub uneven: f64,
    /// The length of a stretch, in the unit of distance.
    pub stretch: f64,
}

impl Gauge {
    /// A tread gauge in mm: 0.2 mm from one reading to the next, read to half a 32nd of an inch.
    pub const TREAD: Self = Self::new(0.2, 25.4 / 64.0);
    /// A tread gauge that shows tenths of a mm.
    pub const TREAD_TENTHS: Self = Self::new(0.2, 0.1);
    /// A lining in mm, measured past the caliper: 0.2 mm, read to half a mm.
    pub const LINING: Self = Self::new(0.2, 0.5);
    /// A disc or a drum in mm by micrometer or caliper: 0.02 mm, read to 0.01 mm.
    pub const DISC: Self = Self::new(0.02, 0.01);
    /// The elongation of a chain in per cent: half a mm on about 300 mm.
    pub const CHAIN: Self = Self::new(0.15, 0.1);

    /// A gauge with the usual unevenness of wear.
    pub const fn new(error: f64, step: f64) -> Self {
        Self { error, step, uneven: UNEVEN, stretch: STRETCH_KM }
    }
    /// The variance of one reading: the hand's, and the rounding's (a step squared over twelve).
    pub fn variance(&self) -> f64 {
        self.error * self.error + self.step * self.step / 12.0
    }
    /// How much two readings of the same depth may differ by chance, nineteen times in twenty and a little more.
    pub fn slack(&self) -> f64 {
        2.0 * (2.0 * self.variance()).sqrt()
    }
    /// The covariance of the uneven wear up to two distances from the same start, in units of the mean rate squared.
    ///
    /// The rate is constant within a stretch and independent from one to the next, stretches beginning anywhere; the
    /// variance of what is worn over d is then d² − d³/3L up to one stretch L, and L·d − L²/3 beyond.
    pub fn uneven_covariance(&self, from: f64, to: f64) -> f64 {
        let over = |d: f64| {
            let (d, l) = (d.abs(), self.stretch);
            if d <= l { d * d - d * d * d / (3.0 * l) } else { l * d - l * l / 3.0 }
        };
        self.uneven * self.uneven * (over(from) + over(to) - over(to - from)) / 2.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_variance_of_uneven_wear_is_that_of_stretches_laid_end_to_end() {
        // By hand: within a stretch the rate is one draw, so d² for small d; over many, n draws of L² each, less the
        // overlap at the two ends.
        let gauge = Gauge { uneven: 0.3, stretch: 1000.0, ..Gauge::TREAD };
        let over = |d: f64| gauge.uneven_covariance(d, d) / 0.09;
        assert!((over(1.0) - 1.0).abs() < 1e-3);
        assert!((over(1000.0) - 1000.0 * 1000.0 * 2.0 / 3.0).abs() < 1e-6);
        assert!((over(10_000.0) - (1000.0 * 10_000.0 - 1e6 / 3.0)).abs() < 1e-6);
        // Far apart starts are independent of what comes after: the covariance no longer grows.
        let far = gauge.uneven_covariance(5000.0, 20_000.0) - gauge.uneven_covariance(5000.0, 30_000.0);
        assert!(far.abs() < 1e-9);
    }
}
