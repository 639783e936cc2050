//! The wheel itself: tyre, rim, spokes, disc, hub, valve stem and rolling arrow.

use super::ClockFace;
use super::bands::Bands;
use crate::clock::{Side, Spot};
use crate::drawing::shape::{Drawing, Ink, Pt, Stroke};
use crate::machine::{RimKind, RollingArrow};

pub(super) fn wheel(face: &ClockFace<'_>, bands: &Bands, drawing: &mut Drawing) {
    let thin = face.size / 400.0;
    let centre = face.centre();
    tyre(face, bands, drawing, thin);
    drawing.circle(centre, bands.flange, Some(Ink::Metal), Some(Stroke::solid(Ink::Line, thin.max(0.5))));
    drawing.circle(centre, bands.well, None, Some(Stroke::solid(Ink::Paper, thin.max(0.4))));
    match face.wheel.rim.kind {
        RimKind::WireSpoked { .. } => {
            drawing.circle(centre, bands.spokes, Some(Ink::Paper), Some(Stroke::solid(Ink::Line, thin.max(0.4))));
            wire_spokes(face, bands, drawing);
        }
        RimKind::Cast => {
            drawing.circle(centre, bands.spokes, Some(Ink::Paper), Some(Stroke::solid(Ink::Line, thin.max(0.4))));
            cast_spokes(face, bands, drawing);
        }
        RimKind::Pressed => pressed_sheet(face, bands, drawing),
    }
    if let Some((outer, inner)) = bands.disc {
        disc(face, outer, inner, drawing);
    }
    drawing.circle(centre, bands.hub, Some(Ink::Metal), Some(Stroke::solid(Ink::Line, thin.max(0.5))));
    if face.wheel.has_drum() {
        drawing.circle(centre, bands.hub * 0.82, None, Some(Stroke::solid(Ink::Line, thin.max(0.4))));
    }
    drawing.circle(centre, bands.crown * 0.045, Some(Ink::Paper), Some(Stroke::solid(Ink::Line, thin.max(0.5))));
    valve(face, bands, drawing);
    rolling_arrow(face, bands, drawing);
}

/// The rubber with the grooves of the tread and the line where the sidewall begins.
fn tyre(face: &ClockFace<'_>, bands: &Bands, drawing: &mut Drawing, thin: f32) {
    drawing.circle(
        face.centre(),
        bands.crown,
        Some(Ink::Rubber),
        Some(Stroke::solid(Ink::Line, (thin * 1.2).max(0.6))),
    );
    drawing.circle(face.centre(), bands.tread_edge, None, Some(Stroke::solid(Ink::Metal, thin.max(0.4))));
    let grooves = if face.is_compact() { 24 } else { 48 };
    let valve = face.shown_degrees(Spot::VALVE);
    // Grooves sweep back from the centre, seen from either side, as on a tyre that rolls toward the nose.
    let sweep = match face.side {
        Side::Right => -5.0,
        Side::Left => 5.0,
    };
    for i in 0..grooves {
        let at = valve + (f64::from(i) + 0.5) * 360.0 / f64::from(grooves);
        let depth = bands.crown - bands.tread_edge;
        drawing.line(
            face.polar(bands.crown - depth * 0.1, at),
            face.polar(bands.tread_edge + depth * 0.18, at + sweep),
            Stroke::solid(Ink::Metal, (thin * 1.1).max(0.35)),
        );
    }
}

/// As many spokes as the wheel has, each at its nipple, flanges alternating where the first one is known.
fn wire_spokes(face: &ClockFace<'_>, bands: &Bands, drawing: &mut Drawing) {
    let Some(spokes) = face.wheel.rim.kind.spokes() else { return };
    let width = (face.size / 320.0).clamp(0.35, 1.4);
    for number in 1..=spokes.get() {
        let Ok(spot) = spokes.spot(u32::from(number)) else { continue };
        let nipple = face.shown_degrees(spot);
        // Neighbours of one flange lean opposite ways, so that they cross as laced spokes do.
        let lean = if number % 4 < 2 { 48.0 } else { -48.0 };
        let near = face.wheel.rim.kind.flange(number).is_none_or(|flange| flange == face.side);
        let (ink, width) = if near { (Ink::Line, width) } else { (Ink::Metal, width * 0.8) };
        let root = if near { bands.hub } else { bands.hub * 0.94 };
        drawing.line(face.polar(bands.spokes, nipple), face.polar(root, nipple + lean), Stroke::solid(ink, width));
        if !face.is_compact() {
            drawing.circle(face.polar(bands.spokes, nipple), width * 1.3, Some(ink), None);
        }
    }
}

fn cast_spokes(face: &ClockFace<'_>, bands: &Bands, drawing: &mut Drawing) {
    let valve = face.shown_degrees(Spot::VALVE);
    let thin = Stroke::solid(Ink::Line, (face.size / 400.0).max(0.4));
    for i in 0..5 {
        // The valve stands between two spokes, where a gauge reaches it.
        let at = valve + 36.0 + f64::from(i) * 72.0;
        // A pair of blades side by side, a little narrower at the rim.
        let hub = bands.hub * 0.9;
        for lean in [-1.0, 1.0] {
            let blade = vec![
                face.polar(bands.spokes + 1.0, at + lean * 4.0),
                face.polar(bands.spokes + 1.0, at + lean * 10.0),
                face.polar(hub, at + lean * 34.0),
                face.polar(hub, at + lean * 6.0),
            ];
            drawing.area(blade, Some(Ink::Metal), Some(thin));
        }
    }
}

fn pressed_sheet(face: &ClockFace<'_>, bands: &Bands, drawing: &mut Drawing) {
    let thin = Stroke::solid(Ink::Line, (face.size / 400.0).max(0.4));
    drawing.circle(face.centre(), bands.spokes, Some(Ink::Metal), Some(thin));
    let valve = face.shown_degrees(Spot::VALVE);
    let middle = (bands.spokes + bands.hub) / 2.0;
    for i in 0..6 {
        let at = face.polar(middle, valve + 30.0 + f64::from(i) * 60.0);
        drawing.circle(at, (bands.spokes - bands.hub) * 0.22, Some(Ink::Paper), Some(thin));
    }
}

/// The disc on this side: a drilled ring carried by arms from the hub.
fn disc(face: &ClockFace<'_>, outer: f32, inner: f32, drawing: &mut Drawing) {
    let centre = face.centre();
    let thin = Stroke::solid(Ink::Line, (face.size / 400.0).max(0.4));
    let valve = face.shown_degrees(Spot::VALVE);
    if face.is_compact() {
        // A report holds many small faces, so each is drawn with few pieces.
        drawing.circle(centre, outer, Some(Ink::Wash), Some(thin));
        drawing.circle(centre, inner, Some(Ink::Paper), Some(thin));
        return;
    }
    // A ring is drawn in convex pieces, so that the spokes behind it stay in sight through its middle.
    let pieces = 36;
    let step = 360.0 / f64::from(pieces);
    for i in 0..pieces {
        let (from, to) = (f64::from(i) * step, f64::from(i + 1) * step + 0.4);
        let corners =
            vec![face.polar(outer, from), face.polar(outer, to), face.polar(inner, to), face.polar(inner, from)];
        drawing.area(corners, Some(Ink::Wash), None);
    }
    drawing.circle(centre, outer, None, Some(thin));
    drawing.circle(centre, inner, None, Some(thin));
    for i in 0..6 {
        let at = valve + f64::from(i) * 60.0;
        let arm = vec![
            face.polar(inner, at - 9.0),
            face.polar(inner, at + 9.0),
            face.polar(inner * 0.55, at - 8.0),
            face.polar(inner * 0.55, at - 26.0),
        ];
        drawing.area(arm, Some(Ink::Wash), Some(thin));
    }
    for i in 0..24 {
        let share = [0.25, 0.5, 0.75][i % 3];
        let at = face.polar(inner + (outer - inner) * share, valve + i as f64 * 15.0);
        drawing.circle(at, (outer - inner) * 0.06, Some(Ink::Line), None);
    }
}

/// The stem, pointing from the well to the hub, with its cap and a wedge on the rim that finds it at once.
fn valve(face: &ClockFace<'_>, bands: &Bands, drawing: &mut Drawing) {
    let at = face.shown_degrees(Spot::VALVE);
    let wide = (face.size / 90.0).clamp(1.6, 5.0);
    let length = bands.crown * 0.13;
    drawing.line(face.polar(bands.well, at), face.polar(bands.spokes - length, at), Stroke::solid(Ink::Strong, wide));
    let cap = [face.polar(bands.spokes - length * 0.45, at), face.polar(bands.spokes - length, at)];
    drawing.line(cap[0], cap[1], Stroke::solid(Ink::Accent, wide * 1.7));
    let half = (wide / bands.flange).to_degrees() * 1.1;
    let wedge = vec![
        face.polar(bands.well, at),
        face.polar(bands.bead, at - f64::from(half)),
        face.polar(bands.bead, at + f64::from(half)),
    ];
    drawing.area(wedge, Some(Ink::Accent), None);
}

/// The way the tyre rolls: at the top of the wheel it points to the nose, whatever the side (house rule 17).
fn rolling_arrow(face: &ClockFace<'_>, bands: &Bands, drawing: &mut Drawing) {
    if face.wheel.tyre.as_ref().is_none_or(|tyre| tyre.arrow == RollingArrow::None) {
        return;
    }
    let toward = match face.side {
        Side::Right => 1.0,
        Side::Left => -1.0,
    };
    let radius = bands.bead + (bands.tread_edge - bands.bead) * 0.5;
    let half = (bands.tread_edge - bands.bead) * 0.26;
    let run = 13.0;
    let tip = f64::from((half * 2.6 / radius).to_degrees());
    let shaft: Vec<Pt> = (0..=8).map(|i| face.polar(radius, toward * (-run + f64::from(i) * run / 4.0))).collect();
    drawing.polyline(shaft, Stroke::solid(Ink::Paper, half * 0.8));
    let head = vec![
        face.polar(radius, toward * (run + tip)),
        face.polar(radius + half, toward * run),
        face.polar(radius - half, toward * run),
    ];
    drawing.area(head, Some(Ink::Paper), None);
}
