//! The results of a paper sheet, in the sheet's own order: a row a check, by keyboard alone. Figures go into the row's
//! field, Enter moves on; S sound, F a finding, N or C could not be checked.

use egui::{Key, RichText, ScrollArea, Ui};

use super::super::field::trouble;
use super::super::round::Round;
use super::super::{check_form, mark, proposal, select, words};
use super::kept::Phase;
use super::parts::{self, act};
use super::{again, course, fields, leave, step};
use crate::clock::Side;
use crate::guide::Leg;
use crate::inspection::CheckState;
use crate::rules::{Outcome, Status};
use crate::ui::theme::{LargeType, strong_family};
use crate::ui::{Action, UiState};

/// Draws the rows.
pub(super) fn ui(round: &Round<'_>, state: &mut UiState, actions: &mut Vec<Action>, ui: &mut Ui, _large: &LargeType) {
    let tokens = round.cx.tokens;
    let walk = state.walk.guided.walk_mut(round).clone();
    let Some(in_hand) = walk.leg().cloned() else {
        state.walk.guided.walk_mut(round).phase = Phase::Done;
        return;
    };
    course::take_in_hand(round, state);
    let is_new = state.walk.guided.shown.as_deref() != Some(in_hand.key().as_str());
    arrive(state, ui, &in_hand);
    let figure = fields::figure(ui);
    let line = format!("{} · sheet {} · row {} of {}", round.machine().name, walk.sheet, walk.at + 1, walk.legs.len());
    ui.label(RichText::new(line).color(tokens.faint));
    egui::Panel::bottom("sheet-keys").show(ui, |ui| {
        ui.add_space(4.0);
        match &in_hand.again {
            Some(id) => again::keys(round, state, actions, ui, id),
            None => keys(round, state, actions, ui, &in_hand),
        }
    });
    let mut figure = figure;
    let mut to = None;
    let side = select::side(state);
    egui::CentralPanel::no_frame().show(ui, |ui| {
        ScrollArea::vertical().id_salt("sheet-rows").auto_shrink([false, false]).show(ui, |ui| {
            for (index, leg) in walk.legs.iter().enumerate() {
                let is_in_hand = index == walk.at;
                let row = row(round, ui, (index, leg), is_in_hand, side);
                if row.clicked() {
                    to = Some(index);
                }
                if is_in_hand {
                    if is_new {
                        row.scroll_to_me(Some(egui::Align::Center));
                    }
                    ui.indent("row in hand", |ui| in_row(round, state, actions, ui, leg, figure.take()));
                }
            }
        });
    });
    if let Some(at) = to {
        course::go_to(round, state, at);
    }
}

fn arrive(state: &mut UiState, ui: &Ui, leg: &Leg) {
    let key = leg.key();
    if state.walk.guided.shown.as_ref() != Some(&key) {
        state.walk.guided.shown = Some(key);
        state.walk.could_not_open = false;
        ui.memory_mut(|m| {
            if let Some(id) = m.focused() {
                m.surrender_focus(id);
            }
        });
    }
}

/// A row: its number as on the sheet, its title, what is said of it.
fn row(round: &Round<'_>, ui: &mut Ui, (index, leg): (usize, &Leg), is_in_hand: bool, side: Side) -> egui::Response {
    let tokens = round.cx.tokens;
    let found = round.result(&leg.check).filter(|_| leg.again.is_none());
    let seen = leg.again.as_ref().and_then(|id| round.inspection.carried.get(id)).map(|r| r.seen.words());
    let said = match found.map(|r| (&r.status, r.severity)) {
        Some((Status::HasFinding, Some(severity))) => severity.word().to_owned(),
        Some((Status::Unchecked, _)) | None => String::new(),
        Some((status, _)) => status.words(),
    };
    let entry = round.entry(&leg.check).filter(|_| leg.again.is_none());
    let read = entry.map(|e| words::answer(&round.answer(&leg.check), e, side, round.units()));
    let read = read.or(seen).unwrap_or_default();
    let words = format!("{}  {}", index + 1, leg.title);
    let text = RichText::new(&words);
    let text = if is_in_hand { text.family(strong_family()).color(tokens.strong) } else { text };
    ui.horizontal_wrapped(|ui| {
        let button = egui::Button::selectable(is_in_hand, text).min_size(egui::vec2(tokens.target, tokens.target));
        let response = ui.add(button);
        response.widget_info(|| {
            egui::WidgetInfo::selected(egui::Role::Button, true, is_in_hand, format!("{words}: {said}"))
        });
        if let Some(found) = found.filter(|r| r.status != Status::Unchecked) {
            match (&found.status, found.severity) {
                (Status::HasFinding, severity) => mark::severity(ui, tokens, severity, 18.0),
                (Status::Sound, _) => mark::severity(ui, tokens, None, 18.0),
                _ => mark::in_flow(ui, tokens, crate::drawing::notch::Mark::Unchecked, 18.0),
            }
        }
        ui.label(RichText::new(if read.is_empty() { said } else { read }).small().color(tokens.faint));
        response
    })
    .inner
}

/// The fields of the row in hand, and what is refused or judged against it.
fn in_row(
    round: &Round<'_>,
    state: &mut UiState,
    actions: &mut Vec<Action>,
    ui: &mut Ui,
    leg: &Leg,
    figure: Option<String>,
) {
    let tokens = round.cx.tokens;
    if let Some(id) = &leg.again {
        again::question(round, state, actions, ui, id, figure);
        return;
    }
    let Some(entry) = round.entry(&leg.check) else { return };
    fields::ui(round, state, actions, ui, (&leg.check, entry), figure);
    let is_read = std::mem::take(&mut state.walk.drafts.focus_next);
    let told = state.walk.guided.told.clone();
    if !told.is_empty() {
        trouble(ui, tokens, &told);
    }
    let Some(found) = round.result(&leg.check) else { return };
    if state.walk.could_not_open {
        check_form::could_not_field(round, state, actions, ui, &leg.check);
        if std::mem::take(&mut state.walk.drafts.focus_next) {
            state.walk.guided.go_on = Some(leg.check.clone());
        }
    }
    for judgement in found.judgements.iter().filter(|j| j.outcome != Outcome::Sound) {
        ui.label(RichText::new(&judgement.sentence).small().color(tokens.line));
    }
    if is_read {
        course::on_in_sheet(round, state);
    }
    if state.walk.guided.go_on.as_ref() == Some(&leg.check) && found.status != Status::Unchecked {
        course::on_in_sheet(round, state);
    }
}

fn keys(round: &Round<'_>, state: &mut UiState, actions: &mut Vec<Action>, ui: &mut Ui, leg: &Leg) {
    let tokens = round.cx.tokens;
    let check = &leg.check;
    ui.horizontal_wrapped(|ui| {
        if parts::forth(ui, tokens, "Next row") {
            course::on_in_sheet(round, state);
        }
        if act(ui, tokens, "Sound", Key::S, false) {
            match step::refused(round, check) {
                Some(why) => state.walk.guided.told = why.into(),
                None => {
                    actions.push(round.set_state(check, CheckState::Sound));
                    course::on_in_sheet(round, state);
                }
            }
        }
        let has_faults = round.entry(check).is_some_and(|e| !e.faults.is_empty());
        if has_faults && act(ui, tokens, "Finding", Key::F, false) {
            state.walk.proposal = proposal::at_check(round, check);
            state.walk.guided.is_placed = false;
            state.walk.guided.marked = 0;
            state.walk.guided.number.clear();
        }
        if act(ui, tokens, "Could not be checked", Key::N, false) || step::either(ui, [Key::C, Key::C]) {
            step::could_not(round, state, check);
        }
        if act(ui, tokens, "Back", Key::B, false) {
            let at = state.walk.guided.walk_mut(round).at.saturating_sub(1);
            course::go_to(round, state, at);
        }
        if parts::away(ui, tokens) {
            leave(state);
        }
    });
}
