//! Figures and paths that are typed in the class: words, weights, shares, minutes, and where a file goes.

use std::collections::BTreeMap;

use egui::Ui;

use crate::ui::widgets::{Entry, named, typed_line, typed_lines};
use crate::units::{parse_number, print_short};

/// Paths as they are typed, each by what it is for.
#[derive(Clone, Debug, Default)]
pub(super) struct Paths(BTreeMap<&'static str, String>);

impl Paths {
    /// What is typed for a thing.
    pub fn text(&self, of: &str) -> &str {
        self.0.get(of).map_or("", String::as_str)
    }
    /// The same, to be typed in.
    pub fn text_mut(&mut self, of: &'static str) -> &mut String {
        self.0.entry(of).or_default()
    }
}

/// How a field for a path looks.
pub(super) struct PathField<'a> {
    /// Its name.
    pub name: &'a str,
    /// What is shown in it while it is empty.
    pub hint: &'a str,
    /// What its button says.
    pub button: &'a str,
}

/// A field for a path with its button; gives the path when it was asked for.
pub(super) fn path(ui: &mut Ui, paths: &mut Paths, of: &'static str, field: &PathField<'_>) -> Option<String> {
    let text = paths.text_mut(of);
    let mut is_asked = false;
    named(ui, field.name, |ui, name_id| {
        ui.horizontal_wrapped(|ui| {
            let width = 340.0_f32.min((ui.available_width() - 170.0).max(120.0));
            let response = ui.add(typed_line(text).desired_width(width).hint_text(field.hint));
            let response = match name_id {
                Some(id) => response.labelled_by(id),
                None => response,
            };
            is_asked = response.lost_focus() && ui.input(|i| i.key_pressed(egui::Key::Enter));
            is_asked |= ui.add_enabled(!text.trim().is_empty(), egui::Button::new(field.button)).clicked();
        });
    });
    (is_asked && !text.trim().is_empty()).then(|| text.trim().to_owned())
}

/// A named field of a form that is read when its button is pressed.
pub(super) fn text(ui: &mut Ui, name: &str, hint: &str, text: &mut String, width: f32) {
    named(ui, name, |ui, name_id| {
        let response = ui.add(typed_line(text).desired_width(width.min(ui.available_width())).hint_text(hint));
        if let Some(id) = name_id {
            response.labelled_by(id);
        }
    });
}

/// The same of several lines.
pub(super) fn lines(ui: &mut Ui, name: &str, hint: &str, text: &mut String, width: f32) {
    named(ui, name, |ui, name_id| {
        let edit = typed_lines(text).desired_rows(3).desired_width(width.min(ui.available_width()));
        let response = ui.add(edit.hint_text(hint));
        if let Some(id) = name_id {
            response.labelled_by(id);
        }
    });
}

/// A weight: zero or more.
pub(super) fn weight(ui: &mut Ui, name: &str, spoken: &str, value: f64) -> Option<f64> {
    Entry::new(name, plain(value))
        .spoken(spoken)
        .width(80.0)
        .show(ui, |text| within(text, 0.0, 1000.0, "a weight from 0 to 1000"))
}

/// A share, typed and shown in per cent.
pub(super) fn share(ui: &mut Ui, name: &str, value: f64) -> Option<f64> {
    let shown = format!("{} %", plain(value * 100.0));
    Entry::new(name, shown).width(80.0).show(ui, |text| {
        within(text.trim_end_matches(['%', ' ']), 0.0, 100.0, "a share from 0 to 100 %").map(|percent| percent / 100.0)
    })
}

/// Minutes of the hour-hand clock: half the wheel at most.
pub(super) fn clock_minutes(ui: &mut Ui, spoken: &str, value: f64) -> Option<f64> {
    let note = format!("{} degrees either way", plain(value / 2.0));
    Entry::new("Near enough", format!("{} min", plain(value))).spoken(spoken).note(note).width(80.0).show(ui, |text| {
        let figure = text.trim_end_matches("min").trim_end_matches("minutes").trim();
        within(figure, 0.0, 360.0, "clock minutes from 0 to 360, of which 60 are one hour of the clock face")
    })
}

/// A figure without needless zeros.
pub(super) fn plain(value: f64) -> String {
    print_short(value, 2, false)
}

fn within(text: &str, least: f64, most: f64, what: &str) -> Result<f64, String> {
    match parse_number(text.trim()) {
        Ok(value) if (least..=most).contains(&value) => Ok(value),
        Ok(_) | Err(_) => Err(format!("expected {what}, found \"{}\": type the figure again", text.trim())),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_are_read_with_either_sign_and_a_slip_is_told() {
        assert_eq!(within("1,5", 0.0, 10.0, "a weight"), Ok(1.5));
        for slip in ["-1", "NaN", "inf", "many", "", "11"] {
            let told = within(slip, 0.0, 10.0, "a weight from 0 to 10").expect_err(slip);
            assert!(told.contains("expected a weight from 0 to 10") && told.contains("again"), "{told}");
        }
        assert_eq!((plain(0.5), plain(2.0), plain(100.0 / 3.0)), ("0.5".into(), "2".into(), "33.33".into()));
    }
}
