//! A survey with one reading put in or taken out, whatever is measured. Pure.

use super::places::SAME_DEG;
use crate::catalogue::FieldKind;
use crate::clock::{Side, Spot};
use crate::inspection::{DialPoint, NumberPoint, TreadPoint, Value, Zone};
use crate::units::Length;

/// One reading of a survey.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Reading {
    /// A length, in the unit that was typed.
    Length(Length),
    /// A plain number.
    Number(f64),
}

fn is_at(at: Spot) -> impl Fn(&Spot) -> bool {
    move |spot| spot.apart(at) <= SAME_DEG
}

/// The positions that were read.
pub(super) fn spots(value: &Value) -> Vec<Spot> {
    match value {
        Value::Tread(points) => points.iter().map(|p| p.spot).collect(),
        Value::Dial(_, points) | Value::Round(points) => points.iter().map(|p| p.spot).collect(),
        Value::Numbers(points) => points.iter().map(|p| p.spot).collect(),
        _ => Vec::new(),
    }
}

/// What was read at a position, and in a zone for tread.
pub(super) fn shown(value: &Value, at: Spot, zone: Option<Zone>) -> Option<Reading> {
    let here = is_at(at);
    match value {
        Value::Tread(points) => {
            let point = points.iter().find(|p| here(&p.spot))?;
            point.depths.iter().find(|(z, _)| Some(*z) == zone).map(|(_, depth)| Reading::Length(*depth))
        }
        Value::Dial(_, points) | Value::Round(points) => {
            points.iter().find(|p| here(&p.spot)).map(|p| Reading::Length(p.reading))
        }
        Value::Numbers(points) => points.iter().find(|p| here(&p.spot)).map(|p| Reading::Number(p.reading)),
        _ => None,
    }
}

/// The survey with a reading put in, changed, or (none) taken out; none when nothing is left.
pub(super) fn with(
    kind: &FieldKind,
    current: Option<&Value>,
    dial_side: Side,
    (at, zone): (Spot, Option<Zone>),
    reading: Option<Reading>,
) -> Option<Value> {
    let length = match reading {
        Some(Reading::Length(length)) => Some(length),
        _ => None,
    };
    let value = match (kind, current) {
        (FieldKind::TreadGrid, current) => {
            let points = if let Some(Value::Tread(points)) = current { points.as_slice() } else { &[] };
            Value::Tread(tread(points, at, zone?, length))
        }
        (FieldKind::DialSurvey, Some(Value::Dial(side, points))) => Value::Dial(*side, lengths(points, at, length)),
        (FieldKind::DialSurvey, _) => Value::Dial(dial_side, lengths(&[], at, length)),
        (FieldKind::RoundNumber, current) => {
            let points = if let Some(Value::Numbers(points)) = current { points.as_slice() } else { &[] };
            let mut points: Vec<NumberPoint> = points.iter().filter(|p| !is_at(at)(&p.spot)).cloned().collect();
            if let Some(Reading::Number(reading)) = reading {
                points.push(NumberPoint { spot: at, reading });
            }
            points.sort_by(|a, b| a.spot.degrees().total_cmp(&b.spot.degrees()));
            Value::Numbers(points)
        }
        (_, current) => {
            let points = if let Some(Value::Round(points)) = current { points.as_slice() } else { &[] };
            Value::Round(lengths(points, at, length))
        }
    };
    (!spots(&value).is_empty()).then_some(value)
}

fn lengths(points: &[DialPoint], at: Spot, reading: Option<Length>) -> Vec<DialPoint> {
    let mut points: Vec<DialPoint> = points.iter().filter(|p| !is_at(at)(&p.spot)).cloned().collect();
    points.extend(reading.map(|reading| DialPoint { spot: at, reading }));
    points.sort_by(|a, b| a.spot.degrees().total_cmp(&b.spot.degrees()));
    points
}

fn tread(points: &[TreadPoint], at: Spot, zone: Zone, depth: Option<Length>) -> Vec<TreadPoint> {
    let mut points = points.to_vec();
    let index = points.iter().position(|p| is_at(at)(&p.spot)).unwrap_or_else(|| {
        points.push(TreadPoint { spot: at, depths: Vec::new() });
        points.len() - 1
    });
    let depths = &mut points[index].depths;
    depths.retain(|(z, _)| *z != zone);
    if let Some(depth) = depth {
        depths.push((zone, depth));
        depths.sort_by_key(|(z, _)| *z);
    }
    points.retain(|p| !p.depths.is_empty());
    points.sort_by(|a, b| a.spot.degrees().total_cmp(&b.spot.degrees()));
    points
}

#[cfg(test)]
mod tests {
    use super::*;

    fn spot(degrees: f64) -> Spot {
        Spot::from_degrees(degrees).expect("finite")
    }
    fn mm(mm: f64) -> Option<Reading> {
        Some(Reading::Length(Length::mm(mm)))
    }

    #[test]
    fn a_depth_is_put_in_changed_and_taken_out() {
        let (kind, side) = (FieldKind::TreadGrid, Side::Right);
        let put =
            |current: Option<&Value>, zone, reading| with(&kind, current, side, (spot(90.0), Some(zone)), reading);
        let one = put(None, Zone::Centre, mm(2.5)).expect("a depth");
        let two = put(Some(&one), Zone::Shoulder(Side::Left), mm(3.0)).expect("two depths");
        let changed = put(Some(&two), Zone::Centre, mm(2.0)).expect("two depths");
        let Value::Tread(points) = &changed else { unreachable!("tread") };
        assert_eq!((points.len(), points[0].depths.len()), (1, 2));
        assert_eq!(shown(&changed, spot(90.1), Some(Zone::Centre)), mm(2.0));
        assert_eq!(
            put(Some(&one), Zone::Centre, None),
            None,
            "a place without a depth is not a place that was measured"
        );
    }

    #[test]
    fn the_other_kinds_keep_one_reading_a_place_in_order() {
        for (kind, reading, other) in [
            (FieldKind::DialSurvey, mm(-0.1), mm(0.2)),
            (FieldKind::RoundDepth, mm(4.9), mm(4.8)),
            (FieldKind::RoundNumber, Some(Reading::Number(21.0)), Some(Reading::Number(17.0))),
        ] {
            let one = with(&kind, None, Side::Left, (spot(90.0), None), reading);
            let two = with(&kind, one.as_ref(), Side::Right, (spot(0.0), None), other).expect("two");
            assert_eq!(spots(&two), [spot(0.0), spot(90.0)], "{kind:?}");
            assert!(kind.takes(&two), "{kind:?}");
            let changed = with(&kind, Some(&two), Side::Right, (spot(90.0), None), other).expect("two");
            assert_eq!(shown(&changed, spot(90.0), None), other, "{kind:?}");
            if let Value::Dial(side, _) = changed {
                assert_eq!(side, Side::Left, "the dial stays where it stood");
            }
            assert_eq!(with(&kind, one.as_ref(), Side::Right, (spot(90.0), None), None), None, "{kind:?}");
        }
    }
}
