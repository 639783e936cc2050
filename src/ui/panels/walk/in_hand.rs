//! The pane at the right: the check, the finding or the place in hand, and under it what is open here.

use egui::{RichText, ScrollArea, Ui};

use super::round::Round;
use super::{check_form, finding_form, mark, proposal, select, together, words};
use crate::inspection::{Finding, Place, Station};
use crate::ui::theme::strong_family;
use crate::ui::{Action, UiState};

/// Draws the pane.
pub(super) fn ui(round: &Round<'_>, state: &mut UiState, actions: &mut Vec<Action>, ui: &mut Ui) {
    let mut area = ScrollArea::vertical().id_salt("in-hand").auto_shrink([false, false]);
    // Another thing in hand is read from its head, however far down the last one was scrolled.
    let shown = (state.check.clone(), state.finding.clone(), state.walk.proposal.is_some());
    if state.walk.in_hand != shown {
        state.walk.in_hand = shown;
        area = area.vertical_scroll_offset(0.0);
    }
    area.show(ui, |ui| {
        ui.set_width(ui.available_width() - 4.0);
        let in_hand = state.finding.as_ref().and_then(|id| round.finding(id));
        let result = state.check.as_ref().and_then(|c| round.result(c));
        if state.walk.proposal.is_some() {
            proposal::ui(round, state, actions, ui);
        } else if let Some((inspection, finding)) = in_hand {
            finding_form::ui(round, state, actions, ui, inspection, finding);
            if inspection.id == round.inspection.id
                && let Some(result) = result
            {
                ui.add_space(4.0);
                if ui.button(format!("Back to the check: {}", result.title)).clicked() {
                    state.finding = None;
                }
            }
        } else if let Some(result) = result {
            check_form::ui(round, state, actions, ui, result);
        } else {
            nothing(round, state, ui);
        }
        together::ui(round, actions, ui);
        ui.add_space(10.0);
        open_here(round, state, ui);
    });
}

fn nothing(round: &Round<'_>, state: &mut UiState, ui: &mut Ui) {
    let tokens = round.cx.tokens;
    ui.label(RichText::new("In hand").heading().color(tokens.strong));
    ui.label("Take a check from the list, or click on the wheel where something is wrong.");
    if let Some(next) = select::next_open(round.results(), None) {
        if ui.button(format!("Next open check: {}", next.title)).on_hover_text("Key N").clicked() {
            select::check(state, next);
        }
    } else if let Some(next) = round.carried().into_iter().find(|c| c.is_open) {
        if ui.button(format!("Look again: {}", next.result.title)).on_hover_text("Key N").clicked()
            && let Some((inspection, finding)) = round.finding(&next.result.finding.id)
        {
            select::finding(state, inspection, finding);
        }
    } else if !round.results().is_empty() {
        ui.label("Every check has been looked at. The report is one key away: F3.");
    }
    super::of_another_day(round, state, ui);
}

/// The findings at the wheel or station in view that nobody has closed, those of earlier days too.
fn open_here(round: &Round<'_>, state: &mut UiState, ui: &mut Ui) {
    let tokens = round.cx.tokens;
    let side = select::side(state);
    let here = |finding: &Finding| match (&finding.place, state.wheel, state.walk.station) {
        (Place::Wheel { position, .. }, Some(wheel), _) => *position == wheel,
        (Place::Wheel { position, .. }, None, Some(station)) => Station::of_wheel(*position) == station,
        (Place::Part { station, .. }, _, Some(chosen)) => *station == chosen,
        (_, None, None) => true,
        (Place::Part { .. }, Some(_), None) => false,
    };
    let open: Vec<_> = round.open_findings().into_iter().filter(|(_, f)| here(f)).collect();
    let place = match (state.wheel, state.walk.station) {
        (Some(wheel), _) => format!("at the {} wheel", wheel.word()),
        (None, Some(station)) => station.word().to_owned(),
        (None, None) => "on this machine".to_owned(),
    };
    ui.separator();
    ui.label(RichText::new("Open here").family(strong_family()).color(tokens.strong));
    if open.is_empty() {
        ui.label(RichText::new(format!("No finding is open: {place}.")).small().color(tokens.faint));
    }
    for (inspection, finding) in open {
        let since = if inspection.id == round.inspection.id {
            String::new()
        } else {
            format!(", since {}", words::day(inspection.date))
        };
        let fault = words::capital(round.catalogue().fault_words(finding));
        let words = format!("{fault}, {}{since}", words::place(&finding.place, side));
        ui.horizontal(|ui| {
            mark::severity(ui, tokens, round.severity_of(inspection, finding), 14.0);
            let chosen = state.finding.as_ref() == Some(&finding.id);
            if ui.add(egui::Button::selectable(chosen, words).wrap()).clicked() {
                select::finding(state, inspection, finding);
            }
        });
    }
}
