//! Marks painted over a photo, as they are burnt into the copy that leaves the garage.

use egui::{Align2, FontId, Painter, Pos2, Rect, Shape, Stroke, pos2};

use crate::photo::{PhotoMark, line_width};
use crate::ui::theme::{PHOTO_INK, PHOTO_RIM, Tokens};

/// Paints a mark on a photo that is shown in a rectangle.
pub(super) fn mark(painter: &Painter, mark: PhotoMark, on: Rect, tokens: &Tokens) {
    let size = (on.width(), on.height());
    let at = |(x, y): (f32, f32)| pos2(on.left() + x, on.top() + y);
    let lines = mark.lines(size);
    if mark.hides() {
        let [a, b] = mark.places().map(|place| at(place.on(size)));
        let area = Rect::from_two_pos(a, b);
        painter.rect_filled(area, 0.0, tokens.metal);
        if area.width() > 60.0 && area.height() > 16.0 {
            painter.text(area.center(), Align2::CENTER_CENTER, "hidden", FontId::proportional(13.0), tokens.paper);
        }
        return;
    }
    let width = line_width(size).min(6.0);
    for stroke in [Stroke::new(width * 2.0, PHOTO_RIM), Stroke::new(width, PHOTO_INK)] {
        for run in &lines.runs {
            let points: Vec<Pos2> = run.iter().map(|p| at(*p)).collect();
            painter.add(if lines.is_closed { Shape::closed_line(points, stroke) } else { Shape::line(points, stroke) });
        }
    }
}
