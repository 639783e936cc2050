//! A wheel survey as a drawing: the readings as a polar plot on the clock face, and unrolled beside it or below it.
//!
//! ```text
//! scale    which number is drawn how far out or up, with round steps
//! polar    the clock face: readings, limit, harmonic, what stands apart
//! strip    the same unrolled from valve to valve
//! ```
//!
//! The window and the report draw the very same shapes. What the figures are is worked out in [`crate::survey`]; this
//! must not know rules or the window, and judges nothing.

mod polar;
mod scale;
mod strip;

use super::shape::{Drawing, Ink, Stroke, pt};
use crate::clock::{Side, Spot};
use crate::inspection::Zone;
use crate::survey::{Edge, Figures, Quantity, Rings, Sample, figures, sentences};
use crate::units::{Length, Preferences, print_short};
use scale::Scale;

/// What is drawn.
#[derive(Clone, Debug)]
pub struct Plot<'a> {
    /// The rings, from the machine's left to its right, in the unit they are shown in.
    pub rings: Vec<PlotRing>,
    /// Whether a swing or an amount is measured.
    pub quantity: Quantity,
    /// The side one stands on.
    pub side: Side,
    /// The limits in the same unit, with what is written beside each.
    pub limits: Vec<PlotLimit>,
    /// Whether lengths are shown, in the unit for small depths (else plain numbers).
    pub is_length: bool,
    /// The user's units.
    pub units: &'a Preferences,
}

/// A limit as it is drawn.
#[derive(Clone, Debug, PartialEq)]
pub struct PlotLimit {
    /// What it asks.
    pub edge: Edge,
    /// The figure, in the unit of the rings.
    pub at: f64,
    /// What is written beside it.
    pub words: String,
}

/// One ring with its figures.
#[derive(Clone, Debug)]
pub struct PlotRing {
    /// The zone it runs along, where there are several.
    pub zone: Option<Zone>,
    /// What was worked out of it.
    pub figures: Figures,
}

/// The finest difference that the usual gauge shows, in mm: a dial's division, and half of a tread gauge's.
fn step_mm(quantity: Quantity) -> f64 {
    match quantity {
        Quantity::Swing => 0.01,
        Quantity::Amount => 0.05,
    }
}

impl<'a> Plot<'a> {
    /// A reading round the wheel, worked out in the user's unit, without limits; none where nothing was read.
    pub fn of(rings: &Rings, units: &'a Preferences, side: Side) -> Option<Self> {
        let (quantity, is_length) = (rings.quantity, rings.is_length);
        let mut plot = Self { rings: Vec::new(), quantity, side, limits: Vec::new(), is_length, units };
        let step = if is_length { plot.shown(step_mm(quantity)) } else { 0.0 };
        for ring in &rings.rings {
            let samples: Vec<Sample> =
                ring.samples.iter().map(|s| Sample { spot: s.spot, value: plot.shown(s.value) }).collect();
            plot.rings.extend(figures(&samples, step).map(|figures| PlotRing { zone: ring.zone, figures }));
        }
        (!plot.rings.is_empty()).then_some(plot)
    }
    /// A number of the record, in mm or plain, in the unit that is shown.
    fn shown(&self, number: f64) -> f64 {
        if self.is_length { Length::mm(number).amount_in(self.units.depth_unit()) } else { number }
    }
    /// Puts the limits in that belong to the readings, in mm or plain: the first of each kind, which is the stricter.
    pub fn limits(&mut self, edges: impl Iterator<Item = (Edge, Length)>) {
        for (edge, limit) in edges {
            if self.limits.iter().all(|l| l.edge != edge) {
                let words = edge.words(&self.units.show_depth(limit));
                self.limits.push(PlotLimit { edge, at: self.shown(limit.as_mm()), words });
            }
        }
    }
    /// The unit's symbol; empty for plain numbers.
    fn unit(&self) -> &'static str {
        if self.is_length { self.units.depth_unit().symbol } else { "" }
    }
    /// A number as it is written on the scale, without its unit.
    fn show(&self, number: f64) -> String {
        print_short(number, if self.is_length { 2 } else { 1 }, self.units.decimal_comma)
    }
    /// A number with its unit.
    fn show_with_unit(&self, number: f64) -> String {
        // A fraction's unit stands at the figure: 4/32 in.
        let gap = if self.unit().starts_with('/') || self.unit().is_empty() { "" } else { " " };
        format!("{}{gap}{}", self.show(number), self.unit())
    }
    /// What the readings show in sentences: of the one ring, or of each zone by its name. `empty` are the places that
    /// were offered and left empty.
    pub fn sentences(&self, empty: &[Spot]) -> Vec<String> {
        let show = |number: f64| self.show_with_unit(number);
        let of = |ring: &PlotRing, empty: &[Spot]| sentences(&ring.figures, self.quantity, self.side, &show, empty);
        match &self.rings[..] {
            [ring] => of(ring, empty),
            rings => {
                let named = |ring: &PlotRing| {
                    let zone = ring.zone.map_or_else(String::new, |z| z.words());
                    of(ring, &[]).into_iter().map(move |line| format!("{zone}: {line}"))
                };
                rings.iter().flat_map(named).collect()
            }
        }
    }
}

impl Plot<'_> {
    /// The lines of a limit.
    fn lines(&self, limit: &PlotLimit) -> Vec<f64> {
        limit.edge.lines(limit.at, self.rings.first().map_or(0.0, |r| r.figures.middle()))
    }
    fn scale(&self) -> Scale {
        let readings = self.rings.iter().flat_map(|r| [r.figures.least.value, r.figures.greatest.value]);
        let limits = self.limits.iter().flat_map(|limit| self.lines(limit));
        // A dial swings to both sides of nought; an amount stops there.
        Scale::of(readings.chain(limits), self.quantity == Quantity::Amount)
    }
}

/// How the line of a ring is drawn, so that five are told apart without a colour: the middle solid and heavy, the
/// shoulders in long dashes, what lies between in short ones; the machine's right in the accent.
fn stroke_of(zone: Option<Zone>) -> Stroke {
    let ink = match zone.and_then(|z| z.side()) {
        Some(Side::Right) => Ink::Accent,
        _ => Ink::Strong,
    };
    match zone {
        Some(Zone::Shoulder(_)) => Stroke { ink, width: 1.2, dash: Some([6.0, 3.0]) },
        Some(Zone::Intermediate(_)) => Stroke { ink, width: 1.1, dash: Some([2.2, 2.2]) },
        _ => Stroke::solid(ink, 1.6),
    }
}

/// The limit's line.
fn limit_stroke() -> Stroke {
    Stroke { ink: Ink::Line, width: 1.3, dash: Some([5.0, 2.0]) }
}

/// From this width on the two drawings stand beside each other.
const BESIDE_FROM: f32 = 430.0;

/// Draws the face and the strip, in a drawing of the given width in points.
pub fn draw(plot: &Plot<'_>, width: f32) -> Drawing {
    let scale = plot.scale();
    let beside = width >= BESIDE_FROM;
    let face = polar::draw(plot, &scale, if beside { (width * 0.4).min(220.0) } else { width.min(250.0) });
    let strip = strip::draw(
        plot,
        &scale,
        if beside { [width - face.width - 14.0, face.height - 24.0] } else { [width, 104.0] },
    );
    let height = if beside { face.height.max(strip.height) } else { face.height + 6.0 + strip.height };
    let mut drawing = Drawing::new(width, height, summary(plot));
    let left = if beside { 0.0 } else { (width - face.width) / 2.0 };
    drawing.place(&face, pt(left, 0.0));
    let at = if beside { pt(face.width + 14.0, 12.0) } else { pt(0.0, face.height + 6.0) };
    drawing.place(&strip, at);
    drawing
}

/// What the drawing shows, for those who cannot see it.
fn summary(plot: &Plot<'_>) -> String {
    let mut text = format!("Readings round the wheel, seen from the {}.", plot.side.word());
    for ring in &plot.rings {
        let name = ring.zone.map_or_else(String::new, |z| format!("{}: ", z.words()));
        let list: Vec<String> = ring
            .figures
            .samples
            .iter()
            .map(|s| format!("{} {}", s.spot.time(plot.side), plot.show_with_unit(s.value)))
            .collect();
        text.push_str(&format!(" {name}{}.", list.join(", ")));
    }
    for limit in &plot.limits {
        text.push_str(&format!(" Limit: {}.", limit.words));
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::drawing::shape::Shape;
    use crate::survey::Ring;

    fn plot(units: &Preferences, side: Side) -> Plot<'_> {
        let samples: Vec<Sample> = [0.0, 0.10, -0.05, 0.02]
            .iter()
            .enumerate()
            .map(|(i, v)| Sample { spot: Spot::from_degrees(90.0 * i as f64).expect("finite"), value: *v })
            .collect();
        let rings = Rings { quantity: Quantity::Swing, is_length: true, rings: vec![Ring { zone: None, samples }] };
        let mut plot = Plot::of(&rings, units, side).expect("four readings");
        plot.limits([(Edge::Swing, Length::mm(0.3))].into_iter());
        plot
    }

    #[test]
    fn figures_are_in_the_users_unit() {
        let units = Preferences { depth: "/32 in".into(), ..Preferences::default() };
        let plot = plot(&units, Side::Right);
        // 0.10 mm is 0.126 of a thirty-second of an inch (0.79375 mm).
        assert!((plot.rings[0].figures.greatest.value - 0.10 / 0.79375).abs() < 1e-9);
        assert!((plot.limits[0].at - 0.3 / 0.79375).abs() < 1e-9);
        assert!(plot.sentences(&[])[0].contains("/32 in"), "{:?}", plot.sentences(&[]));
    }

    #[test]
    fn it_fits_its_width_stacked_or_side_by_side_and_says_what_it_shows() {
        let units = Preferences::default();
        for width in [220.0, 300.0, 460.0, 700.0] {
            let drawing = draw(&plot(&units, Side::Right), width);
            for shape in &drawing.shapes {
                let points = match shape {
                    Shape::Path { points, .. } => points.clone(),
                    Shape::Circle { centre, radius, .. } => {
                        vec![pt(centre.x - radius, centre.y - radius), pt(centre.x + radius, centre.y + radius)]
                    }
                    Shape::Words { at, .. } => vec![*at],
                };
                for p in points {
                    assert!(
                        p.x >= -0.1 && p.x <= drawing.width + 0.1 && p.y >= -0.1 && p.y <= drawing.height + 0.1,
                        "{width}: {shape:?}"
                    );
                }
            }
            assert!(drawing.summary.contains("3:00 0.1 mm") && drawing.summary.contains("at most 0.3 mm"));
        }
        assert!(draw(&plot(&units, Side::Left), 300.0).summary.contains("9:00 0.1 mm"), "mirrored from the left");
    }
}
