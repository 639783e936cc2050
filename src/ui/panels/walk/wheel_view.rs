//! The wheel in view: the side switch, the clock face, the unrolled tread, the marker in words, and a place to type one.

use egui::{RichText, Ui, vec2};

use super::field::{Typed, chip_named};
use super::round::Round;
use super::{face_view, place_entry, place_form, placed, select, strip_view, valve};
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
    let mut placed = placed::on_wheel(round, state, position);
    // What is being typed below is marked at once, so that a slip is seen before Enter.
    if let Some((zone, spot)) = typed(round, state, position) {
        state.walk.live = Some((zone, spot));
        placed.push(placed::Placed { spot, zone, severity: None, selected: true, finding: None });
    }
    let in_hand = placed::in_hand(&placed);
    if state.walk.turning {
        valve::ui(round, state, ui, position, in_hand.map(|(_, spot)| spot));
    }
    let space = ui.available_size();
    let strip_height = (space.y * 0.24).clamp(86.0, 170.0);
    let told_height = if space.x < 480.0 { 58.0 } else { 40.0 };
    // While the wheel is turned to where its valve stands, its field takes the room of the typed place.
    let entry_height = if state.walk.turning { 0.0 } else { 60.0 + refused_height(state, ui, space.x) };
    let below = strip_height + told_height + entry_height + 4.0 * ui.spacing().item_spacing.y;
    let size = (space.y - below - 20.0).min(space.x).clamp(120.0, 620.0);
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
    ui.allocate_ui(vec2(space.x, told_height), |ui| {
        ui.set_min_height(told_height);
        let text = RichText::new(words).size(13.5);
        ui.label(if strong { text.family(strong_family()).color(tokens.strong) } else { text.color(tokens.faint) });
    });
    if !state.walk.turning {
        entry(round, state, ui, position);
    }
}

fn head(round: &Round<'_>, state: &mut UiState, ui: &mut Ui, position: WheelPosition) {
    let tokens = round.cx.tokens;
    ui.horizontal_wrapped(|ui| {
        let narrow = ui.max_rect().width() < 480.0;
        let name = super::words::capital(position.word());
        let name = if narrow { format!("{name}, from the") } else { format!("{name} wheel") };
        let size = if narrow { 14.0 } else { 20.0 };
        ui.spacing_mut().item_spacing.x = 5.0;
        if narrow {
            ui.spacing_mut().button_padding.x = 7.0;
        }
        ui.label(RichText::new(name).family(strong_family()).size(size).color(tokens.strong));
        for side in [Side::Left, Side::Right] {
            let name = format!("from the {}", side.word());
            let words = if narrow { side.word() } else { name.as_str() };
            if chip_named(ui, tokens, select::side(state) == side, words, &name) {
                state.side = Some(side);
            }
        }
        if valve_chip(ui, tokens, state.walk.turning) {
            state.walk.turning = !state.walk.turning;
            if !state.walk.turning {
                state.walk.valves.remove(&position);
            }
        }
    });
}

/// The words are short where there is little room; the name is the same.
fn valve_chip(ui: &mut Ui, tokens: &crate::ui::theme::Tokens, on: bool) -> bool {
    let name = "Where does the valve stand now?";
    let words = match ui.max_rect().width() {
        width if width < 360.0 => "Valve?",
        width if width < 480.0 => "Where is the valve?",
        _ => name,
    };
    chip_named(ui, tokens, on, words, name)
}

/// The key of the typed place among the drafts.
const ENTRY: &str = "place-entry";

/// The place that is being typed, where it can be read already.
fn typed(round: &Round<'_>, state: &UiState, position: WheelPosition) -> Option<(Zone, crate::clock::Spot)> {
    let draft = state.walk.drafts.get(ENTRY)?;
    let zone = place_entry::zone_of(draft, entry_zone(round, state, position));
    let spot = place_entry::read(draft, select::side(state), zone, round.machine().wheel(position)?).ok()?;
    Some((zone, spot))
}

/// The room that the reason takes why the typed place could not be read, below its field and beside the zone.
fn refused_height(state: &UiState, ui: &Ui, width: f32) -> f32 {
    let Some(why) = state.walk.drafts.refused(ENTRY) else { return 0.0 };
    let font = egui::TextStyle::Small.resolve(ui.style());
    let room = (width - place_form::zone_width(width) - 30.0).max(60.0);
    let galley = ui.painter().layout(why.to_owned(), font, ui.visuals().text_color(), room);
    galley.size().y + ui.spacing().item_spacing.y
}

/// The zone chosen beside the typed place, where this wheel has it.
fn entry_zone(round: &Round<'_>, state: &UiState, position: WheelPosition) -> Zone {
    state.walk.entry_zone.filter(|z| round.zones(position).contains(z)).unwrap_or(Zone::Centre)
}

/// A place typed instead of clicked.
fn entry(round: &Round<'_>, state: &mut UiState, ui: &mut Ui, position: WheelPosition) {
    let zone = entry_zone(round, state, position);
    let typed = state.walk.drafts.get(ENTRY).map(|draft| place_entry::zone_of(draft, zone));
    ui.horizontal(|ui| {
        if let Some(chosen) = place_form::zone_choice(round, ui, "entry", position, zone) {
            state.walk.entry_zone = Some(chosen);
        }
        let label = format!("Place, from the {}", select::side(state).word());
        ui.vertical(|ui| match place_form::spot_field(round, state, ui, ENTRY, &label, "", position, zone) {
            Typed::Read(spot) => {
                placed::propose(state, position, spot, typed.unwrap_or(zone));
                state.walk.drafts.focus_next = false;
            }
            Typed::Nothing | Typed::Cleared => {}
        });
    });
}
