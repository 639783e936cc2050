//! What was measured: each reading with its limit, where the limit comes from, the margin, and the sentence of the
//! judgement; the tread drawn as a strip.

use super::case::RecordCase;
use super::words::{self, capital, place};
use crate::clock::Side;
use crate::drawing::notch::{self, Mark};
use crate::drawing::shape::Ink;
use crate::drawing::strip::{self, Strip, StripDepth};
use crate::inspection::{Station, TreadPoint, Value};
use crate::report::block::{Block, Cell, Column, Span, Table};
use crate::rules::{CheckResult, Judgement, Outcome};

pub(super) fn blocks(case: &RecordCase<'_>) -> Vec<Block> {
    let mut blocks = vec![Block::heading(2, "Readings")];
    for station in Station::ALL {
        let rows: Vec<Vec<Cell>> = case.at(station).flat_map(|result| rows(case, result)).collect();
        if rows.is_empty() {
            continue;
        }
        blocks.push(Block::heading(3, place(station)));
        blocks.push(Block::table(Table {
            columns: vec![
                Column::left(2.2),
                Column::left(2.0),
                Column::left(1.7),
                Column::left(2.6),
                Column::left(1.5),
            ],
            head: ["Check", "Reading", "Limit, margin", "Source", "Outcome"].map(Cell::strong).into(),
            rows,
        }));
        for result in case.at(station) {
            blocks.extend(strips(case, result));
        }
        blocks.extend(proofs(case, station));
    }
    if blocks.len() == 1 {
        blocks.push(Block::paragraph("Nothing was measured."));
    }
    blocks
}

/// A row for every reading and every judgement that has one.
fn rows(case: &RecordCase<'_>, result: &CheckResult) -> Vec<Vec<Cell>> {
    let check = case.input.catalogue.check(&result.check.check);
    let mut rows = Vec::new();
    if let Some(answer) = case.input.inspection.answer(&result.check) {
        for (id, value) in &answer.readings {
            let field = check.and_then(|c| c.field(id));
            let label = field.map_or(id.as_str(), |f| f.label.as_str());
            let shown = words::value(value, field, case.input.units);
            let name = if label == result.title || check.is_some_and(|c| c.title == label) {
                result.title.clone()
            } else {
                format!("{}: {label}", result.title)
            };
            let mut judged = decisive(result).filter(|j| j.field.as_deref() == Some(id.as_str())).peekable();
            if judged.peek().is_none() {
                rows.push(vec![Cell::text(name), Cell::text(shown), none(), none(), Cell::text("noted")]);
                continue;
            }
            for judgement in judged {
                rows.push(row(name.clone(), shown.clone(), judgement));
            }
        }
    }
    // What was judged from the machine's data alone, or over several readings at once.
    for judgement in decisive(result).filter(|j| j.field.is_none() && !j.reading.is_empty()) {
        rows.push(row(result.title.clone(), judgement.reading.clone(), judgement));
    }
    rows
}

/// The judgements of readings that decide something; remarks follow in the proofs.
fn decisive(result: &CheckResult) -> impl Iterator<Item = &Judgement> {
    result.judgements.iter().filter(|j| j.finding.is_none() && j.outcome != Outcome::Noted)
}

fn none() -> Cell {
    Cell::Text(vec![Span::text("none on record").small().ink(Ink::Faint)])
}

fn row(name: String, reading: String, judgement: &Judgement) -> Vec<Cell> {
    let limit = judgement.limit.as_ref();
    let mut against = limit.map(|l| l.value.clone()).into_iter().collect::<Vec<_>>();
    against.extend((!judgement.margin.is_empty()).then(|| judgement.margin.clone()));
    let source = limit.map(|l| l.source.words()).or_else(|| judgement.graded_by.first().map(|s| s.words()));
    vec![
        Cell::text(name),
        Cell::text(reading),
        if against.is_empty() { none() } else { Cell::text(against.join(", ")) },
        source.map_or_else(none, |words| Cell::Text(vec![Span::text(words).small()])),
        outcome(judgement),
    ]
}

fn outcome(judgement: &Judgement) -> Cell {
    let marked = |mark: Mark, word: &str| Cell::Marked(notch::drawing(mark, 10.0), vec![Span::text(word)]);
    match judgement.outcome {
        Outcome::Sound => marked(Mark::Sound, "sound"),
        Outcome::Fault(severity) => marked(Mark::Found(severity), severity.word()),
        Outcome::Refused => marked(Mark::Unchecked, "not a reading"),
        Outcome::Noted => Cell::text("noted"),
    }
}

/// The judgements of a station as sentences, each with every source and limit that was looked at.
fn proofs(case: &RecordCase<'_>, station: Station) -> Vec<Block> {
    let mut items: Vec<String> = Vec::new();
    for result in case.at(station) {
        for judgement in result.judgements.iter().filter(|j| j.finding.is_none()) {
            items.push(proof(result, judgement));
        }
        if let Some(set) = case.input.inspection.overrules.get(&result.check) {
            let proposed =
                result.judgements.iter().filter(|j| j.finding.is_none()).filter_map(Judgement::severity).max();
            items.push(format!(
                "{}: proposed {}, {} by {}: {}. It counts as {}.",
                result.title,
                proposed.map_or("sound", |s| s.word()),
                set.severity.word(),
                words::or_not_recorded(&set.by),
                words::or_not_recorded(&set.reason),
                result.severity.map_or("sound", |s| s.word()),
            ));
        }
        if let Some(note) = case.input.inspection.answer(&result.check).map(|a| a.note.trim()).filter(|n| !n.is_empty())
        {
            items.push(format!("{}, note: {note}", result.title));
        }
    }
    if items.is_empty() { Vec::new() } else { vec![Block::bullets(items)] }
}

fn proof(result: &CheckResult, judgement: &Judgement) -> String {
    let mut text = format!("{}: {}", result.title, judgement.sentence);
    let mut sources: Vec<String> = Vec::new();
    if let Some(limit) = &judgement.limit {
        sources.push(format!("{} by {}", limit.value, limit.source.words()));
    }
    sources.extend(judgement.others.iter().map(|l| format!("also {} by {}", l.value, l.source.words())));
    for source in &judgement.graded_by {
        let words = source.words();
        if !sources.iter().any(|s| s.ends_with(&words)) {
            sources.push(words);
        }
    }
    if !sources.is_empty() {
        text.push_str(&format!(" [{}]", capital(&sources.join("; "))));
    }
    text
}

/// The tread of a wheel unrolled, with every depth at its place.
fn strips(case: &RecordCase<'_>, result: &CheckResult) -> Vec<Block> {
    let Some(wheel) = result.check.subject.wheel().and_then(|p| case.machine().wheel(p)) else { return Vec::new() };
    let Some(answer) = case.input.inspection.answer(&result.check) else { return Vec::new() };
    let surveys = answer.readings.values().filter_map(|value| match value {
        Value::Tread(points) if !points.is_empty() => Some(points),
        _ => None,
    });
    surveys
        .map(|points| {
            let drawing = strip::draw(&Strip {
                wheel,
                side: Side::Right,
                width: 460.0,
                height: 150.0,
                marks: Vec::new(),
                depths: depths(case, points),
                wear_bars: Vec::new(),
                parked: None,
                units: case.input.units,
            });
            let unit = case.input.units.depth_unit().symbol;
            Block::figure(drawing, format!("{}: depths in {unit}, as read at each place", result.title))
        })
        .collect()
}

fn depths(case: &RecordCase<'_>, points: &[TreadPoint]) -> Vec<StripDepth> {
    let unit = case.input.units.depth_unit();
    points
        .iter()
        .flat_map(|point| {
            point.depths.iter().map(|(zone, depth)| {
                let shown = case.input.units.show_depth(*depth);
                // The unit stands in the caption.
                let text = shown.strip_suffix(unit.symbol).map_or(shown.as_str(), str::trim_end).to_owned();
                StripDepth { spot: point.spot, zone: *zone, text, is_low: false }
            })
        })
        .collect()
}
