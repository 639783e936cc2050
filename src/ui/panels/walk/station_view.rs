//! A station away from the wheels: its checks with what was read, and what was found there.

use egui::{RichText, ScrollArea, Ui};

use super::field::{chip_named, trouble};
use super::round::Round;
use super::{mark, proposal, select, words};
use crate::inspection::{CheckState, Station};
use crate::rules::CheckResult;
use crate::ui::theme::strong_family;
use crate::ui::{Action, UiState};

/// Draws the station.
pub(super) fn ui(round: &Round<'_>, state: &mut UiState, actions: &mut Vec<Action>, ui: &mut Ui, station: Station) {
    let tokens = round.cx.tokens;
    let here: Vec<&CheckResult> = round.results().iter().filter(|r| r.station == station).collect();
    let open = here.iter().filter(|r| r.status.is_open()).count();
    ui.horizontal_wrapped(|ui| {
        ui.label(RichText::new(words::capital(station.word())).heading().color(tokens.strong));
        let tally = match (here.len(), open) {
            (0, _) => "no check of this inspection is done here".to_owned(),
            (all, 0) => format!("{}, all looked at", words::count(all, "check", "checks")),
            (all, open) => format!("{}, {open} open", words::count(all, "check", "checks")),
        };
        ui.label(RichText::new(tally).color(tokens.faint));
    });
    if ui.button("Note a finding here…").clicked() {
        state.walk.proposal = Some(proposal::at_station(station));
    }
    ScrollArea::vertical().id_salt("station").auto_shrink([false, false]).show(ui, |ui| {
        for result in here {
            one(round, state, actions, ui, result);
        }
    });
}

fn one(round: &Round<'_>, state: &mut UiState, actions: &mut Vec<Action>, ui: &mut Ui, result: &CheckResult) {
    let tokens = round.cx.tokens;
    let chosen = state.check.as_ref() == Some(&result.check);
    ui.add_space(6.0);
    ui.horizontal_top(|ui| {
        let (rect, _) = ui.allocate_exact_size(egui::vec2(20.0, tokens.target), egui::Sense::hover());
        mark::of_check(ui.painter(), rect.center(), 16.0, result, tokens);
        ui.vertical(|ui| {
            ui.spacing_mut().item_spacing.y = 2.0;
            ui.horizontal(|ui| {
                let quick = 2.0 * (tokens.target + 46.0);
                let words = RichText::new(&result.title).family(strong_family()).color(tokens.strong);
                ui.scope(|ui| {
                    ui.set_max_width((ui.available_width() - quick).max(120.0));
                    ui.spacing_mut().button_padding.x = 0.0;
                    let title = ui.add(egui::Button::selectable(chosen, words).wrap());
                    title.widget_info(|| {
                        egui::WidgetInfo::labeled(egui::Role::Button, true, format!("Take in hand: {}", result.title))
                    });
                    if title.clicked() {
                        select::check(state, result);
                    }
                });
                if result.status.is_open() {
                    quick_answers(round, state, actions, ui, result);
                }
            });
            lines(round, state, ui, result);
        });
    });
}

/// Sound and finding in one press, for a person who goes down the station with clean hands.
fn quick_answers(round: &Round<'_>, state: &mut UiState, actions: &mut Vec<Action>, ui: &mut Ui, result: &CheckResult) {
    let tokens = round.cx.tokens;
    if chip_named(ui, tokens, false, "sound", &format!("Sound: {}", result.title)) {
        actions.push(round.set_state(&result.check, CheckState::Sound));
    }
    let has_faults = round.entry(&result.check).is_some_and(|e| !e.faults.is_empty());
    if has_faults && chip_named(ui, tokens, false, "finding…", &format!("Finding: {}", result.title)) {
        select::check(state, result);
        state.walk.proposal = proposal::at_check(round, &result.check);
    }
}

/// What was read or how it is done, and the first judgement.
fn lines(round: &Round<'_>, state: &UiState, ui: &mut Ui, result: &CheckResult) {
    let tokens = round.cx.tokens;
    let entry = round.entry(&result.check);
    let answer = round.answer(&result.check);
    let read = entry.map(|e| words::answer(&answer, e, select::side(state), round.units())).unwrap_or_default();
    let line = match (&result.status, result.severity) {
        (_, Some(severity)) => format!("{} · {read}", severity.word()),
        (status, None) if read.is_empty() => status.words(),
        _ => read,
    };
    ui.label(RichText::new(words::capital(line.trim_end_matches(" · "))).small().color(tokens.faint));
    match (result.judgements.first(), entry) {
        (None, Some(entry)) if result.status.is_open() && round.stop(entry).is_some() => {
            if let Some(stop) = round.stop(entry) {
                trouble(ui, tokens, stop);
            }
        }
        (Some(judgement), _) => {
            ui.label(RichText::new(&judgement.sentence).small());
        }
        (None, Some(entry)) if result.status.is_open() => {
            ui.label(RichText::new(&entry.how).small());
        }
        _ => {}
    }
}
