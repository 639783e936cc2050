//! The unrolled tread: the outside of the rubber from valve to valve, clockwise of the side in view from left to right.
//!
//! The shoulder nearer to the viewer is at the bottom and each sidewall is a thin band beyond its shoulder. Changing
//! sides turns the strip by half a turn about its middle (6:00); words stay upright and zones keep the machine's own
//! left and right. [`spot_at`] turns a click into a place and [`pt_of`] a place into a point, by the same figures that
//! [`draw`] uses. It must not know inspections, rules or the window.

use super::notch::{self, Mark};
use super::shape::{Anchor, Drawing, Ink, Pt, Stroke, pt};
use crate::clock::{Parked, Side, Spot};
use crate::inspection::{Severity, Zone};
use crate::machine::Wheel;
use crate::units::{Length, Preferences, Quantity, Shows, Unit};

/// What a strip shows.
#[derive(Clone, Debug)]
pub struct Strip<'a> {
    /// The wheel.
    pub wheel: &'a Wheel,
    /// The side one stands on.
    pub side: Side,
    /// Width of the drawing in points.
    pub width: f32,
    /// Height of the drawing in points.
    pub height: f32,
    /// What is marked on it; a mark off the rubber is left to the clock face.
    pub marks: Vec<StripMark>,
    /// Tread depths read.
    pub depths: Vec<StripDepth>,
    /// Where the moulded wear bars are, where known.
    pub wear_bars: Vec<Spot>,
    /// Where the valve stands on the parked wheel, to show what is under the tyre.
    pub parked: Option<Parked>,
    /// The user's units, for distances.
    pub units: &'a Preferences,
}

/// A place marked on a strip.
#[derive(Clone, Debug, PartialEq)]
pub struct StripMark {
    /// Where round the wheel.
    pub spot: Spot,
    /// Which zone.
    pub zone: Zone,
    /// Its class; none is a place being chosen.
    pub severity: Option<Severity>,
    /// Whether it is in hand.
    pub selected: bool,
    /// A short label; may be empty.
    pub label: String,
}

/// A depth of tread written at its place.
#[derive(Clone, Debug, PartialEq)]
pub struct StripDepth {
    /// Where round the wheel.
    pub spot: Spot,
    /// Which zone of the tread.
    pub zone: Zone,
    /// The depth in words, without its unit.
    pub text: String,
    /// Whether it is below its limit and must stand out.
    pub is_low: bool,
}

/// The share of the rubber's height that each sidewall takes.
const SIDEWALL: f32 = 0.13;

impl Strip<'_> {
    fn has_names(&self) -> bool {
        self.width >= 380.0
    }
    /// The rubber in the drawing: left, top, right, bottom in points, with both sidewalls.
    pub fn rubber(&self) -> [f32; 4] {
        let left = if self.has_names() { 104.0 } else { 10.0 };
        [left, 17.0, (self.width - 12.0).max(left + 1.0), (self.height - 29.0).max(18.0)]
    }
    /// The share of the height from the top at which a share of the breadth from the left edge stands. The sidewalls
    /// lie beyond 0 and 1.
    fn down(&self, from_left: f32) -> f32 {
        let tread = SIDEWALL + from_left * (1.0 - 2.0 * SIDEWALL);
        match self.side {
            // From the right the right shoulder is the nearer one and stands at the bottom.
            Side::Right => tread,
            Side::Left => 1.0 - tread,
        }
    }
    /// Top and bottom of a zone, as shares of the height in any order; none off the rubber.
    fn span(&self, zone: Zone) -> Option<(f32, f32)> {
        let edge = SIDEWALL / (1.0 - 2.0 * SIDEWALL);
        let (from, to) = match zone {
            Zone::Sidewall(Side::Left) => (-edge, 0.0),
            Zone::Sidewall(Side::Right) => (1.0, 1.0 + edge),
            _ => zone.breadth_span().map(|(a, b)| (a as f32 / 100.0, b as f32 / 100.0))?,
        };
        Some((self.down(from), self.down(to)))
    }
    fn x_of(&self, degrees: f64) -> f32 {
        let [left, _, right, _] = self.rubber();
        left + (right - left) * (degrees / 360.0) as f32
    }
    fn y_of(&self, share: f32) -> f32 {
        let [_, top, _, bottom] = self.rubber();
        top + (bottom - top) * share
    }
}

/// The zones of the strip from the machine's left to its right.
const ZONES: [Zone; 7] = [
    Zone::Sidewall(Side::Left),
    Zone::Shoulder(Side::Left),
    Zone::Intermediate(Side::Left),
    Zone::Centre,
    Zone::Intermediate(Side::Right),
    Zone::Shoulder(Side::Right),
    Zone::Sidewall(Side::Right),
];

/// The place under a point of the drawing; none beside the rubber.
pub fn spot_at(strip: &Strip<'_>, at: Pt) -> Option<(Spot, Zone)> {
    let [left, top, right, bottom] = strip.rubber();
    if !(left..=right).contains(&at.x) || !(top..=bottom).contains(&at.y) {
        return None;
    }
    let share = (at.y - top) / (bottom - top);
    let zone = ZONES
        .into_iter()
        .find(|zone| strip.span(*zone).is_some_and(|(a, b)| (a.min(b)..=a.max(b)).contains(&share)))?;
    let degrees = f64::from((at.x - left) / (right - left)) * 360.0;
    Some((Spot::from_side_degrees(degrees, strip.side), zone))
}

/// The point of a place in the drawing; none for a zone that is not rubber. The valve stands at the left end.
pub fn pt_of(strip: &Strip<'_>, spot: Spot, zone: Zone) -> Option<Pt> {
    let (a, b) = strip.span(zone)?;
    Some(pt(strip.x_of(spot.degrees_from(strip.side)), strip.y_of((a + b) / 2.0)))
}

/// Draws the strip.
pub fn draw(strip: &Strip<'_>) -> Drawing {
    let mut drawing = Drawing::new(strip.width, strip.height, summary(strip));
    bands(strip, &mut drawing);
    under_the_tyre(strip, &mut drawing);
    hours(strip, &mut drawing);
    distances(strip, &mut drawing);
    wear_bars(strip, &mut drawing);
    for depth in &strip.depths {
        if let Some(at) = pt_of(strip, depth.spot, depth.zone) {
            let ends = near_ends(strip, at);
            if depth.is_low {
                drawing.strong_words(ends, &depth.text, 10.0, Anchor::Middle, Ink::Dangerous);
                drawing.line(
                    pt(ends.x - 9.0, ends.y + 6.0),
                    pt(ends.x + 9.0, ends.y + 6.0),
                    Stroke::solid(Ink::Dangerous, 1.2),
                );
            } else {
                drawing.words(ends, &depth.text, 10.0, Anchor::Middle, Ink::Strong);
            }
        }
    }
    marks(strip, &mut drawing);
    drawing
}

/// Words at the valve are moved inward, so that they do not run over the strip's end.
fn near_ends(strip: &Strip<'_>, at: Pt) -> Pt {
    let [left, _, right, _] = strip.rubber();
    pt(at.x.clamp(left + 12.0, (right - 12.0).max(left + 12.0)), at.y)
}

fn bands(strip: &Strip<'_>, drawing: &mut Drawing) {
    let [left, top, right, bottom] = strip.rubber();
    for zone in ZONES {
        let Some((a, b)) = strip.span(zone) else { continue };
        let (y0, y1) = (strip.y_of(a.min(b)), strip.y_of(a.max(b)));
        let fill = match zone {
            Zone::Sidewall(_) => Ink::Paper,
            _ => Ink::Wash,
        };
        drawing.area(vec![pt(left, y0), pt(right, y0), pt(right, y1), pt(left, y1)], Some(fill), None);
        if zone == Zone::Centre {
            drawing.line(pt(left, y0), pt(right, y0), Stroke::dashed(Ink::Metal, 0.7));
            drawing.line(pt(left, y1), pt(right, y1), Stroke::dashed(Ink::Metal, 0.7));
        } else if matches!(zone, Zone::Shoulder(_)) {
            let inner = if a.min(b) < 0.5 { y1 } else { y0 };
            drawing.line(pt(left, inner), pt(right, inner), Stroke::dashed(Ink::Metal, 0.7));
        }
        if strip.has_names() {
            let size = if y1 - y0 < 11.0 { 8.0 } else { 9.5 };
            let ink = if zone == Zone::Centre { Ink::Line } else { Ink::Faint };
            drawing.words(pt(left - 8.0, (y0 + y1) / 2.0), name(zone), size, Anchor::End, ink);
        }
    }
    // The tread stands out from its sidewalls by a heavy line at both edges.
    for share in [SIDEWALL, 1.0 - SIDEWALL] {
        let y = strip.y_of(share);
        drawing.line(pt(left, y), pt(right, y), Stroke::solid(Ink::Rubber, 2.0));
    }
    let outline = vec![pt(left, top), pt(right, top), pt(right, bottom), pt(left, bottom)];
    drawing.area(outline, None, Some(Stroke::solid(Ink::Line, 1.0)));
}

fn name(zone: Zone) -> String {
    if zone == Zone::Centre { "centre".into() } else { zone.words() }
}

/// What is under the parked tyre and cannot be seen.
fn under_the_tyre(strip: &Strip<'_>, drawing: &mut Drawing) {
    let Some(parked) = strip.parked else { return };
    let [_, top, _, bottom] = strip.rubber();
    let straight_down = Spot::from_degrees(180.0 - parked.valve().degrees()).unwrap_or(Spot::VALVE);
    let middle = straight_down.degrees_from(strip.side);
    // The same 20° either way as in clock::Parked::is_underneath; across the valve it shows at both ends.
    for turn in [-360.0, 0.0, 360.0] {
        let (from, to) = ((middle + turn - 20.0).max(0.0), (middle + turn + 20.0).min(360.0));
        if from >= to {
            continue;
        }
        let (x0, x1) = (strip.x_of(from), strip.x_of(to));
        let mut x = x0;
        while x < x1 {
            drawing.line(pt(x, bottom), pt((x + 8.0).min(x1), top), Stroke::solid(Ink::Metal, 0.6));
            x += 5.0;
        }
        drawing.line(pt(x0, bottom + 1.5), pt(x1, bottom + 1.5), Stroke::solid(Ink::Line, 3.0));
    }
}

fn hours(strip: &Strip<'_>, drawing: &mut Drawing) {
    let [_, top, _, bottom] = strip.rubber();
    for hour in 0..=12u16 {
        let x = strip.x_of(f64::from(hour) * 30.0);
        let quarter = hour % 3 == 0;
        drawing.line(pt(x, top - 4.0), pt(x, top), Stroke::solid(Ink::Line, if quarter { 1.2 } else { 0.8 }));
        if quarter && hour % 12 != 0 {
            drawing.line(pt(x, top), pt(x, bottom), Stroke::solid(Ink::Metal, 0.5));
        }
        let label = if hour == 0 { 12 } else { hour };
        if quarter {
            drawing.strong_words(pt(x, top - 10.5), label.to_string(), 10.5, Anchor::Middle, Ink::Strong);
        } else {
            drawing.words(pt(x, top - 10.5), label.to_string(), 9.5, Anchor::Middle, Ink::Faint);
        }
    }
    // The valve is at both ends, so both ends carry its wedge.
    for x in [strip.x_of(0.0), strip.x_of(360.0)] {
        for (y, toward) in [(top, 1.0), (bottom, -1.0)] {
            let wedge = vec![pt(x - 4.0, y - 3.5 * toward), pt(x + 4.0, y - 3.5 * toward), pt(x, y + 3.5 * toward)];
            drawing.area(wedge, Some(Ink::Accent), None);
        }
    }
}

/// The unit that the user likes for the dimension of a quantity.
fn preferred<D: Shows>(_: Quantity<D>, units: &Preferences) -> &'static Unit {
    D::preferred(units)
}

/// Distances along the crown from the valve. Clockwise from the right is ahead of it, from the left behind it.
fn distances(strip: &Strip<'_>, drawing: &mut Drawing) {
    let [left, _, right, bottom] = strip.rubber();
    let way = match strip.side {
        Side::Right => "ahead of the valve",
        Side::Left => "behind the valve",
    };
    // A narrow strip has room for one caption; the side is said beside the face.
    let seen = match strip.width < 340.0 {
        true => String::new(),
        false => format!("from the {}, near side below", strip.side.word()),
    };
    let y = bottom + 21.0;
    let Some(circumference) = strip.wheel.circumference_mm() else {
        drawing.words(pt(left, y), "no distances: the tyre size is not recorded", 9.0, Anchor::Start, Ink::Faint);
        drawing.words(pt(right, y), seen, 9.0, Anchor::End, Ink::Faint);
        return;
    };
    let unit = preferred(Length::mm(0.0), strip.units);
    let whole = Length::mm(circumference).amount_in(unit);
    // The finest round step that leaves the figures apart.
    let most = f64::from((right - left) / 46.0).max(1.0);
    let step = [1.0, 2.0, 5.0]
        .into_iter()
        .flat_map(|lead| (0..7).map(move |power| lead * 10f64.powi(power)))
        .filter(|step| whole / step <= most)
        .fold(f64::INFINITY, f64::min);
    let count = if step.is_finite() { (whole / step).floor() as usize } else { 0 };
    for i in 1..=count {
        let amount = step * i as f64;
        let x = strip.x_of(amount / whole * 360.0);
        drawing.line(pt(x, bottom), pt(x, bottom + 3.5), Stroke::solid(Ink::Line, 0.8));
        if x < right - 14.0 {
            drawing.words(pt(x, bottom + 9.5), format!("{amount:.0}"), 8.5, Anchor::Middle, Ink::Line);
        }
    }
    let words = format!("{} {way} along the crown", unit.symbol);
    drawing.words(pt(left, y), words, 9.0, Anchor::Start, Ink::Faint);
    drawing.words(pt(right, y), seen, 9.0, Anchor::End, Ink::Faint);
}

fn wear_bars(strip: &Strip<'_>, drawing: &mut Drawing) {
    for spot in &strip.wear_bars {
        let x = strip.x_of(spot.degrees_from(strip.side));
        let (from, to) = (strip.y_of(SIDEWALL), strip.y_of(1.0 - SIDEWALL));
        drawing.line(pt(x, from), pt(x, to), Stroke { ink: Ink::Metal, width: 1.4, dash: Some([4.0, 3.0]) });
    }
}

fn marks(strip: &Strip<'_>, drawing: &mut Drawing) {
    let mut order: Vec<&StripMark> = strip.marks.iter().collect();
    order.sort_by_key(|mark| (mark.selected, mark.severity));
    for mark in order {
        let Some(at) = pt_of(strip, mark.spot, mark.zone) else { continue };
        let size = (strip.height * 0.11).clamp(11.0, 18.0);
        if mark.selected {
            let [_, top, _, bottom] = strip.rubber();
            drawing.line(pt(at.x, top), pt(at.x, bottom), Stroke::solid(Ink::Accent, 1.0));
            drawing.circle(at, size * 0.72, Some(Ink::Paper), Some(Stroke::solid(Ink::Accent, size * 0.14)));
        }
        match mark.severity {
            Some(severity) => notch::add(drawing, at, size, Mark::Found(severity)),
            None => {
                drawing.circle(at, size * 0.42, Some(Ink::Paper), Some(Stroke::solid(Ink::Accent, size * 0.12)));
                drawing.circle(at, size * 0.14, Some(Ink::Accent), None);
            }
        }
        if !mark.label.is_empty() {
            let [_, _, right, _] = strip.rubber();
            let (x, anchor) = if at.x > right - 40.0 {
                (at.x - size * 0.85, Anchor::End)
            } else {
                (at.x + size * 0.85, Anchor::Start)
            };
            drawing.strong_words(pt(x, at.y), &mark.label, 9.5, anchor, Ink::Strong);
        }
    }
}

/// What the strip shows, as sentences for those who cannot see it.
fn summary(strip: &Strip<'_>) -> String {
    let side = strip.side.word();
    let mut text = format!(
        "The tread of the {} wheel unrolled from valve to valve, clockwise from the {side}, {side} shoulder below.",
        strip.wheel.position.word()
    );
    for mark in strip.marks.iter().filter(|m| strip.span(m.zone).is_some()) {
        let what = mark.severity.map_or("chosen place", |s| s.word());
        text.push_str(&format!(" {what}: {} from the {side}, {}.", mark.spot.time(strip.side), mark.zone.words()));
    }
    for depth in &strip.depths {
        let low = if depth.is_low { ", low" } else { "" };
        text.push_str(&format!(
            " Depth {} at {}, {}{low}.",
            depth.text,
            depth.spot.time(strip.side),
            depth.zone.words()
        ));
    }
    text
}
