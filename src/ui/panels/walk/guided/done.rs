//! The end of the walk: what is still open, with the way back to it, and the verdict as it stands.

use egui::{Key, RichText, ScrollArea, Ui};

use super::super::field::trouble;
use super::super::round::Round;
use super::super::words;
use super::kept::Phase;
use super::parts::{self, act};
use super::{course, leave};
use crate::history::odometer::doubt_of;
use crate::ui::theme::{LargeType, strong_family};
use crate::ui::{Action, Place, UiState};

/// Draws the end.
pub(super) fn ui(round: &Round<'_>, state: &mut UiState, actions: &mut Vec<Action>, ui: &mut Ui, large: &LargeType) {
    let tokens = round.cx.tokens;
    let walk = state.walk.guided.walk_mut(round).clone();
    parts::title(ui, tokens, large, "The walk is through");
    let row = round.cx.derived.rows.iter().find(|r| r.id == round.machine().id);
    if let Some(verdict) = row.and_then(|r| r.verdict.as_ref()) {
        ui.label(RichText::new(verdict.sentence()).family(strong_family()).color(tokens.strong));
    }
    let (date, itself) = (round.inspection.date, Some(&round.inspection.id));
    let shown = round.inspection.odometer;
    if let Some(told) = shown.and_then(|shown| doubt_of(round.bay, (date, shown), itself, round.cx.today)) {
        trouble(ui, tokens, &format!("Odometer: {told}."));
    }
    let open: Vec<(usize, String)> = walk
        .legs
        .iter()
        .enumerate()
        .filter(|(_, l)| course::is_open(round, l))
        .map(|(at, l)| (at, l.title.clone()))
        .collect();
    ui.horizontal_wrapped(|ui| {
        if let Some((first, _)) = open.first() {
            let first = *first;
            if parts::forth(ui, tokens, "To the first open check") {
                state.walk.guided.walk_mut(round).phase = Phase::Walk;
                course::go_to(round, state, first);
            }
        } else if parts::forth(ui, tokens, "Show the report") {
            leave(state);
            actions.push(Action::Go(Place::Report));
        }
        if act(ui, tokens, "Back", Key::B, false) {
            course::back(round, state);
        }
        if act(ui, tokens, "Plan anew", Key::M, false) {
            state.walk.guided.walk_mut(round).phase = Phase::Minutes;
        }
        if parts::away(ui, tokens) {
            leave(state);
        }
    });
    ScrollArea::vertical().id_salt("guided-done").auto_shrink([false, false]).show(ui, |ui| {
        if open.is_empty() {
            ui.label("Something is said of every check on this walk.");
        } else {
            let count = words::count(open.len(), "check of this walk is", "checks of this walk are");
            ui.label(format!("{count} open. What nobody has looked at is not sound; it is unknown."));
        }
        for (at, title) in &open {
            let button = egui::Button::new(title).min_size(egui::vec2(0.0, tokens.target));
            if ui.add(button).clicked() {
                state.walk.guided.walk_mut(round).phase = Phase::Walk;
                course::go_to(round, state, *at);
            }
        }
        if let Some(words) = parts::unchecked(&walk) {
            trouble(ui, tokens, &words);
        }
        if !walk.left_out.is_empty() {
            parts::over(ui, tokens, "Not on this walk, and why");
            parts::some(ui, tokens, &walk.left_out, 40);
        }
    });
}
