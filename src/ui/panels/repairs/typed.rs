//! Fields that keep what is typed, and reading them: days, odometers, lengths. Nothing typed is lost while it is wrong.

use egui::{RichText, Ui, vec2};

use crate::garage::Bay;
use crate::repair::Wrench;
use crate::ui::ViewCtx;
use crate::ui::widgets::{read_day, typed_line};
use crate::units::{Distance, Length, Preferences, parse_number};

/// A named line of text.
pub(super) fn line(cx: &ViewCtx<'_>, ui: &mut Ui, label: &str, hint: &str, text: &mut String, width: f32) {
    ui.vertical(|ui| {
        let label = ui.label(RichText::new(label).small().color(cx.tokens.faint));
        let width = width.min(ui.available_width());
        let edit = typed_line(text).hint_text(hint).desired_width(width);
        ui.add(edit.min_size(vec2(0.0, cx.tokens.target))).labelled_by(label.id);
    });
}

/// The day of an event: empty for today; one to come is refused.
pub(super) fn day(cx: &ViewCtx<'_>, text: &str) -> Result<chrono::NaiveDate, String> {
    if text.trim().is_empty() {
        return Ok(cx.today);
    }
    let day = read_day(text, cx.today)?;
    if day > cx.today {
        return Err(format!("expected a day up to today, {}, found {day}: look at the year again", cx.today));
    }
    Ok(day)
}

/// An odometer in the liked unit; empty where it is not known.
pub(super) fn odometer(units: &Preferences, what: &str, text: &str) -> Result<Option<Distance>, String> {
    if text.trim().is_empty() {
        return Ok(None);
    }
    let unit = crate::ui::panels::walk::distance_unit(units);
    Distance::parse(text, Some(unit)).map(Some).map_err(|e| format!("{what}: {e}"))
}

/// What the odometer log will say of a reading that is being typed; none where the day or the figure cannot be read yet.
pub(super) fn odometer_doubt(cx: &ViewCtx<'_>, bay: &Bay, on: &str, text: &str) -> Option<String> {
    match day(cx, on) {
        Ok(date) => crate::ui::panels::walk::odometer_doubt(cx, bay, (date, text), None),
        Err(_) => None,
    }
}

/// A length; empty where it is not known. Without a unit, millimetres or what the owner likes for small depths.
pub(super) fn depth(units: &Preferences, what: &str, text: &str) -> Result<Option<Length>, String> {
    if text.trim().is_empty() {
        return Ok(None);
    }
    Length::parse(text, Some(units.depth_unit())).map(Some).map_err(|e| format!("{what}: {e}"))
}

/// The torque wrench with its extension, as typed.
#[derive(Clone, Debug, Default)]
pub(super) struct WrenchForm {
    is_on: bool,
    length: String,
    extension: String,
    angle: String,
}

impl WrenchForm {
    /// The wrench, or what is missing; none where no extension is in hand.
    pub fn wrench(&self) -> Option<Result<Wrench, String>> {
        self.is_on.then(|| {
            let unit = Length::mm(0.0).unit();
            let read = |what: &str, text: &str| Length::parse(text, Some(unit)).map_err(|e| format!("{what}: {e}"));
            let angle = match self.angle.trim() {
                "" => 0.0,
                text => parse_number(text.trim_end_matches('°')).map_err(|e| format!("Angle: {e}"))?,
            };
            Ok(Wrench { length: read("Wrench", &self.length)?, extension: read("Extension", &self.extension)?, angle })
        })
    }
    /// Draws it.
    pub fn ui(&mut self, cx: &ViewCtx<'_>, ui: &mut Ui) {
        ui.checkbox(&mut self.is_on, "My torque wrench has an extension on its drive");
        if !self.is_on {
            return;
        }
        ui.horizontal_wrapped(|ui| {
            line(cx, ui, "Wrench, drive to grip", "mm", &mut self.length, 120.0);
            line(cx, ui, "Extension, drive to fastener", "mm", &mut self.extension, 150.0);
            line(cx, ui, "Angle between them", "0 in line, 90 square", &mut self.angle, 150.0);
        });
        if let Some(Err(missing)) = self.wrench() {
            ui.label(RichText::new(missing).small().color(cx.tokens.strong));
        }
    }
}
