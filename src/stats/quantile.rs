//! Quantiles of the normal and of Student's distribution.

use statrs::distribution::{ContinuousCDF, Normal, StudentsT};

/// The value below which a standard normal quantity stays with this probability. None outside 0 to 1.
pub fn normal_quantile(probability: f64) -> Option<f64> {
    if !(probability > 0.0 && probability < 1.0) {
        return None;
    }
    Normal::new(0.0, 1.0).ok().map(|n| n.inverse_cdf(probability))
}

/// The same for Student's t with `freedom` degrees of freedom. None outside 0 to 1, or without freedom.
pub fn student_quantile(probability: f64, freedom: f64) -> Option<f64> {
    if !(probability > 0.0 && probability < 1.0) {
        return None;
    }
    StudentsT::new(0.0, 1.0, freedom).ok().map(|t| t.inverse_cdf(probability))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn quantiles_agree_with_the_printed_tables() {
        // Student, Biometrika 6 (1908), as printed in any handbook table of t: 97.5 % with 1, 2, 5, 10, 48 degrees.
        for (freedom, t) in [(1.0, 12.706), (2.0, 4.303), (5.0, 2.571), (10.0, 2.228), (48.0, 2.011)] {
            let found = student_quantile(0.975, freedom).expect("inside");
            assert!((found - t).abs() < 5e-4, "{freedom}: {found}");
        }
        for (probability, z) in [(0.9, 1.2816), (0.975, 1.9600), (0.1, -1.2816)] {
            let found = normal_quantile(probability).expect("inside");
            assert!((found - z).abs() < 5e-5, "{probability}: {found}");
        }
        assert_eq!(student_quantile(0.975, 0.0), None);
        assert_eq!(normal_quantile(1.0), None);
        assert_eq!(normal_quantile(f64::NAN), None);
    }
}
