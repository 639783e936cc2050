//! What speaks against riding, as a stranger is told it: nothing dangerous or major can be left out, and minors that are
//! left out are counted.
//!
//! The fields are this file's own and there is one way in, so no report can say less.

use super::case::RecordCase;
use super::words::{capital, count, day};
use crate::drawing::notch::{self, Mark};
use crate::inspection::{Finding, Severity};
use crate::report::block::{Block, Cell, Column, Span, Table};
use crate::rules::Because;

/// The open findings and readings outside their limits, sorted by what may be done with them.
pub(super) struct Told<'a> {
    /// Dangerous and major, and every minor whose class a person lowered: always written out.
    grave: Vec<&'a Because>,
    minors: Minors<'a>,
}

/// The minor findings.
enum Minors<'a> {
    /// Each with its words.
    Written(Vec<&'a Because>),
    /// Only how many there are.
    Counted(usize),
}

impl<'a> Told<'a> {
    /// Everything that speaks against riding on the day of the inspection, what was open from before included.
    pub fn of(case: &'a RecordCase<'_>) -> Self {
        let all = &case.verdict.because;
        let (grave, minors): (Vec<_>, Vec<_>) =
            all.iter().partition(|b| b.severity > Severity::Minor || is_set_by_a_person(case, b));
        let minors =
            if case.input.options.count_minors { Minors::Counted(minors.len()) } else { Minors::Written(minors) };
        Self { grave, minors }
    }

    /// Everything that is written out, worst first.
    pub fn written(&self) -> impl Iterator<Item = &'a Because> {
        let minors = match &self.minors {
            Minors::Written(minors) => minors.as_slice(),
            Minors::Counted(_) => &[],
        };
        self.grave.iter().chain(minors).copied()
    }

    /// The findings as a table, worst first, and how many minors are not in it.
    pub fn blocks(&self, case: &RecordCase<'_>) -> Vec<Block> {
        let mut blocks = vec![Block::heading(2, "What was found")];
        let counted = if let Minors::Counted(n) = &self.minors { *n } else { 0 };
        let rows: Vec<Vec<Cell>> = self.written().map(|because| row(case, because)).collect();
        if rows.is_empty() && counted == 0 {
            blocks.push(Block::paragraph(
                "Nothing that speaks against riding was found in what was looked at. What was not looked at is listed \
                 below; it is unknown.",
            ));
        }
        if !rows.is_empty() {
            blocks.push(Block::table(Table {
                columns: vec![Column::left(1.15), Column::left(4.2), Column::left(2.4)],
                head: ["Class", "What and where", "More about it"].map(Cell::strong).into(),
                rows,
            }));
        }
        if counted > 0 {
            blocks.push(Block::spans(vec![
                Span::text(format!("{} {} not written out here.", count(counted, "minor finding"), is_or_are(counted)))
                    .strong(),
                Span::text(" The record attached to this file holds them with their places."),
            ]));
        }
        blocks
    }
}

fn is_or_are(n: usize) -> &'static str {
    if n == 1 { "is" } else { "are" }
}

/// Whether the class was set by a person, so that nobody lowers a finding to have it counted only.
fn is_set_by_a_person(case: &RecordCase<'_>, because: &Because) -> bool {
    let inspection = case.input.bay.inspection(&because.inspection);
    inspection.is_some_and(|inspection| match &because.finding {
        Some(id) => inspection.findings.iter().any(|f| &f.id == id && f.overrule.is_some()),
        None => inspection.overrules.contains_key(&because.check),
    })
}

/// The finding that a reason is, where it is one.
pub(super) fn finding_of<'c>(case: &RecordCase<'c>, because: &Because) -> Option<&'c Finding> {
    let id = because.finding.as_ref()?;
    case.input.bay.inspection(&because.inspection)?.findings.iter().find(|f| &f.id == id)
}

fn row(case: &RecordCase<'_>, because: &Because) -> Vec<Cell> {
    let inspection = case.input.bay.inspection(&because.inspection);
    let finding = finding_of(case, because);
    let mut more: Vec<String> = Vec::new();
    if let Some(finding) = finding {
        more.extend(finding.size.map(|size| super::words::size(size, case.input.units)));
        more.push(finding.note.trim().to_owned());
    }
    let set = finding
        .and_then(|f| f.overrule.as_ref())
        .or_else(|| inspection.and_then(|i| i.overrules.get(&because.check)).filter(|_| because.finding.is_none()));
    if let Some(set) = set {
        more.push(format!("set to {} by {}: {}", set.severity.word(), named(&set.by), named(&set.reason)));
    }
    if let Some(inspection) = inspection.filter(|i| i.id != case.input.inspection.id) {
        more.push(format!("found on {}", day(inspection.date)));
    }
    more.retain(|part| !part.is_empty());
    let mark = notch::drawing(Mark::Found(because.severity), 10.0);
    vec![
        Cell::Marked(mark, vec![Span::text(because.severity.word()).strong()]),
        Cell::text(capital(&because.words)),
        Cell::Text(vec![Span::text(more.join("\n")).small()]),
    ]
}

fn named(words: &str) -> &str {
    if words.trim().is_empty() { "not said" } else { words.trim() }
}
