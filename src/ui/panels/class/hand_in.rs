//! A student's exercise: what is asked, the inspection that answers it, and the one file that is handed in.

use egui::{RichText, Ui};

use super::super::walk::words;
use super::entries::{self, PathField};
use super::strip;
use crate::exercise::{Sheet, SheetId};
use crate::garage::{Bay, Course};
use crate::inspection::{Inspection, InspectionId};
use crate::machine::SCHEMA;
use crate::ui::widgets::{caption, choice, strong, trouble};
use crate::ui::{Action, ClassItem, Place, UiState, ViewCtx, Where};

/// What is typed about a sheet.
#[derive(Clone, Debug, Default)]
pub(super) struct HandInForm {
    /// The student's name; none before it is typed.
    student: Option<String>,
    /// The inspection; none for the newest.
    inspection: Option<InspectionId>,
}

/// Draws it.
pub(super) fn ui(cx: &ViewCtx<'_>, course: &Course, state: &mut UiState, actions: &mut Vec<Action>, ui: &mut Ui) {
    let exercise = &course.exercise;
    let Some(bay) = cx.garage.bay(&exercise.machine) else {
        trouble(
            ui,
            &format!(
                "Expected the machine {} in this garage, found none: ask for the exercise again.",
                exercise.machine
            ),
        );
        return;
    };
    if !exercise.task.is_empty() {
        ui.label(&exercise.task);
    }
    let limit = exercise.minutes.map_or_else(|| "no time limit".into(), |n| format!("{n} minutes"));
    let kind = cx.catalogue.kind(&exercise.kind).map_or(exercise.kind.as_str(), |k| k.name.as_str());
    caption(ui, &format!("{} · {kind} · {limit}", bay.machine.name));
    ui.add_space(10.0);
    strong(ui, "1. Walk round the machine");
    caption(
        ui,
        "Note what you find and where, in the walk-around. The moment of each answer is kept with it, so that the time at each station can be told.",
    );
    let mine: Vec<&Inspection> = bay.inspections.iter().rev().filter(|i| i.kind == exercise.kind).collect();
    ui.horizontal_wrapped(|ui| {
        let begin = if mine.is_empty() { "Begin" } else { "Begin another one" };
        if ui.button(begin).clicked() {
            state.machine = Some(bay.machine.id.clone());
            (state.inspection, state.check, state.finding) = (None, None, None);
            let student = state.class.hand_in.student.as_deref().unwrap_or(cx.inspector).trim();
            state.walk.begin(&exercise.kind, student);
            actions.push(Action::Go(Place::Walk));
        }
        if let Some(newest) = mine.first()
            && ui.button("Go on").clicked()
        {
            state.machine = Some(bay.machine.id.clone());
            state.inspection = Some(newest.id.clone());
            actions.push(Action::Go(Place::Walk));
        }
    });
    ui.add_space(10.0);
    strong(ui, "2. Hand it in");
    if mine.is_empty() {
        ui.label(format!("There is no inspection of the kind \"{kind}\" yet. Begin above."));
        return;
    }
    hand_in(cx, course, bay, &mine, state, actions, ui);
}

fn hand_in(
    cx: &ViewCtx<'_>,
    course: &Course,
    bay: &Bay,
    mine: &[&Inspection],
    state: &mut UiState,
    actions: &mut Vec<Action>,
    ui: &mut Ui,
) {
    let exercise = &course.exercise;
    let form = &mut state.class.hand_in;
    let student = form.student.get_or_insert_with(|| cx.inspector.to_owned());
    entries::text(ui, "Your name", "as your instructor knows you", student, 260.0);
    let student = student.trim().to_owned();
    let chosen = mine.iter().find(|i| Some(&i.id) == form.inspection.as_ref()).or(mine.first());
    let Some(chosen) = chosen else { return };
    if mine.len() > 1 {
        let all: Vec<_> = mine.iter().map(|i| (Some(i.id.clone()), inspection_words(i))).collect();
        if let Some(other) = choice(ui, "Inspection", &Some(chosen.id.clone()), &all) {
            form.inspection = other;
        }
    }
    let mut said = vec![inspection_words(chosen)];
    said.extend(strip::used(chosen, cx).map(|minutes| format!("{minutes} min since it began")));
    ui.label(RichText::new(said.join(" · ")).color(cx.tokens.line));
    if student.is_empty() {
        caption(ui, "Expected your name, found none: type it, then hand in.");
        return;
    }
    let sheet = |random: &str| {
        ClassItem::Sheet(Box::new(Sheet {
            schema: SCHEMA,
            id: SheetId::of(&student, random),
            exercise: exercise.id.clone(),
            student: student.clone(),
            machine: bay.machine.clone(),
            inspection: (*chosen).clone(),
        }))
    };
    let fresh = || cx.ids.fresh().chars().take(4).collect::<String>();
    if ui.button("Save the sheet…").clicked() {
        actions.push(Action::ClassFile(exercise.id.clone(), sheet(&fresh()), Where::Ask));
    }
    let hint = format!("{}.ron", SheetId::of(&student, "sheet"));
    let field = PathField { name: "or type a path", hint: &hint, button: "Hand it in there" };
    if let Some(path) = entries::path(ui, &mut state.class.paths, "hand in", &field) {
        actions.push(Action::ClassFile(exercise.id.clone(), sheet(&fresh()), Where::Typed(path)));
    }
    caption(ui, "One file with your name, what you saw, found and read, and when. Send it to your instructor.");
}

fn inspection_words(inspection: &Inspection) -> String {
    let begun = inspection.started.map(|t| format!(" {}", t.format("%H:%M"))).unwrap_or_default();
    let answers = words::count(inspection.answers.len(), "answer", "answers");
    let findings = words::count(inspection.findings.len(), "finding", "findings");
    format!("{}{begun}, {answers}, {findings}", inspection.date)
}
