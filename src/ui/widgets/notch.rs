//! The notch mark of a severity on screen, painted where the caller says.

use egui::{Painter, Pos2};

use crate::drawing::notch::{Mark, drawing};
use crate::ui::theme::Tokens;

/// Paints a mark with its top left corner at a place. The word always stands beside it.
pub fn notch(painter: &Painter, at: Pos2, size: f32, mark: Mark, tokens: &Tokens) {
    super::paint(painter, &drawing(mark, size), at, 1.0, tokens);
}
