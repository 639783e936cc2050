//! What a third wheel brings: a sidecar with its chassis, a trike's rear axle, the arms of two front wheels.

use super::measures::Measures;
use super::pen::Pen;
use crate::clock::Side;
use crate::drawing::shape::Ink;
use crate::machine::{Layout, WheelPosition};

/// The tubes of a sidecar's chassis, drawn before the machine so that they run under it.
pub(super) fn sidecar_chassis(pen: &mut Pen<'_>, m: &Measures) {
    let (Some(toward), Some(wheel)) = (toward(m), m.wheel(WheelPosition::Sidecar)) else { return };
    let wb = m.wheelbase;
    let inner = wheel.x - toward * (wheel.width / 2.0 + 45.0);
    for y in [wb * 0.38, wb * 0.72, wheel.y] {
        pen.bar((toward * 40.0, y), (inner, y.max(wb * 0.45)), 17.0, Ink::Metal);
    }
    pen.bar((inner, wb * 0.42), (inner, wheel.y + 120.0), 17.0, Ink::Metal);
    pen.bar(
        (inner - toward * 20.0, wheel.y),
        (wheel.x + toward * (wheel.width / 2.0 + 22.0), wheel.y),
        10.0,
        Ink::Metal,
    );
}

/// The sidecar's body and its mudguard.
pub(super) fn sidecar_body(pen: &mut Pen<'_>, m: &Measures) {
    let (Some(toward), Some(wheel)) = (toward(m), m.wheel(WheelPosition::Sidecar)) else { return };
    let wb = m.wheelbase;
    // The body fills what is left between the machine's flank and the wheel.
    let near = m.engine + 150.0;
    let far = wheel.x.abs() - wheel.width / 2.0 - 40.0;
    let half = ((far - near) / 2.0).clamp(150.0, 330.0);
    let x = toward * (near + far) / 2.0;
    let (nose, stern) = (wb * 0.02, wb * 1.12);
    pen.hull(
        &[
            (x, nose, half * 0.30),
            (x - half * 0.42, wb * 0.36, half * 0.55),
            (x + half * 0.42, wb * 0.36, half * 0.55),
            (x - half * 0.45, wb * 0.82, half * 0.55),
            (x + half * 0.45, wb * 0.82, half * 0.55),
            (x, stern - half * 0.4, half * 0.55),
        ],
        Ink::Wash,
    );
    // The ridge of the nose, the screen, the cockpit with its seat, the lid of the boot.
    pen.line((x, nose - half * 0.2), (x, wb * 0.3), Ink::Faint, 0.8);
    pen.hull(
        &[(x, wb * 0.335, 40.0), (x - half * 0.6, wb * 0.41, 26.0), (x + half * 0.6, wb * 0.41, 26.0)],
        Ink::Paper,
    );
    pen.block((x, wb * 0.585), (half * 0.72, wb * 0.165), 90.0, Ink::Metal);
    pen.block((x, wb * 0.645), (half * 0.58, wb * 0.085), 55.0, Ink::Rubber);
    pen.line((x - half * 0.6, wb * 0.86), (x + half * 0.6, wb * 0.86), Ink::Faint, 0.8);
    pen.round((x, wb * 0.93, 18.0), Ink::Metal);
    pen.hull(&[(x - half * 0.5, nose + half * 0.72, 20.0), (x - half * 0.38, nose + half * 0.68, 20.0)], Ink::Paper);
    let (guard, run) = (wheel.width / 2.0 + 16.0, wheel.diameter / 2.0);
    // The mudguard leaves the ends of the wheel in sight.
    pen.hull(&[(wheel.x, wheel.y - run * 0.5, guard), (wheel.x, wheel.y + run * 0.55, guard)], Ink::Wash);
}

/// To which side the sidecar stands: 1 for the right.
fn toward(m: &Measures) -> Option<f32> {
    match m.layout {
        Layout::Sidecar(Side::Left) => Some(-1.0),
        Layout::Sidecar(Side::Right) => Some(1.0),
        _ => None,
    }
}

/// The axle, the differential and the broad tail of a trike.
pub(super) fn rear_axle(pen: &mut Pen<'_>, m: &Measures) {
    let wb = m.wheelbase;
    let half = m.track / 2.0;
    let inner = half - m.wheel(WheelPosition::RearLeft).map_or(100.0, |w| w.width / 2.0) - 35.0;
    pen.bar((-half, wb), (half, wb), 22.0, Ink::Metal);
    pen.round((0.0, wb, 105.0), Ink::Metal);
    pen.bars((60.0, wb * 0.64), (inner * 0.7, wb), 20.0, Ink::Metal);
    let body = inner * 0.62;
    pen.hull(
        &[
            (0.0, wb * 0.72, 170.0),
            (-body, wb * 0.95, 110.0),
            (body, wb * 0.95, 110.0),
            (-body, wb + 300.0, 100.0),
            (body, wb + 300.0, 100.0),
        ],
        Ink::Wash,
    );
    pen.line((-body, wb + 215.0), (body, wb + 215.0), Ink::Faint, 0.8);
    pen.hulls(&[(body - 20.0, wb + 385.0, 20.0), (body + 60.0, wb + 380.0, 20.0)], Ink::Metal);
}

/// A mudguard over each rear wheel of a trike.
pub(super) fn rear_guards(pen: &mut Pen<'_>, m: &Measures) {
    for position in [WheelPosition::RearLeft, WheelPosition::RearRight] {
        let Some(w) = m.wheel(position) else { continue };
        let (half, run) = (w.width / 2.0 + 18.0, w.diameter / 2.0);
        let dx = half * 0.4;
        pen.hull(
            &[
                (w.x - dx, w.y - run * 0.45, half * 0.6),
                (w.x + dx, w.y - run * 0.45, half * 0.6),
                (w.x - dx, w.y + run * 0.5, half * 0.6),
                (w.x + dx, w.y + run * 0.5, half * 0.6),
            ],
            Ink::Wash,
        );
    }
}

/// The arms to two front wheels, their track rod and the cowl between them.
pub(super) fn front_arms(pen: &mut Pen<'_>, m: &Measures) {
    let wb = m.wheelbase;
    let half = m.track / 2.0;
    for y in [-55.0, 55.0] {
        pen.bars((20.0, y * 1.6), (half, y * 0.4), 14.0, Ink::Metal);
    }
    pen.bar((-half, 125.0), (half, 125.0), 8.0, Ink::Metal);
    for position in [WheelPosition::FrontLeft, WheelPosition::FrontRight] {
        let Some(w) = m.wheel(position) else { continue };
        let (guard, run) = (w.width / 2.0 + 10.0, w.diameter / 2.0);
        pen.hull(&[(w.x, w.y - run * 0.35, guard), (w.x, w.y + run * 0.55, guard)], Ink::Wash);
    }
    // Between the wheels there is room for a narrow cowl that widens behind them.
    let gap = (half - m.wheel(WheelPosition::FrontLeft).map_or(60.0, |w| w.width / 2.0) - 30.0).clamp(55.0, 150.0);
    pen.hull(&[(0.0, -190.0, gap * 0.6), (0.0, wb * 0.1, gap), (0.0, wb * 0.3, gap)], Ink::Wash);
    pen.hull(&[(0.0, wb * 0.26, 70.0), (-200.0, wb * 0.34, 46.0), (200.0, wb * 0.34, 46.0)], Ink::Wash);
}
