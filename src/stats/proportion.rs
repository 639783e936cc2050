//! The interval of a proportion, and the interval itself.

/// A closed interval.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Interval {
    /// Its lower end.
    pub low: f64,
    /// Its upper end.
    pub high: f64,
}

/// The standard normal quantile for a two-sided 95 per cent interval.
pub(super) const Z95: f64 = 1.959_963_984_540_054;

/// The 95 per cent score interval of a proportion `part` of `whole`, 0 to 1. None where the whole is nothing or the
/// part is more than it. E. B. Wilson, JASA 22 (1927) 209-212, without continuity correction.
pub fn wilson(part: usize, whole: usize) -> Option<Interval> {
    if whole == 0 || part > whole {
        return None;
    }
    let n = whole as f64;
    let p = part as f64 / n;
    let z2 = Z95 * Z95;
    let centre = (p + z2 / (2.0 * n)) / (1.0 + z2 / n);
    let half = Z95 * (p * (1.0 - p) / n + z2 / (4.0 * n * n)).sqrt() / (1.0 + z2 / n);
    // At none and at all the formula touches the end but for rounding.
    let low = if part == 0 { 0.0 } else { centre - half };
    let high = if part == whole { 1.0 } else { centre + half };
    Some(Interval { low, high })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_published_examples_come_out() {
        // R. G. Newcombe, Statistics in Medicine 17 (1998) 857-872, table I, method 3 (from memory, high; computed
        // again with statsmodels proportion_confint, method "wilson").
        for (part, whole, low, high) in
            [(81, 263, 0.2553, 0.3662), (15, 148, 0.0624, 0.1605), (0, 20, 0.0, 0.1611), (1, 29, 0.0061, 0.1718)]
        {
            let found = wilson(part, whole).expect("an interval");
            assert!((found.low - low).abs() < 5e-5 && (found.high - high).abs() < 5e-5, "{part}/{whole}: {found:?}");
        }
        assert_eq!(wilson(0, 0), None);
        assert_eq!(wilson(3, 2), None);
    }
}
