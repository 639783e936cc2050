//! One student against the key: finding by finding, with the places drawn.

use std::collections::BTreeMap;

use egui::{RichText, Ui};

use super::drawings::{self, Numbered};
use super::kept::Marked;
use super::{ClassState, entries, roster, scores};
use crate::class::{Outcome, Score, words};
use crate::exercise::{Key, Sheet};
use crate::garage::Course;
use crate::inspection::FindingId;
use crate::machine::Machine;
use crate::ui::widgets::{caption, strong, trouble};
use crate::ui::{Action, ViewCtx};

/// Draws it.
pub(super) fn ui(cx: &ViewCtx<'_>, course: &Course, class: &mut ClassState, _actions: &mut Vec<Action>, ui: &mut Ui) {
    if ui.button("Back to the class").clicked() {
        class.student = None;
    }
    let Some(id) = class.student.clone() else { return };
    let marked = match class.kept.marked() {
        Some(Ok(marked)) => marked,
        Some(Err(why)) => return trouble(ui, &why),
        None => return,
    };
    let at = marked.results.scores.iter().position(|s| s.sheet == id);
    let sheet = course.sheets.iter().find(|s| s.id == id);
    let bay = cx.garage.bay(&course.exercise.machine);
    let (Some(at), Some(sheet), Some(key), Some(bay)) = (at, sheet, &course.key, bay) else {
        ui.label("This sheet is not marked; the list of the class says why.");
        return;
    };
    let score = &marked.results.scores[at];
    let percent = score.percent().map(|p| format!(" ({p:.0} %)")).unwrap_or_default();
    strong(
        ui,
        &format!(
            "{}: {} of {}{percent}",
            roster(course, class).name(&id),
            entries::plain(score.earned),
            entries::plain(score.out_of)
        ),
    );
    for line in scores::figure_lines(&marked.each[at]) {
        ui.label(line);
    }
    ui.add_space(8.0);
    let numbers = marked.results.numbers();
    let became = |ui: &mut Ui| {
        findings(cx, key, (score, sheet), &numbers, ui);
        readings(cx, score, ui);
        verdict_and_time(score, ui);
    };
    if ui.available_width() >= 1000.0 {
        ui.columns(2, |columns| {
            // Columns would set words to both edges.
            let ragged = egui::Layout::top_down(egui::Align::Min);
            columns[0].with_layout(ragged, became);
            columns[1].with_layout(ragged, |ui| {
                places(cx, course, &bay.machine, (key, score), &marked, class, ui);
            });
        });
        return;
    }
    became(ui);
    ui.add_space(8.0);
    places(cx, course, &bay.machine, (key, score), &marked, class, ui);
}

/// The findings of the key with what became of each, then the false alarms.
fn findings(
    cx: &ViewCtx<'_>,
    key: &Key,
    (score, sheet): (&Score, &Sheet),
    numbers: &BTreeMap<FindingId, usize>,
    ui: &mut Ui,
) {
    strong(ui, "Findings");
    for (index, finding) in key.inspection.findings.iter().enumerate() {
        let what = words::finding_words(cx.catalogue, finding);
        // The number of the drawings and of the paper.
        ui.label(format!("{}. {what}", numbers.get(&finding.id).copied().unwrap_or_default()));
        let became = match score.pairings.iter().find(|p| p.key == finding.id) {
            Some(pairing) => format!("{}; earns {}", words::pairing_words(pairing), entries::plain(pairing.earned)),
            None => score
                .missed
                .iter()
                .find(|m| m.key == finding.id)
                .map_or_else(String::new, |m| words::missed_words(m).to_owned()),
        };
        ui.indent(("became", index), |ui| {
            ui.label(RichText::new(became).color(cx.tokens.strong));
            let other = drawings::answer_to(score, sheet, &finding.id);
            if let Some(named) = other.filter(|f| f.fault != finding.fault || f.place != finding.place) {
                caption(ui, &format!("written down: {}", words::finding_words(cx.catalogue, named)));
            }
        });
    }
    if score.alarms.is_empty() {
        return;
    }
    strong(ui, "False alarms");
    for alarm in &score.alarms {
        if let Some(finding) = sheet.inspection.findings.iter().find(|f| f.id == alarm.found) {
            ui.label(format!("{}: {}", alarm.severity.word(), words::finding_words(cx.catalogue, finding)));
        }
    }
}

fn readings(cx: &ViewCtx<'_>, score: &Score, ui: &mut Ui) {
    if score.readings.is_empty() {
        return;
    }
    strong(ui, "Readings");
    for reading in &score.readings {
        let title = words::check_words(cx.catalogue, &reading.check);
        ui.label(format!("{title}: {}", words::reading_words(reading)));
    }
}

fn verdict_and_time(score: &Score, ui: &mut Ui) {
    let key = if score.decision == score.key_decision { "as the key" } else { score.key_decision.words() };
    let says = if score.decision == score.key_decision { String::from(key) } else { format!("the key says {key}") };
    ui.label(format!("Verdict: {}, {says}", score.decision.words()));
    if score.stations.is_empty() {
        caption(ui, "No times were kept.");
        return;
    }
    let stations: Vec<String> = score.stations.iter().map(|(s, m)| format!("{} {m:.1} min", s.word())).collect();
    ui.label(format!("Time: {}", stations.join(" · ")));
}

/// The plan and the faces with the key's marks and the student's.
fn places(
    cx: &ViewCtx<'_>,
    course: &Course,
    machine: &Machine,
    (key, score): (&Key, &Score),
    marked: &Marked,
    class: &mut ClassState,
    ui: &mut Ui,
) {
    strong(ui, "Where");
    let is_found = |id: &FindingId| score.pairings.iter().any(|p| &p.key == id && p.outcome == Outcome::Found);
    let numbered: Vec<Numbered<'_>> = scores::numbered(key, &marked.results)
        .into_iter()
        .map(|one| Numbered { missed: if is_found(&one.finding.id) { 0.0 } else { 1.0 }, ..one })
        .collect();
    let faces = class.kept.faces(cx, course, Some(&score.sheet));
    let plan = |width: f32| drawings::numbered_plan(machine, &numbered, width, 420.0);
    drawings::beside(ui, plan, cx.tokens, |ui| {
        caption(ui, "On the plan a large disc was not found as the key asks.");
        drawings::faces(ui, &faces, cx.tokens);
    });
}
