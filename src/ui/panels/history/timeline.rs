//! The timeline: a line of days with inspections and events, and each finding as a bar from opened to closed.

use chrono::NaiveDate;
use egui::{Align2, FontId, Role, Sense, Stroke, StrokeKind, Ui, WidgetInfo, pos2, vec2};

use super::kept::{Bar, Kept};
use crate::drawing::notch::Mark;
use crate::garage::Bay;
use crate::ui::ViewCtx;
use crate::ui::widgets::{caption, notch, strong, trouble};

/// Height of a bar, in points.
const BAR: f32 = 7.0;

/// Draws it.
pub(super) fn ui(cx: &ViewCtx<'_>, bay: &Bay, kept: &Kept, ui: &mut Ui) {
    for note in &kept.notes {
        trouble(ui, note);
    }
    if bay.inspections.is_empty() {
        strong(ui, "No inspection yet");
        ui.label("Begin one on the walk-around (F1); the history starts there.");
        return;
    }
    let days = kept.happened.iter().map(|h| h.date).chain(kept.bars.iter().map(|b| b.from));
    let first = days.min().unwrap_or(cx.today);
    let scale = Scale { first, last: cx.today.max(first), width: ui.available_width().min(900.0) - 20.0 };
    axis(cx, kept, &scale, ui);
    if kept.bars.is_empty() {
        caption(ui, "Nothing was ever found.");
    }
    ui.scope(|ui| {
        ui.spacing_mut().item_spacing.y = 1.0;
        ui.spacing_mut().interact_size.y = 18.0;
        for bar in kept.bars.iter().rev() {
            row(cx, bar, &scale, ui);
        }
    });
    ui.add_space(12.0);
    strong(ui, "What happened, newest first");
    for h in kept.happened.iter().rev() {
        ui.horizontal_top(|ui| {
            ui.add_sized([88.0, 18.0], egui::Label::new(h.date.to_string()));
            ui.add(egui::Label::new(&h.words).wrap());
        });
    }
}

/// Days to points.
struct Scale {
    first: NaiveDate,
    last: NaiveDate,
    width: f32,
}

impl Scale {
    fn x(&self, left: f32, day: NaiveDate) -> f32 {
        let span = (self.last - self.first).num_days().max(1) as f32;
        left + self.width * ((day - self.first).num_days() as f32 / span).clamp(0.0, 1.0)
    }
}

/// The line of days: a long mark with a ring for an inspection, a short one for what else happened.
fn axis(cx: &ViewCtx<'_>, kept: &Kept, scale: &Scale, ui: &mut Ui) {
    let (rect, response) = ui.allocate_exact_size(vec2(scale.width + 20.0, 46.0), Sense::hover());
    let inspections = kept.happened.iter().filter(|h| h.is_inspection).count();
    let words = format!("{inspections} inspections from {} to {}", scale.first, scale.last);
    response.widget_info(|| WidgetInfo::labeled(Role::Label, true, &words));
    let (t, painter) = (cx.tokens, ui.painter_at(rect));
    let (left, y) = (rect.left() + 10.0, rect.top() + 16.0);
    painter.hline(left..=left + scale.width, y, Stroke::new(1.5, t.line));
    for h in &kept.happened {
        let x = scale.x(left, h.date);
        if h.is_inspection {
            painter.circle(pos2(x, y), 5.0, t.paper, Stroke::new(2.0, t.line));
        } else {
            painter.vline(x, y - 6.0..=y + 6.0, Stroke::new(1.5, t.faint));
        }
    }
    let font = FontId::proportional(12.5);
    let end = left + scale.width;
    painter.text(pos2(left, y + 10.0), Align2::LEFT_TOP, scale.first.to_string(), font.clone(), t.faint);
    painter.text(pos2(end, y + 10.0), Align2::RIGHT_TOP, format!("{} (today)", scale.last), font.clone(), t.faint);
    let key = "ring: inspection · stroke: event · bar: a finding, open at its right end while it lasts";
    if scale.width > 620.0 {
        painter.text(pos2(left + scale.width / 2.0, y + 10.0), Align2::CENTER_TOP, key, font, t.faint);
    }
}

/// A finding: its mark and words, and below them the bar over the days that it was open.
fn row(cx: &ViewCtx<'_>, bar: &Bar, scale: &Scale, ui: &mut Ui) {
    let closed = bar.to.map_or_else(|| "open".to_owned(), |d| format!("closed {d}"));
    let words = format!("{}: {} ({} to {closed})", bar.severity.word(), bar.words, bar.from);
    ui.horizontal(|ui| {
        let (mark, _) = ui.allocate_exact_size(vec2(16.0, 16.0), Sense::hover());
        notch(ui.painter(), mark.min, 16.0, Mark::Found(bar.severity), cx.tokens);
        ui.add(egui::Label::new(words).truncate());
    });
    let (rect, _) = ui.allocate_exact_size(vec2(scale.width + 20.0, BAR + 4.0), Sense::hover());
    let (t, painter) = (cx.tokens, ui.painter_at(rect));
    let left = rect.left() + 10.0;
    let (from, to) = (scale.x(left, bar.from), scale.x(left, bar.to.unwrap_or(scale.last)));
    let shape = egui::Rect::from_min_max(pos2(from, rect.top()), pos2(to.max(from + 4.0), rect.top() + BAR));
    match bar.to {
        // Closed: a hollow bar with both ends. Open: filled, and no end.
        Some(_) => painter.rect_stroke(shape, 2.0, Stroke::new(1.5, t.line), StrokeKind::Inside),
        None => painter.rect_filled(shape, 2.0, t.line),
    };
}
