//! What was still open from earlier inspections, and what happened after this one.

use super::case::RecordCase;
use super::words::day;
use crate::drawing::notch::{self, Mark};
use crate::garage::Bay;
use crate::inspection::{EventKind, FindingId, closing_words, event_words};
use crate::report::block::{Block, Cell, Column, Span, Table};
use crate::rules::standing;

pub(super) fn blocks(case: &RecordCase<'_>) -> Vec<Block> {
    let mut blocks = Vec::new();
    if !case.earlier.is_empty() {
        blocks.push(Block::heading(2, "Open from earlier inspections"));
        let rows = case.earlier.iter().map(|earlier| {
            let mut words = earlier.words.clone();
            if !earlier.note.trim().is_empty() {
                words.push_str(&format!(". {}", earlier.note.trim()));
            }
            if let Some(closed) = &earlier.closed {
                words.push_str(&format!(". Since then: {closed}"));
            }
            let mark = notch::drawing(Mark::Found(earlier.severity), 10.0);
            vec![Cell::Marked(mark, vec![Span::text(earlier.severity.word())]), Cell::text(words)]
        });
        blocks.push(Block::table(Table {
            columns: vec![Column::left(1.2), Column::left(5.8)],
            head: ["Class", "Finding"].map(Cell::strong).into(),
            rows: rows.collect(),
        }));
    }
    blocks.extend(since(case));
    blocks
}

/// Falls, work and closings after the day of the inspection, and whether its verdict still holds on the day of
/// printing.
fn since(case: &RecordCase<'_>) -> Vec<Block> {
    let (bay, inspection) = (case.input.bay, case.input.inspection);
    let mut items: Vec<String> = Vec::new();
    let tells = |kind: &EventKind| {
        !matches!(
            kind,
            EventKind::Odometer(_) | EventKind::Fill { .. } | EventKind::SameDefect { .. } | EventKind::Apart { .. }
        )
    };
    let since = bay.in_force().filter(|e| e.date > inspection.date && e.date <= case.input.today);
    for event in since.filter(|e| tells(&e.kind)) {
        let words = event_words(&event.kind, case.input.units);
        items.push(format!("{}: {}", day(event.date), words.trim()));
    }
    let is_latest = bay.latest().is_some_and(|latest| latest.id == inspection.id);
    if !is_latest && bay.inspections.iter().any(|i| i.id == inspection.id) {
        items.push("A later inspection of this machine is on record.".into());
    }
    if is_latest && case.input.today > inspection.date {
        let stands = standing(bay, case.input.catalogue, case.input.units, case.input.today);
        if let Some(verdict) = stands.verdict.filter(|v| v.decision != case.verdict.decision) {
            items.push(format!("On {} the machine reads: {}", day(case.input.today), verdict.sentence()));
        }
    }
    if items.is_empty() {
        return Vec::new();
    }
    vec![Block::heading(2, "Since this inspection"), Block::bullets(items)]
}

/// How and when a finding was closed, if it was.
pub(super) fn closed_words(bay: &Bay, finding: &FindingId) -> Option<String> {
    let event = bay.closing(finding)?;
    let EventKind::FindingClosed { closing, .. } = &event.kind else { return None };
    let by = if event.by.trim().is_empty() { String::new() } else { format!(" by {}", event.by.trim()) };
    Some(format!("{}{by}: {}", day(event.date), closing_words(closing)))
}
