//! Files dropped on the window while the class is open: sheets are taken in, an exercise is opened.

use std::path::PathBuf;

use egui::{Frame, Ui};

use crate::ui::{Action, UiState};

/// Takes what was dropped in this frame, and says what becomes of it while it is held over the window.
pub fn arrivals(state: &UiState, actions: &mut Vec<Action>, ui: &mut Ui) {
    let (is_held, dropped) = ui.input(|i| {
        let dropped: Vec<PathBuf> = i.raw.dropped_files.iter().map(|f| f.path().to_owned()).collect();
        (!i.raw.hovered_files.is_empty(), dropped)
    });
    if is_held {
        let area = egui::Area::new(egui::Id::unique("class file held over the window"));
        area.order(egui::Order::Foreground).anchor(egui::Align2::CENTER_CENTER, egui::Vec2::ZERO).show(
            ui.ctx(),
            |ui| {
                Frame::popup(ui.style()).inner_margin(24.0).show(ui, |ui| {
                    ui.heading("Let go to take sheets in, or to open an exercise");
                });
            },
        );
    }
    let is_zip = |path: &PathBuf| path.extension().is_some_and(|e| e.eq_ignore_ascii_case("zip"));
    let (packs, sheets): (Vec<PathBuf>, Vec<PathBuf>) = dropped.into_iter().partition(is_zip);
    if let Some(pack) = packs.into_iter().next() {
        actions.push(Action::OpenExercise { pack, to: String::new() });
    }
    if sheets.is_empty() {
        return;
    }
    match &state.class.course {
        Some(course) => actions.push(Action::TakeInSheets(course.clone(), sheets)),
        None => actions.push(Action::Tell(
            "Expected an exercise in hand for the sheets, found none: choose one from the list, then drop them again."
                .into(),
        )),
    }
}
