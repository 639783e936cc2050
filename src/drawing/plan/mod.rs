//! The machine in plan, from above with its nose up, to scale from wheelbase, track and tyre sizes.
//!
//! Round it stand the stations of the walk, each with the notch mark of its worst finding and how many there are; the
//! same stands on each wheel. The art is Stemclock's own and shows the kind of machine, not a model. It must not know
//! inspections, rules or the window.

mod cycle;
mod measures;
mod pen;
mod stations;
mod three;

use super::notch::{self, Mark};
use super::shape::{Anchor, Drawing, Ink, Pt, Stroke, pt};
use crate::clock::Side;
use crate::inspection::{Severity, Station};
use crate::machine::{Layout, Machine, WheelPosition};
use measures::Measures;
use pen::Pen;

/// What is known of a place: its worst finding, how many findings, and how many checks are still open.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct PlaceState {
    /// The worst open finding.
    pub worst: Option<Severity>,
    /// How many findings are open.
    pub findings: usize,
    /// How many checks nobody has done, or could not do.
    pub unchecked: usize,
    /// Whether this inspection asks nothing here, so that nobody has said that it is sound.
    pub unasked: bool,
}

impl PlaceState {
    /// The mark that stands for it. What is unchecked is never shown as sound.
    pub fn mark(self) -> Mark {
        match self.worst {
            Some(severity) => Mark::Found(severity),
            None if self.unchecked > 0 || self.unasked => Mark::Unchecked,
            None => Mark::Sound,
        }
    }
    /// In words: `2 findings, worst major · 3 unchecked`.
    pub fn words(self) -> String {
        let mut parts = Vec::new();
        match (self.worst, self.findings) {
            (Some(worst), 0 | 1) => parts.push(format!("1 {}", worst.word())),
            (Some(worst), n) => parts.push(format!("{n} findings, worst {}", worst.word())),
            (None, _) => {}
        }
        if self.unchecked > 0 {
            parts.push(format!("{} unchecked", self.unchecked));
        }
        match parts.is_empty() {
            true if self.unasked => "not asked".into(),
            true => "sound".into(),
            false => parts.join(", "),
        }
    }
}

/// What the plan shows beside the machine.
#[derive(Clone, Debug, Default)]
pub struct PlanView {
    /// Width of the drawing in points.
    pub width: f32,
    /// Height of the drawing in points.
    pub height: f32,
    /// What is known of each wheel; a wheel left out carries no mark.
    pub wheels: Vec<(WheelPosition, PlaceState)>,
    /// The stations to show, in any order, with what is known of each; see [`stations_of`].
    pub stations: Vec<(Station, PlaceState)>,
    /// The wheel in hand.
    pub selected_wheel: Option<WheelPosition>,
    /// The station in hand.
    pub selected_station: Option<Station>,
    /// The side on which the viewer stands.
    pub viewer: Option<Side>,
}

/// A plan with the places that can be clicked.
#[derive(Clone, Debug)]
pub struct Plan {
    /// The drawing.
    pub drawing: Drawing,
    /// Each wheel's rectangle in points: left, top, right, bottom. None is narrower than a fingertip.
    pub wheels: Vec<(WheelPosition, [f32; 4])>,
    /// Each station's mark in points.
    pub stations: Vec<(Station, Pt)>,
    /// Each station's rectangle in points, name and mark together: left, top, right, bottom.
    pub station_areas: Vec<(Station, [f32; 4])>,
    /// The place on the machine that each of its stations means, in points, whether the station is named or not.
    pub targets: Vec<(Station, Pt)>,
}

/// The stations of a machine in walking order.
pub fn stations_of(machine: &Machine) -> Vec<Station> {
    let has_sidecar = matches!(machine.layout, Layout::Sidecar(_));
    Station::ALL.into_iter().filter(|s| *s != Station::SidecarSide || has_sidecar).collect()
}

/// The narrowest that a wheel's rectangle may be, in points.
const FINGERTIP: f32 = 26.0;

/// Draws the plan.
pub fn draw(machine: &Machine, view: &PlanView) -> Plan {
    let measures = Measures::of(machine);
    let mut drawing = Drawing::new(view.width, view.height, summary(machine, view, &measures));
    let room = stations::Room::of(view);
    let [left, top, right, bottom] = measures.extent();
    let (wide, high) = (room.right - room.left, room.bottom - room.top);
    let scale = (wide / (right - left)).min(high / (bottom - top)).max(0.01);
    let origin = pt(
        (room.left + room.right) / 2.0 - (left + right) / 2.0 * scale,
        (room.top + room.bottom) / 2.0 - (top + bottom) / 2.0 * scale,
    );
    let mut pen = Pen { drawing: &mut drawing, origin, scale };
    three::sidecar_chassis(&mut pen, &measures);
    for wheel in &measures.wheels {
        cycle::wheel(&mut pen, wheel, view.selected_wheel == Some(wheel.position));
    }
    cycle::machine(&mut pen, &measures);
    three::rear_guards(&mut pen, &measures);
    three::sidecar_body(&mut pen, &measures);
    let wheels = wheel_areas(&pen, &measures);
    viewer(&mut pen, view, &measures);
    let targets = stations_of(machine).into_iter().map(|s| (s, stations::middle_of(&pen, s, &measures))).collect();
    let placed = stations::draw(&mut pen, view, &measures, &room);
    for (position, state) in &view.wheels {
        if let Some((_, area)) = wheels.iter().find(|(p, _)| p == position) {
            wheel_mark(pen.drawing, *area, *state, view.selected_wheel == Some(*position));
        }
    }
    Plan {
        drawing,
        wheels,
        stations: placed.iter().map(|(station, at, _)| (*station, *at)).collect(),
        station_areas: placed.into_iter().map(|(station, _, area)| (station, area)).collect(),
        targets,
    }
}

fn wheel_areas(pen: &Pen<'_>, m: &Measures) -> Vec<(WheelPosition, [f32; 4])> {
    m.wheels
        .iter()
        .map(|w| {
            let centre = pen.at(w.x, w.y);
            let half = (w.width / 2.0 * pen.scale).max(FINGERTIP / 2.0);
            let run = w.diameter / 2.0 * pen.scale;
            (w.position, [centre.x - half, centre.y - run, centre.x + half, centre.y + run])
        })
        .collect()
}

/// The mark of a wheel at its middle, above the bodywork, with the number of findings.
fn wheel_mark(drawing: &mut Drawing, [left, top, right, bottom]: [f32; 4], state: PlaceState, selected: bool) {
    let centre = pt((left + right) / 2.0, (top + bottom) / 2.0);
    let size = 17.0;
    let ring = if selected { Stroke::solid(Ink::Accent, 2.2) } else { Stroke::solid(Ink::Line, 0.8) };
    drawing.circle(centre, size * 0.68, Some(Ink::Paper), Some(ring));
    notch::add(drawing, centre, size, state.mark());
    if state.findings > 1 {
        let at = pt(centre.x + size * 0.68, centre.y + size * 0.6);
        drawing.circle(at, 6.2, Some(Ink::Paper), Some(Stroke::solid(Ink::Line, 0.8)));
        drawing.strong_words(at, state.findings.to_string(), 8.5, Anchor::Middle, Ink::Strong);
    }
}

/// Whoever looks, from above, beside the wheel in hand and facing it.
fn viewer(pen: &mut Pen<'_>, view: &PlanView, m: &Measures) {
    let Some(side) = view.viewer else { return };
    let toward = match side {
        Side::Right => 1.0,
        Side::Left => -1.0,
    };
    let wheel = view.selected_wheel.and_then(|p| m.wheel(p));
    let y = wheel.map_or(m.wheelbase * 0.5, |w| w.y);
    // Clear of the handlebar and the exhaust, of a wheel beside this one, and of a sidecar on this side.
    let beside = m.wheels.iter().filter(|w| (w.y - y).abs() < 400.0).map(|w| toward * w.x + w.width / 2.0 + 190.0);
    let clear = beside.fold(330.0, f32::max);
    let centre = pen.at(toward * clear, y);
    let ink = Ink::Accent;
    let mut body = Vec::new();
    for dy in [-7.0, 7.0] {
        body.extend((0..16).map(|k| {
            let turn = std::f32::consts::TAU * k as f32 / 16.0;
            pt(centre.x + 4.0 * turn.cos(), centre.y + dy + 4.0 * turn.sin())
        }));
    }
    pen.drawing.area(pen::hull(body), Some(Ink::Paper), Some(Stroke::solid(ink, 1.4)));
    pen.drawing.circle(centre, 4.6, Some(ink), None);
    // The way they look.
    let (from, to) = (pt(centre.x - toward * 7.5, centre.y), pt(centre.x - toward * 15.0, centre.y));
    pen.drawing.line(from, to, Stroke::solid(ink, 1.4));
    let wing = |dy: f32| pt(to.x + toward * 1.0, to.y + dy);
    pen.drawing.area(vec![pt(to.x - toward * 5.0, to.y), wing(-3.2), wing(3.2)], Some(ink), None);
    pen.drawing.words(pt(centre.x, centre.y + 18.0), "you", 9.0, Anchor::Middle, ink);
}

/// What the plan shows, as sentences for those who cannot see it.
fn summary(machine: &Machine, view: &PlanView, m: &Measures) -> String {
    let mut text = format!(
        "{} in plan from above, nose up: {}, {}.",
        machine.name,
        machine.layout.word(),
        machine.category.meaning()
    );
    if m.assumed.is_empty() {
        text.push_str(" To scale.");
    } else {
        text.push_str(&format!(" Not recorded and drawn by usual figures: {}.", m.assumed.join(", ")));
    }
    if let Some(side) = view.viewer {
        text.push_str(&format!(" You stand at the {}.", side.word()));
    }
    for (wheel, state) in &view.wheels {
        text.push_str(&format!(" Wheel, {}: {}.", wheel.word(), state.words()));
    }
    for (station, state) in &view.stations {
        text.push_str(&format!(" {}: {}.", station.word(), state.words()));
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_unchecked_is_never_shown_as_sound() {
        let unasked = PlaceState { unasked: true, ..PlaceState::default() };
        assert_eq!((unasked.mark(), unasked.words().as_str()), (Mark::Unchecked, "not asked"));
        let unchecked = PlaceState { unchecked: 2, ..PlaceState::default() };
        assert_eq!((unchecked.mark(), unchecked.words()), (Mark::Unchecked, "2 unchecked".into()));
        assert_eq!(PlaceState::default().mark(), Mark::Sound);
        let both = PlaceState { worst: Some(Severity::Major), findings: 2, unchecked: 1, unasked: false };
        assert_eq!(
            (both.mark(), both.words()),
            (Mark::Found(Severity::Major), "2 findings, worst major, 1 unchecked".into())
        );
    }
}
