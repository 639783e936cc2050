//! The first harmonic of readings round a wheel: `reading ≈ mean + a·cos θ + b·sin θ`, by least squares.

use crate::clock::Spot;

/// A first harmonic. Angles run clockwise from the valve as seen from the right of the machine.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Harmonic {
    /// The constant term, in the unit of the readings.
    pub mean: f64,
    /// The factor of the cosine.
    pub cos: f64,
    /// The factor of the sine.
    pub sin: f64,
}

/// A pivot smaller than this share of the number of readings does not fix its unknown: the places are nearly in one
/// corner of the wheel.
const LEAST_PIVOT: f64 = 1e-3;

impl Harmonic {
    /// Fits it to places and readings. None where the places do not fix it: fewer than three, or nearly in one.
    pub fn fit(points: &[(Spot, f64)]) -> Option<Self> {
        // The normal equations, as a matrix of three rows with the right-hand side in the fourth column.
        let mut m = [[0.0f64; 4]; 3];
        for (spot, reading) in points {
            let angle = spot.degrees().to_radians();
            let basis = [1.0, angle.cos(), angle.sin()];
            for row in 0..3 {
                for column in 0..3 {
                    m[row][column] += basis[row] * basis[column];
                }
                m[row][3] += basis[row] * reading;
            }
        }
        let solved = solve(m, points.len() as f64)?;
        Some(Self { mean: solved[0], cos: solved[1], sin: solved[2] })
    }
    /// What it is at a place.
    pub fn at(self, spot: Spot) -> f64 {
        let angle = spot.degrees().to_radians();
        self.mean + self.cos * angle.cos() + self.sin * angle.sin()
    }
    /// Its size: half of the swing that it makes.
    pub fn amplitude(self) -> f64 {
        self.cos.hypot(self.sin)
    }
    /// Where it is highest.
    pub fn high_spot(self) -> Spot {
        Spot::from_degrees(self.sin.atan2(self.cos).to_degrees()).unwrap_or(Spot::VALVE)
    }
}

/// Gauss with pivoting. None where a pivot is too small against the number of points for the answer to mean anything.
fn solve(mut m: [[f64; 4]; 3], points: f64) -> Option<[f64; 3]> {
    for column in 0..3 {
        let pivot = (column..3).max_by(|x, y| m[*x][column].abs().total_cmp(&m[*y][column].abs()))?;
        m.swap(column, pivot);
        if m[column][column].abs() < LEAST_PIVOT * points {
            return None;
        }
        for row in 0..3 {
            if row != column {
                let factor = m[row][column] / m[column][column];
                let above = m[column];
                for (value, pivot) in m[row].iter_mut().zip(above) {
                    *value -= factor * pivot;
                }
            }
        }
    }
    Some([0, 1, 2].map(|i| m[i][3] / m[i][i]))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(deg: f64) -> Spot {
        Spot::from_degrees(deg).expect("finite")
    }

    #[test]
    fn a_pure_harmonic_is_found_again_with_gaps() {
        // mean 0.1, amplitude 0.3, high spot at 60°, read at five uneven places: nothing may be left over.
        let points: Vec<_> = [0.0f64, 45.0, 110.0, 200.0, 290.0]
            .map(|deg| (at(deg), 0.1 + 0.3 * (deg - 60.0).to_radians().cos()))
            .to_vec();
        let found = Harmonic::fit(&points).expect("five places fix it");
        assert!((found.mean - 0.1).abs() < 1e-9 && (found.amplitude() - 0.3).abs() < 1e-9);
        assert!((found.high_spot().degrees() - 60.0).abs() < 1e-6);
        assert!(points.iter().all(|(spot, value)| (found.at(*spot) - value).abs() < 1e-9));
    }

    #[test]
    fn places_in_one_corner_fix_nothing() {
        let points = [0.0f64, 0.5, 1.0, 1.5].map(|deg| (at(deg), deg));
        assert!(Harmonic::fit(&points).is_none());
    }
}
