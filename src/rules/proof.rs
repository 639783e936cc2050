//! What the rules share: readings by field, the machine's own limits with their source, margins and places in words.

use super::{Case, Source};
use crate::clock::Side;
use crate::inspection::{Answer, CheckRef, LevelReading, TreadPoint, Value};
use crate::machine::{LimitKind, LimitSource, Quota, Wheel};
use crate::tyre::TyreMarking;
use crate::units::{Length, Pressure, Voltage};

/// The value of a field, if it was read.
pub(super) fn value<'a>(answer: Option<&'a Answer>, field: &str) -> Option<&'a Value> {
    answer?.readings.get(field)
}

macro_rules! read {
    ($($(#[$doc:meta])* $name:ident: $variant:ident -> $kind:ty),+ $(,)?) => {
        $($(#[$doc])*
        pub(super) fn $name(answer: Option<&Answer>, field: &str) -> Option<$kind> {
            match value(answer, field) {
                Some(Value::$variant(found)) => Some(found.clone()),
                // A value of another kind is refused by the rule that looks at the kinds of all fields.
                _ => None,
            }
        })+
    };
}
read! {
    /// A length or depth.
    length: Length -> Length,
    /// A pressure.
    pressure: Pressure -> Pressure,
    /// A voltage.
    voltage: Voltage -> Voltage,
    /// A plain number.
    number: Number -> f64,
    /// A day.
    date: Date -> chrono::NaiveDate,
    /// A choice by its id.
    choice: Choice -> String,
    /// A fluid level.
    level: Level -> LevelReading,
    /// Tread depths.
    tread: Tread -> Vec<TreadPoint>,
}

/// The wheel that a check is on.
pub(super) fn wheel<'a>(case: &Case<'a>, check: &CheckRef) -> Option<&'a Wheel> {
    case.machine.wheel(check.subject.wheel()?)
}

/// The marking of the tyre that a check is on.
pub(super) fn marking<'a>(case: &Case<'a>, check: &CheckRef) -> Option<&'a TyreMarking> {
    Some(&wheel(case, check)?.tyre.as_ref()?.marking)
}

/// The source of a figure of the machine.
pub(super) fn source(source: &LimitSource) -> Source {
    match source {
        LimitSource::CommonPractice => Source::Practice("the owner's figure for this machine".into()),
        own => Source::Machine(own.to_string()),
    }
}

/// A length limit of the machine with its source.
pub(super) fn own_limit(case: &Case<'_>, kind: LimitKind) -> Option<(Length, Source)> {
    let limit = case.machine.limit(kind)?;
    match limit.value {
        Quota::Length(length) => Some((length, source(&limit.source))),
        Quota::Voltage(_) => None,
    }
}

/// How far a depth is from a limit, in the user's unit: `0.4 mm above`.
pub(super) fn margin(case: &Case<'_>, found: Length, limit: Length) -> String {
    if found == limit {
        return "exactly at it".into();
    }
    let apart = Length::mm((found.as_mm() - limit.as_mm()).abs());
    let mut shown = case.units.show_depth(apart);
    // 2/32 in is 0.01 mm under 1.6 mm: "0/32 in below" would say nothing.
    if !shown.contains(|c: char| ('1'..='9').contains(&c)) || shown.starts_with("0/") {
        shown = apart.show_with(crate::units::Length::mm(0.0).unit(), 2, case.units.decimal_comma);
    }
    format!("{shown} {}", if found > limit { "above" } else { "below" })
}

/// How far a share is from its edge, in points of a hundred.
pub(super) fn points(case: &Case<'_>, found: f64, edge: f64) -> String {
    let way = if found < edge { "below" } else { "above" };
    format!("{} points {way}", figure(case, (found - edge).abs(), 1))
}

/// A figure of a law in the law's own unit, with the user's beside it where that is another: `1.6 mm (2.0/32 in)`.
pub(super) fn own_unit(case: &Case<'_>, figure: Length) -> String {
    let own = figure.show_in(figure.unit(), case.units.decimal_comma);
    let user = case.units.depth_unit();
    if figure.unit().symbol == user.symbol {
        return case.units.show_depth(figure);
    }
    // A law's metric figure is seldom a whole number of thirty-seconds; a rounded one would be another law.
    let decimals = user.decimals.max(2);
    format!("{own} ({})", figure.show_with(user, decimals, case.units.decimal_comma))
}

/// Where round the wheel, as read from the right of the machine.
pub(super) fn at(spot: crate::clock::Spot) -> String {
    format!("{} from the right", spot.time(Side::Right))
}

/// A figure in the user's decimal mark.
pub(super) fn figure(case: &Case<'_>, value: f64, decimals: usize) -> String {
    crate::units::print_number(value, decimals, case.units.decimal_comma)
}

/// The first letter in upper case.
pub(super) fn capital(words: &str) -> String {
    let mut chars = words.chars();
    chars.next().map_or_else(String::new, |c| c.to_uppercase().chain(chars).collect())
}
