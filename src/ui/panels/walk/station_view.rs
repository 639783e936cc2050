//! A station away from the wheels: its checks with what was read, and what was found there.

use egui::{RichText, ScrollArea, Ui};

use super::round::Round;
use super::{mark, proposal, select, words};
use crate::inspection::Station;
use crate::rules::CheckResult;
use crate::ui::UiState;
use crate::ui::theme::strong_family;

/// Draws the station.
pub(super) fn ui(round: &Round<'_>, state: &mut UiState, ui: &mut Ui, station: Station) {
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
            one(round, state, ui, result);
        }
    });
}

fn one(round: &Round<'_>, state: &mut UiState, ui: &mut Ui, result: &CheckResult) {
    let tokens = round.cx.tokens;
    let chosen = state.check.as_ref() == Some(&result.check);
    ui.add_space(6.0);
    ui.horizontal_top(|ui| {
        let (rect, _) = ui.allocate_exact_size(egui::vec2(20.0, tokens.target), egui::Sense::hover());
        mark::of_check(ui.painter(), rect.center(), 16.0, result, tokens);
        ui.vertical(|ui| {
            let title = RichText::new(&result.title).family(strong_family()).color(tokens.strong);
            let open = ui.add(egui::Button::selectable(chosen, title).wrap());
            open.widget_info(|| {
                egui::WidgetInfo::labeled(egui::Role::Button, true, format!("Take in hand: {}", result.title))
            });
            if open.clicked() {
                select::check(state, result);
            }
            let entry = round.entry(&result.check);
            let answer = round.answer(&result.check);
            let read = entry.map(|e| words::answer(&answer, e, select::side(state), round.units())).unwrap_or_default();
            let line = match (&result.status, result.severity) {
                (_, Some(severity)) => format!("{} · {read}", severity.word()),
                (status, None) if read.is_empty() => status.words(),
                _ => read,
            };
            ui.label(RichText::new(line.trim_end_matches(" · ")).small().color(tokens.faint));
            if let Some(judgement) = result.judgements.first() {
                ui.label(RichText::new(&judgement.sentence).small());
            }
        });
    });
}
