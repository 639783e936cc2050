//! What was not checked, which is never shown as sound; and what was looked at and sound.

use super::case::RecordCase;
use super::words::{count, place, title_here};
use crate::drawing::notch::{self, Mark};
use crate::inspection::Station;
use crate::report::block::{Block, BlockKind, Cell, Column, KeyValue, Span, Table};
use crate::rules::{CheckResult, Status};

/// The checks that are open, with why.
pub(super) fn open(case: &RecordCase<'_>) -> Vec<Block> {
    let mut blocks = vec![Block::heading(2, "Not checked")];
    let open: Vec<&CheckResult> = case.assessment.results.iter().filter(|r| r.status.is_open()).collect();
    if open.is_empty() {
        blocks.push(Block::paragraph("Every check that was asked has been looked at."));
        return blocks;
    }
    blocks.push(Block::paragraph(format!(
        "{} asked and not done. What nobody has looked at is not sound; it is unknown.",
        if open.len() == 1 { "1 check was".into() } else { format!("{} were", count(open.len(), "check")) }
    )));
    let unfinished: Vec<&&CheckResult> = open.iter().filter(|r| matches!(r.status, Status::CouldNot(_))).collect();
    if !unfinished.is_empty() {
        blocks.push(Block::heading(3, "Could not be checked"));
        let rows = unfinished.iter().map(|result| {
            let why = match &result.status {
                Status::CouldNot(why) => super::words::or_not_recorded(why),
                _ => String::new(),
            };
            vec![marked(result), Cell::text(result.station.word()), Cell::text(why)]
        });
        blocks.push(Block::table(Table {
            columns: vec![Column::left(2.6), Column::left(1.4), Column::left(3.0)],
            head: ["Check", "Place", "Why"].map(Cell::strong).into(),
            rows: rows.collect(),
        }));
    }
    let mut pairs = Vec::new();
    for station in Station::ALL {
        let names: Vec<String> = case.at(station).filter(|r| r.status == Status::Unchecked).map(name).collect();
        if !names.is_empty() {
            pairs.push((place(station), names.join("; ")));
        }
    }
    if !pairs.is_empty() {
        blocks.push(Block::heading(3, "Not looked at"));
        blocks.push(fine(pairs));
    }
    blocks
}

/// Labels with long lists beside them, in the smaller size.
pub(super) fn fine(pairs: Vec<(String, String)>) -> Block {
    let pairs =
        pairs.into_iter().map(|(label, text)| KeyValue { label, value: vec![Span::text(text).small()] }).collect();
    Block::from(BlockKind::KeyValues { pairs, two_up: false })
}

/// The title, and whether a verdict stands without it.
fn name(result: &CheckResult) -> String {
    let title = title_here(result);
    if result.required { title } else { format!("{title} (not required)") }
}

fn marked(result: &CheckResult) -> Cell {
    Cell::Marked(notch::drawing(Mark::Unchecked, 10.0), vec![Span::text(name(result))])
}

/// What was looked at and sound, and what the machine does not have.
pub(super) fn closed(case: &RecordCase<'_>) -> Vec<Block> {
    let mut blocks = vec![Block::heading(2, "Looked at and sound")];
    let listed = |status: &Status| {
        let mut pairs = Vec::new();
        for station in Station::ALL {
            let titles: Vec<String> = case.at(station).filter(|r| r.status == *status).map(title_here).collect();
            if !titles.is_empty() {
                pairs.push((place(station), titles.join("; ")));
            }
        }
        pairs
    };
    let sound = listed(&Status::Sound);
    if sound.is_empty() {
        blocks.push(Block::paragraph("Nothing was found sound in this inspection."));
    } else {
        blocks.push(fine(sound));
    }
    let lacking = listed(&Status::NotApplicable);
    if !lacking.is_empty() {
        blocks.push(Block::heading(3, "Not applicable: the machine lacks the part"));
        blocks.push(fine(lacking));
    }
    blocks
}
