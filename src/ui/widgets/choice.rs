//! Choices with a name: from a list, from a few words side by side, and yes or no.

use egui::{ComboBox, Ui};

use super::entry::named;

/// A list to choose from. Gives what was chosen anew.
pub fn choice<T: PartialEq + Clone>(ui: &mut Ui, name: &str, current: &T, options: &[(T, String)]) -> Option<T> {
    let shown = options.iter().find(|(value, _)| value == current).map_or("", |(_, words)| words.as_str());
    let mut chosen = None;
    named(ui, name, |ui, name_id| {
        let width = 260.0_f32.min(ui.available_width());
        let combo = ComboBox::from_id_salt(name).selected_text(shown).width(width).height(420.0).show_ui(ui, |ui| {
            for (value, words) in options {
                if ui.selectable_label(value == current, words.as_str()).clicked() && value != current {
                    chosen = Some(value.clone());
                }
            }
        });
        if let Some(id) = name_id {
            combo.response.labelled_by(id);
        }
    });
    chosen
}

/// A few words side by side, one of them in force. Gives what was chosen anew.
pub fn segments<T: PartialEq + Clone>(ui: &mut Ui, name: &str, current: &T, options: &[(T, &str)]) -> Option<T> {
    let mut chosen = None;
    named(ui, name, |ui, _| {
        ui.horizontal_wrapped(|ui| {
            for (value, words) in options {
                if ui.selectable_label(value == current, *words).clicked() && value != current {
                    chosen = Some(value.clone());
                }
            }
        });
    });
    chosen
}

/// Yes or no, in words. Gives the new answer.
pub fn yes_no(ui: &mut Ui, name: &str, words: &str, current: bool) -> Option<bool> {
    let mut value = current;
    named(ui, name, |ui, _| ui.checkbox(&mut value, words));
    (value != current).then_some(value)
}
