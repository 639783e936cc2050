//! Dates, values and places in words.

use chrono::NaiveDate;

use crate::catalogue::{Field, FieldKind};
use crate::clock::{Side, Spot};
use crate::inspection::{Station, TreadPoint, Value, Zone};
use crate::rules::CheckResult;
use crate::units::{Length, Preferences, day, print_number, print_short};

/// A day: `3 April 2026`.
pub(super) fn day(date: NaiveDate) -> String {
    day::words(date)
}

/// The first letter in upper case.
pub(super) fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// `1 check`, `4 checks`.
pub(super) fn count(n: usize, one: &str) -> String {
    format!("{n} {one}{}", if n == 1 { "" } else { "s" })
}

/// The words of a person, or that there are none.
pub(super) fn or_not_recorded(words: &str) -> String {
    if words.trim().is_empty() { "not recorded".into() } else { words.trim().to_owned() }
}

/// A station as the title of a group.
pub(super) fn place(station: Station) -> String {
    capital(station.word())
}

/// A value in the user's units; lists of readings round the wheel with each place.
pub(super) fn value(value: &Value, field: Option<&Field>, units: &Preferences) -> String {
    let depth = |length: Length| match field.map(|f| &f.kind) {
        Some(FieldKind::Length) => size(length, units),
        _ => units.show_depth(length),
    };
    match value {
        Value::Pressure(v) => units.show(*v),
        Value::Length(v) => depth(*v),
        Value::Temperature(v) => units.show(*v),
        Value::Voltage(v) => units.show(*v),
        Value::Torque(v) => units.show(*v),
        Value::Distance(v) => units.show(*v),
        Value::Speed(v) => units.show(*v),
        Value::Mass(v) => units.show(*v),
        Value::Force(v) => units.show(*v),
        Value::Number(v) => number(*v, units),
        Value::Date(v) => day(*v),
        Value::Choice(id) => choice(id, field),
        Value::Level(level) => format!("{}, read {}, {}", level.mark.word(), level.stance.word(), level.state.word()),
        Value::Tread(points) => tread(points, units),
        Value::Torques(list) => {
            list.iter().map(|t| format!("{} {}", t.fastener, units.show(t.torque))).collect::<Vec<_>>().join(", ")
        }
        Value::Dial(side, points) => {
            // The unit is said once, for a list of a dozen places is long enough.
            let unit = units.depth_unit();
            let bare = |length: Length| {
                let shown = units.show_depth(length);
                shown.strip_suffix(unit.symbol).map_or(shown.clone(), |s| s.trim_end().to_owned())
            };
            let list: Vec<String> =
                points.iter().map(|p| format!("{} {}", p.spot.time(*side), bare(p.reading))).collect();
            format!("dial at the {}, {}: {}", side.word(), unit.symbol, list.join(", "))
        }
        Value::Round(points) => {
            let points = points.iter().map(|p| (p.spot, units.show_depth(p.reading)));
            list(points.collect())
        }
        Value::Numbers(points) => list(points.iter().map(|p| (p.spot, number(p.reading, units))).collect()),
    }
}

/// Readings round the wheel, each with its clock position from the right.
fn list(points: Vec<(Spot, String)>) -> String {
    let list: Vec<String> = points.iter().map(|(spot, shown)| format!("{} {shown}", spot.time(Side::Right))).collect();
    format!("clock from the right: {}", list.join(", "))
}

/// A length as a person reads it off: whole millimetres stay whole, and from a metre on nobody reads tenths.
pub(super) fn size(length: Length, units: &Preferences) -> String {
    let is_whole = length.as_mm().fract().abs() < 1e-6 || length.as_mm().abs() >= 1000.0;
    let shown = units.show(length);
    match shown.strip_suffix(" mm") {
        Some(_) if is_whole => format!("{} mm", print_number(length.as_mm(), 0, units.decimal_comma)),
        _ => shown,
    }
}

/// The title of a check below a heading that already names its wheel: `Disc, left disc` below `Front wheel`.
pub(super) fn title_here(result: &CheckResult) -> String {
    let here = result.station.word().split(' ').next();
    match result.check.subject.wheel() {
        // Where two wheels share a station, their names differ from its first word, and the titles stay whole.
        Some(wheel) if here == Some(wheel.word()) => result.title.replacen(&format!(", {}", wheel.word()), "", 1),
        _ => result.title.clone(),
    }
}

fn number(value: f64, units: &Preferences) -> String {
    print_short(value, 3, units.decimal_comma)
}

/// The label of a choice; an id that the field does not have is shown as it stands.
fn choice(id: &str, field: Option<&Field>) -> String {
    let label = field.and_then(|field| match &field.kind {
        FieldKind::Choice(choices) => choices.iter().find(|c| c.id == id).map(|c| c.label.clone()),
        _ => None,
    });
    label.unwrap_or_else(|| id.to_owned())
}

/// The least depth and where it is, and at how many places it was read.
fn tread(points: &[TreadPoint], units: &Preferences) -> String {
    let all = points.iter().flat_map(|p| p.depths.iter().map(move |(zone, depth)| (p, *zone, *depth)));
    let least = all.min_by(|a, b| a.2.as_mm().total_cmp(&b.2.as_mm()));
    least.map_or_else(
        || "no depths".into(),
        |(point, zone, depth)| {
            let side = side_of(zone);
            format!(
                "least {} at {} from the {}, {}; read at {} round the wheel",
                units.show_depth(depth),
                point.spot.time(side),
                side.word(),
                zone.words(),
                count(points.len(), "place")
            )
        },
    )
}

/// The side from which a zone is looked at: its own, and the right for what is in the middle.
pub(super) fn side_of(zone: Zone) -> Side {
    zone.side().unwrap_or(Side::Right)
}
