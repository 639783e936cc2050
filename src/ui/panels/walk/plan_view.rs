//! The machine in plan with its wheels and stations to choose.

use egui::Ui;

use super::round::Round;
use super::{field::chip, select};
use crate::ui::UiState;

/// Draws the plan in the height given.
pub(super) fn ui(round: &Round<'_>, state: &mut UiState, ui: &mut Ui, height: f32) {
    let _ = height;
    ui.horizontal_wrapped(|ui| {
        for wheel in &round.machine().wheels {
            let chosen = state.wheel == Some(wheel.position);
            if chip(ui, round.cx.tokens, chosen, &format!("{} wheel", wheel.position.word())) {
                select::wheel(state, wheel.position);
            }
        }
    });
}
