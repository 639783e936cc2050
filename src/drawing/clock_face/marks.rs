//! The marked places on a clock face, and the sentence that says them.

use super::{ClockFace, FaceMark, pt_of, where_words};
use crate::drawing::notch::{self, Mark};
use crate::drawing::shape::{Anchor, Drawing, Ink, Pt, Stroke, pt};

pub(super) fn draw(face: &ClockFace<'_>, drawing: &mut Drawing) {
    // The one in hand comes last and so stands above its neighbours.
    let mut marks: Vec<&FaceMark> = face.marks.iter().collect();
    marks.sort_by_key(|mark| (mark.selected, mark.severity));
    for mark in marks {
        one(face, mark, drawing);
    }
}

fn is_far(face: &ClockFace<'_>, mark: &FaceMark) -> bool {
    mark.zone.side() == Some(face.side.other())
}

fn one(face: &ClockFace<'_>, mark: &FaceMark, drawing: &mut Drawing) {
    let at = pt_of(face, mark.spot, mark.zone);
    let compact = face.size < super::COMPACT_BELOW;
    let size = (face.size * 0.062).clamp(11.0, 22.0);
    if mark.selected {
        drawing.circle(at, size * 0.72, Some(Ink::Paper), Some(Stroke::solid(Ink::Accent, size * 0.14)));
    }
    match mark.severity {
        None => {
            drawing.circle(at, size * 0.42, Some(Ink::Paper), Some(Stroke::solid(Ink::Accent, size * 0.12)));
            drawing.circle(at, size * 0.14, Some(Ink::Accent), None);
        }
        Some(severity) if is_far(face, mark) => {
            // Hollow and dashed: what is there cannot be seen from here.
            drawing.circle(at, size * 0.6, Some(Ink::Paper), Some(Stroke::dashed(notch::ink(severity), size * 0.07)));
            notch::add(drawing, at, size * 0.72, Mark::Found(severity));
        }
        Some(severity) => notch::add(drawing, at, size, Mark::Found(severity)),
    }
    if compact {
        return;
    }
    let words = match (mark.label.is_empty(), is_far(face, mark)) {
        (true, false) => return,
        (false, false) => mark.label.clone(),
        (true, true) => "far side".to_owned(),
        (false, true) => format!("{} · far side", mark.label),
    };
    label(face, at, size, &words, mark.selected, drawing);
}

/// Words beside a mark, toward the middle of the face, on a slip of paper so that they read on rubber.
fn label(face: &ClockFace<'_>, at: Pt, mark_size: f32, words: &str, selected: bool, drawing: &mut Drawing) {
    let size = 9.5;
    // A drawing cannot measure words; Noto Sans runs to about half an em a letter.
    let half_width = (words.chars().count() as f32 * size * 0.5 / 2.0).max(size * 0.3);
    let inward = if at.x > face.centre().x { -1.0 } else { 1.0 };
    let middle = pt(at.x + inward * (mark_size * 0.8 + half_width + 3.0), at.y);
    let half_height = size * 0.72;
    let corners: Vec<Pt> = [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)]
        .into_iter()
        .map(|(x, y)| pt(middle.x + x * (half_width + 3.0), middle.y + y * half_height))
        .collect();
    let ink = if selected { Ink::Accent } else { Ink::Faint };
    drawing.area(corners, Some(Ink::Paper), Some(Stroke::solid(ink, 0.7)));
    drawing.words(middle, words, size, Anchor::Middle, Ink::Line);
}

/// What the face shows, as sentences for those who cannot see it.
pub(super) fn summary(face: &ClockFace<'_>) -> String {
    let mut text = format!(
        "The {} wheel as a clock, seen from the {}; the nose is to the {}.",
        face.wheel.position.word(),
        face.side.word(),
        face.side.word()
    );
    if let Some(parked) = face.parked {
        let valve = parked.valve().time(face.side);
        text.push_str(&format!(" Parked with the valve at {valve}, twelve straight up."));
    }
    for mark in &face.marks {
        let what = mark.severity.map_or("chosen place", |s| s.word());
        let far = if is_far(face, mark) { ", far side" } else { "" };
        text.push_str(&format!(" {what}: {}, {}{far}.", where_words(face, mark.spot), mark.zone.words()));
    }
    text
}
