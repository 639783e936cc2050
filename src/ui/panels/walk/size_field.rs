//! The field for how large something is, of a new finding and of one that is looked at again.

use egui::Ui;

use super::field::{FieldLook, Typed, field};
use super::reading_fields;
use super::round::Round;
use crate::ui::UiState;
use crate::units::Length;

/// Draws the field under the key of its form and reads a length above zero.
pub(super) fn ui(
    round: &Round<'_>,
    state: &mut UiState,
    ui: &mut Ui,
    key: &str,
    label: &str,
    size: Option<Length>,
) -> Typed<Length> {
    let unit = reading_fields::unit_of::<Length>(round.units());
    let shown = size.map_or_else(String::new, |s| s.to_string());
    let key = format!("{key}|size");
    let look = FieldLook { key: &key, label, hint: unit.symbol, shown: &shown, width: 110.0, label_above: true };
    field(ui, round.cx.tokens, &mut state.walk.drafts, &look, |text| match Length::parse(text, Some(unit)) {
        Ok(length) if length.as_mm() <= 0.0 => {
            Err(format!("expected a size above zero, found {length}: measure along its longest side"))
        }
        other => other.map_err(|e| e.to_string()),
    })
}
