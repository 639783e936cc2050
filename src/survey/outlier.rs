//! Which of a few readings stand apart from the rest: median and median absolute deviation (MAD).
//!
//! The modified z-score of Iglewicz and Hoaglin, "How to detect and handle outliers" (ASQC 1993), as the NIST/SEMATECH
//! e-Handbook of Statistical Methods gives it in 1.3.5.17: 0.6745 × (x − median) / MAD, apart above 3.5. Where more
//! than half of the readings are equal the MAD is zero, and the mean absolute deviation takes its place, with the
//! factor 1 / 1.253314 (the normal distribution's √(π/2)).

use crate::stats::median;

/// Above this modified z-score a reading stands apart (Iglewicz and Hoaglin).
pub const THRESHOLD: f64 = 3.5;
/// The 0.75 quantile of the standard normal distribution: makes the MAD comparable with a standard deviation.
const NORMAL_QUARTILE: f64 = 0.674_5;
/// √(π/2), which does the same for the mean absolute deviation.
const NORMAL_MEAN: f64 = 1.253_314;
/// Fewer readings than this have no rest to stand apart from (house figure).
pub const LEAST_FOR_OUTLIERS: usize = 5;
/// The rule in words, for those who want to argue with it.
pub const RULE: &str = "modified z-score above 3.5 (Iglewicz and Hoaglin 1993), from median and MAD";

/// The indices of the values that stand apart, in the order given. `step` is the finest difference that the gauge
/// shows: what is nearer to the median than two steps is never called apart, whatever the rest looks like.
pub fn outliers(values: &[f64], step: f64) -> Vec<usize> {
    if values.len() < LEAST_FOR_OUTLIERS {
        return Vec::new();
    }
    let (Some(middle), Some(spread)) = (median(values), mad(values)) else { return Vec::new() };
    let mean = values.iter().map(|v| (v - middle).abs()).sum::<f64>() / values.len() as f64;
    let sigma = if spread > 1e-12 { spread / NORMAL_QUARTILE } else { mean * NORMAL_MEAN };
    let is_apart = |v: f64| (v - middle).abs() > THRESHOLD * sigma && (v - middle).abs() > 2.0 * step + 1e-9;
    if sigma <= 0.0 {
        return Vec::new();
    }
    values.iter().enumerate().filter(|(_, v)| is_apart(**v)).map(|(i, _)| i).collect()
}

/// The median absolute deviation, not scaled; none of nothing.
pub(super) fn mad(values: &[f64]) -> Option<f64> {
    let middle = median(values)?;
    median(&values.iter().map(|v| (v - middle).abs()).collect::<Vec<_>>())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_stands_apart_is_found_and_nothing_else() {
        // Worked by hand: median 2.35, MAD 0.05; 1.2 has the score 0.6745 × 1.15 / 0.05 = 15.5, 2.2 has 2.02.
        let depths = [2.4, 2.3, 2.4, 1.2, 2.3, 2.4, 2.2, 2.35];
        assert_eq!(outliers(&depths, 0.05), [3]);
        // Seven equal readings and one: the MAD is zero and the mean deviation decides, 8 / 1.2533 = 6.4.
        assert_eq!(outliers(&[4.0, 4.0, 4.0, 4.0, 4.0, 4.0, 4.0, 3.2], 0.05), [7]);
        assert!(outliers(&[4.0, 4.0, 4.0, 4.0, 4.0, 4.0, 4.0, 3.95], 0.05).is_empty(), "the last step of the gauge");
        assert!(outliers(&[1.0, 1.0, 9.0], 0.05).is_empty(), "three readings have no rest");
        assert!(outliers(&[1.0; 8], 0.05).is_empty());
    }

    #[test]
    fn the_published_rule_gives_the_published_score() {
        // NIST/SEMATECH e-Handbook 1.3.5.17: |0.6745 (x − median)/MAD| > 3.5. With median 0 and MAD 1 the edge is at
        // 3.5 / 0.6745 = 5.189.
        let around = |x: f64| [-1.0, 1.0, -1.0, 1.0, 0.0, -1.0, 1.0, x];
        assert_eq!(outliers(&around(5.8), 0.0).len(), 1);
        assert!(outliers(&around(5.0), 0.0).is_empty());
    }
}
