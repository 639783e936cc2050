//! The line of least squares with the interval of the next value.

use super::student_quantile;

/// A line fitted by least squares.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LeastSquares {
    /// Change of y by one of x.
    pub slope: f64,
    /// y at x = 0.
    pub intercept: f64,
    /// Standard deviation of the residuals, with n − 2 degrees of freedom.
    pub spread: f64,
    /// How many points.
    pub points: usize,
    mean_x: f64,
    sum_xx: f64,
}

impl LeastSquares {
    /// Fits a line to points (x, y). None for fewer than three, for one x only, or for what is not finite.
    pub fn fit(points: &[(f64, f64)]) -> Option<Self> {
        if points.len() < 3 || points.iter().any(|(x, y)| !x.is_finite() || !y.is_finite()) {
            return None;
        }
        let n = points.len() as f64;
        let mean_x = points.iter().map(|p| p.0).sum::<f64>() / n;
        let mean_y = points.iter().map(|p| p.1).sum::<f64>() / n;
        let sum_xx: f64 = points.iter().map(|(x, _)| (x - mean_x).powi(2)).sum();
        if sum_xx <= 0.0 {
            return None;
        }
        let slope = points.iter().map(|(x, y)| (x - mean_x) * (y - mean_y)).sum::<f64>() / sum_xx;
        let intercept = mean_y - slope * mean_x;
        let left: f64 = points.iter().map(|(x, y)| (y - intercept - slope * x).powi(2)).sum();
        Some(Self { slope, intercept, spread: (left / (n - 2.0)).sqrt(), points: points.len(), mean_x, sum_xx })
    }
    /// y on the line.
    pub fn at(&self, x: f64) -> f64 {
        self.intercept + self.slope * x
    }
    /// Where the next y at x lies with this confidence: ŷ ± t·s·√(1 + 1/n + (x − x̄)²/Sxx) (Penn State STAT 501,
    /// lesson 3). None for a confidence outside 0 to 1.
    pub fn next_interval(&self, x: f64, confidence: f64) -> Option<(f64, f64)> {
        let n = self.points as f64;
        let t = student_quantile(0.5 + confidence / 2.0, n - 2.0)?;
        let half = t * self.spread * (1.0 + 1.0 / n + (x - self.mean_x).powi(2) / self.sum_xx).sqrt();
        Some((self.at(x) - half, self.at(x) + half))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Speed and stopping distance, 50 rows (R data set `cars`; Ezekiel, Methods of Correlation Analysis, 1930).
    fn cars() -> Vec<(f64, f64)> {
        let rows: [(f64, &[f64]); 19] = [
            (4.0, &[2.0, 10.0]),
            (7.0, &[4.0, 22.0]),
            (8.0, &[16.0]),
            (9.0, &[10.0]),
            (10.0, &[18.0, 26.0, 34.0]),
            (11.0, &[17.0, 28.0]),
            (12.0, &[14.0, 20.0, 24.0, 28.0]),
            (13.0, &[26.0, 34.0, 34.0, 46.0]),
            (14.0, &[26.0, 36.0, 60.0, 80.0]),
            (15.0, &[20.0, 26.0, 54.0]),
            (16.0, &[32.0, 40.0]),
            (17.0, &[32.0, 40.0, 50.0]),
            (18.0, &[42.0, 56.0, 76.0, 84.0]),
            (19.0, &[36.0, 46.0, 68.0]),
            (20.0, &[32.0, 48.0, 52.0, 56.0, 64.0]),
            (22.0, &[66.0]),
            (23.0, &[54.0]),
            (24.0, &[70.0, 92.0, 93.0, 120.0]),
            (25.0, &[85.0]),
        ];
        rows.iter().flat_map(|(x, ys)| ys.iter().map(|y| (*x, *y))).collect()
    }

    #[test]
    fn the_line_and_its_intervals_agree_with_the_published_output_for_cars() {
        // Published R output of lm(dist ~ speed): −17.579, 3.932; intervals for 12, 19, 24 as a published tutorial
        // prints them.
        let cars = cars();
        assert_eq!(cars.len(), 50);
        let line = LeastSquares::fit(&cars).expect("a line");
        let close = |found: f64, expected: f64, by: f64| assert!((found - expected).abs() < by, "{found} {expected}");
        close(line.intercept, -17.579, 5e-4);
        close(line.slope, 3.932, 5e-4);
        close(line.spread, 15.38, 5e-3);
        for (x, fit, next) in [(12.0, 29.6, (-1.75, 61.0)), (19.0, 57.1, (25.8, 88.5)), (24.0, 76.8, (44.8, 108.8))] {
            close(line.at(x), fit, 0.05);
            let (low, high) = line.next_interval(x, 0.95).expect("an interval");
            close(low, next.0, 0.055);
            close(high, next.1, 0.055);
        }
    }

    #[test]
    fn no_line_goes_through_too_little() {
        assert_eq!(LeastSquares::fit(&[(0.0, 1.0), (1.0, 2.0)]), None);
        assert_eq!(LeastSquares::fit(&[(1.0, 1.0), (1.0, 2.0), (1.0, 3.0)]), None);
        assert_eq!(LeastSquares::fit(&[(0.0, 1.0), (1.0, f64::NAN), (2.0, 3.0)]), None);
    }
}
