//! A part of a page that folds: its name, and what is in it in a few words while it is shut.

use egui::{Align2, FontId, Role, Sense, Ui, WidgetInfo, vec2};

use super::words::tokens;
use crate::ui::theme::strong_family;

/// Draws the row that opens and shuts a part, then its content where it is open. Gives whether it was pressed.
pub fn section(ui: &mut Ui, title: &str, summary: &str, open: bool, content: impl FnOnce(&mut Ui)) -> bool {
    let t = tokens(ui);
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), 38.0), Sense::click());
    response.widget_info(|| {
        let mut info = WidgetInfo::labeled(Role::Button, true, title);
        info.selected = Some(open);
        info
    });
    let painter = ui.painter_at(rect);
    if response.hovered() || response.has_focus() {
        painter.rect_filled(rect, 4.0, t.wash);
    }
    if response.has_focus() {
        painter.rect_stroke(rect, 4.0, egui::Stroke::new(2.0, t.accent), egui::StrokeKind::Inside);
    }
    painter.hline(rect.x_range(), rect.top(), egui::Stroke::new(1.0, t.wash));
    let middle = rect.center().y;
    let (x, s) = (rect.left() + 8.0, 4.5);
    let chevron = if open {
        vec![egui::pos2(x - s, middle - s * 0.5), egui::pos2(x, middle + s * 0.5), egui::pos2(x + s, middle - s * 0.5)]
    } else {
        vec![egui::pos2(x - s * 0.5, middle - s), egui::pos2(x + s * 0.5, middle), egui::pos2(x - s * 0.5, middle + s)]
    };
    painter.add(egui::Shape::line(chevron, egui::Stroke::new(1.6, t.line)));
    let titled = painter.text(
        egui::pos2(rect.left() + 22.0, middle),
        Align2::LEFT_CENTER,
        title,
        FontId::new(16.0, strong_family()),
        t.strong,
    );
    let room = rect.right() - titled.right() - 20.0;
    if room > 40.0 {
        let mut job = egui::text::LayoutJob::simple_singleline(summary.to_owned(), FontId::proportional(13.5), t.faint);
        job.wrap = egui::text::TextWrapping::truncate_at_width(room);
        let galley = painter.layout_job(job);
        painter.galley(egui::pos2(titled.right() + 14.0, middle - galley.size().y / 2.0), galley, t.faint);
    }
    if open {
        ui.add_space(4.0);
        ui.indent(title, content);
        ui.add_space(10.0);
    }
    response.clicked()
}
