//! Who looked, when and how it was: changed for the inspection in hand.

use egui::{RichText, Ui, vec2};

use super::round::Round;
use super::start::{ConditionsForm, Read, conditions_fields};
use super::{odometer_doubt, words};
use crate::edit::Command;
use crate::ui::widgets::{Doubted, typed_lines};
use crate::ui::{Action, UiState};

/// What is typed about the inspection in hand.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Form {
    conditions: ConditionsForm,
    note: String,
    /// What of the odometer was doubted when it was to be kept.
    doubted: Doubted,
}

/// The form filled from the inspection in hand.
pub(super) fn form(round: &Round<'_>) -> Form {
    Form {
        conditions: ConditionsForm::of(round.inspection),
        note: round.inspection.note.clone(),
        doubted: Doubted::default(),
    }
}

/// Draws the form in the pane at the right.
pub(super) fn ui(round: &Round<'_>, state: &mut UiState, actions: &mut Vec<Action>, ui: &mut Ui) {
    let Some(mut form) = state.walk.conditions.clone() else { return };
    let tokens = round.cx.tokens;
    ui.label(RichText::new("Conditions").heading().color(tokens.strong));
    ui.label(format!("Inspection of {}.", words::day(round.inspection.date)));
    let of = (round.inspection.date, form.conditions.odometer.as_str());
    let doubt = odometer_doubt(&round.cx, round.bay, of, Some(&round.inspection.id));
    conditions_fields(&round.cx, ui, &mut form.conditions, None, (&form.doubted, doubt.as_deref()));
    let label = ui.label(RichText::new("Remarks on the whole").small().color(tokens.faint));
    let width = ui.available_width() - 10.0;
    ui.add(typed_lines(&mut form.note).desired_rows(3).desired_width(width)).labelled_by(label.id);
    let read = form.conditions.read(round.units());
    let (mut keep, mut leave) = (false, false);
    ui.horizontal_wrapped(|ui| {
        let size = vec2(0.0, tokens.target);
        keep = ui.add_enabled(read.is_ok(), egui::Button::new("Keep these conditions").min_size(size)).clicked();
        leave = ui.add(egui::Button::new("Leave them as they were").min_size(size)).clicked();
    });
    keep = form.doubted.takes(doubt.as_deref(), keep);
    match read {
        Ok(Read { odometer, conditions }) if keep => {
            actions.push(Action::Edit(Command::SetConditions {
                machine: round.machine().id.clone(),
                inspection: round.inspection.id.clone(),
                inspector: form.conditions.inspector.trim().to_owned(),
                odometer,
                conditions,
                note: form.note.trim().to_owned(),
            }));
            state.walk.conditions = None;
            return;
        }
        Ok(_) => {}
        Err(message) => {
            ui.label(RichText::new(message).small().color(tokens.strong));
        }
    }
    ui.add_space(10.0);
    let remove = ui.button("Take this inspection back whole");
    if remove.on_hover_text("For one that was begun by mistake. Undo brings it back.").clicked() {
        actions.push(Action::Edit(Command::RemoveInspection(round.machine().id.clone(), round.inspection.id.clone())));
        state.inspection = None;
        state.check = None;
        state.finding = None;
        leave = true;
    }
    state.walk.conditions = (!leave).then_some(form);
}
