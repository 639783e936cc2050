//! The wheel in view: the side switch, the clock face, the unrolled tread, the marker in words, and a place to type one.

use egui::{RichText, Ui, vec2};

use super::field::{Typed, chip};
use super::round::Round;
use super::{face_view, place_form, placed, select, strip_view, valve};
use crate::clock::Side;
use crate::inspection::{Zone, marker_words_in};
use crate::machine::WheelPosition;
use crate::ui::theme::strong_family;
use crate::ui::{Action, UiState};

/// Draws the wheel.
pub(super) fn ui(
    round: &Round<'_>,
    state: &mut UiState,
    actions: &mut Vec<Action>,
    ui: &mut Ui,
    position: WheelPosition,
) {
    let Some(wheel) = round.machine().wheel(position) else { return };
    let tokens = round.cx.tokens;
    head(round, state, ui, position);
    let placed = placed::on_wheel(round, state, position);
    let in_hand = placed::in_hand(&placed);
    if state.walk.turning {
        valve::ui(round, state, ui, position, in_hand.map(|(_, spot)| spot));
    }
    let space = ui.available_size();
    let strip_height = (space.y * 0.24).clamp(86.0, 170.0);
    let below = strip_height + 44.0 + 62.0 + 4.0 * ui.spacing().item_spacing.y;
    let size = (space.y - below - 20.0).min(space.x).clamp(150.0, 620.0);
    ui.vertical_centered(|ui| face_view::ui(round, state, actions, ui, wheel, &placed, size));
    strip_view::ui(round, state, actions, ui, wheel, &placed, [space.x.max(180.0), strip_height]);
    // The place under the pointer or being typed comes before the one in hand.
    let told = state.walk.live.or(in_hand);
    let (words, strong) = match told {
        Some((zone, spot)) => {
            let far = if face_view::is_far(zone, state) { " · far side" } else { "" };
            let words = marker_words_in(wheel, zone, spot, select::side(state), round.units());
            (format!("{words}{far}"), true)
        }
        None => ("Click on the wheel or the strip where something is wrong, or type the place.".to_owned(), false),
    };
    ui.allocate_ui(vec2(space.x, 42.0), |ui| {
        ui.set_min_height(42.0);
        let text = RichText::new(words).size(13.5);
        ui.label(if strong { text.family(strong_family()).color(tokens.strong) } else { text.color(tokens.faint) });
    });
    entry(round, state, ui, position);
}

fn head(round: &Round<'_>, state: &mut UiState, ui: &mut Ui, position: WheelPosition) {
    let tokens = round.cx.tokens;
    ui.horizontal_wrapped(|ui| {
        let name = format!("{} wheel", super::words::capital(position.word()));
        ui.label(RichText::new(name).heading().color(tokens.strong));
        for side in [Side::Left, Side::Right] {
            if chip(ui, tokens, select::side(state) == side, &format!("from the {}", side.word())) {
                state.side = Some(side);
            }
        }
        if chip(ui, tokens, state.walk.turning, "Where does the valve stand now?") {
            state.walk.turning = !state.walk.turning;
            if !state.walk.turning {
                state.walk.valves.remove(&position);
            }
        }
    });
}

/// A place typed instead of clicked.
fn entry(round: &Round<'_>, state: &mut UiState, ui: &mut Ui, position: WheelPosition) {
    let zone = state.walk.entry_zone.unwrap_or(Zone::Centre);
    ui.horizontal(|ui| {
        let zones = round.zones(position);
        let zone = if zones.contains(&zone) { zone } else { Zone::Centre };
        if let Some(chosen) = place_form::zone_choice(round, ui, "entry", position, zone) {
            state.walk.entry_zone = Some(chosen);
        }
        let label = format!("Place, from the {}", select::side(state).word());
        ui.vertical(|ui| match place_form::spot_field(round, state, ui, "place-entry", &label, "", position, zone) {
            Typed::Read(spot) => {
                placed::propose(state, position, spot, zone);
                state.walk.drafts.focus_next = false;
            }
            Typed::Nothing | Typed::Cleared => {}
        });
    });
}
