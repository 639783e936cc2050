//! The pages: laid out when something has changed, painted when they come into view, kept until then.

use std::collections::BTreeMap;
use std::fmt;
use std::sync::Arc;
use std::time::Duration;

use egui::{ColorImage, Role, Sense, TextureHandle, TextureOptions, Ui, WidgetInfo, vec2};

use super::Zoom;
use super::job::{Job, Outcome};
use super::spec::{Order, Snapshot};
use crate::report::layout::{Layout, Page, Placed};
use crate::report::raster;
use crate::ui::theme::Tokens;
use crate::ui::widgets::{caption, trouble};

/// The widest that a page is shown where nothing larger is asked for, in points.
const WIDEST: f32 = 860.0;

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
            }
            Outcome::Lacking(why) => {
                *self = Self { made_for: self.made_for.take(), lacking: Some(why), ..Self::default() };
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
        let room = vec2((ui.available_width() - 22.0).max(120.0), (ui.available_height() - 8.0).max(120.0));
        egui::ScrollArea::both().auto_shrink([false, false]).show(ui, |ui| {
            let mut may_paint = true;
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
                if ui.is_rect_visible(rect) {
                    let scale = step_up(width / page.width.max(1.0) * ui.ctx().pixels_per_point());
                    self.page(&layout, index, scale, rect, &mut may_paint, ui);
                    let edge = egui::Stroke::new(1.0, tokens.faint.gamma_multiply(0.6));
                    ui.painter().rect_stroke(rect, 0.0, edge, egui::StrokeKind::Outside);
                }
                ui.add_space(14.0);
            }
        });
    }

    fn page(&mut self, layout: &Layout, index: usize, scale: f32, rect: egui::Rect, may_paint: &mut bool, ui: &mut Ui) {
        let is_stale = self.painted.get(&index).is_none_or(|p| p.pixels_per_point != scale);
        // One page a frame, so that turning pages never makes the window stand still.
        if is_stale && std::mem::take(may_paint) {
            let texture = raster::page(layout, index, scale).map_err(|e| e.to_string()).map(|bitmap| {
                let size = [bitmap.width as usize, bitmap.height as usize];
                let image = ColorImage::from_rgba_unmultiplied(size, &bitmap.rgba);
                ui.ctx().load_texture(format!("page {index}"), image, TextureOptions::LINEAR)
            });
            self.painted.insert(index, Painted { pixels_per_point: scale, texture });
        } else if is_stale {
            ui.ctx().request_repaint();
        }
        match self.painted.get(&index).map(|p| &p.texture) {
            Some(Ok(texture)) => {
                let whole = egui::Rect::from_min_max(egui::pos2(0.0, 0.0), egui::pos2(1.0, 1.0));
                ui.painter().image(texture.id(), rect, whole, egui::Color32::WHITE);
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
}

/// The next step of a coarse scale, so that a window being dragged wider does not paint every page at every width.
fn step_up(pixels_per_point: f32) -> f32 {
    ((pixels_per_point / 0.25).ceil() * 0.25).clamp(0.25, 6.0)
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
