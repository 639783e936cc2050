//! The walk-around: the machine in plan, the wheel as a clock, the tread unrolled, the checks, and what is in hand.

use crate::ui::{Action, UiState, ViewCtx};

/// What the panel keeps between frames.
#[derive(Clone, Debug, Default)]
pub struct WalkState {}

/// Draws the panel.
pub fn ui(_cx: &ViewCtx<'_>, _state: &mut UiState, _actions: &mut Vec<Action>, _ui: &mut egui::Ui) {}
