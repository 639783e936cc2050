//! Readings, states and places in words, for the rows and panes of the walk-around. Pure.

use chrono::NaiveDate;

use crate::catalogue::{Check, Field, FieldKind};
use crate::clock::Side;
use crate::inspection::{Answer, CheckState, DialPoint, Place, Severity, TreadPoint, Value};
use crate::units::{Preferences, day};

/// A day as it is said: `3 March 2026`.
pub fn day(date: NaiveDate) -> String {
    day::words(date)
}

/// A text with its first letter in upper case.
pub fn capital(words: &str) -> String {
    let mut chars = words.chars();
    chars.next().map_or_else(String::new, |c| c.to_uppercase().chain(chars).collect())
}

/// `1 check`, `3 checks`.
pub fn count(n: usize, one: &str, many: &str) -> String {
    format!("{n} {}", if n == 1 { one } else { many })
}

/// A reading in the user's units.
pub fn value(value: &Value, field: Option<&Field>, side: Side, units: &Preferences) -> String {
    match value {
        Value::Pressure(q) => units.show(*q),
        Value::Length(q) if field.is_some_and(|f| f.kind == FieldKind::Length) => units.show(*q),
        Value::Length(q) => units.show_depth(*q),
        Value::Temperature(q) => units.show(*q),
        Value::Voltage(q) => units.show(*q),
        Value::Torque(q) => units.show(*q),
        Value::Distance(q) => units.show(*q),
        Value::Speed(q) => units.show(*q),
        Value::Mass(q) => units.show(*q),
        Value::Force(q) => units.show(*q),
        Value::Number(n) => crate::units::print_number(*n, 2, units.decimal_comma),
        Value::Date(d) => day(*d),
        Value::Choice(id) => match field.map(|f| &f.kind) {
            Some(FieldKind::Choice(choices)) => {
                choices.iter().find(|c| &c.id == id).map_or_else(|| id.clone(), |c| c.label.clone())
            }
            _ => id.clone(),
        },
        Value::Level(level) => {
            format!("{}, read {}, {}", level.mark.word(), level.stance.word(), level.state.word())
        }
        Value::Tread(points) => tread(points, side, units),
        Value::Dial(_, points) => dial(points, units),
        Value::Round(points) => match points.iter().min_by(|a, b| a.reading.base().total_cmp(&b.reading.base())) {
            Some(least) => format!(
                "least {} at {} from the {}; {} round the wheel",
                units.show_depth(least.reading),
                least.spot.time(side),
                side.word(),
                count(points.len(), "place", "places")
            ),
            None => "no reading yet".into(),
        },
        Value::Numbers(points) => {
            let number = |n: f64| crate::units::print_number(n, 2, units.decimal_comma);
            match points.iter().min_by(|a, b| a.reading.total_cmp(&b.reading)) {
                Some(least) => format!(
                    "least {} at {} from the {}; {}",
                    number(least.reading),
                    least.spot.time(side),
                    side.word(),
                    count(points.len(), "reading", "readings")
                ),
                None => "no reading yet".into(),
            }
        }
        Value::Torques(list) => {
            list.iter().map(|t| format!("{} {}", t.fastener, units.show(t.torque))).collect::<Vec<_>>().join(", ")
        }
    }
}

fn tread(points: &[TreadPoint], side: Side, units: &Preferences) -> String {
    let all = points.iter().flat_map(|p| p.depths.iter().map(move |(z, d)| (p.spot, *z, *d)));
    match all.min_by(|a, b| a.2.base().total_cmp(&b.2.base())) {
        Some((spot, zone, depth)) => format!(
            "least {} at {} from the {}, {}; {} round the wheel",
            units.show_depth(depth),
            spot.time(side),
            side.word(),
            zone.words(),
            count(points.len(), "place", "places")
        ),
        None => "no depth yet".into(),
    }
}

fn dial(points: &[DialPoint], units: &Preferences) -> String {
    let readings = || points.iter().map(|p| p.reading);
    let most = readings().max_by(|a, b| a.base().total_cmp(&b.base()));
    let least = readings().min_by(|a, b| a.base().total_cmp(&b.base()));
    match (most, least) {
        (Some(most), Some(least)) => format!(
            "{} between the highest and the lowest of {}",
            units.show_depth(crate::units::Length::from_base(most.base() - least.base())),
            count(points.len(), "reading", "readings")
        ),
        _ => "no reading yet".into(),
    }
}

/// What was answered, in one line; empty when nothing was.
pub fn answer(answer: &Answer, check: &Check, side: Side, units: &Preferences) -> String {
    let read: Vec<_> = check.fields.iter().filter_map(|f| Some((f, answer.readings.get(&f.id)?))).collect();
    // Two figures of one check are told apart by their names; a choice speaks for itself.
    let figures = read.iter().filter(|(f, _)| !matches!(f.kind, FieldKind::Choice(_))).count();
    let mut parts: Vec<String> = read
        .into_iter()
        .map(|(f, v)| match &f.kind {
            FieldKind::Choice(_) => value(v, Some(f), side, units),
            _ if figures < 2 => value(v, Some(f), side, units),
            _ => format!("{}: {}", f.label.to_lowercase(), value(v, Some(f), side, units)),
        })
        .collect();
    match &answer.state {
        CheckState::Sound => parts.push("sound".into()),
        CheckState::CouldNot(why) => parts.push(format!("could not be checked: {why}")),
        CheckState::NotApplicable => parts.push("not applicable".into()),
        CheckState::Unchecked => {}
    }
    if !answer.note.is_empty() {
        parts.push(answer.note.clone());
    }
    parts.join(", ")
}

/// Where a finding is, in a few words; the full marker is shown for the one in hand.
pub fn place(place: &Place, side: Side) -> String {
    match place {
        Place::Wheel { position, zone, spot: Some(spot) } => {
            format!("{} · {} from the {} · {}", position.word(), spot.time(side), side.word(), zone.words())
        }
        Place::Wheel { position, zone, spot: None } => format!("{} · {}", position.word(), zone.words()),
        Place::Part { station, part } if part.trim().is_empty() => station.word().to_owned(),
        Place::Part { station, part } => format!("{} · {part}", station.word()),
    }
}

/// What a class means for riding, in a short sentence (Directive 2014/45/EU article 7, in plain words).
pub fn severity_meaning(severity: Severity) -> &'static str {
    match severity {
        Severity::Minor => "no significant effect on safety",
        Severity::Major => "may prejudice safety: not ridden until it is repaired",
        Severity::Dangerous => "a direct and immediate risk: do not ride",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::clock::Spot;
    use crate::inspection::Zone;
    use crate::units::Length;

    #[test]
    fn a_tread_survey_is_told_by_its_least_depth_from_the_side_in_view() {
        let point = |degrees, mm| TreadPoint {
            spot: Spot::from_degrees(degrees).expect("finite"),
            depths: vec![(Zone::Centre, Length::mm(mm)), (Zone::Shoulder(Side::Left), Length::mm(mm + 1.0))],
        };
        let survey = Value::Tread(vec![point(0.0, 3.0), point(90.0, 2.1)]);
        let units = Preferences::default();
        assert_eq!(
            value(&survey, None, Side::Left, &units),
            "least 2.1 mm at 9:00 from the left, centre of the tread; 2 places round the wheel"
        );
        assert_eq!(value(&Value::Tread(Vec::new()), None, Side::Left, &units), "no depth yet");
    }

    #[test]
    fn a_dial_survey_is_told_by_its_total_indicator_reading() {
        let point =
            |degrees, mm| DialPoint { spot: Spot::from_degrees(degrees).expect("finite"), reading: Length::mm(mm) };
        let survey = Value::Dial(Side::Right, vec![point(0.0, -0.2), point(90.0, 0.3), point(180.0, 0.1)]);
        assert_eq!(
            value(&survey, None, Side::Right, &Preferences::default()),
            "0.5 mm between the highest and the lowest of 3 readings"
        );
    }
}
