//! Several faults of one class in one area: what was proposed of them, and what the owner answered. Both are written
//! down, for nothing is raised by itself.

use super::case::RecordCase;
use super::words::{count, day};
use crate::drawing::shape::Ink;
use crate::inspection::{Inspection, Overrule};
use crate::report::block::{Block, BlockKind, Span};
use crate::rules::{Because, Case, Together, assess};

/// The proposals with their answers; nothing where there are none.
pub(super) fn blocks(case: &RecordCase<'_>) -> Vec<Block> {
    let answered = answered(case);
    // A fault that was closed by the day of the inspection speaks for nothing.
    let is_open = |b: &Because| {
        let closing = b.finding.as_ref().and_then(|id| case.input.bay.closing(id));
        closing.is_none_or(|event| event.date > case.input.inspection.date)
    };
    let open = case.assessment.together.iter().cloned().map(|mut together| {
        together.because.retain(is_open);
        together
    });
    let open: Vec<Together> = open.filter(|together| together.because.len() > 1).collect();
    if answered.is_empty() && open.is_empty() {
        return Vec::new();
    }
    let judging = judging(case, case.input.inspection);
    let mut items: Vec<Vec<Span>> = Vec::new();
    for (together, by) in &answered {
        let mut spans = said(together);
        let name = if by.by.trim().is_empty() { "a person not named" } else { by.by.trim() };
        spans.push(Span::text(format!(" Taken together they count as {}: so {name} said.", by.severity.word())));
        items.push(spans);
    }
    for together in &open {
        let mut spans = said(together);
        spans.push(Span::text(format!(
            " If together they are worse than each by itself, they count as {}. Nobody has said so by {}, so each counts \
             by itself.",
            together.to.word(),
            day(case.input.inspection.date)
        )));
        items.push(spans);
    }
    let source = answered.iter().map(|(t, _)| t).chain(&open).next().map(|t| t.source(&judging).words());
    vec![
        Block::heading(3, "Several faults together"),
        Block::from(BlockKind::Bullets { items }),
        Block::spans(vec![Span::text(capital_source(source)).small().ink(Ink::Faint)]),
    ]
}

/// The faults of a proposal: `2 minor faults of the brakes: …; ….`
fn said(together: &Together) -> Vec<Span> {
    let faults = count(together.because.len(), &format!("{} fault", together.class.word()));
    let each: Vec<&str> = together.because.iter().map(|b| b.words.as_str()).collect();
    vec![
        Span::text(format!("{faults} of one area, {}: ", together.area)).strong(),
        Span::text(format!("{}.", each.join("; "))),
    ]
}

/// The proposals that a person has confirmed by raising one of their faults: what would be proposed without that word.
fn answered<'c>(case: &'c RecordCase<'_>) -> Vec<(Together, &'c Overrule)> {
    let inspection = case.input.inspection;
    let of_findings = inspection.findings.iter().filter_map(|f| Some((Raised::Finding(&f.id), f.overrule.as_ref()?)));
    let of_checks = inspection.overrules.iter().map(|(check, overrule)| (Raised::Check(check), overrule));
    let mut answered = Vec::new();
    for (raised, overrule) in of_findings.chain(of_checks) {
        let mut without = inspection.clone();
        match raised {
            Raised::Finding(id) => without.findings.iter_mut().filter(|f| f.id == *id).for_each(|f| f.overrule = None),
            Raised::Check(check) => drop(without.overrules.remove(check)),
        }
        let proposed = assess(&judging(case, &without)).together;
        let is_meant = |b: &Because| match raised {
            Raised::Finding(id) => b.finding.as_ref() == Some(id),
            Raised::Check(check) => b.finding.is_none() && b.check == *check,
        };
        // Another reason for the higher class is another matter; it stands beside its finding.
        let found = proposed.into_iter().find(|t| {
            t.to == overrule.severity && Together::is_reason(&overrule.reason) && t.because.iter().any(is_meant)
        });
        answered.extend(found.map(|together| (together, overrule)));
    }
    answered
}

/// What a person has raised.
#[derive(Clone, Copy)]
enum Raised<'a> {
    Finding(&'a crate::inspection::FindingId),
    Check(&'a crate::inspection::CheckRef),
}

fn judging<'a>(case: &RecordCase<'a>, inspection: &'a Inspection) -> Case<'a> {
    let input = case.input;
    Case::new(case.machine(), inspection, &[], input.catalogue, input.units, input.inspection.date)
}

fn capital_source(source: Option<String>) -> String {
    source.map_or_else(String::new, |words| format!("{}.", super::words::capital(&words)))
}
