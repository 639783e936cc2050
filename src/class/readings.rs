//! A student's reading against the key's, within the tolerance that the key gives. Must not know findings.

use crate::exercise::ReadingMark;
use crate::inspection::{CheckRef, Inspection, Value};

/// What a reading came to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ReadingOutcome {
    /// Within the tolerance.
    Right,
    /// Read, and too far off: by how much, in the base unit of its kind; none where the two cannot be subtracted.
    Off(Option<f64>),
    /// Not read.
    NotRead,
    /// The key names a reading that it does not hold itself, so nobody can be marked by it.
    NoKey,
}

/// A marked reading.
#[derive(Clone, Debug, PartialEq)]
pub struct ReadingScore {
    /// The check.
    pub check: CheckRef,
    /// The field.
    pub field: String,
    /// The key's value.
    pub key: Option<Value>,
    /// The student's value.
    pub read: Option<Value>,
    /// What it came to.
    pub outcome: ReadingOutcome,
    /// What it earns, in weights.
    pub earned: f64,
}

/// Compares one reading.
pub(super) fn compare(mark: &ReadingMark, key: &Inspection, student: &Inspection) -> ReadingScore {
    let of = |i: &Inspection| i.answer(&mark.check).and_then(|a| a.readings.get(&mark.field)).cloned();
    let (key, read) = (of(key), of(student));
    let outcome = match (&key, &read) {
        (None, _) => ReadingOutcome::NoKey,
        (Some(_), None) => ReadingOutcome::NotRead,
        (Some(key), Some(read)) => match (number(key), number(read)) {
            (Some((kind, key)), Some((other, read))) if kind == other => {
                let within = mark.within.as_ref().and_then(number).filter(|(k, _)| *k == kind).map_or(0.0, |(_, w)| w);
                let off = (key - read).abs();
                // A hair for the rounding of units: 0.1 mm typed as 0.004 in is no slip.
                if off <= within * (1.0 + 1e-9) + 1e-9 { ReadingOutcome::Right } else { ReadingOutcome::Off(Some(off)) }
            }
            _ if key == read => ReadingOutcome::Right,
            _ => ReadingOutcome::Off(None),
        },
    };
    let earned = if outcome == ReadingOutcome::Right { mark.weight } else { 0.0 };
    ReadingScore { check: mark.check.clone(), field: mark.field.clone(), key, read, outcome, earned }
}

/// A value as one number in the base unit of its kind, with the kind: of a survey the figure that decides, the least
/// depth of a tread and the total indicator reading of a dial.
fn number(value: &Value) -> Option<(&'static str, f64)> {
    Some(match value {
        Value::Pressure(q) => ("pressure", q.base()),
        Value::Length(q) => ("length", q.base()),
        Value::Temperature(q) => ("temperature", q.base()),
        Value::Voltage(q) => ("voltage", q.base()),
        Value::Torque(q) => ("torque", q.base()),
        Value::Distance(q) => ("distance", q.base()),
        Value::Speed(q) => ("speed", q.base()),
        Value::Mass(q) => ("mass", q.base()),
        Value::Force(q) => ("force", q.base()),
        Value::Number(n) => ("number", *n),
        Value::Tread(points) => {
            let depths = points.iter().flat_map(|p| p.depths.iter().map(|(_, d)| d.base()));
            ("length", depths.min_by(f64::total_cmp)?)
        }
        Value::Dial(_, points) => ("length", crate::rules::dial::swing(points)?.total.base()),
        _ => return None,
    })
}
