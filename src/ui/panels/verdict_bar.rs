//! The verdict as a sentence along the bottom, with the findings that make it so.

use crate::ui::{Action, UiState, ViewCtx};

/// Draws the panel.
pub fn ui(_cx: &ViewCtx<'_>, _state: &mut UiState, _actions: &mut Vec<Action>, _ui: &mut egui::Ui) {}
