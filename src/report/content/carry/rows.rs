//! The checks of one stop: number and title, the limit for this machine, last time's value, what is read, boxes.

use super::super::words;
use super::{Carried, room, tick_box};
use crate::catalogue::{Check, Field, FieldKind};
use crate::drawing::shape::{Anchor, Drawing, Ink, pt};
use crate::guide::Leg;
use crate::inspection::{CheckRef, Mark};
use crate::machine::TorqueFigure;
use crate::report::block::{Block, Cell, Column, Span, Table};
use crate::rules::{Source, expected};
use crate::units::{Length, Preferences, Pressure, Shows, Temperature, Torque, Voltage};

/// The table of a stop. Its head names the place, so that no place stands without its checks. `told` are the cautions of
/// the set-up, which stand above it.
pub(super) fn table(carried: &Carried<'_>, place: &str, stop: &[(usize, &Leg)], told: &[String]) -> Block {
    let rows = stop.iter().map(|(number, leg)| {
        let entry = carried.input.catalogue.check(&leg.check.check);
        let mut what = title(carried, leg, entry, told);
        what.extend(limit_and_last(carried, &leg.check, entry));
        vec![Cell::strong(number.to_string()), Cell::Text(what), reading(carried, entry), boxes()]
    });
    Block::table(Table {
        columns: [0.5, 4.7, 3.8, 1.35].map(Column::left).into(),
        head: ["No.", &format!("{place} · limit · last time"), "Reading", "S  ·  F  ·  N"].map(Cell::strong).into(),
        rows: rows.collect(),
    })
}

/// The title, the tool, and the cautions that belong to this check alone by their titles.
fn title(carried: &Carried<'_>, leg: &Leg, entry: Option<&Check>, told: &[String]) -> Vec<Span> {
    let mut spans = vec![Span::text(&leg.title).strong()];
    if let Some(entry) = entry {
        if !entry.tool.is_empty() {
            spans.push(Span::text(format!(" · with {}", entry.tool)).small().ink(Ink::Faint));
        }
        let own = entry.cautions.iter().filter(|id| !told.contains(id));
        for caution in own.filter_map(|id| carried.input.catalogue.caution(id)) {
            spans.push(Span::text(format!(" · mind: {}", caution.title.to_lowercase())).small());
        }
    }
    if !leg.required {
        spans.push(Span::text(" · not required").small().ink(Ink::Faint));
    }
    spans
}

/// Where a limit comes from, in a word: the record of the inspection gives it in full.
fn short(source: &Source) -> String {
    match source {
        Source::Machine(what) => what.clone(),
        Source::Law(_) => "law".into(),
        Source::Own(_) => "the garage's own".into(),
        Source::Directive { .. } => "directive".into(),
        Source::Practice(_) => "common practice".into(),
    }
}

/// The limits for this machine and last time's value, one after the other below the title.
fn limit_and_last(carried: &Carried<'_>, check: &CheckRef, entry: Option<&Check>) -> Vec<Span> {
    let mut spans = Vec::new();
    let case = carried.case();
    let before = |spans: &[Span]| if spans.is_empty() { "\n" } else { " · " };
    for limit in expected(&case, check).into_iter().filter(|l| l.binds) {
        spans.push(Span::text(format!("{}{}", before(&spans), limit.value)).strong());
        spans.push(Span::text(format!(" ({})", short(&limit.source))).small().ink(Ink::Faint));
    }
    if let Some((words, date)) = entry.and_then(|entry| last(carried, check, entry)) {
        spans.push(Span::text(format!("{}last: {words}, {date}", before(&spans))).small());
    }
    spans
}

/// What was read last time, and when.
fn last(carried: &Carried<'_>, check: &CheckRef, entry: &Check) -> Option<(String, chrono::NaiveDate)> {
    carried.bay.inspections.iter().rev().find_map(|inspection| {
        let answer = inspection.answer(check)?;
        let read: Vec<String> = entry
            .fields
            .iter()
            .filter_map(|f| Some(words::value(answer.readings.get(&f.id)?, Some(f), carried.input.units)))
            .collect();
        (!read.is_empty()).then(|| (read.join(", "), inspection.date))
    })
}

/// What is read: a line with its unit, or boxes to choose from.
fn reading(carried: &Carried<'_>, entry: Option<&Check>) -> Cell {
    let Some(entry) = entry.filter(|e| !e.fields.is_empty()) else { return room(16.0) };
    let lines: Vec<String> =
        entry.fields.iter().map(|field| line(field, carried.input.units, &carried.bay.machine.torques)).collect();
    Cell::text(lines.join("\n"))
}

fn line(field: &Field, units: &Preferences, torques: &[TorqueFigure]) -> String {
    let written = |unit: &str| format!("{}  ________ {unit}", field.label);
    match &field.kind {
        FieldKind::Pressure => written(symbol::<Pressure>(units)),
        FieldKind::Depth => written(units.depth_unit().symbol),
        FieldKind::Length => written(symbol::<Length>(units)),
        FieldKind::Temperature => written(symbol::<Temperature>(units)),
        FieldKind::Voltage => written(symbol::<Voltage>(units)),
        FieldKind::Torque => written(symbol::<Torque>(units)),
        FieldKind::Distance => written(symbol::<crate::units::Distance>(units)),
        FieldKind::Number => written(""),
        FieldKind::Date => format!("{}  ____-__-__", field.label),
        FieldKind::Choice(choices) => {
            let labels: Vec<&str> = choices.iter().map(|c| c.label.as_str()).collect();
            let all: Vec<String> = shortest(&labels).iter().map(|word| format!("[  ] {word}")).collect();
            format!("{}: {}", field.label, all.join("  "))
        }
        FieldKind::Level => {
            let all: Vec<String> = Mark::ALL.into_iter().map(|m| format!("[  ] {}", m.word())).collect();
            format!("{}: {}", field.label, all.join("  "))
        }
        FieldKind::Fasteners => {
            let lines = torques.iter().map(|t| format!("{}  {}  ________", t.fastener, units.show(t.torque)));
            let lines: Vec<String> = lines.collect();
            if lines.is_empty() { written("") } else { lines.join("\n") }
        }
        FieldKind::TreadGrid | FieldKind::DialSurvey | FieldKind::RoundDepth | FieldKind::RoundNumber => {
            format!("{}: in the grid at the end", field.label)
        }
    }
}

/// The words of choices before their first comma, colon or bracket, where these still tell them apart.
fn shortest<'a>(labels: &[&'a str]) -> Vec<&'a str> {
    let cut = |label: &'a str| label.split([',', ':', ';', '(']).next().unwrap_or(label).trim_end();
    let short: Vec<&str> = labels.iter().map(|label| cut(label)).collect();
    let is_told_apart = short.iter().enumerate().all(|(i, word)| !word.is_empty() && !short[..i].contains(word));
    if is_told_apart { short } else { labels.to_vec() }
}

/// The unit that the user likes.
fn symbol<Q: Liked>(units: &Preferences) -> &'static str {
    Q::symbol(units)
}
trait Liked {
    fn symbol(units: &Preferences) -> &'static str;
}
impl<D: Shows> Liked for crate::units::Quantity<D> {
    fn symbol(units: &Preferences) -> &'static str {
        units.unit::<D>().symbol
    }
}

/// Three boxes with their letters.
fn boxes() -> Cell {
    let mut drawing = Drawing::new(62.0, 17.0, "boxes for sound, finding and not checked");
    for (i, letter) in ["S", "F", "N"].into_iter().enumerate() {
        let x = i as f32 * 21.0 + 2.0;
        tick_box(&mut drawing, x, 1.0, 15.0);
        drawing.words(pt(x + 7.5, 8.5), letter, 6.0, Anchor::Middle, Ink::Faint);
    }
    Cell::Drawing(drawing)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn choices_are_cut_short_where_they_still_differ() {
        assert_eq!(shortest(&["cold", "hot, ridden within three hours"]), ["cold", "hot"]);
        assert_eq!(shortest(&["play, sideways", "play, lengthwise"]), ["play, sideways", "play, lengthwise"]);
    }
}
