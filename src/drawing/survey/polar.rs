//! The survey on the clock face: twelve at the valve, clockwise of the side in view, more is farther out.

use super::scale::Scale;
use super::{Plot, limit_stroke, stroke_of};
use crate::clock::{Side, Spot};
use crate::drawing::shape::{Anchor, Drawing, Ink, Pt, Stroke, pt};
use crate::survey::{Quantity, WIDE_GAP_DEG};

/// The share of the radius at which the scale begins, so that near places stay apart.
const HOLE: f32 = 0.34;
/// Room round the face for the numerals, in points.
const MARGIN: f32 = 19.0;
/// Height of a line of the legend.
const LINE: f32 = 12.0;

struct Face<'a> {
    scale: &'a Scale,
    side: Side,
    centre: Pt,
    radius: f32,
}

impl Face<'_> {
    fn polar(&self, radius: f32, degrees: f64) -> Pt {
        let (sin, cos) = degrees.to_radians().sin_cos();
        pt(self.centre.x + radius * sin as f32, self.centre.y - radius * cos as f32)
    }
    fn out(&self, number: f64) -> f32 {
        self.radius * (HOLE + (1.0 - HOLE) * self.scale.share(number))
    }
    fn at(&self, spot: Spot, number: f64) -> Pt {
        self.polar(self.out(number), spot.degrees_from(self.side))
    }
    /// A closed ring of a number that may change with the place.
    fn ring(&self, drawing: &mut Drawing, number: impl Fn(Spot) -> f64, stroke: Stroke) {
        let points = (0..96).map(|i| Spot::from_side_degrees(f64::from(i) * 3.75, self.side));
        drawing.area(points.map(|spot| self.at(spot, number(spot))).collect(), None, Some(stroke));
    }
}

/// Draws it in a square of the given size, with a line for side and nose below and the legend where there are several
/// rings.
pub(super) fn draw(plot: &Plot<'_>, scale: &Scale, size: f32) -> Drawing {
    let legend = if plot.rings.len() > 1 { plot.rings.len().div_ceil(2) as f32 * LINE } else { 0.0 };
    let mut drawing = Drawing::new(size, size + 16.0 + legend, "");
    let face = Face { scale, side: plot.side, centre: pt(size / 2.0, size / 2.0), radius: size / 2.0 - MARGIN };
    grid(plot, &face, &mut drawing);
    for limit in &plot.limits {
        for line in plot.lines(limit) {
            face.ring(&mut drawing, |_| line, limit_stroke());
        }
    }
    if let [ring] = &plot.rings[..]
        && let Some(harmonic) = ring.figures.harmonic.filter(|h| ring.figures.samples.len() > 3 && h.amplitude() > 1e-9)
    {
        let thin = Stroke { ink: Ink::Accent, width: 1.0, dash: Some([1.6, 2.4]) };
        face.ring(&mut drawing, |spot| harmonic.at(spot), thin);
        high_spot(&face, &mut drawing, harmonic.high_spot());
    }
    for ring in &plot.rings {
        let samples = &ring.figures.samples;
        let stroke = stroke_of(ring.zone);
        for (a, b) in samples.iter().zip(samples.iter().cycle().skip(1)).filter(|_| samples.len() > 1) {
            let between = (b.spot.degrees() - a.spot.degrees()).rem_euclid(360.0);
            // Where nothing was read the line only says which readings follow each other.
            let stroke = if between > WIDE_GAP_DEG + 1e-9 {
                Stroke { ink: Ink::Faint, width: 0.7, dash: Some([1.0, 3.0]) }
            } else {
                stroke
            };
            drawing.line(face.at(a.spot, a.value), face.at(b.spot, b.value), stroke);
        }
        for sample in samples {
            let at = face.at(sample.spot, sample.value);
            drawing.circle(at, 2.3, Some(stroke.ink), None);
        }
        for apart in apart(plot.quantity, &ring.figures) {
            drawing.circle(face.at(apart.spot, apart.value), 5.2, None, Some(Stroke::solid(Ink::Strong, 1.3)));
        }
    }
    footer(plot, size, &mut drawing);
    if plot.rings.len() > 1 {
        names(plot, size, &mut drawing);
    }
    drawing
}

/// The readings that get a ring of their own: those that stand apart, or the local bend of a swing.
pub(super) fn apart(quantity: Quantity, figures: &crate::survey::Figures) -> Vec<crate::survey::Sample> {
    match quantity {
        Quantity::Amount => figures.outliers.clone(),
        Quantity::Swing => {
            figures.bend.and_then(|b| figures.samples.iter().find(|s| s.spot == b.spot).copied()).into_iter().collect()
        }
    }
}

fn grid(plot: &Plot<'_>, face: &Face<'_>, drawing: &mut Drawing) {
    for mark in face.scale.marks() {
        drawing.circle(face.centre, face.out(mark), None, Some(Stroke::solid(Ink::Faint, 0.35)));
    }
    for hour in 1..=12u16 {
        let degrees = f64::from(hour) * 30.0;
        let quarter = hour % 3 == 0;
        let inner = if quarter { face.radius * HOLE } else { face.radius - 4.0 };
        let line = Stroke::solid(Ink::Faint, if quarter { 0.35 } else { 0.7 });
        drawing.line(face.polar(inner, degrees), face.polar(face.radius + 2.0, degrees), line);
        let at = face.polar(face.radius + 10.0, degrees);
        if quarter {
            drawing.strong_words(at, hour.to_string(), 10.0, Anchor::Middle, Ink::Strong);
        } else {
            drawing.words(at, hour.to_string(), 8.0, Anchor::Middle, Ink::Faint);
        }
    }
    // The edges of the scale, in the middle where no reading is.
    let (low, high) = (plot.show(face.scale.low), plot.show(face.scale.high));
    let lines = [format!("{low} to"), format!("{high} {}", plot.unit()), "in to out".to_owned()];
    for (i, words) in lines.into_iter().enumerate() {
        let at = pt(face.centre.x, face.centre.y + 10.0 * (i as f32 - 1.0));
        drawing.words(at, words.trim_end(), 8.5, Anchor::Middle, Ink::Faint);
    }
}

/// A wedge at the rim where the harmonic is highest.
fn high_spot(face: &Face<'_>, drawing: &mut Drawing, spot: Spot) {
    let degrees = spot.degrees_from(face.side);
    let tip = face.polar(face.radius + 0.5, degrees);
    let wing = |turn: f64| face.polar(face.radius + 7.0, degrees + turn);
    drawing.area(vec![tip, wing(-3.2), wing(3.2)], Some(Ink::Accent), None);
}

/// The side in view and the way to the machine's nose, as below every clock face.
fn footer(plot: &Plot<'_>, size: f32, drawing: &mut Drawing) {
    let y = size + 7.0;
    let toward = if plot.side == Side::Right { 1.0 } else { -1.0 };
    let edge = |inward: f32| if toward > 0.0 { size - inward } else { inward };
    let (near, far) = match plot.side {
        Side::Right => (Anchor::Start, Anchor::End),
        Side::Left => (Anchor::End, Anchor::Start),
    };
    drawing.words(pt(size - edge(2.0), y), format!("from the {}", plot.side.word()), 9.5, near, Ink::Line);
    let tip = pt(edge(2.0), y);
    drawing.line(pt(edge(22.0), y), pt(tip.x - toward * 6.0, y), Stroke::solid(Ink::Accent, 1.5));
    let wing = |dy: f32| pt(tip.x - toward * 6.0, y + dy);
    drawing.area(vec![tip, wing(-3.6), wing(3.6)], Some(Ink::Accent), None);
    drawing.strong_words(pt(edge(26.0), y), "nose", 9.5, far, Ink::Accent);
}

/// Which line is which zone, in two columns.
fn names(plot: &Plot<'_>, size: f32, drawing: &mut Drawing) {
    let rows = plot.rings.len().div_ceil(2);
    for (index, ring) in plot.rings.iter().enumerate() {
        let (column, row) = (index / rows, index % rows);
        let x = 2.0 + column as f32 * size / 2.0;
        let y = size + 16.0 + LINE * (row as f32 + 0.5);
        drawing.line(pt(x, y), pt(x + 18.0, y), stroke_of(ring.zone));
        let name = ring.zone.map_or_else(|| "readings".to_owned(), |z| z.words());
        drawing.words(pt(x + 22.0, y), name, 8.5, Anchor::Start, Ink::Line);
    }
}
