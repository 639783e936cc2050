//! The pages: laid out when something has changed, painted by a thread when they come near, kept while they are near.
//! Words that lead to a heading can be pressed; nothing leads outside.

use std::collections::BTreeMap;
use std::fmt;
use std::sync::Arc;
use std::time::Duration;

use egui::{Align, CursorIcon, Role, Sense, TextureHandle, TextureOptions, Ui, WidgetInfo, vec2};

use super::Zoom;
use super::job::{Job, Outcome};
use super::painter::{Painter, Wanted};
use super::spec::{Order, Snapshot};
use crate::report::layout::{Layout, OutlineEntry, Page, Placed};
use crate::report::raster;
use crate::ui::theme::{self, Tokens};
use crate::ui::widgets::{caption, trouble};

/// The widest that a page is shown where nothing larger is asked for, in points.
const WIDEST: f32 = 860.0;
/// How many pages before and after those in view are kept painted; one of them is painted ahead.
const KEPT: usize = 3;

/// A page in pixels at a scale.
#[derive(Clone)]
struct Painted {
    pixels_per_point: f32,
    texture: Result<TextureHandle, String>,
}

/// The pages that are shown, and those in the making.
#[derive(Clone, Default)]
pub struct Pages {
    made_for: Option<Order>,
    layout: Option<Arc<Layout>>,
    /// The report as plain text.
    text: String,
    words: Vec<String>,
    painted: BTreeMap<usize, Painted>,
    /// How often pages were made: what was painted of earlier ones is dropped.
    making: u64,
    painter: Option<Arc<Painter>>,
    /// The place that is to be shown: a page and how far down, in points of the page.
    going_to: Option<(usize, f32)>,
    job: Option<Arc<Job>>,
    /// What the report lacks.
    lacking: Option<String>,
}

impl fmt::Debug for Pages {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Pages").field("made_for", &self.made_for).field("painted", &self.painted.len()).finish()
    }
}

impl Pages {
    /// Makes the report again where anything in it has changed, and takes in what is done. What is shown stays until
    /// then.
    pub fn keep_up(&mut self, order: Order, snapshot: impl FnOnce(&Order) -> Snapshot, ui: &Ui) {
        if let Some(outcome) = self.job.as_ref().and_then(|job| job.poll()) {
            self.take(outcome);
        }
        let is_made = self.made_for.as_ref() == Some(&order);
        let is_coming = self.job.as_ref().is_some_and(|job| job.order == order);
        if !is_made && !is_coming {
            // The one before, if it still goes on, is given up.
            let snapshot = snapshot(&order);
            self.job = Some(Arc::new(Job::start(order, snapshot, ui.ctx().clone())));
        }
    }
    /// Waits until the pages that were ordered are made, at most for a while.
    pub fn settle(&mut self, most: Duration) {
        if let Some(outcome) = self.job.as_ref().and_then(|job| job.wait(most)) {
            self.take(outcome);
        }
    }
    /// Waits until the pages in view are painted, at most for a while.
    pub fn settle_painting(&self, most: Duration) {
        if let Some(painter) = &self.painter {
            painter.settle(most);
        }
    }
    /// Whether another report is being made.
    pub fn is_making(&self) -> bool {
        self.job.is_some()
    }
    /// Stops what is being made; what is shown stays.
    pub fn stop(&mut self) {
        if let Some(job) = &self.job {
            job.stop();
        }
    }
    fn take(&mut self, outcome: Outcome) {
        let Some(job) = self.job.take() else { return };
        // Also when it was stopped or lacks something: it is made again only once something changes.
        self.made_for = Some(job.order.clone());
        self.lacking = None;
        match outcome {
            Outcome::Made(layout, text) => {
                self.words = layout.pages.iter().map(page_words).collect();
                self.layout = Some(layout);
                self.text = text;
                self.painted.clear();
                self.making += 1;
            }
            Outcome::Lacking(why) => {
                let (made_for, painter) = (self.made_for.take(), self.painter.take());
                *self = Self { made_for, painter, making: self.making + 1, lacking: Some(why), ..Self::default() };
            }
            Outcome::Stopped => {
                self.lacking =
                    Some("The pages were not made, because it was stopped. Change a choice to make them.".into());
            }
        }
    }
    /// How far the making is, while it goes on.
    pub fn far(&self) -> Option<(usize, usize)> {
        self.job.as_ref().map(|job| job.far())
    }
    /// What the report lacks.
    pub fn lacking(&self) -> Option<&str> {
        self.lacking.as_deref()
    }
    /// The layout that is shown; none while another report is being made, so that what is saved is what was ordered.
    pub fn layout(&self) -> Option<Arc<Layout>> {
        self.layout.clone().filter(|_| self.job.is_none())
    }
    /// The layout that is on the screen, whether or not another one is being made.
    pub fn shown(&self) -> Option<Arc<Layout>> {
        self.layout.clone()
    }
    /// Shows a place of a page in the next frame.
    pub fn go_to(&mut self, page: usize, y: f32) {
        self.going_to = Some((page, y));
    }
    /// The report as plain text.
    pub fn text(&self) -> &str {
        &self.text
    }
    /// A file name for it.
    pub fn name(&self) -> String {
        let order = self.job.as_ref().map(|job| &job.order).or(self.made_for.as_ref());
        format!("{}.pdf", order.map_or_else(|| "report".into(), Order::name))
    }

    /// Draws the pages under each other.
    pub fn ui(&mut self, zoom: Zoom, tokens: &Tokens, ui: &mut Ui) {
        let Some(layout) = self.layout.clone() else { return };
        self.take_painted(ui);
        let room = vec2((ui.available_width() - 22.0).max(120.0), (ui.available_height() - 8.0).max(120.0));
        let mut seen: Vec<(usize, f32)> = Vec::new();
        egui::ScrollArea::both().auto_shrink([false, false]).show(ui, |ui| {
            for (index, page) in layout.pages.iter().enumerate() {
                let shape = page.height / page.width.max(1.0);
                let width = match zoom {
                    Zoom::Page => (room.y / shape).min(room.x),
                    Zoom::Width => room.x.min(WIDEST),
                    Zoom::Double => room.x.min(WIDEST) * 2.0,
                };
                let size = vec2(width, width * shape);
                let row = vec2(width.max(room.x), size.y);
                let (row, response) = ui.allocate_exact_size(row, Sense::hover());
                let rect = egui::Rect::from_center_size(row.center(), size);
                let words = self.words.get(index).map_or("", String::as_str);
                response.widget_info(|| {
                    let spoken = format!("Page {} of {}: {words}", index + 1, layout.pages.len());
                    WidgetInfo::labeled(Role::Image, true, spoken)
                });
                let shown = width / page.width.max(1.0);
                if let Some((_, y)) = self.going_to.filter(|(page, _)| *page == index) {
                    self.going_to = None;
                    let at = rect.left_top() + vec2(0.0, y * shown);
                    let line = egui::Rect::from_min_size(at, vec2(1.0, 1.0));
                    ui.scroll_to_rect_animation(line, Some(Align::TOP), egui::style::ScrollAnimation::none());
                }
                if ui.is_rect_visible(rect) {
                    let most = largest(page, ui);
                    seen.push((index, step_up(shown * ui.ctx().pixels_per_point()).min(most)));
                    self.page(index, rect, ui);
                    let edge = egui::Stroke::new(1.0, tokens.faint.gamma_multiply(0.6));
                    ui.painter().rect_stroke(rect, 0.0, edge, egui::StrokeKind::Outside);
                    self.links(&layout, index, rect, shown, ui);
                }
                ui.add_space(14.0);
            }
        });
        // A page that is no longer there is nowhere to go to.
        self.going_to = self.going_to.filter(|(page, _)| *page < layout.pages.len());
        self.want(&layout, &seen, ui);
    }

    /// Takes in what was painted: one page a frame.
    fn take_painted(&mut self, ui: &Ui) {
        let Some(painter) = &self.painter else { return };
        let (one, more) = painter.take();
        if more {
            ui.ctx().request_repaint();
        }
        let Some((wanted, painted)) = one.filter(|(wanted, _)| wanted.making == self.making) else { return };
        let name = || format!("page {}", wanted.index);
        let texture = painted.map(|image| ui.ctx().load_texture(name(), image, TextureOptions::LINEAR));
        self.painted.insert(wanted.index, Painted { pixels_per_point: wanted.scale, texture });
    }

    /// Asks for the pages in view that are not painted at their scale, then for the one after them and the one before.
    fn want(&mut self, layout: &Arc<Layout>, seen: &[(usize, f32)], ui: &Ui) {
        let (Some(first), Some(last)) = (seen.first(), seen.last()) else { return };
        let near = first.0.saturating_sub(KEPT)..=last.0 + KEPT;
        self.painted.retain(|index, _| near.contains(index));
        let ahead = [Some(last.0 + 1), first.0.checked_sub(1)].into_iter().flatten().map(|index| (index, last.1));
        let is_missing = |(index, scale): &(usize, f32)| {
            *index < layout.pages.len() && self.painted.get(index).is_none_or(|p| p.pixels_per_point != *scale)
        };
        let wanted = seen.iter().copied().chain(ahead).filter(is_missing);
        let wanted: Vec<Wanted> = wanted.map(|(index, scale)| Wanted { making: self.making, index, scale }).collect();
        let painter = self.painter.get_or_insert_with(|| Arc::new(Painter::start(ui.ctx().clone())));
        painter.want(layout, wanted);
    }

    fn page(&self, index: usize, rect: egui::Rect, ui: &mut Ui) {
        match self.painted.get(&index).map(|p| &p.texture) {
            Some(Ok(texture)) => {
                let whole = egui::Rect::from_min_max(egui::pos2(0.0, 0.0), egui::pos2(1.0, 1.0));
                ui.painter().image(texture.id(), rect, whole, theme::UNTINTED);
            }
            Some(Err(error)) => {
                let mut inside = ui.new_child(egui::UiBuilder::new().max_rect(rect.shrink(20.0)));
                trouble(&mut inside, error);
            }
            None => {
                let mut inside = ui.new_child(egui::UiBuilder::new().max_rect(rect.shrink(20.0)));
                caption(&mut inside, "painting this page");
            }
        }
    }

    /// The words of a page that lead somewhere, to be pressed.
    fn links(&mut self, layout: &Layout, index: usize, rect: egui::Rect, shown: f32, ui: &Ui) {
        let Some(page) = layout.pages.get(index) else { return };
        for (number, (run, link)) in page.links().enumerate() {
            let area = run.area();
            let place = egui::Rect::from_min_size(
                rect.left_top() + vec2(area.x, area.y) * shown,
                vec2(area.width, area.height) * shown,
            );
            let response = ui.interact(place, ui.scope_id().with(("link", index, number)), Sense::click());
            response.widget_info(|| WidgetInfo::labeled(Role::Link, true, run.text.trim()));
            let response = response.on_hover_cursor(CursorIcon::PointingHand);
            if response.has_focus() || response.hovered() {
                let line = egui::Stroke::new(1.0, ui.visuals().hyperlink_color);
                ui.painter().hline(place.x_range(), place.bottom(), line);
            }
            if response.clicked() {
                let target = layout.outline.iter().find(|entry| entry.text == link.0);
                self.going_to = target.map(|OutlineEntry { page, y, .. }| (*page, *y));
                ui.ctx().request_repaint();
            }
        }
    }
}

/// The next step of a coarse scale, so that a window being dragged wider does not paint every page at every width.
fn step_up(pixels_per_point: f32) -> f32 {
    ((pixels_per_point / 0.25).ceil() * 0.25).clamp(0.25, 6.0)
}

/// The largest scale at which a page is one texture of the graphics at hand; larger than that it is shown coarser.
fn largest(page: &Page, ui: &Ui) -> f32 {
    let side = ui.input(|input| input.max_texture_side).min(raster::LONGEST_SIDE as usize);
    // A page is rounded to whole pixels, so that one is left free.
    side.saturating_sub(1) as f32 / page.width.max(page.height).max(1.0)
}

/// The words of a page in reading order, with what its drawings and photos show.
fn page_words(page: &Page) -> String {
    fn gather(items: &[Placed], words: &mut Vec<String>) {
        for item in items {
            match item {
                Placed::Text(run) => words.push(run.text.clone()),
                Placed::Photo { summary, .. } | Placed::Drawing { summary, .. } => words.push(summary.clone()),
                Placed::Path { .. } | Placed::Circle { .. } | Placed::Rect { .. } | Placed::Rule { .. } => {}
            }
        }
    }
    let mut words = Vec::new();
    gather(&page.items, &mut words);
    words.join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_page_is_never_painted_coarser_than_it_is_shown() {
        for shown in [0.3_f32, 1.0, 1.01, 2.49] {
            let painted = step_up(shown);
            assert!(painted >= shown && painted - shown < 0.26, "{shown} -> {painted}");
        }
    }
}
