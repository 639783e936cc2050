//! Draws in millimetres of the machine: x to the machine's right, y toward its tail, origin at the front axle's middle.
//!
//! Every filled form is the hull of a few rounds, so it is convex and its corners are soft.

use std::f32::consts::TAU;

use crate::drawing::shape::{Drawing, Ink, Pt, Stroke, pt};

/// A round: middle and radius in millimetres.
pub(super) type Round = (f32, f32, f32);

/// Puts forms given in millimetres into a drawing in points.
pub(super) struct Pen<'a> {
    /// What is drawn on.
    pub drawing: &'a mut Drawing,
    /// Where the origin stands.
    pub origin: Pt,
    /// Points to a millimetre.
    pub scale: f32,
}

impl Pen<'_> {
    /// The point of a place.
    pub fn at(&self, x: f32, y: f32) -> Pt {
        pt(self.origin.x + x * self.scale, self.origin.y + y * self.scale)
    }
    /// The outline of everything; thin, whatever the scale.
    pub fn thin(&self) -> Stroke {
        Stroke::solid(Ink::Line, 0.8)
    }
    /// The hull of some rounds, filled and outlined.
    pub fn hull(&mut self, rounds: &[Round], fill: Ink) {
        let stroke = self.thin();
        self.form(rounds, Some(fill), Some(stroke));
    }
    /// The hull of some rounds and the same on the other side.
    pub fn hulls(&mut self, rounds: &[Round], fill: Ink) {
        self.hull(rounds, fill);
        let mirrored: Vec<Round> = rounds.iter().map(|(x, y, r)| (-x, *y, *r)).collect();
        self.hull(&mirrored, fill);
    }
    /// The hull of some rounds with any fill and outline.
    pub fn form(&mut self, rounds: &[Round], fill: Option<Ink>, stroke: Option<Stroke>) {
        let mut points = Vec::new();
        for (x, y, radius) in rounds {
            let steps = 24;
            points.extend((0..steps).map(|i| {
                let turn = TAU * i as f32 / steps as f32;
                self.at(x + radius * turn.cos(), y + radius * turn.sin())
            }));
        }
        self.drawing.area(hull(points), fill, stroke);
    }
    /// A bar with round ends: two ends and half its width.
    pub fn bar(&mut self, from: (f32, f32), to: (f32, f32), half: f32, fill: Ink) {
        self.hull(&[(from.0, from.1, half), (to.0, to.1, half)], fill);
    }
    /// A bar and the same on the other side.
    pub fn bars(&mut self, from: (f32, f32), to: (f32, f32), half: f32, fill: Ink) {
        self.bar(from, to, half, fill);
        self.bar((-from.0, from.1), (-to.0, to.1), half, fill);
    }
    /// A box with rounded corners about a middle.
    pub fn block(&mut self, middle: (f32, f32), half: (f32, f32), corner: f32, fill: Ink) {
        let (x, y) = (half.0 - corner, half.1 - corner);
        let rounds = [(-x, -y), (x, -y), (x, y), (-x, y)].map(|(dx, dy)| (middle.0 + dx, middle.1 + dy, corner));
        self.hull(&rounds, fill);
    }
    /// A circle.
    pub fn round(&mut self, (x, y, radius): Round, fill: Ink) {
        let (centre, stroke) = (self.at(x, y), self.thin());
        self.drawing.circle(centre, radius * self.scale, Some(fill), Some(stroke));
    }
    /// A line of a width in points.
    pub fn line(&mut self, from: (f32, f32), to: (f32, f32), ink: Ink, width: f32) {
        let (from, to) = (self.at(from.0, from.1), self.at(to.0, to.1));
        self.drawing.line(from, to, Stroke::solid(ink, width));
    }
}

/// The convex hull of some points, in order round it (Andrew's monotone chain).
pub(super) fn hull(mut points: Vec<Pt>) -> Vec<Pt> {
    points.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
    points.dedup();
    let cross = |o: Pt, a: Pt, b: Pt| (a.x - o.x) * (b.y - o.y) - (a.y - o.y) * (b.x - o.x);
    let chain = |points: &mut dyn Iterator<Item = Pt>| {
        let mut kept: Vec<Pt> = Vec::new();
        for point in points {
            while let [.., o, a] = kept.as_slice()
                && cross(*o, *a, point) <= 0.0
            {
                kept.pop();
            }
            kept.push(point);
        }
        kept.pop();
        kept
    };
    let mut round = chain(&mut points.iter().copied());
    round.extend(chain(&mut points.iter().rev().copied()));
    round
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_hull_leaves_out_what_lies_inside() {
        let square = [(0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (0.0, 4.0), (2.0, 2.0), (1.0, 3.0)];
        let round = hull(square.map(|(x, y)| pt(x, y)).into());
        assert_eq!(round.len(), 4);
        assert!(!round.contains(&pt(2.0, 2.0)));
    }
}
