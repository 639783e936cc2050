//! Torques found or applied: one field for each fastener of the machine's record, with its own figure beside it.

use egui::{RichText, Ui};

use super::field::{FieldLook, Typed, field};
use super::reading_fields::unit_of;
use super::round::Round;
use crate::catalogue::Field;
use crate::inspection::{TorqueApplied, Value};
use crate::ui::UiState;
use crate::units::{Torque, UnitError};

/// Draws the list. Gives the new value when one torque was read or taken back; none at all where the last one went.
pub(super) fn ui(
    round: &Round<'_>,
    state: &mut UiState,
    ui: &mut Ui,
    key: &str,
    of: &Field,
    current: Option<&Value>,
) -> Option<Option<Value>> {
    let tokens = round.cx.tokens;
    let units = round.units();
    ui.label(RichText::new(&of.label).small().color(tokens.faint));
    let figures = &round.machine().torques;
    if figures.is_empty() {
        let words = "The machine's record has no torque figures. Enter them with their pages: F2, Torque figures.";
        ui.label(RichText::new(words).small());
    }
    // As it was typed: 8.5 N·m is not 9.
    let as_typed = |torque: Torque| {
        let text = torque.to_string();
        if units.decimal_comma { text.replace('.', ",") } else { text }
    };
    let recorded: &[TorqueApplied] = match current {
        Some(Value::Torques(list)) => list,
        _ => &[],
    };
    let mut new = None;
    for figure in figures {
        let name = figure.fastener.trim();
        let here = recorded.iter().position(|t| t.fastener.trim().eq_ignore_ascii_case(name));
        let shown = here.map_or(String::new(), |at| as_typed(recorded[at].torque));
        let label = format!("{name}, {} by the manual", as_typed(figure.torque));
        let key = format!("{key}|{name}");
        let hint = unit_of::<Torque>(units).symbol;
        let look = FieldLook { key: &key, label: &label, hint, shown: &shown, width: 130.0, label_above: true };
        let read = |text: &str| {
            Torque::parse(text, Some(unit_of::<Torque>(units))).map_err(|error: UnitError| error.to_string())
        };
        let mut list = recorded.to_vec();
        match field(ui, tokens, &mut state.walk.drafts, &look, read) {
            Typed::Nothing => continue,
            Typed::Cleared => {
                if let Some(at) = here {
                    list.remove(at);
                }
            }
            Typed::Read(torque) => match here {
                Some(at) => list[at].torque = torque,
                None => list.push(TorqueApplied { fastener: name.to_owned(), torque, set_to: None }),
            },
        }
        new = Some((!list.is_empty()).then_some(Value::Torques(list)));
    }
    new
}
