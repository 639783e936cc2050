//! Where a finding is, to be changed by typing: the zone, a clock time, a distance or a spoke; or the part in words.

use egui::{RichText, Ui};

use super::field::{FieldLook, Typed, field};
use super::round::Round;
use super::{place_entry, select};
use crate::clock::Spot;
use crate::inspection::{Place, Zone, marker_words_in};
use crate::machine::WheelPosition;
use crate::ui::UiState;
use crate::ui::theme::strong_family;

/// The full marker of a place, as the record and the report print it.
pub(super) fn marker_words(round: &Round<'_>, state: &UiState, place: &Place) -> String {
    let side = select::side(state);
    match place {
        Place::Wheel { position, zone, spot: Some(spot) } => match round.machine().wheel(*position) {
            Some(wheel) => marker_words_in(wheel, *zone, *spot, side, round.units()),
            None => super::words::place(place, side),
        },
        _ => super::words::place(place, side),
    }
}

/// Draws the place with its fields; changes the place given where something was entered, and says whether it did.
pub(super) fn ui(round: &Round<'_>, state: &mut UiState, ui: &mut Ui, key: &str, place: &mut Place) -> bool {
    let tokens = round.cx.tokens;
    let before = place.clone();
    let words = marker_words(round, state, place);
    ui.label(RichText::new(words).family(strong_family()).color(tokens.strong));
    match place {
        Place::Wheel { position, zone, spot } => {
            if let Some(chosen) = zone_choice(round, ui, key, *position, *zone) {
                *zone = chosen;
            }
            let shown = spot.map_or_else(String::new, |s| s.time(select::side(state)).to_string());
            let label = format!("Where round it, from the {}", select::side(state).word());
            let key = format!("{key}|spot");
            let typed = state.walk.drafts.get(&key).map(|draft| place_entry::zone_of(draft, *zone));
            match spot_field(round, state, ui, &key, &label, &shown, *position, *zone) {
                Typed::Nothing => {}
                Typed::Cleared => *spot = None,
                Typed::Read(read) => {
                    *spot = Some(read);
                    *zone = typed.unwrap_or(*zone);
                }
            }
            if spot.is_none() {
                ui.label(RichText::new("Without a spot it speaks for the whole zone.").small().color(tokens.faint));
            }
        }
        Place::Part { part, .. } => {
            let key = format!("{key}|part");
            let shown = part.clone();
            let look = FieldLook {
                key: &key,
                label: "Which part",
                hint: "left mirror",
                shown: &shown,
                width: (ui.available_width() - 20.0).clamp(120.0, 280.0),
                label_above: true,
            };
            match field(ui, tokens, &mut state.walk.drafts, &look, |text| Ok(text.trim().to_owned())) {
                Typed::Nothing => {}
                Typed::Cleared => part.clear(),
                Typed::Read(words) => *part = words,
            }
        }
    }
    *place != before
}

/// How wide the choice of a zone is beside the typed place.
pub(super) fn zone_width(room: f32) -> f32 {
    if room < 360.0 { 128.0 } else { 178.0 }
}

/// The zones of the wheel to choose from; gives one that was chosen anew.
pub(super) fn zone_choice(
    round: &Round<'_>,
    ui: &mut Ui,
    key: &str,
    position: WheelPosition,
    current: Zone,
) -> Option<Zone> {
    let mut chosen = None;
    ui.vertical(|ui| {
        let label = ui.label(RichText::new("Zone").small().color(round.cx.tokens.faint));
        let width = if key == "entry" { zone_width(ui.max_rect().width()) } else { 178.0 };
        ui.set_max_width(width);
        let combo = egui::ComboBox::from_id_salt(("zone", key))
            .truncate()
            .selected_text(current.words())
            .width(width)
            .height(420.0);
        combo
            .show_ui(ui, |ui| {
                for zone in round.zones(position) {
                    if ui.selectable_label(zone == current, zone.words()).clicked() && zone != current {
                        chosen = Some(zone);
                    }
                }
            })
            .response
            .labelled_by(label.id);
    });
    chosen
}

/// A field for a spot: a clock time, a distance or a spoke. The marker of what is being typed is shown live.
#[allow(clippy::too_many_arguments, reason = "one field with its whole setting; a struct would only rename them")]
pub(super) fn spot_field(
    round: &Round<'_>,
    state: &mut UiState,
    ui: &mut Ui,
    key: &str,
    label: &str,
    shown: &str,
    position: WheelPosition,
    zone: Zone,
) -> Typed<Spot> {
    let tokens = round.cx.tokens;
    let side = select::side(state);
    let Some(wheel) = round.machine().wheel(position) else { return Typed::Nothing };
    let look = FieldLook {
        key,
        label,
        hint: "4:30, 707 mm ahead, spoke 14",
        shown,
        width: ui.available_width().clamp(90.0, 190.0),
        label_above: true,
    };
    let typed = field(ui, tokens, &mut state.walk.drafts, &look, |text| place_entry::read(text, side, zone, wheel));
    if let Some(draft) = state.walk.drafts.get(key)
        && let Ok(spot) = place_entry::read(draft, side, zone, wheel)
    {
        state.walk.live = Some((zone, spot));
    }
    typed
}
