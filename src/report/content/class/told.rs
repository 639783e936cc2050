//! Findings, scores and shares in words and cells, the same on the class's pages and the students'.

use super::ClassInput;
use crate::catalogue::Field;
use crate::class::{Score, Share, words};
use crate::drawing::notch::{self, Mark};
use crate::drawing::shape::Ink;
use crate::inspection::{CheckRef, Finding, Place, Severity, clock_words, marker_words_in};
use crate::report::block::{Cell, Span};
use crate::report::content::words::{capital, side_of};
use crate::units::print_short;

/// What was seen: `Serious cut`.
pub(super) fn what(input: &ClassInput<'_>, finding: &Finding) -> String {
    capital(input.catalogue.fault_words(finding))
}

/// Where it is, from the side of its zone, with the distances along the wheel.
pub(super) fn place(input: &ClassInput<'_>, finding: &Finding) -> String {
    match &finding.place {
        Place::Wheel { position, zone, spot } => input.bay.machine.wheel(*position).map_or_else(
            || words::place_words(finding),
            |wheel| marker_words_in(wheel, *zone, *spot, side_of(*zone), input.units),
        ),
        Place::Part { .. } => words::place_words(finding),
    }
}

/// A severity with its mark.
pub(super) fn class_cell(severity: Severity) -> Cell {
    Cell::Marked(notch::drawing(Mark::Found(severity), 10.0), vec![Span::text(severity.word()).strong()])
}

/// What it is in the heavier face, where it is below, and how near a place must be where it has one.
pub(super) fn finding_cell(input: &ClassInput<'_>, finding: &Finding, near: String) -> Cell {
    let place = match &finding.place {
        Place::Wheel { position, zone, spot: Some(spot) } => {
            format!("{} · {} · {}", position.word(), clock_words(*spot, side_of(*zone)), zone.words())
        }
        _ => words::place_words(finding),
    };
    key_cell(input, finding, &place, &near)
}

/// A finding of the key: its mark, what it is, its class in words, where it is, and how near a place must be.
pub(super) fn key_cell(input: &ClassInput<'_>, finding: &Finding, place: &str, near: &str) -> Cell {
    let severity = input.results.severity(&finding.id);
    let mut spans = vec![
        Span::text(what(input, finding)).strong(),
        Span::text(format!("\n{}", severity.word())).strong().small(),
        Span::text(format!(" · {place}")).small(),
    ];
    if has_spot(finding) {
        spans.push(Span::text(format!("\n{near}")).small().ink(Ink::Faint));
    }
    Cell::Marked(notch::drawing(Mark::Found(severity), 10.0), spans)
}

/// Whether a finding has a clock position.
pub(super) fn has_spot(finding: &Finding) -> bool {
    matches!(&finding.place, Place::Wheel { spot: Some(_), .. })
}

/// The title of a check with its part.
pub(super) fn check(input: &ClassInput<'_>, check: &CheckRef) -> String {
    words::check_words(input.catalogue, check)
}

/// A field of a check, where the catalogue has it.
pub(super) fn field<'a>(input: &ClassInput<'a>, check: &CheckRef, field: &str) -> Option<&'a Field> {
    input.catalogue.check(&check.check)?.field(field)
}

/// A share in per cent with its interval: `14 of 30, 47 % (95 % interval 30 to 64 %)`.
pub(super) fn share(share: Option<&Share>, nothing: &str) -> String {
    share.map_or_else(|| nothing.to_owned(), words::share_words)
}

/// A ratio in per cent, or a dash.
pub(super) fn percent(ratio: Option<f64>) -> String {
    ratio.map_or_else(|| "–".into(), |r| format!("{:.0}\u{a0}%", 100.0 * r))
}

/// How far positions are off in the middle: `12 min, 31 mm`.
pub(super) fn off(minutes: Option<f64>, millimetres: Option<f64>) -> String {
    let Some(minutes) = minutes else { return "–".into() };
    let along = millimetres.map(|mm| format!(", {mm:.0}\u{a0}mm")).unwrap_or_default();
    format!("{minutes:.0}\u{a0}min{along}")
}

/// Weights without needless noughts: `12.5 of 18`.
pub(super) fn weights(input: &ClassInput<'_>, earned: f64, out_of: f64) -> String {
    format!("{} of {}", weight(input, earned), weight(input, out_of))
}

/// One weight without needless noughts.
pub(super) fn weight(input: &ClassInput<'_>, weight: f64) -> String {
    print_short(weight, 2, input.units.decimal_comma)
}

/// A score in weights and per cent.
pub(super) fn score(input: &ClassInput<'_>, score: &Score) -> String {
    let percent = score.percent().map(|p| format!(", {p:.0}\u{a0}%")).unwrap_or_default();
    format!("{}{percent}", weights(input, score.earned, score.out_of))
}

/// Minutes and seconds of a walk: `3:30`.
pub(super) fn minutes(minutes: f64) -> String {
    let seconds = (minutes * 60.0).round().max(0.0) as u64;
    format!("{}:{:02}", seconds / 60, seconds % 60)
}
