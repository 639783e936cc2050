//! Two inspections side by side, of one machine or of two: what was found and read in each, check by check.

use std::collections::BTreeSet;

use egui::Ui;

use super::kept::Kept;
use crate::garage::Bay;
use crate::inspection::{CheckRef, InspectionId};
use crate::machine::MachineId;
use crate::rules::{Assessment, Case, CheckResult, Outcome, assess};
use crate::ui::ViewCtx;
use crate::ui::widgets::{caption, choice, strong, yes_no};

/// An inspection of a machine.
pub(super) type Side = (MachineId, InspectionId);
/// The two that are compared, and whether only what differs is shown.
pub(super) type Pair = (Side, Side, bool);

/// What was chosen.
#[derive(Clone, Debug)]
pub(super) struct Chosen {
    left: Option<Side>,
    right: Option<Side>,
    only_different: bool,
}

impl Default for Chosen {
    fn default() -> Self {
        Self { left: None, right: None, only_different: true }
    }
}

/// A check in both.
#[derive(Clone, Debug)]
pub(super) struct Row {
    title: String,
    left: String,
    right: String,
    differs: bool,
}

/// The whole.
#[derive(Clone, Debug)]
pub(super) struct Comparison {
    left: String,
    right: String,
    rows: Vec<Row>,
    alike: usize,
}

/// Draws it.
pub(super) fn ui(cx: &ViewCtx<'_>, bay: &Bay, chosen: &mut Chosen, kept: &mut Kept, ui: &mut Ui) {
    let all: Vec<(Option<Side>, String)> = cx
        .garage
        .bays
        .iter()
        .flat_map(|b| b.inspections.iter().rev().map(move |i| (b, i)))
        .map(|(b, i)| {
            (Some((b.machine.id.clone(), i.id.clone())), format!("{}, {} {}", b.machine.name, i.date, i.kind))
        })
        .collect();
    if !cx.derived.on_disk.machines.is_empty() {
        caption(
            ui,
            "In a garage as large as this one, the machines are listed whose records are in memory: take another one in hand at the left, and it is.",
        );
    }
    if all.len() < 2 {
        strong(ui, "Two inspections are needed");
        ui.label("Make a second one on the walk-around (F1), of this machine or of another.");
        return;
    }
    let is_there = |side: &Option<Side>| all.iter().any(|(s, _)| s == side);
    // The last two of this machine, until something else is chosen.
    let own: Vec<Side> = bay.inspections.iter().rev().map(|i| (bay.machine.id.clone(), i.id.clone())).collect();
    if !is_there(&chosen.right) {
        chosen.right = own.first().cloned().or_else(|| all.first().and_then(|(s, _)| s.clone()));
    }
    if !is_there(&chosen.left) {
        let other = |s: &&Side| Some(*s) != chosen.right.as_ref();
        chosen.left =
            own.iter().find(other).or_else(|| all.iter().filter_map(|(s, _)| s.as_ref()).find(other)).cloned();
    }
    if let Some(left) = choice(ui, "One", &chosen.left, &all) {
        chosen.left = left;
    }
    if let Some(right) = choice(ui, "The other", &chosen.right, &all) {
        chosen.right = right;
    }
    if let Some(only) = yes_no(ui, "Show", "only what differs", chosen.only_different) {
        chosen.only_different = only;
    }
    let (Some(left), Some(right)) = (chosen.left.clone(), chosen.right.clone()) else { return };
    let pair = (left, right, chosen.only_different);
    if kept.comparison.as_ref().is_none_or(|(of, _)| *of != pair) {
        kept.comparison = compare(cx, &pair).map(|c| (pair, c));
    }
    let Some((_, comparison)) = &kept.comparison else { return };
    grid(comparison, ui);
}

/// Three columns; each row is as high as its highest cell.
fn grid(comparison: &Comparison, ui: &mut Ui) {
    let column = ((ui.available_width() - 40.0) / 3.0).clamp(90.0, 320.0);
    let cell = |ui: &mut Ui, words: &str, is_strong: bool| {
        ui.vertical(|ui| {
            ui.set_width(column);
            if is_strong {
                strong(ui, words);
            } else {
                ui.add(egui::Label::new(words).wrap());
            }
        });
    };
    let row = |ui: &mut Ui, words: [&str; 3], is_strong: [bool; 3]| {
        ui.separator();
        ui.horizontal_top(|ui| {
            for (words, is_strong) in words.into_iter().zip(is_strong) {
                cell(ui, words, is_strong);
            }
        });
    };
    row(ui, ["Check", &comparison.left, &comparison.right], [true; 3]);
    for entry in &comparison.rows {
        row(ui, [&entry.title, &entry.left, &entry.right], [entry.differs, false, false]);
    }
    if comparison.alike > 0 {
        caption(ui, &format!("{} checks are alike in both and not shown.", comparison.alike));
    }
}

fn compare(cx: &ViewCtx<'_>, (left, right, only): &Pair) -> Option<Comparison> {
    let (a, left_words) = assessed(cx, left)?;
    let (b, right_words) = assessed(cx, right)?;
    let all: Vec<&CheckRef> = a.results.iter().chain(&b.results).map(|r| &r.check).collect();
    let mut seen = BTreeSet::new();
    let (mut rows, mut alike) = (Vec::new(), 0);
    for check in all.into_iter().filter(|c| seen.insert(*c)) {
        let (one, other) = (a.result(check), b.result(check));
        let row = Row {
            title: one.or(other).map(|r| r.title.clone()).unwrap_or_default(),
            left: words(one),
            right: words(other),
            differs: words(one) != words(other),
        };
        if row.differs || !only {
            rows.push(row);
        } else {
            alike += 1;
        }
    }
    Some(Comparison { left: left_words, right: right_words, rows, alike })
}

fn assessed(cx: &ViewCtx<'_>, (machine, inspection): &Side) -> Option<(Assessment, String)> {
    let bay = cx.garage.bay(machine)?;
    let index = bay.inspections.iter().position(|i| &i.id == inspection)?;
    let record = bay.inspections.get(index)?;
    let case = Case::new(&bay.machine, record, &bay.inspections[..index], cx.catalogue, cx.units(), cx.today);
    let odometer = record.odometer.map(|o| format!(", {}", cx.units().show(o))).unwrap_or_default();
    let assessment = assess(&case);
    let words = format!("{}, {}{odometer}: {}", bay.machine.name, record.date, assessment.verdict.decision.words());
    Some((assessment, words))
}

/// A check in a few words: its status, what was found, what was read.
fn words(result: Option<&CheckResult>) -> String {
    let Some(result) = result else { return "not asked".into() };
    let mut words = vec![result.status.words()];
    for judgement in &result.judgements {
        let is_fault = matches!(judgement.outcome, Outcome::Fault(_));
        let said = if judgement.reading.is_empty() && is_fault { &judgement.sentence } else { &judgement.reading };
        if !said.is_empty() && !words.contains(said) {
            words.push(said.clone());
        }
    }
    words.join("; ")
}
