//! The notch mark: how severe something is, told by shape before colour.
//!
//! A ring with one, two or three notches, its middle empty, half filled or full, stands for minor, major and
//! dangerous. A plain thin ring is sound; a dashed ring is not looked at. The word always stands beside it. It must not
//! know what is marked.

use std::f32::consts::{PI, TAU};

use super::shape::{Drawing, Ink, Pt, Stroke, pt};
use crate::inspection::Severity;

/// What a mark says.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Mark {
    /// Looked at and sound.
    Sound,
    /// Nobody has looked, or it could not be checked.
    Unchecked,
    /// A finding of this class.
    Found(Severity),
}

impl Mark {
    /// The word that stands beside the mark.
    pub fn word(self) -> &'static str {
        match self {
            Self::Sound => "sound",
            Self::Unchecked => "not checked",
            Self::Found(severity) => severity.word(),
        }
    }
    /// The ink of the mark.
    pub fn ink(self) -> Ink {
        match self {
            Self::Sound => Ink::Sound,
            Self::Unchecked => Ink::Unchecked,
            Self::Found(severity) => ink(severity),
        }
    }
}

/// The ink of a class.
pub fn ink(severity: Severity) -> Ink {
    match severity {
        Severity::Minor => Ink::Minor,
        Severity::Major => Ink::Major,
        Severity::Dangerous => Ink::Dangerous,
    }
}

/// The mark of a class as a drawing of its own, `size` points square; none stands for sound.
pub fn mark(severity: Option<Severity>, size: f32) -> Drawing {
    drawing(severity.map_or(Mark::Sound, Mark::Found), size)
}

/// Any mark as a drawing of its own, `size` points square.
pub fn drawing(what: Mark, size: f32) -> Drawing {
    let mut drawing = Drawing::new(size, size, format!("mark: {}", what.word()));
    add(&mut drawing, pt(size / 2.0, size / 2.0), size, what);
    drawing
}

/// Puts a mark into a drawing about a centre, `size` points across, on a round of paper so that it reads on rubber too.
pub fn add(drawing: &mut Drawing, centre: Pt, size: f32, what: Mark) {
    let radius = size * 0.42;
    let ink = what.ink();
    drawing.circle(centre, size * 0.5, Some(Ink::Paper), None);
    match what {
        Mark::Sound => drawing.circle(centre, radius, None, Some(Stroke::solid(ink, (size * 0.06).max(0.7)))),
        Mark::Unchecked => {
            let dash = size * 0.16;
            let stroke = Stroke { ink, width: (size * 0.07).max(0.7), dash: Some([dash, dash * 0.8]) };
            drawing.area(arc(centre, radius, 0.0, TAU, 32), None, Some(stroke));
        }
        Mark::Found(severity) => found(drawing, centre, size, severity, ink),
    }
}

/// Where the notches stand, as angles clockwise from straight up.
fn notches(severity: Severity) -> &'static [f32] {
    match severity {
        Severity::Minor => &[0.0],
        Severity::Major => &[-PI / 2.0, PI / 2.0],
        Severity::Dangerous => &[0.0, TAU / 3.0, 2.0 * TAU / 3.0],
    }
}

fn found(drawing: &mut Drawing, centre: Pt, size: f32, severity: Severity, ink: Ink) {
    let radius = size * 0.42;
    let half_notch = 0.27;
    let depth = size * 0.15;
    let stroke = Stroke::solid(ink, (size * 0.1).max(1.0));
    let middle = size * 0.21;
    match severity {
        Severity::Minor => {}
        Severity::Major => drawing.area(arc(centre, middle, PI / 2.0, 1.5 * PI, 16), Some(ink), None),
        Severity::Dangerous => drawing.circle(centre, middle, Some(ink), None),
    }
    // The outline runs round and dips inward at every notch.
    let at = notches(severity);
    let mut outline = Vec::new();
    for (i, angle) in at.iter().enumerate() {
        let next = at.get(i + 1).copied().unwrap_or(at[0] + TAU);
        outline.push(polar(centre, radius - depth, *angle));
        outline.extend(arc(centre, radius, angle + half_notch, next - half_notch, 28));
    }
    drawing.area(outline, None, Some(stroke));
}

/// A point at an angle clockwise from straight up.
fn polar(centre: Pt, radius: f32, angle: f32) -> Pt {
    pt(centre.x + radius * angle.sin(), centre.y - radius * angle.cos())
}

fn arc(centre: Pt, radius: f32, from: f32, to: f32, steps: usize) -> Vec<Pt> {
    (0..=steps).map(|i| polar(centre, radius, from + (to - from) * i as f32 / steps as f32)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::drawing::shape::Shape;

    /// How often an outline dips towards the middle.
    fn dips(severity: Severity) -> usize {
        let drawing = mark(Some(severity), 20.0);
        let outline = drawing.shapes.iter().rev().find_map(|shape| match shape {
            Shape::Path { points, closed: true, fill: None, .. } => Some(points),
            _ => None,
        });
        let from_middle = |p: &Pt| ((p.x - 10.0).powi(2) + (p.y - 10.0).powi(2)).sqrt();
        outline.expect("an outline").iter().filter(|p| from_middle(p) < 7.0).count()
    }

    #[test]
    fn the_classes_have_one_two_and_three_notches() {
        // The house mark: a ring with one, two or three notches, and the word beside it.
        assert_eq!(Severity::ALL.map(dips), [1, 2, 3]);
    }

    #[test]
    fn the_middle_is_empty_half_filled_and_full() {
        let filled = |severity| {
            let shapes = mark(Some(severity), 20.0).shapes;
            let path = shapes.iter().any(|s| matches!(s, Shape::Path { fill: Some(_), .. }));
            let circle = shapes.iter().any(|s| matches!(s, Shape::Circle { fill: Some(i), .. } if *i != Ink::Paper));
            (path, circle)
        };
        assert_eq!(Severity::ALL.map(filled), [(false, false), (true, false), (false, true)]);
    }

    #[test]
    fn sound_and_unchecked_cannot_be_taken_for_each_other() {
        let dashed = |what| {
            drawing(what, 20.0).shapes.iter().any(|s| match s {
                Shape::Path { stroke, .. } | Shape::Circle { stroke, .. } => stroke.is_some_and(|s| s.dash.is_some()),
                Shape::Words { .. } => false,
            })
        };
        assert!(dashed(Mark::Unchecked) && !dashed(Mark::Sound));
        assert_eq!(mark(None, 20.0), drawing(Mark::Sound, 20.0));
    }
}
