//! What the students are told: title, task, time limit. It travels to them as it stands here.

use egui::Ui;

use super::make;
use crate::edit::Command;
use crate::exercise::Exercise;
use crate::ui::widgets::{Entry, caption, strong};
use crate::ui::{Action, ViewCtx};

/// Draws it, to be changed.
pub(super) fn ui(cx: &ViewCtx<'_>, exercise: &Exercise, actions: &mut Vec<Action>, ui: &mut Ui) {
    strong(ui, "What the students are told");
    let machine = cx.garage.bay(&exercise.machine).map_or("a machine that is missing", |b| b.machine.name.as_str());
    let kind = cx.catalogue.kind(&exercise.kind).map_or(exercise.kind.as_str(), |k| k.name.as_str());
    caption(ui, &format!("{machine} · {kind} · {}", exercise.date));
    let mut changed = exercise.clone();
    let title = Entry::new("Title", exercise.title.clone()).width(420.0).show(ui, |text| match text {
        "" => Err("expected a title, found none: type one".to_owned()),
        words => Ok(words.to_owned()),
    });
    changed.title = title.unwrap_or(changed.title);
    let task = Entry::new("Task", exercise.task.clone())
        .width(420.0)
        .rows(3)
        .hint("what you tell the students")
        .show(ui, |text| Ok(text.to_owned()));
    changed.task = task.unwrap_or(changed.task);
    let shown = exercise.minutes.map_or_else(String::new, |n| format!("{n} min"));
    let minutes = Entry::new("Time limit", shown).width(120.0).hint("none").show(ui, make::minutes);
    changed.minutes = minutes.unwrap_or(changed.minutes);
    if changed != *exercise {
        actions.push(Action::Edit(Command::PutExercise(changed)));
    }
}
