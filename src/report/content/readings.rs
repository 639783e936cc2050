//! What was measured: each reading with its limit, where the limit comes from and the margin; what was seen and felt;
//! the sentence of every judgement that speaks against riding, refuses a reading or explains one; the tread as a strip.

use super::case::RecordCase;
use super::words::{self, place, title_here};
use crate::clock::Side;
use crate::drawing::notch::{self, Mark};
use crate::drawing::shape::Ink;
use crate::drawing::strip::{self, Strip, StripDepth};
use crate::inspection::{Station, TreadPoint, Value};
use crate::report::block::{Block, BlockKind, Cell, Column, Span, Table};
use crate::rules::{CheckResult, Judgement, Outcome};

/// The readings of a station, sorted by how they are shown.
#[derive(Default)]
struct Shown {
    /// Rows of the table: what has a figure or is no good.
    rows: Vec<Vec<Cell>>,
    /// Choices that were judged sound: what was seen and felt.
    felt: Vec<String>,
    /// What was only noted.
    noted: Vec<String>,
    /// Readings round the wheel, written out.
    lists: Vec<String>,
}

pub(super) fn blocks(case: &RecordCase<'_>) -> Vec<Block> {
    let mut blocks = vec![Block::heading(2, "Readings")];
    if case.input.inspection.answers.values().all(|answer| answer.readings.is_empty()) {
        blocks.push(Block::paragraph("Nothing was measured."));
    }
    for station in Station::ALL {
        let mut shown = Shown::default();
        for result in case.at(station) {
            read(case, result, &mut shown);
        }
        let proofs = proofs(case, station);
        let Shown { rows, felt, noted, mut lists } = shown;
        if rows.is_empty() && felt.is_empty() && noted.is_empty() && proofs.is_empty() {
            continue;
        }
        blocks.push(Block::heading(3, place(station)));
        if !rows.is_empty() {
            blocks.push(Block::table(Table {
                columns: [2.55, 2.1, 3.35, 1.75, 1.3].map(Column::left).into(),
                head: ["Check", "Reading", "Limit and its source", "Margin", "Outcome"].map(Cell::strong).into(),
                rows,
            }));
        }
        for result in case.at(station) {
            blocks.extend(strips(case, result));
            blocks.extend(super::surveys::blocks(case, result));
        }
        blocks.extend(listed("Seen and felt, sound", &felt));
        blocks.extend(listed("Noted", &noted));
        lists.extend(proofs);
        if !lists.is_empty() {
            let items = lists.into_iter().map(|text| vec![Span::text(text).small()]).collect();
            blocks.push(Block::from(BlockKind::Bullets { items }));
        }
    }
    blocks
}

/// A line of points under one word.
fn listed(what: &str, points: &[String]) -> Option<Block> {
    let text = format!("{}.", points.join("; "));
    let spans = || vec![Span::text(format!("{what}: ")).strong().small(), Span::text(text).small()];
    (!points.is_empty()).then(|| Block::spans(spans()))
}

/// Sorts the readings of a check and what was judged of them.
fn read(case: &RecordCase<'_>, result: &CheckResult, shown: &mut Shown) {
    let check = case.input.catalogue.check(&result.check.check);
    let units = case.input.units;
    for (id, value) in case.input.inspection.answer(&result.check).iter().flat_map(|answer| &answer.readings) {
        let field = check.and_then(|c| c.field(id));
        let label = field.map_or(id.as_str(), |f| f.label.as_str());
        let words = words::value(value, field, units);
        let title = title_here(result);
        let name = if check.is_some_and(|c| c.title == label) { title } else { format!("{title}: {label}") };
        let judged: Vec<&Judgement> = decisive(result).filter(|j| j.field.as_deref() == Some(id.as_str())).collect();
        let is_plain = judged.iter().all(|j| j.outcome == Outcome::Sound && j.limit.is_none());
        match value {
            Value::Choice(_) if judged.is_empty() => shown.noted.push(format!("{name}: {words}")),
            Value::Choice(_) if is_plain => shown.felt.push(format!("{name}: {words}")),
            Value::Dial(..) | Value::Round(_) | Value::Numbers(_) => {
                shown.lists.push(format!("{name}, {words}"));
                shown.rows.extend(judged.iter().map(|j| row(case, name.clone(), j.reading.clone(), j)));
            }
            // Each fastener was judged by itself, against its own figure.
            Value::Torques(_) if !judged.is_empty() => {
                shown.rows.extend(judged.iter().map(|j| row(case, name.clone(), j.reading.clone(), j)));
            }
            _ if judged.is_empty() => shown.noted.push(format!("{name}: {words}")),
            _ => shown.rows.extend(judged.iter().map(|j| {
                // What was measured is one thing, what is compared with the limit may be another, worked out of it.
                let reading = if matches!(value, Value::Length(_)) && j.reading.ends_with('%') {
                    format!("{words}, which makes {}", j.reading)
                } else {
                    words.clone()
                };
                row(case, name.clone(), reading, j)
            })),
        }
    }
    // What was judged from the machine's data alone, or over several readings at once.
    for judgement in decisive(result).filter(|j| j.field.is_none() && !j.reading.is_empty()) {
        shown.rows.push(row(case, title_here(result), judgement.reading.clone(), judgement));
    }
}

/// The judgements of readings that decide something; remarks follow in the proofs.
fn decisive(result: &CheckResult) -> impl Iterator<Item = &Judgement> {
    result.judgements.iter().filter(|j| j.finding.is_none() && j.outcome != Outcome::Noted)
}

fn none() -> Cell {
    Cell::Text(vec![Span::text("none on record").small().ink(Ink::Faint)])
}

fn row(case: &RecordCase<'_>, name: String, reading: String, judgement: &Judgement) -> Vec<Cell> {
    let limit = match (&judgement.limit, judgement.graded_by.first()) {
        (Some(limit), _) => {
            let mut spans = vec![
                Span::text(limit.value.clone()),
                Span::text(format!(" · {}", case.sources.cite(&limit.source))).small(),
            ];
            // Where machine, law and practice differ, all of them are shown.
            for other in &judgement.others {
                let source = case.sources.cite(&other.source);
                spans.push(Span::text(format!("\nalso {} · {source}", other.value)).small());
            }
            Cell::Text(spans)
        }
        (None, Some(source)) => Cell::Text(vec![Span::text(case.sources.cite(source)).small()]),
        (None, None) => none(),
    };
    let margin = if judgement.margin.is_empty() { "–" } else { &judgement.margin };
    vec![Cell::text(name), Cell::text(reading), limit, Cell::text(margin), outcome(judgement)]
}

fn outcome(judgement: &Judgement) -> Cell {
    let marked = |mark: Mark, word: &str| Cell::Marked(notch::drawing(mark, 10.0), vec![Span::text(word)]);
    match judgement.outcome {
        Outcome::Sound => marked(Mark::Sound, "within"),
        Outcome::Fault(severity) => marked(Mark::Found(severity), severity.word()),
        Outcome::Refused => marked(Mark::Unchecked, "not a reading"),
        Outcome::Noted => Cell::text("noted"),
    }
}

/// The judgements of a station as sentences, each with every source and limit that was looked at. One that is sound has
/// its proof in its row.
fn proofs(case: &RecordCase<'_>, station: Station) -> Vec<String> {
    let mut items: Vec<String> = Vec::new();
    for result in case.at(station) {
        for judgement in result.judgements.iter().filter(|j| j.finding.is_none() && j.outcome != Outcome::Sound) {
            items.push(proof(case, result, judgement));
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
            items.push(format!("{}, note: {note}", title_here(result)));
        }
    }
    items
}

fn proof(case: &RecordCase<'_>, result: &CheckResult, judgement: &Judgement) -> String {
    let mut text = format!("{}: {}", title_here(result), judgement.sentence);
    let mut sources: Vec<String> = Vec::new();
    if let Some(limit) = &judgement.limit {
        sources.push(format!("{}, {}", limit.value, case.sources.cite(&limit.source)));
    }
    sources.extend(judgement.others.iter().map(|l| format!("also {}, {}", l.value, case.sources.cite(&l.source))));
    for source in &judgement.graded_by {
        let words = case.sources.cite(source);
        if !sources.iter().any(|s| s.ends_with(&words)) {
            sources.push(words);
        }
    }
    if !sources.is_empty() {
        text.push_str(&format!(" ({})", sources.join("; ")));
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
                height: 162.0,
                marks: Vec::new(),
                depths: depths(case, points),
                wear_bars: Vec::new(),
                parked: None,
                units: case.input.units,
            });
            let unit = case.input.units.depth_unit().symbol;
            Block::figure(drawing, format!("{}: depths in {unit}, as read at each place", title_here(result)))
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
