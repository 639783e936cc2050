//! What is wrong and where, by keyboard: the side by L and R, the zone by Z, the clock by typing `4:30`; then the fault by
//! its number. The place, its words and its finding are the walk's own.

use egui::{Key, RichText, ScrollArea, Ui};

use super::super::field::{Typed, chip_named, trouble};
use super::super::round::Round;
use super::super::{mark, place_entry, place_form, proposal, select, words};
use super::fields;
use super::parts::{self, act, letter};
use crate::clock::Side;
use crate::inspection::{Place, Zone};
use crate::machine::WheelPosition;
use crate::ui::theme::LargeType;
use crate::ui::{Action, UiState};

/// The key of the spot among the drafts; the same as the walk's.
const KEY: &str = "proposal|spot";

/// Draws the place, then the faults.
pub(super) fn ui(round: &Round<'_>, state: &mut UiState, actions: &mut Vec<Action>, ui: &mut Ui, large: &LargeType) {
    let Some(proposal) = state.walk.proposal.clone() else { return };
    let tokens = round.cx.tokens;
    let title = proposal.check.as_ref().and_then(|c| round.result(c)).map_or("", |r| r.title.as_str());
    parts::over(ui, tokens, title);
    let is_wheel = matches!(proposal.place, Place::Wheel { .. });
    if is_wheel && !state.walk.guided.is_placed {
        parts::title(ui, tokens, large, "Where is it?");
        if let Place::Wheel { position, zone, spot } = proposal.place {
            place(round, state, ui, position, zone, spot);
        }
    } else {
        parts::title(ui, tokens, large, "What is wrong?");
        let words = place_form::marker_words(round, state, &proposal.place);
        ui.label(RichText::new(words).color(tokens.strong));
        faults(round, state, actions, ui, &proposal);
    }
    ui.add_space(6.0);
    let leave =
        egui::Button::new("Leave it, nothing is wrong here  Esc").min_size(egui::vec2(0.0, tokens.target + 4.0));
    let is_typing = ui.text_edit_focused() || state.walk.guided.was_typing;
    let is_left = ui.add(leave).clicked() || (!is_typing && parts::pressed(ui, Key::Escape));
    if is_left {
        state.walk.proposal = None;
        state.walk.drafts.clear_under("proposal");
        state.walk.guided.shown = None;
    }
}

/// Side, zone and clock of a place on a wheel.
fn place(
    round: &Round<'_>,
    state: &mut UiState,
    ui: &mut Ui,
    position: WheelPosition,
    zone: Zone,
    _spot: Option<crate::clock::Spot>,
) {
    let tokens = round.cx.tokens;
    if let Some(text) = fields::figure(ui) {
        state.walk.drafts.focus_key = Some(KEY.into());
        state.walk.drafts.seed = Some(text);
    }
    parts::over(ui, tokens, "Seen from (keys L and R)");
    ui.horizontal_wrapped(|ui| {
        for (side, key) in [(Side::Left, Key::L), (Side::Right, Key::R)] {
            let name = format!("from the {}", side.word());
            let shown = format!("{}  {name}", key.name());
            if chip_named(ui, tokens, select::side(state) == side, &shown, &name) || letter(ui, key) {
                state.side = Some(side);
            }
        }
    });
    let zones = zones(round, state, position);
    parts::over(ui, tokens, "Zone (Z for the next)");
    let mut chosen = None;
    ui.horizontal_wrapped(|ui| {
        for one in &zones {
            if chip_named(ui, tokens, *one == zone, &one.words(), &one.words()) {
                chosen = Some(*one);
            }
        }
    });
    if letter(ui, Key::Z) {
        let at = zones.iter().position(|z| *z == zone).map_or(0, |i| (i + 1) % zones.len().max(1));
        chosen = zones.get(at).copied();
    }
    if let Some(zone) = chosen {
        settle(state, |place| *place = Place::Wheel { position, zone, spot: None });
    }
    let label = format!("Where round it, from the {}", select::side(state).word());
    let typed = state.walk.drafts.get(KEY).map(|draft| place_entry::zone_of(draft, zone));
    let read = place_form::spot_field(round, state, ui, KEY, &label, "", position, zone);
    let is_entered = std::mem::take(&mut state.walk.drafts.focus_next);
    match read {
        Typed::Read(spot) => {
            let zone = typed.unwrap_or(zone);
            settle(state, |place| *place = Place::Wheel { position, zone, spot: Some(spot) });
            state.walk.guided.is_placed = true;
            return;
        }
        Typed::Cleared | Typed::Nothing if is_entered => {
            state.walk.guided.told = "Type where it is, as in 4:30, or press A where it is all round.".into();
        }
        Typed::Cleared | Typed::Nothing => {}
    }
    if let Some((zone, spot)) = state.walk.live
        && let Some(wheel) = round.machine().wheel(position)
    {
        ui.label(crate::inspection::marker_words_in(wheel, zone, spot, select::side(state), round.units()));
    }
    let free_enter = !ui.text_edit_focused() && ui.memory(|m| m.focused().is_none()) && parts::pressed(ui, Key::Enter);
    if free_enter && !is_entered {
        state.walk.guided.told = "Type where it is, as in 4:30, or press A where it is all round.".into();
    }
    if !state.walk.guided.told.is_empty() {
        trouble(ui, tokens, &state.walk.guided.told.clone());
    }
    let all_round = if matches!(zone, Zone::Hub) { "At the hub" } else { "All round" };
    if act(ui, tokens, all_round, Key::A, false) {
        settle(state, |place| *place = Place::Wheel { position, zone, spot: None });
        state.walk.guided.is_placed = true;
    }
}

/// The zones that the check looks at on this wheel; all of the wheel's where it names none.
fn zones(round: &Round<'_>, state: &UiState, position: WheelPosition) -> Vec<Zone> {
    let all = round.zones(position);
    let check = state.walk.proposal.as_ref().and_then(|p| p.check.as_ref());
    let entry = check.and_then(|c| round.entry(c));
    let covered: Vec<Zone> = match (entry, check) {
        (Some(entry), Some(check)) => {
            let here = |z: &&Zone| entry.covers(**z) && proposal::on_side(check.subject, **z);
            all.iter().filter(here).copied().collect()
        }
        _ => Vec::new(),
    };
    if covered.is_empty() { all } else { covered }
}

fn settle(state: &mut UiState, change: impl Fn(&mut Place)) {
    if let Some(proposal) = &mut state.walk.proposal {
        change(&mut proposal.place);
    }
    state.walk.guided.told.clear();
}

/// Marks the fault whose number is being typed. Nothing is written down by a digit alone: a finding is not to come of a
/// key that was meant for something else, and the eleventh fault begins with the digit of the first.
fn number_typed(guided: &mut super::GuidedState, typed: &str, count: usize) {
    let in_list = |text: &str| text.parse::<usize>().ok().filter(|n| (1..=count).contains(n));
    let longer = format!("{}{}", guided.number, typed.trim());
    // What leads beyond the list begins a new number.
    let (text, number) = match (in_list(&longer), in_list(typed.trim())) {
        (Some(number), _) => (longer, number),
        (None, Some(number)) => (typed.trim().to_owned(), number),
        (None, None) => return guided.number.clear(),
    };
    guided.number = text;
    guided.marked = number - 1;
}

/// The faults of the check with their numbers; a number or the arrows mark one, Enter takes it.
fn faults(
    round: &Round<'_>,
    state: &mut UiState,
    actions: &mut Vec<Action>,
    ui: &mut Ui,
    proposal: &proposal::Proposal,
) {
    let tokens = round.cx.tokens;
    let Some(check) = proposal.check.clone() else { return };
    let Some(entry) = round.entry(&check) else { return };
    let count = entry.faults.len();
    let mut taken = None;
    if let Some(typed) = fields::figure(ui) {
        number_typed(&mut state.walk.guided, &typed, count);
    }
    if letter(ui, Key::ArrowDown) {
        state.walk.guided.number.clear();
        state.walk.guided.marked = (state.walk.guided.marked + 1).min(count.saturating_sub(1));
    }
    if letter(ui, Key::ArrowUp) {
        state.walk.guided.number.clear();
        state.walk.guided.marked = state.walk.guided.marked.saturating_sub(1);
    }
    if ui.memory(|m| m.focused().is_none()) && letter(ui, Key::Enter) {
        taken = Some(state.walk.guided.marked.min(count.saturating_sub(1)));
    }
    let height = (ui.available_height() - 2.0 * tokens.target).max(120.0);
    ScrollArea::vertical().id_salt("guided-faults").max_height(height).auto_shrink([false, true]).show(ui, |ui| {
        for (index, fault) in entry.faults.iter().enumerate() {
            let (severity, _) = crate::rules::proposed(&round.case(), fault);
            ui.horizontal(|ui| {
                mark::severity(ui, tokens, Some(severity), 22.0);
                let name = words::capital(&fault.words);
                let shown = format!("{}  {name} · {}", index + 1, severity.word());
                if chip_named(ui, tokens, state.walk.guided.marked == index, &shown, &name) {
                    taken = Some(index);
                }
            });
        }
    });
    parts::over(ui, tokens, "A number or the arrows mark one, Enter takes the one that is marked.");
    if let Some(fault) = taken.and_then(|index| entry.faults.get(index)) {
        let id = fault.id.clone();
        proposal::take(round, state, actions, proposal.place.clone(), check, id);
        state.walk.proposal = None;
        // The step shows the check again with what was found; its judgement is read before going on.
        state.finding = None;
        state.walk.guided.is_placed = false;
    }
}
