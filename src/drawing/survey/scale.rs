//! Which number is drawn how far out: the span of the readings and limits, rounded outward to even steps.

/// A scale with even steps.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Scale {
    /// The number at the inner edge.
    pub low: f64,
    /// The number at the outer edge.
    pub high: f64,
    /// The distance of two marks.
    pub step: f64,
}

/// As many steps as about this are wanted.
const WANTED: f64 = 4.0;

impl Scale {
    /// A scale that holds every number. An amount has no numbers below nought.
    pub fn of(numbers: impl Iterator<Item = f64>, is_amount: bool) -> Self {
        let (least, most) = numbers
            .filter(|n| n.is_finite())
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), n| (low.min(n), high.max(n)));
        if least > most {
            return Self { low: 0.0, high: 1.0, step: 0.25 };
        }
        // Readings that are all alike still want a span to stand in.
        let span = (most - least).max(most.abs() * 0.05).max(0.02);
        let step = nice(span * 1.25 / WANTED);
        let pad = span * 0.12;
        let low = ((least - pad) / step).floor() * step;
        let high = ((most + pad) / step).ceil() * step;
        Self { low: if is_amount { low.max(0.0) } else { low }, high: high.max(low + step), step }
    }
    /// Where a number stands between the edges, 0 to 1.
    pub fn share(&self, number: f64) -> f32 {
        (((number - self.low) / (self.high - self.low)).clamp(0.0, 1.0)) as f32
    }
    /// The marks, the edges included.
    pub fn marks(&self) -> Vec<f64> {
        let count = ((self.high - self.low) / self.step).round().clamp(1.0, 12.0) as usize;
        (0..=count).map(|i| self.low + self.step * i as f64).filter(|m| *m <= self.high + self.step * 1e-6).collect()
    }
}

/// The nearest of 1, 2, 2.5 and 5 times a power of ten that is not less.
fn nice(step: f64) -> f64 {
    let power = 10f64.powf(step.log10().floor());
    [1.0, 2.0, 2.5, 5.0, 10.0].into_iter().map(|n| n * power).find(|n| *n >= step * 0.999).unwrap_or(step)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_number_is_inside_and_steps_are_round() {
        for numbers in
            [vec![2.2, 2.4, 1.0], vec![-0.05, 0.12], vec![5.0, 5.0, 5.0], vec![0.0], vec![118.0, 131.0, 122.0]]
        {
            let scale = Scale::of(numbers.iter().copied(), numbers.iter().all(|n| *n >= 0.0));
            for n in &numbers {
                assert!(scale.low <= *n && *n <= scale.high, "{numbers:?}: {scale:?}");
            }
            let marks = scale.marks();
            assert!((2..=9).contains(&marks.len()), "{numbers:?}: {marks:?}");
        }
        assert!(Scale::of([0.1, 3.0].into_iter(), true).low >= 0.0, "there is no tread below nought");
        assert_eq!(nice(0.3), 0.5);
    }
}
