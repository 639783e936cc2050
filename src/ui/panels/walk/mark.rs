//! The notch mark painted beside its word, and the mark of a check by its state.

use egui::{Painter, Pos2, Sense, Ui, vec2};

use super::round::Carried;
use crate::drawing::notch::{self, Mark};
use crate::inspection::Severity;
use crate::rules::{CheckResult, Status};
use crate::ui::theme::Tokens;
use crate::ui::widgets::paint;

/// Paints the mark of a class in the flow of the words; none stands for sound.
pub fn severity(ui: &mut Ui, tokens: &Tokens, severity: Option<Severity>, size: f32) {
    in_flow(ui, tokens, severity.map_or(Mark::Sound, Mark::Found), size);
}

/// Paints any mark in the flow of the words.
pub fn in_flow(ui: &mut Ui, tokens: &Tokens, mark: Mark, size: f32) {
    let (rect, _) = ui.allocate_exact_size(vec2(size, size + 4.0), Sense::hover());
    paint(ui.painter(), &notch::drawing(mark, size), rect.min + vec2(0.0, 2.0), 1.0, tokens);
}

/// A short bar, for words that explain and decide nothing.
pub fn note(ui: &mut Ui, tokens: &Tokens, size: f32) {
    let (rect, _) = ui.allocate_exact_size(vec2(size, size + 4.0), Sense::hover());
    let middle = rect.center();
    let half = vec2(size * 0.28, 0.0);
    ui.painter().line_segment([middle - half, middle + half], egui::Stroke::new(2.0, tokens.faint));
}

/// Paints the mark of a check by its state: a bar through the dashed ring for one that could not be checked.
pub fn of_check(painter: &Painter, centre: Pos2, size: f32, result: &CheckResult, tokens: &Tokens) {
    let corner = centre - vec2(size / 2.0, size / 2.0);
    let what = match (&result.status, result.severity) {
        (Status::HasFinding, severity) => Mark::Found(severity.unwrap_or(Severity::Major)),
        (Status::Sound, _) => Mark::Sound,
        (Status::Unchecked | Status::CouldNot(_), _) => Mark::Unchecked,
        (Status::NotApplicable, _) => {
            let half = vec2(size * 0.3, 0.0);
            painter.line_segment([centre - half, centre + half], egui::Stroke::new(1.5, tokens.faint));
            return;
        }
    };
    paint(painter, &notch::drawing(what, size), corner, 1.0, tokens);
    if matches!(result.status, Status::CouldNot(_)) {
        let half = vec2(size * 0.22, 0.0);
        painter.line_segment([centre - half, centre + half], egui::Stroke::new(1.5, tokens.unchecked));
    }
}

/// Paints the mark of a finding of an earlier day: its class where it was seen again, the dashed ring where somebody has
/// to look yet, a bar where it is no longer to be seen, for that says nothing of being sound.
pub fn of_carried(painter: &Painter, centre: Pos2, size: f32, carried: &Carried<'_>, tokens: &Tokens) {
    let what = match (carried.is_open, carried.result.severity) {
        (true, _) => Mark::Unchecked,
        (false, Some(severity)) => Mark::Found(severity),
        (false, None) => {
            let half = vec2(size * 0.3, 0.0);
            painter.line_segment([centre - half, centre + half], egui::Stroke::new(1.5, tokens.faint));
            return;
        }
    };
    paint(painter, &notch::drawing(what, size), centre - vec2(size / 2.0, size / 2.0), 1.0, tokens);
}
