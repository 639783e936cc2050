//! The photo itself in the viewer: zoomed about a point, moved, and drawn on.

use egui::{Key, PointerButton, Pos2, Rect, Role, Sense, Ui, Vec2, WidgetInfo, pos2, vec2};

use super::overlay;
use super::shelf::Picture;
use super::viewer::Tool;
use crate::photo::{At, PhotoMark};
use crate::ui::theme::{self, Tokens};
use crate::ui::widgets::{caption, trouble};

/// How much one press zooms.
pub(super) const STEP: f32 = 1.3;
/// How far a press of an arrow key moves, in points.
const PAN: f32 = 48.0;

/// How the photo is seen.
#[derive(Clone, Debug)]
pub(super) struct Canvas {
    /// 1 shows all of it.
    zoom: f32,
    /// How far its middle is from the middle of the room, in points.
    pan: Vec2,
    /// Where a mark that is being drawn begins.
    begun: Option<At>,
}

impl Default for Canvas {
    fn default() -> Self {
        Self { zoom: 1.0, pan: Vec2::ZERO, begun: None }
    }
}

impl Canvas {
    /// Zooms about the middle of the room.
    pub fn zoom_by(&mut self, factor: f32) {
        self.zoom_about(Vec2::ZERO, factor);
    }
    /// Shows all of it.
    pub fn show_all(&mut self) {
        (self.zoom, self.pan) = (1.0, Vec2::ZERO);
    }
    /// Zooms so that what is at a point, counted from the middle of the room, stays there.
    fn zoom_about(&mut self, at: Vec2, factor: f32) {
        let zoom = (self.zoom * factor).clamp(1.0, 16.0);
        self.pan = at - (at - self.pan) * (zoom / self.zoom);
        self.zoom = zoom;
    }

    /// Draws it; gives the mark that was finished in this frame.
    pub fn ui(
        &mut self,
        tokens: &Tokens,
        ui: &mut Ui,
        picture: &Picture,
        marks: &[PhotoMark],
        tool: Tool,
        takes_focus: bool,
    ) -> Option<PhotoMark> {
        let texture = match picture {
            Picture::There(texture) => texture,
            Picture::Asked => {
                caption(ui, "The photo is being brought.");
                return None;
            }
            Picture::Refused(why) => {
                trouble(ui, why);
                return None;
            }
        };
        let (room, response) = ui.allocate_exact_size(ui.available_size(), Sense::click_and_drag());
        response.widget_info(|| WidgetInfo::labeled(Role::Image, true, "The photo, with its marks"));
        if takes_focus {
            response.request_focus();
        }
        self.keys(ui);
        self.wheel(ui, &response, room);
        if response.dragged() && (tool == Tool::Move || response.dragged_by(PointerButton::Middle)) {
            self.pan += response.drag_delta();
        }
        let size = texture.size_vec2();
        let fit = (room.width() / size.x).min(room.height() / size.y);
        let shown = size * fit * self.zoom;
        // No edge of the photo comes further in than the middle of the room.
        self.pan = self.pan.clamp(-shown / 2.0, shown / 2.0);
        let on = Rect::from_center_size(room.center() + self.pan, shown);
        let painter = ui.painter_at(room);
        painter.rect_filled(room, 0.0, tokens.wash);
        painter.image(texture.id(), on, Rect::from_min_max(pos2(0.0, 0.0), pos2(1.0, 1.0)), theme::UNTINTED);
        marks.iter().for_each(|mark| overlay::mark(&painter, *mark, on, tokens));
        if response.has_focus() {
            painter.rect_stroke(room, 0.0, egui::Stroke::new(2.0, tokens.accent), egui::StrokeKind::Inside);
        }
        let drawn = self.drawn(ui, &response, on, tool);
        if let Some((mark, is_done)) = drawn {
            overlay::mark(&painter, mark, on, tokens);
            if is_done {
                self.begun = None;
                return Some(mark);
            }
        }
        if tool != Tool::Move && response.hovered() {
            ui.set_cursor_icon(egui::CursorIcon::Crosshair);
        }
        None
    }

    /// The mark that is being drawn, and whether it is finished.
    fn drawn(&mut self, ui: &Ui, response: &egui::Response, on: Rect, tool: Tool) -> Option<(PhotoMark, bool)> {
        if tool == Tool::Move {
            self.begun = None;
            return None;
        }
        let place = |p: Pos2| At::of((p.x - on.left()) / on.width(), (p.y - on.top()) / on.height());
        if response.drag_started_by(PointerButton::Primary) {
            let from = ui.input(|i| i.pointer.press_origin()).or_else(|| response.interact_pointer_pos());
            self.begun = from.map(place);
        }
        let begun = self.begun?;
        let now = place(response.interact_pointer_pos()?);
        let mark = match tool {
            Tool::Move => return None,
            Tool::Arrow => PhotoMark::Arrow { tail: begun, tip: now },
            Tool::Circle => PhotoMark::Circle { middle: begun, rim: now },
            Tool::Blur => PhotoMark::Blur { corner: begun, across: now },
        };
        Some((mark, response.drag_stopped()))
    }

    fn keys(&mut self, ui: &Ui) {
        if ui.ctx().text_edit_focused() {
            return;
        }
        let pressed = |key| ui.input_mut(|i| i.consume_key(egui::Modifiers::NONE, key));
        if pressed(Key::Plus) || pressed(Key::Equals) {
            self.zoom_by(STEP);
        }
        if pressed(Key::Minus) {
            self.zoom_by(1.0 / STEP);
        }
        if pressed(Key::Num0) {
            self.show_all();
        }
        for (key, way) in [
            (Key::ArrowLeft, vec2(PAN, 0.0)),
            (Key::ArrowRight, vec2(-PAN, 0.0)),
            (Key::ArrowUp, vec2(0.0, PAN)),
            (Key::ArrowDown, vec2(0.0, -PAN)),
        ] {
            if pressed(key) {
                self.pan += way;
            }
        }
    }

    fn wheel(&mut self, ui: &Ui, response: &egui::Response, room: Rect) {
        let Some(pointer) = response.hover_pos() else { return };
        let (turned, pinched) = ui.input(|i| (i.smooth_scroll_delta().y, i.zoom_delta()));
        let factor = (turned / 240.0).exp() * pinched;
        if (factor - 1.0).abs() > 1e-4 {
            self.zoom_about(pointer - room.center(), factor);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_under_the_pointer_stays_there_when_it_is_zoomed() {
        let mut canvas = Canvas::default();
        let pointer = vec2(100.0, -40.0);
        // The place of the photo under the pointer, in points of the photo at zoom 1.
        let under = |canvas: &Canvas| (pointer - canvas.pan) / canvas.zoom;
        let before = under(&canvas);
        for factor in [2.0, 1.5, 0.7] {
            canvas.zoom_about(pointer, factor);
            assert!((under(&canvas) - before).length() < 0.01, "{canvas:?}");
        }
        canvas.zoom_about(pointer, 0.001);
        assert!((canvas.zoom - 1.0).abs() < 1e-6, "never smaller than all of it");
    }
}
