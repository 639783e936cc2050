//! The slope that one bad reading cannot turn: the median of the slopes of all pairs, with its interval.
//!
//! Theil (1950); the interval by Sen, Journal of the American Statistical Association 63 (1968) 1379–1389, with
//! Kendall's variance corrected for ties and the normal approximation.

use super::median::median_in_place;
use super::{median, normal_quantile};

/// Up to this many points every pair is looked at: half a million slopes, a few milliseconds. More points are first
/// gathered into this many runs of neighbours, each standing by its medians; pairs grow with the square and runs do not.
pub const DIRECT: usize = 1000;

/// A line by the median of pairwise slopes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TheilSen {
    /// Change of y by one of x.
    pub slope: f64,
    /// y at x = 0: median of y less slope times median of x.
    pub intercept: f64,
    /// Where the slope lies with the confidence asked for; none where the points are too few for it.
    pub interval: Option<(f64, f64)>,
}

/// Fits points (x, y). None for fewer than two different x, or for what is not finite.
pub fn theil_sen(points: &[(f64, f64)], confidence: f64) -> Option<TheilSen> {
    if points.iter().any(|(x, y)| !x.is_finite() || !y.is_finite()) {
        return None;
    }
    let gathered;
    let points = if points.len() > DIRECT {
        gathered = gather(points);
        &gathered
    } else {
        points
    };
    let mut slopes = Vec::with_capacity(points.len() * points.len().saturating_sub(1) / 2);
    for (i, (x, y)) in points.iter().enumerate() {
        slopes.extend(points[i + 1..].iter().filter(|(other, _)| other != x).map(|(x2, y2)| (y2 - y) / (x2 - x)));
    }
    let slope = median_in_place(&mut slopes)?;
    let xs: Vec<f64> = points.iter().map(|p| p.0).collect();
    let ys: Vec<f64> = points.iter().map(|p| p.1).collect();
    let intercept = median(&ys)? - slope * median(&xs)?;
    Some(TheilSen { slope, intercept, interval: interval(slopes, &xs, &ys, confidence) })
}

/// The slopes at the ranks that Kendall's normal approximation gives.
fn interval(mut slopes: Vec<f64>, xs: &[f64], ys: &[f64], confidence: f64) -> Option<(f64, f64)> {
    let z = normal_quantile(0.5 + confidence / 2.0)?;
    let (count, n) = (slopes.len() as f64, ys.len() as f64);
    let variance = (n * (n - 1.0) * (2.0 * n + 5.0) - ties(xs) - ties(ys)) / 18.0;
    if variance <= 0.0 {
        return None;
    }
    let sigma = variance.sqrt();
    let upper = ((count + z * sigma) / 2.0).round_ties_even().min(count - 1.0);
    let lower = (((count - z * sigma) / 2.0).round_ties_even() - 1.0).max(0.0);
    slopes.sort_unstable_by(f64::total_cmp);
    Some((*slopes.get(lower as usize)?, *slopes.get(upper as usize)?))
}

/// Kendall's correction: the sum of k(k − 1)(2k + 5) over the groups of k equal values.
fn ties(values: &[f64]) -> f64 {
    let mut sorted = values.to_vec();
    sorted.sort_unstable_by(f64::total_cmp);
    sorted.chunk_by(|a, b| a == b).map(|group| group.len() as f64).map(|k| k * (k - 1.0) * (2.0 * k + 5.0)).sum()
}

fn gather(points: &[(f64, f64)]) -> Vec<(f64, f64)> {
    let mut sorted = points.to_vec();
    sorted.sort_by(|a, b| a.0.total_cmp(&b.0));
    let n = sorted.len();
    (0..DIRECT)
        .filter_map(|run| {
            let run = &sorted[run * n / DIRECT..(run + 1) * n / DIRECT];
            let xs: Vec<f64> = run.iter().map(|p| p.0).collect();
            let ys: Vec<f64> = run.iter().map(|p| p.1).collect();
            Some((median(&xs)?, median(&ys)?))
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn slope_and_interval_agree_with_the_published_example() {
        // Example output of ci.theil in the R package statpsych: 0.5, 95 % from 0.3243243 to 0.75.
        let y = [21.0, 4.0, 9.0, 12.0, 35.0, 18.0, 10.0, 22.0, 24.0, 1.0, 6.0, 8.0, 13.0, 16.0, 19.0];
        let x = [67.0, 28.0, 30.0, 28.0, 52.0, 40.0, 25.0, 37.0, 44.0, 10.0, 14.0, 20.0, 28.0, 40.0, 51.0];
        let points: Vec<(f64, f64)> = x.into_iter().zip(y).collect();
        let line = theil_sen(&points, 0.95).expect("a line");
        assert_eq!(line.slope, 0.5);
        let (low, high) = line.interval.expect("an interval");
        assert!((low - 0.324_324_3).abs() < 1e-7 && (high - 0.75).abs() < 1e-12, "{low} {high}");
        assert_eq!(line.intercept, -2.0);
    }

    #[test]
    fn one_bad_reading_does_not_turn_it() {
        // By hand: 15 of the 21 pairs have the slope −1.
        let points: Vec<(f64, f64)> =
            [10.0, 9.0, 8.0, 7.0, 0.0, 5.0, 4.0].into_iter().enumerate().map(|(x, y)| (x as f64, y)).collect();
        assert_eq!(theil_sen(&points, 0.8).map(|t| t.slope), Some(-1.0));
    }

    #[test]
    fn thousands_of_points_are_gathered_and_say_the_same() {
        let mut random = fastrand::Rng::with_seed(3);
        let points: Vec<(f64, f64)> = (0..20_000)
            .map(|i| {
                let x = f64::from(i) * 0.5;
                let wild = if i % 50 == 0 { 40.0 } else { 0.0 };
                (x, 7.0 - 0.0006 * x + random.f64() - 0.5 + wild)
            })
            .collect();
        let line = theil_sen(&points, 0.8).expect("a line");
        assert!((line.slope + 0.0006).abs() < 1e-5, "{}", line.slope);
        assert!(line.interval.is_some_and(|(low, high)| low < line.slope && line.slope < high));
    }

    #[test]
    fn too_little_gives_no_line() {
        assert_eq!(theil_sen(&[], 0.8), None);
        assert_eq!(theil_sen(&[(1.0, 2.0)], 0.8), None);
        assert_eq!(theil_sen(&[(1.0, 2.0), (1.0, 3.0)], 0.8), None);
        assert_eq!(theil_sen(&[(1.0, 2.0), (2.0, f64::INFINITY)], 0.8), None);
        assert_eq!(theil_sen(&[(1.0, 2.0), (3.0, 3.0)], 0.8).map(|t| t.slope), Some(0.5));
    }
}
