//! The wheel as a clock, seen from one side: where a finding is, and where it stands on the parked wheel.
//!
//! Twelve is the valve stem; on a parked wheel twelve is straight up and the wheel turns with its markers. An arrow
//! shows the way to the machine's nose. [`spot_at`] turns a click into a place and [`pt_of`] a place into a point, by
//! the same figures that [`draw`] uses. It must not know inspections, rules or the window.

mod art;
mod bands;
mod marks;

use super::shape::{Anchor, Drawing, Ink, Pt, Stroke, pt};
use crate::clock::{ClockTime, Parked, Side, Spot};
use crate::inspection::{Severity, Zone};
use crate::machine::Wheel;
use bands::Bands;

/// What a clock face shows.
#[derive(Clone, Debug)]
pub struct ClockFace<'a> {
    /// The wheel.
    pub wheel: &'a Wheel,
    /// The side one stands on.
    pub side: Side,
    /// Where the valve stands on the parked wheel; none shows the valve at twelve.
    pub parked: Option<Parked>,
    /// What is marked on it.
    pub marks: Vec<FaceMark>,
    /// Width in points; below [`COMPACT_BELOW`] labels and most numerals drop.
    pub size: f32,
}

/// A place marked on a wheel.
#[derive(Clone, Debug, PartialEq)]
pub struct FaceMark {
    /// Where round the wheel.
    pub spot: Spot,
    /// Which zone; one of the other side is drawn hollow and dashed.
    pub zone: Zone,
    /// Its class; none is a place being chosen.
    pub severity: Option<Severity>,
    /// Whether it is in hand.
    pub selected: bool,
    /// A short label, such as its number in the list; may be empty.
    pub label: String,
}

/// The width in points below which a face is drawn in its compact form, for a report.
pub const COMPACT_BELOW: f32 = 140.0;

impl ClockFace<'_> {
    fn is_compact(&self) -> bool {
        self.size < COMPACT_BELOW
    }
    /// The height of the line below the wheel that names the side and the nose.
    fn footer(&self) -> f32 {
        if self.is_compact() { 11.0 } else { 18.0 }
    }
    /// The centre of the wheel in the drawing.
    pub fn centre(&self) -> Pt {
        pt(self.size / 2.0, self.size / 2.0)
    }
    /// The radius of the crown in the drawing, in points.
    pub fn radius(&self) -> f32 {
        self.size / 2.0 - if self.is_compact() { 10.0 } else { 23.0 }
    }
    fn bands(&self) -> Bands {
        Bands::of(self.wheel, self.side, self.radius())
    }
    /// Where a spot stands on the face, in degrees clockwise from straight up.
    fn shown_degrees(&self, spot: Spot) -> f64 {
        self.parked.map_or(spot, |parked| parked.now(spot)).degrees_from(self.side)
    }
    /// The spot at an angle clockwise from straight up.
    fn spot_shown_at(&self, degrees: f64) -> Spot {
        let shown = Spot::from_side_degrees(degrees, self.side);
        let valve = self.parked.map_or(0.0, |parked| parked.valve().degrees());
        Spot::from_degrees(shown.degrees() - valve).unwrap_or(Spot::VALVE)
    }
    /// A point at a radius and an angle clockwise from straight up.
    fn polar(&self, radius: f32, degrees: f64) -> Pt {
        let (sin, cos) = degrees.to_radians().sin_cos();
        let centre = self.centre();
        pt(centre.x + radius * sin as f32, centre.y - radius * cos as f32)
    }
}

/// The place under a point of the drawing: on the side in view, or in the middle; none beside the wheel.
pub fn spot_at(face: &ClockFace<'_>, at: Pt) -> Option<(Spot, Zone)> {
    let centre = face.centre();
    let (dx, dy) = (f64::from(at.x - centre.x), f64::from(at.y - centre.y));
    let zone = face.bands().zone_at((dx * dx + dy * dy).sqrt() as f32)?;
    // Clockwise from straight up, with y downward.
    Some((face.spot_shown_at(dx.atan2(-dy).to_degrees()), zone))
}

/// The spot round the wheel at any point, however near or far: for a drag that leaves the rubber.
pub fn spot_toward(face: &ClockFace<'_>, at: Pt) -> Spot {
    let centre = face.centre();
    face.spot_shown_at(f64::from(at.x - centre.x).atan2(f64::from(centre.y - at.y)).to_degrees())
}

/// Where the valve stands, when the drawn wheel is dragged so that the valve comes under a point.
pub fn parked_toward(face: &ClockFace<'_>, at: Pt) -> Parked {
    let upright = ClockFace { parked: None, marks: Vec::new(), ..face.clone() };
    Parked::from_spot(spot_toward(&upright, at))
}

/// The point of a place in the drawing; a zone of the far side falls on the near one's radius.
pub fn pt_of(face: &ClockFace<'_>, spot: Spot, zone: Zone) -> Pt {
    face.polar(face.bands().radius_of(zone), face.shown_degrees(spot))
}

/// Draws the face. Its height is its width and a line for the side and the nose.
pub fn draw(face: &ClockFace<'_>) -> Drawing {
    let mut drawing = Drawing::new(face.size, face.size + face.footer(), marks::summary(face));
    if face.parked.is_some() {
        ground(face, &mut drawing);
    }
    art::wheel(face, &face.bands(), &mut drawing);
    numerals(face, &mut drawing);
    marks::draw(face, &mut drawing);
    footer(face, &mut drawing);
    drawing
}

/// The road below a parked wheel.
fn ground(face: &ClockFace<'_>, drawing: &mut Drawing) {
    let centre = face.centre();
    let (y, half) = (centre.y + face.radius() + 1.5, face.radius() * 0.8);
    drawing.line(pt(centre.x - half, y), pt(centre.x + half, y), Stroke::solid(Ink::Line, 2.0));
    let mut x = centre.x - half;
    while x < centre.x + half {
        drawing.line(pt(x + 5.0, y + 1.0), pt(x, y + 6.0), Stroke::solid(Ink::Faint, 0.8));
        x += 9.0;
    }
}

fn numerals(face: &ClockFace<'_>, drawing: &mut Drawing) {
    let compact = face.is_compact();
    let (size, out) = if compact { (6.5, 6.0) } else { (11.0, 13.5) };
    for hour in 1..=12u16 {
        let degrees = f64::from(hour) * 30.0;
        let quarter = hour % 3 == 0;
        let radius = face.radius();
        let tick = Stroke::solid(if quarter { Ink::Line } else { Ink::Faint }, if compact { 0.5 } else { 0.9 });
        drawing.line(
            face.polar(radius + 0.8, degrees),
            face.polar(radius + if compact { 2.2 } else { 4.2 }, degrees),
            tick,
        );
        if quarter {
            drawing.strong_words(
                face.polar(radius + out, degrees),
                hour.to_string(),
                size,
                Anchor::Middle,
                Ink::Strong,
            );
        } else if !compact {
            drawing.words(face.polar(radius + out, degrees), hour.to_string(), size - 1.5, Anchor::Middle, Ink::Faint);
        }
    }
    if !compact {
        let words = if face.parked.is_some() { ["12 is", "straight up"] } else { ["12 is", "the valve"] };
        for (i, word) in words.into_iter().enumerate() {
            drawing.words(
                pt(2.0, 8.0 + 12.0 * i as f32),
                word,
                if face.size < 300.0 { 8.5 } else { 10.0 },
                Anchor::Start,
                Ink::Faint,
            );
        }
    }
}

/// The side in view and an arrow to the machine's nose: to the viewer's right seen from the right, else to the left.
fn footer(face: &ClockFace<'_>, drawing: &mut Drawing) {
    let (size, arrow) = if face.is_compact() { (7.0, 13.0) } else { (11.0, 24.0) };
    let y = face.size + face.footer() / 2.0;
    let toward = match face.side {
        Side::Right => 1.0,
        Side::Left => -1.0,
    };
    let edge = |inward: f32| if toward > 0.0 { face.size - inward } else { inward };
    let (near, far) = match face.side {
        Side::Right => (Anchor::Start, Anchor::End),
        Side::Left => (Anchor::End, Anchor::Start),
    };
    let seen = format!("from the {}", face.side.word());
    drawing.words(pt(face.size - edge(2.0), y), seen, size, near, Ink::Line);
    let (tail, tip) = (pt(edge(2.0 + arrow), y), pt(edge(2.0), y));
    let head = arrow * 0.3;
    drawing.line(tail, pt(tip.x - toward * head, y), Stroke::solid(Ink::Accent, size * 0.16));
    let wing = |dy: f32| pt(tip.x - toward * head, y + dy);
    drawing.area(vec![tip, wing(-head * 0.6), wing(head * 0.6)], Some(Ink::Accent), None);
    drawing.strong_words(pt(edge(6.0 + arrow), y), "nose", size, far, Ink::Accent);
}

/// Where a spot stands in words for the summary: the clock from the side, and where it is now when parked.
fn where_words(face: &ClockFace<'_>, spot: Spot) -> String {
    let read = format!("{} from the {}", spot.time(face.side), face.side.word());
    match face.parked {
        None => read,
        Some(parked) if parked.is_underneath(spot) => format!("{read}, under the tyre now: roll the machine"),
        Some(_) => format!("{read}, now at {}", ClockTime::from_degrees(face.shown_degrees(spot))),
    }
}
