//! The garage: its name, its units, where it is on disk, and what could not be read.

use crate::ui::{Action, UiState, ViewCtx};

/// What the panel keeps between frames.
#[derive(Clone, Debug, Default)]
pub struct GarageState {}

/// Draws the panel.
pub fn ui(_cx: &ViewCtx<'_>, _state: &mut UiState, _actions: &mut Vec<Action>, _ui: &mut egui::Ui) {}
