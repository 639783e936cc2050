//! A reading of the record as rings of samples: one for a dial, one a zone for tread depths.

use super::{Quantity, Sample};
use crate::inspection::{DialPoint, Value, Zone};

/// One ring of a survey.
#[derive(Clone, Debug, PartialEq)]
pub struct Ring {
    /// The zone it runs along, for tread; none where the check itself says what is measured.
    pub zone: Option<Zone>,
    /// The readings, in mm or as plain numbers.
    pub samples: Vec<Sample>,
}

/// A reading round the wheel, whatever is measured.
#[derive(Clone, Debug, PartialEq)]
pub struct Rings {
    /// Whether a swing or an amount is measured.
    pub quantity: Quantity,
    /// Whether the numbers are lengths in mm (else plain numbers).
    pub is_length: bool,
    /// The rings from the machine's left to its right; none is empty.
    pub rings: Vec<Ring>,
}

/// The rings of a reading; none where it is no survey.
pub fn rings(value: &Value) -> Option<Rings> {
    let lengths = |points: &[DialPoint]| {
        let samples: Vec<Sample> = points.iter().map(|p| Sample { spot: p.spot, value: p.reading.as_mm() }).collect();
        vec![Ring { zone: None, samples }]
    };
    let (quantity, is_length, mut rings) = match value {
        Value::Tread(points) => {
            let of = |zone: Zone| {
                let depths = points.iter().filter_map(|p| {
                    let depth = p.depths.iter().find(|(z, _)| *z == zone)?.1;
                    Some(Sample { spot: p.spot, value: depth.as_mm() })
                });
                Ring { zone: Some(zone), samples: depths.collect() }
            };
            (Quantity::Amount, true, Zone::TREAD.map(of).to_vec())
        }
        Value::Dial(_, points) => (Quantity::Swing, true, lengths(points)),
        Value::Round(points) => (Quantity::Amount, true, lengths(points)),
        Value::Numbers(points) => {
            let samples = points.iter().map(|p| Sample { spot: p.spot, value: p.reading }).collect();
            (Quantity::Amount, false, vec![Ring { zone: None, samples }])
        }
        _ => return None,
    };
    rings.retain(|ring| !ring.samples.is_empty());
    Some(Rings { quantity, is_length, rings })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::clock::{Side, Spot};
    use crate::inspection::TreadPoint;
    use crate::units::Length;

    #[test]
    fn tread_falls_into_a_ring_a_zone_and_a_dial_is_one() {
        let depth = |zone, mm| (zone, Length::mm(mm));
        let value = Value::Tread(vec![
            TreadPoint {
                spot: Spot::VALVE,
                depths: vec![depth(Zone::Centre, 2.0), depth(Zone::Shoulder(Side::Left), 3.0)],
            },
            TreadPoint { spot: Spot::from_degrees(90.0).expect("finite"), depths: vec![depth(Zone::Centre, 1.8)] },
        ]);
        let found = rings(&value).expect("a survey");
        let counts: Vec<_> = found.rings.iter().map(|r| (r.zone, r.samples.len())).collect();
        assert_eq!(counts, [(Some(Zone::Shoulder(Side::Left)), 1), (Some(Zone::Centre), 2)]);
        let dial = Value::Dial(Side::Left, vec![DialPoint { spot: Spot::VALVE, reading: Length::mm(-0.1) }]);
        assert_eq!(rings(&dial).expect("a survey").quantity, Quantity::Swing);
        assert_eq!(rings(&Value::Number(3.0)), None);
    }
}
