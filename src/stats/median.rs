//! Middles that one bad reading cannot pull away, and the spread about them.

/// Factor from the median absolute deviation to the standard deviation of normal errors, 1 / Φ⁻¹(3/4).
const MAD_TO_SIGMA: f64 = 1.482_602_218_505_602;

/// The median; of an even number of values the mean of the middle two. None for no values, or for one that is no number.
pub fn median(values: &[f64]) -> Option<f64> {
    let mut sorted = values.to_vec();
    median_in_place(&mut sorted)
}

/// As [`median`], and puts the values out of order.
pub(super) fn median_in_place(values: &mut [f64]) -> Option<f64> {
    if values.is_empty() || values.iter().any(|v| v.is_nan()) {
        return None;
    }
    let (half, is_odd) = (values.len() / 2, values.len() % 2 == 1);
    let (below, upper, _) = values.select_nth_unstable_by(half, f64::total_cmp);
    if is_odd {
        return Some(*upper);
    }
    below.iter().copied().max_by(f64::total_cmp).map(|lower| f64::midpoint(lower, *upper))
}

/// The spread as the median absolute deviation from the median, scaled so that it estimates the standard deviation of
/// normal errors. None for no values.
pub fn mad(values: &[f64]) -> Option<f64> {
    let middle = median(values)?;
    let away: Vec<f64> = values.iter().map(|v| (v - middle).abs()).collect();
    Some(median(&away)? * MAD_TO_SIGMA)
}

/// The Hodges–Lehmann middle: the median of the means of all pairs, each value with itself too (Hodges and Lehmann,
/// Annals of Mathematical Statistics 34 (1963) 598–611). Nearly as sharp as the mean, and as hard to mislead as the
/// median. Takes on the order of n² steps. None for no values.
pub fn hodges_lehmann(values: &[f64]) -> Option<f64> {
    let mut means = Vec::with_capacity(values.len() * (values.len() + 1) / 2);
    for (i, a) in values.iter().enumerate() {
        means.extend(values[i..].iter().map(|b| (a + b) / 2.0));
    }
    median_in_place(&mut means)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn middles_by_hand() {
        assert_eq!(median(&[]), None);
        assert_eq!(median(&[f64::NAN, 1.0]), None);
        assert_eq!(median(&[4.0]), Some(4.0));
        assert_eq!(median(&[9.0, 1.0, 5.0]), Some(5.0));
        assert_eq!(median(&[9.0, 1.0, 5.0, 2.0]), Some(3.5));
        // Deviations from 2: 1 1 0 0 2 4 7, middle 1 (the example in R's help of mad uses the same factor 1.4826).
        let spread = mad(&[1.0, 1.0, 2.0, 2.0, 4.0, 6.0, 9.0]).expect("values");
        assert!((spread - 1.4826).abs() < 1e-4, "{spread}");
        // Pairs of 1, 2, 9: means 1 1.5 5 2 5.5 9, middle (2 + 5) / 2.
        assert_eq!(hodges_lehmann(&[1.0, 2.0, 9.0]), Some(3.5));
    }
}
