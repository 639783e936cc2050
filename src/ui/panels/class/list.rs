//! The exercises of the garage, and the way to one that was sent.

use egui::{RichText, Ui, vec2};

use super::entries::{self, PathField};
use super::make;
use crate::garage::Course;
use crate::ui::widgets::{caption, heading, strong};
use crate::ui::{Action, UiState, ViewCtx};

/// Draws the list.
pub(super) fn ui(cx: &ViewCtx<'_>, state: &mut UiState, actions: &mut Vec<Action>, ui: &mut Ui) {
    heading(ui, "Class");
    caption(
        ui,
        "An exercise is made from a machine and what you found on it. The students walk round it with what was planted, \
         each on a laptop of their own; their sheets are marked against your key, which never leaves this folder.",
    );
    ui.add_space(8.0);
    strong(ui, "Exercises");
    if cx.garage.courses.is_empty() {
        ui.label("None yet. Make one below, or open one that was sent to you.");
    }
    let mut chosen = None;
    for course in &cx.garage.courses {
        ui.horizontal_wrapped(|ui| {
            let button = egui::Button::new(&course.exercise.title).min_size(vec2(240.0, cx.tokens.target));
            if ui.add(button).clicked() {
                chosen = Some(course);
            }
            ui.label(RichText::new(course_words(cx, course)).small().color(cx.tokens.faint));
        });
    }
    if let Some(course) = chosen {
        state.class.choose(Some(course.exercise.id.clone()));
        // The list at the left and the verdict below then speak of the machine of the exercise.
        if state.machine.as_ref() != Some(&course.exercise.machine) && cx.garage.bay(&course.exercise.machine).is_some()
        {
            state.machine = Some(course.exercise.machine.clone());
            (state.inspection, state.check, state.finding) = (None, None, None);
        }
    }
    ui.add_space(14.0);
    make::ui(cx, state, actions, ui);
    ui.add_space(14.0);
    sent(state, actions, ui);
}

/// What an exercise is in a few words.
fn course_words(cx: &ViewCtx<'_>, course: &Course) -> String {
    let exercise = &course.exercise;
    let machine = cx.garage.bay(&exercise.machine).map_or("its machine is missing", |b| b.machine.name.as_str());
    let mut words = vec![machine.to_owned(), exercise.date.to_string()];
    if let Some(minutes) = exercise.minutes {
        words.push(format!("{minutes} min"));
    }
    match &course.key {
        Some(key) => {
            words.push(count(key.inspection.findings.len(), "finding in the key", "findings in the key"));
            words.push(count(course.sheets.len(), "sheet", "sheets"));
        }
        None => {
            let kind = cx.catalogue.kind(&exercise.kind).map_or(exercise.kind.as_str(), |k| k.name.as_str());
            words.push(format!("to be walked as \"{kind}\" and handed in: press it for the task and to begin"));
        }
    }
    words.join(" · ")
}

fn count(n: usize, one: &str, many: &str) -> String {
    format!("{n} {}", if n == 1 { one } else { many })
}

/// An exercise that an instructor sent.
fn sent(state: &mut UiState, actions: &mut Vec<Action>, ui: &mut Ui) {
    strong(ui, "An exercise that was sent to you");
    caption(
        ui,
        "One zip file. It is unpacked into a new folder beside it and opened; drop it on this window, or name it.",
    );
    if ui.button("Open an exercise…").clicked() {
        actions.push(Action::ChooseExercise);
    }
    let to = state.class.paths.text("unpack to").to_owned();
    let field = PathField { name: "or type its path", hint: "exercise.zip", button: "Unpack it and open it" };
    if let Some(pack) = entries::path(ui, &mut state.class.paths, "unpack", &field) {
        actions.push(Action::OpenExercise { pack: pack.into(), to });
    }
    entries::text(ui, "into a folder", "beside it", state.class.paths.text_mut("unpack to"), 320.0);
}
