//! The panels, one file (or folder) each, and the table of places that the window walks.

pub mod calculator;
pub mod calendar;
pub mod class;
pub mod garage;
pub mod history;
pub mod machine_form;
pub mod machines;
pub mod meeting;
pub mod photos;
pub mod repairs;
pub mod report;
pub mod verdict_bar;
pub mod walk;

use super::{Action, Place, UiState, ViewCtx};

/// A place of the window: its name in the menu, its key, and how it is drawn in the middle.
pub struct PlaceEntry {
    /// Which place.
    pub place: Place,
    /// What it is called.
    pub name: &'static str,
    /// The function key that opens it.
    pub key: egui::Key,
    /// Draws it.
    pub ui: fn(&ViewCtx<'_>, &mut UiState, &mut Vec<Action>, &mut egui::Ui),
}

/// Every place, in the order of the menu.
pub static PLACES: &[PlaceEntry] = &[
    PlaceEntry { place: Place::Walk, name: "Walk-around", key: egui::Key::F1, ui: walk::ui },
    PlaceEntry { place: Place::Machine, name: "Machine", key: egui::Key::F2, ui: machine_form::ui },
    PlaceEntry { place: Place::Report, name: "Report", key: egui::Key::F3, ui: report::ui },
    PlaceEntry { place: Place::Garage, name: "Garage", key: egui::Key::F4, ui: garage::ui },
    PlaceEntry { place: Place::History, name: "History", key: egui::Key::F5, ui: history::ui },
    PlaceEntry { place: Place::Calendar, name: "Due", key: egui::Key::F6, ui: calendar::ui },
    PlaceEntry { place: Place::Class, name: "Class", key: egui::Key::F7, ui: class::ui },
    PlaceEntry { place: Place::Repairs, name: "Repairs", key: egui::Key::F8, ui: repairs::ui },
];
