//! Things to press: a drawn mark with or without words, always with a name that can be heard.

use egui::{Align2, FontId, Response, Role, Sense, TextStyle, Ui, WidgetInfo, vec2};

use super::icon::{Icon, icon};
use super::words::tokens;
use crate::ui::theme::strong_family;

/// How a button is drawn and named.
pub struct Press<'a> {
    /// The mark at the left.
    pub mark: Option<Icon>,
    /// The words beside it; empty for the mark alone.
    pub words: &'a str,
    /// Its name for those who cannot see it.
    pub name: &'a str,
    /// What it does, on hovering.
    pub tip: &'a str,
    /// Whether it can be pressed.
    pub enabled: bool,
    /// Whether it is what is open now.
    pub selected: bool,
}

/// Draws it.
pub fn press(ui: &mut Ui, button: &Press<'_>) -> Response {
    let t = tokens(ui);
    let font = if button.selected { FontId::new(15.0, strong_family()) } else { TextStyle::Button.resolve(ui.style()) };
    let galley = ui.painter().layout_no_wrap(button.words.to_owned(), font.clone(), t.line);
    let mark = if button.mark.is_some() { 18.0 } else { 0.0 };
    let between = if mark > 0.0 && !button.words.is_empty() { 7.0 } else { 0.0 };
    let size = vec2(galley.size().x + mark + between + 18.0, t.target + 2.0);
    let sense = if button.enabled { Sense::click() } else { Sense::hover() };
    let (rect, response) = ui.allocate_exact_size(size, sense);
    response.widget_info(|| WidgetInfo::selected(Role::Button, button.enabled, button.selected, button.name));
    let color = match (button.enabled, button.selected) {
        (false, _) => t.faint.gamma_multiply(0.5),
        (true, true) => t.strong,
        (true, false) => t.line,
    };
    if button.enabled && (response.hovered() || response.has_focus()) {
        ui.painter().rect_filled(rect, 5.0, t.wash);
    }
    if response.has_focus() {
        ui.painter().rect_stroke(rect, 5.0, egui::Stroke::new(2.0, t.accent), egui::StrokeKind::Inside);
    }
    if button.selected {
        let base = egui::Rect::from_min_max(
            egui::pos2(rect.left() + 6.0, rect.bottom() - 3.0),
            rect.right_bottom() - vec2(6.0, 0.0),
        );
        ui.painter().rect_filled(base, 1.0, t.accent);
    }
    let mut x = rect.left() + 9.0;
    if let Some(which) = button.mark {
        let square = egui::Rect::from_center_size(egui::pos2(x + mark / 2.0, rect.center().y), vec2(mark, mark));
        icon(ui.painter(), square, which, color);
        x += mark + between;
    }
    ui.painter().text(egui::pos2(x, rect.center().y), Align2::LEFT_CENTER, button.words, font, color);
    if button.tip.is_empty() { response } else { response.on_hover_text(button.tip) }
}
