//! The survey unrolled: from valve to valve, clockwise of the side in view from left to right, more is higher.

use super::scale::Scale;
use super::{Plot, limit_stroke, polar, stroke_of};
use crate::clock::Spot;
use crate::drawing::shape::{Anchor, Drawing, Ink, Pt, Stroke, pt};
use crate::survey::WIDE_GAP_DEG;

/// Room for the scale's numbers at the left, for the hours below, and above, in points.
const LEFT: f32 = 34.0;
const BELOW: f32 = 15.0;
const ABOVE: f32 = 12.0;

/// Draws it.
pub(super) fn draw(plot: &Plot<'_>, scale: &Scale, [width, height]: [f32; 2]) -> Drawing {
    let mut drawing = Drawing::new(width, height, "");
    let (left, right, top, bottom) = (LEFT, width - 9.0, ABOVE, height - BELOW);
    let y_of = |number: f64| bottom - (bottom - top) * scale.share(number);
    let x_of = |degrees: f64| left + (right - left) * (degrees / 360.0) as f32;
    for mark in scale.marks() {
        let y = y_of(mark);
        drawing.line(pt(left, y), pt(right, y), Stroke::solid(Ink::Faint, 0.35));
        drawing.words(pt(left - 4.0, y), plot.show(mark), 8.0, Anchor::End, Ink::Faint);
    }
    drawing.words(pt(2.0, 4.5), plot.unit(), 8.0, Anchor::Start, Ink::Faint);
    for quarter in 0..=4u16 {
        let x = x_of(f64::from(quarter) * 90.0);
        drawing.line(pt(x, top), pt(x, bottom + 2.0), Stroke::solid(Ink::Faint, 0.35));
        let hour = if quarter % 4 == 0 { 12 } else { quarter * 3 };
        drawing.strong_words(pt(x, bottom + 9.0), hour.to_string(), 9.0, Anchor::Middle, Ink::Strong);
    }
    for limit in &plot.limits {
        let lines = plot.lines(limit);
        for line in &lines {
            drawing.line(pt(left, y_of(*line)), pt(right, y_of(*line)), limit_stroke());
        }
        if let Some(line) = lines.last() {
            // Above the line, or below it where it runs along the upper edge.
            let y = y_of(*line);
            let at = pt(right - 2.0, if y - 6.0 < top - 6.0 { y + 6.0 } else { y - 6.0 });
            drawing.words(at, &limit.words, 8.0, Anchor::End, Ink::Line);
        }
    }
    if let [ring] = &plot.rings[..] {
        let mean = y_of(ring.figures.mean);
        drawing.line(pt(left, mean), pt(right, mean), Stroke { ink: Ink::Faint, width: 0.9, dash: Some([8.0, 2.0]) });
        if let Some(harmonic) = ring.figures.harmonic.filter(|h| ring.figures.samples.len() > 3 && h.amplitude() > 1e-9)
        {
            let thin = Stroke { ink: Ink::Accent, width: 1.0, dash: Some([1.6, 2.4]) };
            let place = |i: u16| f64::from(i) * 5.0;
            let curve = (0..=72u16)
                .map(|i| pt(x_of(place(i)), y_of(harmonic.at(Spot::from_side_degrees(place(i), plot.side)))));
            drawing.polyline(curve.collect(), thin);
        }
    }
    for ring in &plot.rings {
        let mut samples: Vec<(f64, f64)> =
            ring.figures.samples.iter().map(|s| (s.spot.degrees_from(plot.side), s.value)).collect();
        samples.sort_by(|a, b| a.0.total_cmp(&b.0));
        let stroke = stroke_of(ring.zone);
        joined(&mut drawing, &samples, stroke, |degrees, value| pt(x_of(degrees), y_of(value)));
        for (degrees, value) in &samples {
            // The valve stands at both ends.
            let ends = if *degrees < 1e-9 { vec![0.0, 360.0] } else { vec![*degrees] };
            for degrees in ends {
                drawing.circle(pt(x_of(degrees), y_of(*value)), 2.3, Some(stroke.ink), None);
            }
        }
        for apart in polar::apart(plot.quantity, &ring.figures) {
            let at = pt(x_of(apart.spot.degrees_from(plot.side)), y_of(apart.value));
            drawing.circle(at, 5.2, None, Some(Stroke::solid(Ink::Strong, 1.3)));
        }
    }
    drawing
}

/// Joins neighbours, over the valve too; a wide stretch without a reading only by dots.
fn joined(drawing: &mut Drawing, samples: &[(f64, f64)], stroke: Stroke, to: impl Fn(f64, f64) -> Pt) {
    let dotted = Stroke { ink: Ink::Faint, width: 0.7, dash: Some([1.0, 3.0]) };
    let mut join = |a: (f64, f64), b: (f64, f64)| {
        let stroke = if b.0 - a.0 > WIDE_GAP_DEG + 1e-9 { dotted } else { stroke };
        drawing.line(to(a.0.max(0.0), cut(a, b, 0.0)), to(b.0.min(360.0), cut(a, b, 360.0)), stroke);
    };
    for pair in samples.windows(2) {
        join(pair[0], pair[1]);
    }
    if let (Some(first), Some(last), true) = (samples.first(), samples.last(), samples.len() > 1) {
        join(*last, (first.0 + 360.0, first.1));
        if first.0 > 1e-9 {
            join((last.0 - 360.0, last.1), *first);
        }
    }
}

/// The height of the line from `a` to `b` at an end of the strip, or its own end where that lies inside.
fn cut(a: (f64, f64), b: (f64, f64), end: f64) -> f64 {
    let at = if end == 0.0 { a.0.max(0.0) } else { b.0.min(360.0) };
    if b.0 - a.0 < 1e-9 { a.1 } else { a.1 + (b.1 - a.1) * (at - a.0) / (b.0 - a.0) }
}
