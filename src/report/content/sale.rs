//! The sale sheet: what a buyer wants to know, with what speaks against the machine first. What the seller may leave out
//! is who and where, never what.

use super::case::RecordCase;
use super::told::{Told, finding_of};
use super::words::{count, day};
use super::{RecordInput, checks, closing, findings, head, parts, photos, wear};
use crate::drawing::notch::{self, Mark};
use crate::history::OdometerLog;
use crate::inspection::{EventKind, Finding, Place, event_words};
use crate::report::block::{Block, BlockKind, Cell, Column, DocumentSpec, Ends, Picture, Span, Table};
use crate::rules::Status;

/// Checks of papers, keys and recalls, which a buyer cannot see on the machine.
const PAPERS: [&str; 4] = ["number-plate", "vin-papers", "keys", "recall"];

/// The sale sheet of a machine by one of its inspections.
pub fn sale(input: &RecordInput<'_>) -> DocumentSpec {
    let machine = &input.bay.machine;
    let case = RecordCase::new(input);
    let date = day(input.inspection.date);
    let mut spec = DocumentSpec::new(format!("Sale sheet: {}", machine.name), input.now);
    spec.author.clone_from(&input.inspection.inspector);
    spec.subject = format!("Condition of {} on {date}, for a sale", machine.name);
    spec.paper = input.paper;
    spec.head = Ends { left: machine.name.clone(), right: format!("Condition on {date}") };
    spec.foot = crate::report::content::foot();
    spec.blocks = vec![
        Block::heading(1, machine.name.clone()),
        Block::spans(vec![
            Span::text(format!("Sale sheet · {} · {date}", case.kind_name())).ink(crate::drawing::shape::Ink::Faint),
        ]),
        head::banner(&case),
        Block::key_values(head::about(&case), true),
    ];
    for part in [
        |case: &RecordCase<'_>| Told::of(case).blocks(case),
        pictures,
        wear::blocks,
        parts::blocks,
        checks::open,
        papers,
        history,
        checks::closed,
        closing::blocks,
    ] {
        spec.blocks.extend(part(&case));
    }
    spec
}

/// The photos of the findings that are written out, wheel by wheel and clockwise, each with its place.
fn pictures(case: &RecordCase<'_>) -> Vec<Block> {
    let told = Told::of(case);
    let mut ordered: Vec<&Finding> =
        told.written().filter_map(|b| finding_of(case, b)).filter(|f| !f.photos.is_empty()).collect();
    ordered.sort_by_key(|finding| match &finding.place {
        Place::Wheel { position, spot, .. } => {
            let at = case.machine().wheels.iter().position(|w| w.position == *position).unwrap_or(usize::MAX - 1);
            // Tenths of a degree tell any two spots apart that a finger does.
            (at, spot.map_or(0, |spot| (spot.degrees() * 10.0) as i64))
        }
        Place::Part { .. } => (usize::MAX, 0),
    });
    let mut shown = Vec::new();
    let mut rest = Vec::new();
    for finding in ordered {
        let words = format!("{}. {}", findings::place(case, finding), findings::what(case, finding));
        for block in photos::blocks(case.input, finding) {
            match block.kind {
                BlockKind::Image { photo, .. } => shown.push((Picture::Photo(photo), words.clone())),
                _ => rest.push(block),
            }
        }
    }
    let mut blocks = titled("Photos of what was found", shown, rest);
    let (mut shown, mut rest) = (Vec::new(), Vec::new());
    for photo in &case.machine().photos {
        match photos::block(case.input.photos, photo).kind {
            BlockKind::Image { photo: ready, .. } => shown.push((Picture::Photo(ready), photos::caption(photo))),
            other => rest.push(other.into()),
        }
    }
    blocks.extend(titled("Photos of the machine", shown, rest));
    blocks
}

/// Photos under a heading, those that cannot be shown after them; nothing where there are none.
fn titled(title: &str, shown: Vec<(Picture, String)>, rest: Vec<Block>) -> Vec<Block> {
    if shown.is_empty() && rest.is_empty() {
        return Vec::new();
    }
    let mut blocks = vec![Block::heading(2, title)];
    if !shown.is_empty() {
        blocks.push(Block::gallery(shown, 2));
    }
    blocks.extend(rest);
    blocks
}

/// Papers, keys and recalls: what was looked at, and what was not even asked.
fn papers(case: &RecordCase<'_>) -> Vec<Block> {
    let rows: Vec<Vec<Cell>> = PAPERS
        .iter()
        .filter_map(|id| case.input.catalogue.check(id))
        .map(|check| {
            let result = case.assessment.results.iter().find(|r| r.check.check == check.id);
            let (mark, words) = match result.map(|r| (&r.status, r.severity)) {
                Some((Status::Sound, _)) => (Mark::Sound, "looked at and sound".to_owned()),
                Some((Status::HasFinding, Some(severity))) => {
                    (Mark::Found(severity), format!("{}, see what was found", severity.word()))
                }
                Some((status, _)) => (Mark::Unchecked, status.words()),
                None => (Mark::Unchecked, "not asked in this inspection, so unknown".to_owned()),
            };
            vec![Cell::text(check.title.clone()), Cell::Marked(notch::drawing(mark, 10.0), vec![Span::text(words)])]
        })
        .collect();
    if rows.is_empty() {
        return Vec::new();
    }
    let columns = vec![Column::left(2.6), Column::left(4.4)];
    let head = ["Papers, keys and recalls", "What is known"].map(Cell::strong).into();
    vec![Block::heading(2, "Papers, keys and recalls"), Block::table(Table { columns, head, rows })]
}

/// What was done to the machine and how far it went, from the records.
fn history(case: &RecordCase<'_>) -> Vec<Block> {
    let (bay, units) = (case.input.bay, case.input.units);
    let mut blocks = vec![Block::heading(2, "History on record")];
    let log = OdometerLog::of(bay, case.input.today);
    let read = || log.entries.iter().filter(|entry| entry.run_km.is_some());
    if let (Some(first), Some(last)) = (read().next(), read().next_back()) {
        blocks.push(Block::paragraph(format!(
            "Odometer: {} on {}, {} on {}, by {}.",
            units.show(first.shown),
            day(first.date),
            units.show(last.shown),
            day(last.date),
            count(log.entries.len(), "reading")
        )));
    }
    let doubts: Vec<String> = log.notes.iter().map(|note| note.message.clone()).collect();
    if !doubts.is_empty() {
        blocks.push(Block::bullets(doubts));
    }
    let told = bay.in_force().filter(|event| {
        let is_work = matches!(
            event.kind,
            EventKind::Fall { .. }
                | EventKind::Work { .. }
                | EventKind::Job(_)
                | EventKind::PartFitted(_)
                | EventKind::FindingClosed { .. }
                | EventKind::OdometerReplaced { .. }
                | EventKind::Planted { .. }
                | EventKind::Unplanted { .. }
        );
        is_work && event.date <= case.input.today
    });
    let rows: Vec<Vec<Cell>> = told
        .map(|event| {
            let odometer = event.kind.odometer().or_else(|| bay.odometer_on(event.date));
            vec![
                Cell::text(day(event.date)),
                Cell::text(odometer.map_or_else(|| "–".into(), |o| units.show(o))),
                Cell::text(super::words::capital(event_words(&event.kind, units).trim())),
            ]
        })
        .collect();
    if rows.is_empty() {
        blocks.push(Block::paragraph(
            "No work, part or fall is on record. What was done before the records began is unknown.",
        ));
    } else {
        blocks.push(Block::table(Table {
            columns: vec![Column::left(1.5), Column::right(1.2), Column::left(5.0)],
            head: ["Day", "Odometer", "What was done"].map(Cell::strong).into(),
            rows,
        }));
    }
    blocks
}
