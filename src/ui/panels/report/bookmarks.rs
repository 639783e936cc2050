//! The headings of the report as a list: a press shows the place. It stands beside the pages.

use egui::{Button, RichText, Ui};

use super::pages::Pages;
use crate::ui::widgets::{strong, tokens};

/// How far a heading of the next level is moved in, in points.
const STEP: f32 = 10.0;

/// Draws the list; nothing where there are no headings.
pub fn ui(pages: &mut Pages, ui: &mut Ui) {
    let Some(layout) = pages.shown() else { return };
    if layout.outline.is_empty() {
        return;
    }
    ui.add_space(10.0);
    strong(ui, "In this report");
    let faint = tokens(ui).faint;
    for (index, entry) in layout.outline.iter().enumerate() {
        ui.push_id(("bookmark", index), |ui| {
            ui.horizontal(|ui| {
                ui.add_space(f32::from(entry.level.saturating_sub(1)) * STEP);
                let mut words = RichText::new(&entry.text);
                if entry.level > 2 {
                    words = words.small().color(faint);
                }
                let button = Button::new(words).frame(false).truncate();
                let said = format!("{}, page {}", entry.text, entry.page + 1);
                if ui.add(button).on_hover_text(said).clicked() {
                    pages.go_to(entry.page, entry.y);
                }
            });
        });
    }
}
