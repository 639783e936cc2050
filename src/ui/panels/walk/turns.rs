//! The walk-around where there is little room, as on a projector with large type: its parts take turns.

use egui::{Panel, ScrollArea, Ui, vec2};

use super::field::chip_named;
use super::round::Round;
use super::{checks, conditions, head, in_hand, plan_view, station_view, wheel_view};
use crate::ui::{Action, UiState};

/// The width in points below which the parts take turns.
pub(super) const BELOW: f32 = 560.0;

/// The height in points that a wheel with its strip and its typed place needs; beyond the window it is scrolled to.
const WHEEL: f32 = 430.0;

/// The part in front.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) enum Turn {
    /// The machine in plan and its checks.
    #[default]
    Checks,
    /// The wheel or the station in view.
    Place,
    /// The check or finding in hand.
    InHand,
}

/// Draws the part in front, with the other two a key or a press away.
pub(super) fn ui(round: &Round<'_>, state: &mut UiState, actions: &mut Vec<Action>, ui: &mut Ui) {
    // What is chosen comes to the front by the choosing; a place that waits for its fault does when it is new.
    let is_new_place = state.walk.proposal.is_some() && !state.walk.in_hand.2;
    if is_new_place || state.walk.conditions.is_some() {
        state.walk.turn = Turn::InHand;
    }
    ui.horizontal_wrapped(|ui| {
        let place = if state.wheel.is_some() { "Wheel" } else { "Place" };
        for (turn, words) in [(Turn::Checks, "Checks"), (Turn::Place, place), (Turn::InHand, "In hand")] {
            if chip_named(ui, round.cx.tokens, state.walk.turn == turn, words, words) {
                state.walk.turn = turn;
            }
        }
    });
    match state.walk.turn {
        Turn::Checks => {
            let plan = (ui.available_width() * 0.3).clamp(110.0, 170.0);
            Panel::left("walk-plan").resizable(false).exact_size(plan).show(ui, |ui| {
                let height = ui.available_height();
                plan_view::ui(round, state, ui, height);
            });
            egui::CentralPanel::no_frame().show(ui, |ui| {
                head(round, state, ui);
                checks::ui(round, state, ui);
            });
        }
        Turn::Place => {
            ScrollArea::vertical().id_salt("walk-place").auto_shrink([false, false]).show(ui, |ui| {
                let size = vec2(ui.available_width() - 8.0, WHEEL);
                ui.allocate_ui(size, |ui| match (state.wheel, state.walk.station) {
                    (Some(wheel), _) => wheel_view::ui(round, state, actions, ui, wheel),
                    (None, Some(station)) => station_view::ui(round, state, actions, ui, station),
                    (None, None) => {}
                });
            });
        }
        Turn::InHand if state.walk.conditions.is_some() => {
            let area = ScrollArea::vertical().id_salt("conditions");
            area.show(ui, |ui| conditions::ui(round, state, actions, ui));
        }
        Turn::InHand => in_hand::ui(round, state, actions, ui),
    }
}
