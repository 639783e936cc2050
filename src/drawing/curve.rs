//! Readings over a distance or over days as a curve with its limit: how a part has worn. Any numbers do; the caller says
//! how they are written. It must not know what is worn.

use super::shape::{Anchor, Drawing, Ink, Pt, Stroke, pt};

/// What a curve shows.
pub struct Curve<'a> {
    /// What was measured, for the summary: `Tread depth, front`.
    pub title: &'a str,
    /// Readings in order: how far along, and the value.
    pub points: &'a [(f64, f64)],
    /// The limit, if there is one.
    pub limit: Option<f64>,
    /// How a value is written: `2.4 mm`.
    pub value: &'a dyn Fn(f64) -> String,
    /// How a place along is written: `12 345 km`.
    pub along: &'a dyn Fn(f64) -> String,
    /// Width and height in points.
    pub size: (f32, f32),
}

const LEFT: f32 = 44.0;
/// Room for the last value beside the curve's end.
const RIGHT: f32 = 46.0;
const TOP: f32 = 8.0;
const BOTTOM: f32 = 18.0;
const TYPE: f32 = 7.5;

/// Draws the readings joined in order, their values at the ends, and the limit dashed. Readings that are no numbers are
/// left out; without any the drawing is an empty frame.
pub fn draw(curve: &Curve<'_>) -> Drawing {
    let (width, height) = curve.size;
    let points: Vec<(f64, f64)> =
        curve.points.iter().copied().filter(|(x, y)| x.is_finite() && y.is_finite()).collect();
    let mut drawing = Drawing::new(width, height, summary(curve, &points));
    let limit = curve.limit.filter(|limit| limit.is_finite());
    let (x_least, x_most) = span(points.iter().map(|(x, _)| *x));
    let (y_least, y_most) = span(points.iter().map(|(_, y)| *y).chain(limit));
    let at = |x: f64, y: f64| -> Pt {
        let across = ((x - x_least) / (x_most - x_least)) as f32;
        let up = ((y - y_least) / (y_most - y_least)) as f32;
        pt(LEFT + across * (width - LEFT - RIGHT), height - BOTTOM - up * (height - TOP - BOTTOM))
    };
    let (corner, right) = (pt(LEFT, height - BOTTOM), pt(width - RIGHT, height - BOTTOM));
    drawing.line(pt(LEFT, TOP), corner, Stroke::solid(Ink::Faint, 0.5));
    drawing.line(corner, right, Stroke::solid(Ink::Faint, 0.5));
    if let Some(limit) = limit {
        let y = at(x_least, limit).y;
        drawing.line(pt(LEFT, y), pt(width - RIGHT, y), Stroke::dashed(Ink::Strong, 0.8));
        drawing.words(pt(LEFT - 4.0, y), (curve.value)(limit), TYPE, Anchor::End, Ink::Strong);
        // The curve's end, with its value beside it, goes before the word.
        let is_free = points.last().is_none_or(|last| (at(last.0, last.1).y - y).abs() > TYPE + 1.0);
        if is_free {
            drawing.words(pt(width - RIGHT + 4.0, y), "limit", TYPE, Anchor::Start, Ink::Strong);
        }
    }
    drawing.polyline(points.iter().map(|(x, y)| at(*x, *y)).collect(), Stroke::solid(Ink::Accent, 1.2));
    for (x, y) in &points {
        drawing.circle(at(*x, *y), 2.0, Some(Ink::Accent), None);
    }
    if let (Some(first), Some(last)) = (points.first(), points.last()) {
        let taken = limit.map(|limit| at(x_least, limit).y);
        // A value that would stand on the limit's own is left to the curve's end.
        let is_free = |y: f32| taken.is_none_or(|taken| (taken - y).abs() > TYPE + 1.0);
        let (a, b) = (at(first.0, first.1), at(last.0, last.1));
        if is_free(a.y) {
            drawing.words(pt(LEFT - 4.0, a.y), (curve.value)(first.1), TYPE, Anchor::End, Ink::Line);
        }
        if points.len() > 1 {
            drawing.words(pt(b.x + 5.0, b.y), (curve.value)(last.1), TYPE, Anchor::Start, Ink::Line);
            drawing.words(pt(width - RIGHT, height - 8.0), (curve.along)(last.0), TYPE, Anchor::End, Ink::Faint);
        }
        drawing.words(pt(LEFT, height - 8.0), (curve.along)(first.0), TYPE, Anchor::Start, Ink::Faint);
    }
    drawing
}

/// The least and the most, never the same, so that a single reading has a place.
fn span(values: impl Iterator<Item = f64>) -> (f64, f64) {
    let (least, most) = values.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), v| (a.min(v), b.max(v)));
    match (least.is_finite(), most > least) {
        (false, _) => (0.0, 1.0),
        (true, false) => (least - 1.0, least + 1.0),
        (true, true) => (least, most),
    }
}

fn summary(curve: &Curve<'_>, points: &[(f64, f64)]) -> String {
    let read: Vec<String> =
        points.iter().map(|(x, y)| format!("{} at {}", (curve.value)(*y), (curve.along)(*x))).collect();
    let limit = curve.limit.map_or_else(String::new, |limit| format!("; limit {}", (curve.value)(limit)));
    format!("{}: {}{limit}", curve.title, if read.is_empty() { "no readings".into() } else { read.join(", ") })
}

#[cfg(test)]
mod tests {
    use super::super::shape::Shape;
    use super::*;

    fn drawn(points: &[(f64, f64)], limit: Option<f64>) -> Drawing {
        let value = |v: f64| format!("{v:.1} mm");
        let along = |v: f64| format!("{v:.0} km");
        draw(&Curve { title: "Pad", points, limit, value: &value, along: &along, size: (220.0, 100.0) })
    }

    #[test]
    fn a_deeper_reading_stands_higher_and_the_limit_lies_below_both() {
        let drawing = drawn(&[(0.0, 4.0), (1000.0, 3.0), (3000.0, 2.0)], Some(1.0));
        let corners = drawing.shapes.iter().find_map(|s| match s {
            Shape::Path { points, .. } if points.len() == 3 => Some(points.clone()),
            _ => None,
        });
        let corners = corners.expect("the curve");
        assert!(corners[0].y < corners[1].y && corners[1].y < corners[2].y);
        // A third of the distance is a third of the way.
        let across = (corners[1].x - corners[0].x) / (corners[2].x - corners[0].x);
        assert!((across - 1.0 / 3.0).abs() < 1e-4, "{across}");
        assert_eq!(drawing.summary, "Pad: 4.0 mm at 0 km, 3.0 mm at 1000 km, 2.0 mm at 3000 km; limit 1.0 mm");
    }

    #[test]
    fn nothing_and_what_is_no_number_are_drawn_too() {
        for points in [&[][..], &[(1.0, 2.0)], &[(f64::NAN, 1.0), (1.0, f64::INFINITY)], &[(5.0, 2.0), (5.0, 2.0)]] {
            for limit in [None, Some(2.0), Some(f64::NAN)] {
                let numbers = drawn(points, limit).shapes.iter().all(|s| match s {
                    Shape::Path { points, .. } => points.iter().all(|p| p.x.is_finite() && p.y.is_finite()),
                    Shape::Circle { centre, .. } => centre.x.is_finite() && centre.y.is_finite(),
                    Shape::Words { at, .. } => at.x.is_finite() && at.y.is_finite(),
                });
                assert!(numbers, "{points:?} {limit:?}");
            }
        }
    }
}
