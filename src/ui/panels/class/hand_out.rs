//! What the students get, and what comes back: the pack written, sheets taken in.

use egui::{RichText, Ui};

use super::ClassState;
use super::entries::{self, PathField};
use crate::edit::Command;
use crate::garage::Course;
use crate::ui::widgets::{caption, strong, tokens};
use crate::ui::{Action, ClassItem, Where};

/// Draws both.
pub(super) fn ui(course: &Course, class: &mut ClassState, actions: &mut Vec<Action>, ui: &mut Ui) {
    let id = &course.exercise.id;
    strong(ui, "For the students");
    caption(
        ui,
        "The exercise and the machine's record, and nothing of the key, of earlier inspections or of your notes. One zip \
         file is easiest to send; a folder can be opened as it is.",
    );
    ui.horizontal_wrapped(|ui| {
        for (words, what) in [("Save one zip file…", ClassItem::Pack), ("Save a folder…", ClassItem::PackFolder)] {
            if ui.button(words).clicked() {
                actions.push(Action::ClassFile(id.clone(), what, Where::Ask));
            }
        }
    });
    let name = ClassItem::Pack.name(id);
    let field = PathField { name: "or type a path for it", hint: &name, button: "Write the zip file" };
    if let Some(path) = entries::path(ui, &mut class.paths, "pack", &field) {
        actions.push(Action::ClassFile(id.clone(), ClassItem::Pack, Where::Typed(path)));
    }
    let field = PathField { name: "or for a folder", hint: &id.0, button: "Write the folder" };
    if let Some(path) = entries::path(ui, &mut class.paths, "pack folder", &field) {
        actions.push(Action::ClassFile(id.clone(), ClassItem::PackFolder, Where::Typed(path)));
    }
    ui.add_space(14.0);
    strong(ui, "Sheets that come back");
    caption(
        ui,
        "Drop them on this window, all at once if you like. One that cannot be taken in is named with why; the rest goes on.",
    );
    if ui.button("Take sheets in…").clicked() {
        actions.push(Action::ChooseSheets(id.clone()));
    }
    let field = PathField { name: "or type the path of one", hint: "sheet.ron", button: "Take it in" };
    if let Some(path) = entries::path(ui, &mut class.paths, "sheet", &field) {
        actions.push(Action::TakeInSheets(id.clone(), vec![path.into()]));
        class.paths.text_mut("sheet").clear();
    }
    ui.add_space(6.0);
    sheets(course, class, actions, ui);
}

/// The sheets that are here.
fn sheets(course: &Course, class: &ClassState, actions: &mut Vec<Action>, ui: &mut Ui) {
    let faint = tokens(ui).faint;
    if course.sheets.is_empty() {
        ui.label("None has been taken in yet.");
        return;
    }
    let roster = super::roster(course, class);
    for sheet in &course.sheets {
        ui.push_id(&sheet.id.0, |ui| {
            ui.horizontal_wrapped(|ui| {
                ui.label(roster.name(&sheet.id));
                let (answers, findings) = (sheet.inspection.answers.len(), sheet.inspection.findings.len());
                let words = format!("{} · {answers} answers · {findings} findings", sheet.inspection.date);
                ui.label(RichText::new(words).small().color(faint));
                let button = ui.small_button("Take out").on_hover_text(format!("the {}", roster.sheet(&sheet.id)));
                if button.clicked() {
                    actions.push(Action::Edit(Command::RemoveSheet(course.exercise.id.clone(), sheet.id.clone())));
                }
            });
        });
    }
}
