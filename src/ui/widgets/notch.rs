//! The notch mark of a severity on screen.

use egui::{Painter, Pos2};

use crate::inspection::Severity;
use crate::ui::theme::Tokens;

/// Paints the mark of a class, or the plain ring where nothing is open. The word always stands beside it.
pub fn notch(painter: &Painter, at: Pos2, size: f32, severity: Option<Severity>, is_known: bool, tokens: &Tokens) {
    let middle = at + egui::vec2(size, size) / 2.0;
    let color = match severity {
        _ if !is_known => tokens.unchecked,
        None => tokens.sound,
        Some(Severity::Minor) => tokens.minor,
        Some(Severity::Major) => tokens.major,
        Some(Severity::Dangerous) => tokens.dangerous,
    };
    painter.circle_stroke(middle, size * 0.42, egui::Stroke::new(2.0, color));
}
