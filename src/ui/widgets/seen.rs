//! A piece of a long list, drawn only where it can be seen.

use std::fmt::Debug;
use std::hash::Hash;

use egui::{Rect, Ui, vec2};

/// How far beyond what is seen pieces are drawn, in points, so that the keyboard finds the next one.
const BEYOND: f32 = 240.0;

/// Draws a piece of a long list where it can be seen; elsewhere it keeps the room that it took last, or is thought to
/// take. `piece` tells it from the others of the list.
pub fn seen_only(ui: &mut Ui, piece: impl Hash + Debug, thought: f32, draw: impl FnOnce(&mut Ui)) {
    let id = ui.scope_id().with("height").with(&piece);
    let height = ui.data(|d| d.get_temp::<f32>(id)).unwrap_or(thought);
    let width = ui.available_width();
    let room = Rect::from_min_size(ui.cursor().min, vec2(width, height));
    if ui.is_rect_visible(room.expand2(vec2(0.0, BEYOND))) {
        let taken = ui.push_id(piece, |ui| ui.vertical(draw)).response.rect.height();
        if (taken - height).abs() > 0.1 {
            ui.data_mut(|d| d.insert_temp(id, taken));
        }
    } else {
        ui.allocate_space(vec2(width, height));
    }
}
