//! The stations round the machine: a name and a mark at the margin, a thin line to the place it means.

use super::measures::{Measures, Style};
use super::pen::Pen;
use super::{PlaceState, PlanView};
use crate::clock::Side;
use crate::drawing::notch;
use crate::drawing::shape::{Anchor, Ink, Pt, Stroke, pt};
use crate::inspection::Station;
use crate::machine::{Layout, WheelPosition};

/// The room for the machine, in points, with the names' columns beside it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Room {
    pub left: f32,
    pub top: f32,
    pub right: f32,
    pub bottom: f32,
    /// Whether there is room for a second line under each name.
    pub has_counts: bool,
}

impl Room {
    pub fn of(view: &PlanView) -> Self {
        if view.stations.is_empty() {
            return Self { left: 6.0, top: 6.0, right: view.width - 6.0, bottom: view.height - 6.0, has_counts: false };
        }
        let column = (view.width * 0.245).clamp(86.0, 116.0);
        Self {
            left: column,
            top: 34.0,
            right: view.width - column,
            bottom: view.height - 54.0,
            has_counts: view.height >= 240.0,
        }
    }
}

/// Where a station's name stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Margin {
    Top,
    Left,
    Right,
    Bottom,
    Corner,
}

const MARK: f32 = 17.0;

/// A station with its mark's middle and the rectangle of mark and name.
pub(super) type Placed = (Station, Pt, [f32; 4]);

pub(super) fn draw(pen: &mut Pen<'_>, view: &PlanView, m: &Measures, room: &Room) -> Vec<Placed> {
    let mut placed = Vec::new();
    let (x, y) = target(Station::Tail, m);
    let tail = pen.at(x, y);
    let body = match (m.style, m.layout) {
        (Style::Tourer, _) | (_, Layout::Trike) => m.wheelbase + m.tail() - 20.0,
        _ => y,
    };
    let lowest = m.wheels.iter().filter(|w| w.x == 0.0).map(|w| w.y + w.diameter / 2.0).fold(body, f32::max);
    let foot = pen.at(x, lowest).y;
    let highest = m.wheels.iter().map(|w| w.y - w.diameter / 2.0).fold(0.0, f32::min);
    let head = pen.at(x, highest).y;
    for margin in [Margin::Top, Margin::Left, Margin::Right, Margin::Bottom, Margin::Corner] {
        let mut here: Vec<(Station, PlaceState, Pt)> = view
            .stations
            .iter()
            .filter(|(station, _)| margin_of(*station, m.layout) == margin)
            .map(|(station, state)| {
                let (x, y) = target(*station, m);
                (*station, *state, pen.at(x, y))
            })
            .collect();
        here.sort_by(|a, b| a.2.y.total_cmp(&b.2.y));
        let heights = spread(here.iter().map(|(_, _, target)| target.y), room.top + 4.0, room.bottom - 8.0);
        for ((station, state, target), y) in here.into_iter().zip(heights) {
            let (x, y) = match margin {
                Margin::Top => (target.x - 26.0, head - 20.0),
                Margin::Left => (room.left - 16.0, y),
                Margin::Right => (room.right + 16.0, y),
                Margin::Bottom => (target.x - 26.0, foot + 22.0),
                // The corner away from a machine that stands to one side.
                Margin::Corner if tail.x < view.width * 0.45 => (view.width - 128.0, view.height - 14.0),
                Margin::Corner => (MARK, view.height - 14.0),
            };
            let centre = pt(x, y);
            let selected = view.selected_station == Some(station);
            if margin != Margin::Corner {
                leader(pen, margin, centre, target, selected);
            }
            let area = label(pen, view, margin, centre, (station, state, selected), room.has_counts);
            placed.push((station, centre, area));
        }
    }
    nose(pen, view, room);
    placed
}

fn margin_of(station: Station, layout: Layout) -> Margin {
    let sidecar_is_right = layout == Layout::Sidecar(Side::Right);
    match station {
        Station::FrontWheel => Margin::Top,
        Station::Tail => Margin::Bottom,
        Station::OnTheRoad => Margin::Corner,
        Station::SidecarSide if sidecar_is_right => Margin::Right,
        Station::SidecarSide => Margin::Left,
        Station::Underneath if sidecar_is_right => Margin::Left,
        Station::Bars | Station::RightFlank | Station::RearWheel | Station::Underneath => Margin::Right,
        Station::LeftFlank | Station::EngineRoom | Station::Saddle => Margin::Left,
    }
}

/// The middle of what a station means, in points: a mark there tells no side that was not said.
pub(super) fn middle_of(pen: &Pen<'_>, station: Station, m: &Measures) -> Pt {
    let (x, y) = target(station, m);
    pen.at(if station == Station::Bars { 0.0 } else { x }, y)
}

/// The place on the machine that a station means, in millimetres.
fn target(station: Station, m: &Measures) -> (f32, f32) {
    let wb = m.wheelbase;
    let is_moped = m.style == Style::Moped && m.layout != Layout::TwoFront;
    let front = m.wheels.first().map_or(300.0, |w| w.diameter / 2.0);
    let rear = m.wheel(WheelPosition::Rear).or(m.wheel(WheelPosition::RearRight));
    match station {
        Station::FrontWheel => (0.0, -front * if m.layout == Layout::TwoFront { 0.6 } else { 0.95 }),
        Station::Bars => (m.bar - 60.0, wb * 0.34),
        Station::LeftFlank if is_moped => (-170.0, wb * 0.40),
        Station::RightFlank if is_moped => (170.0, wb * 0.41),
        Station::EngineRoom if is_moped => (-m.engine * 0.6, wb * 0.70),
        Station::LeftFlank => (-m.engine - 40.0, wb * 0.67),
        Station::RightFlank => (m.engine + 40.0, wb * 0.55),
        Station::EngineRoom => (-m.engine * 0.75, wb * 0.5),
        Station::Underneath => (m.engine * 0.35, wb * 0.7),
        Station::RearWheel => rear.map_or((0.0, wb), |w| (w.x + w.width * 0.45, w.y + w.diameter * 0.28)),
        Station::Tail => (0.0, wb + m.tail() * 0.62),
        Station::Saddle => (-70.0, wb * 0.8),
        Station::SidecarSide => m.wheel(WheelPosition::Sidecar).map_or((0.0, 0.0), |w| (w.x, w.y - w.diameter * 0.6)),
        Station::OnTheRoad => (0.0, 0.0),
    }
}

/// Heights near the wished ones, in rising order, at least a name's height apart and between two bounds where they fit.
fn spread(wished: impl Iterator<Item = f32>, top: f32, bottom: f32) -> Vec<f32> {
    let mut heights: Vec<f32> = Vec::new();
    for y in wished {
        let least = heights.last().map_or(top, |last| last + GAP);
        heights.push(y.max(least));
    }
    let mut most = bottom;
    for y in heights.iter_mut().rev() {
        *y = y.min(most);
        most = *y - GAP;
    }
    heights
}

const GAP: f32 = 40.0;

fn leader(pen: &mut Pen<'_>, margin: Margin, centre: Pt, target: Pt, selected: bool) {
    let stroke = Stroke::solid(if selected { Ink::Accent } else { Ink::Faint }, if selected { 1.3 } else { 0.7 });
    let out = MARK * 0.6;
    let from = match margin {
        Margin::Left => pt(centre.x + out, centre.y),
        Margin::Right => pt(centre.x - out, centre.y),
        Margin::Top => pt(target.x, centre.y + out),
        Margin::Bottom | Margin::Corner => pt(target.x, centre.y - out),
    };
    pen.drawing.line(from, target, stroke);
    pen.drawing.circle(target, 2.0, Some(stroke.ink), Some(Stroke::solid(Ink::Paper, 0.8)));
}

fn label(
    pen: &mut Pen<'_>,
    view: &PlanView,
    margin: Margin,
    centre: Pt,
    (station, state, selected): (Station, PlaceState, bool),
    has_counts: bool,
) -> [f32; 4] {
    let drawing = &mut *pen.drawing;
    if selected {
        drawing.circle(centre, MARK * 0.72, Some(Ink::Paper), Some(Stroke::solid(Ink::Accent, 2.2)));
    }
    notch::add(drawing, centre, MARK, state.mark());
    let at_left = margin == Margin::Left;
    let (x, anchor) =
        if at_left { (centre.x - MARK * 0.85, Anchor::End) } else { (centre.x + MARK * 0.85, Anchor::Start) };
    // A selected name leaves room for its ring.
    let x = if selected { x + if at_left { -4.0 } else { 4.0 } } else { x };
    let count = has_counts && matches!(margin, Margin::Left | Margin::Right);
    let size = if view.width < 380.0 { 10.0 } else { 11.0 };
    let lines = if count { short(state) } else { Vec::new() };
    let y = centre.y - [0.0, 5.5, 10.5][lines.len().min(2)];
    let ink = if selected { Ink::Accent } else { Ink::Line };
    // At the top, the bottom and in the corner the counts follow on the same line.
    let mut name = station.word().to_owned();
    if has_counts && !count && view.width >= 400.0 {
        name = format!("{name} · {}", short(state).join(", "));
    }
    if selected {
        drawing.strong_words(pt(x, y), name, size, anchor, ink);
    } else {
        drawing.words(pt(x, y), name, size, anchor, ink);
    }
    for (i, line) in lines.into_iter().enumerate() {
        let below = size * 1.12 + i as f32 * (size - 1.0);
        drawing.words(pt(x, y + below), line, size - 2.0, anchor, Ink::Faint);
    }
    match margin {
        Margin::Left => [0.0, centre.y - GAP / 2.0, centre.x + MARK * 0.7, centre.y + GAP / 2.0],
        Margin::Right => [centre.x - MARK * 0.7, centre.y - GAP / 2.0, view.width, centre.y + GAP / 2.0],
        _ => [centre.x - MARK * 0.7, centre.y - MARK * 0.8, (centre.x + 130.0).min(view.width), centre.y + MARK * 0.8],
    }
}

/// The counts in a few words, a line each for findings and for what is open; the class is always named.
fn short(state: PlaceState) -> Vec<String> {
    let mut lines = Vec::new();
    lines.extend(state.worst.map(|worst| match state.findings {
        0 | 1 => worst.word().to_owned(),
        n => format!("{n}, worst {}", worst.word()),
    }));
    if state.unchecked > 0 {
        lines.push(format!("{} unchecked", state.unchecked));
    }
    if lines.is_empty() {
        lines.push(if state.unasked { "not asked" } else { "sound" }.into());
    }
    lines
}

/// An arrow toward the nose at the top left, and the machine's sides in words.
fn nose(pen: &mut Pen<'_>, view: &PlanView, room: &Room) {
    let drawing = &mut *pen.drawing;
    if view.stations.is_empty() {
        return;
    }
    let (x, y) = (14.0, room.top - 22.0);
    drawing.line(pt(x, y + 16.0), pt(x, y), Stroke::solid(Ink::Accent, 1.8));
    drawing.area(vec![pt(x, y - 8.0), pt(x - 5.0, y + 1.0), pt(x + 5.0, y + 1.0)], Some(Ink::Accent), None);
    drawing.strong_words(pt(x + 10.0, y + 6.0), "nose", 10.0, Anchor::Start, Ink::Accent);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_keep_apart_and_stay_between_the_bounds() {
        let heights = spread([50.0, 55.0, 60.0, 300.0].into_iter(), 40.0, 200.0);
        assert!(heights.windows(2).all(|w| w[1] - w[0] >= GAP - 1e-3), "{heights:?}");
        assert!(heights[0] >= 40.0 && heights[3] <= 200.0, "{heights:?}");
    }
}
