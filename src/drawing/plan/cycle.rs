//! The machine itself from above: wheels, fork, handlebar, engine, tank, seat, drive, exhaust, luggage.

use super::measures::{Measures, PlanWheel, Style};
use super::pen::Pen;
use crate::drawing::shape::{Ink, Stroke};
use crate::machine::{FinalDrive, Layout, WheelPosition};

/// A wheel from above: rubber with rounded ends and a line along its crown.
pub(super) fn wheel(pen: &mut Pen<'_>, wheel: &PlanWheel, selected: bool) {
    let (half, run) = (wheel.width / 2.0, wheel.diameter / 2.0);
    let corner = half * 0.8;
    if selected {
        let around = 7.0 / pen.scale;
        pen.form(
            &corners(wheel.x, wheel.y, half + around, run + around, corner + around),
            Some(Ink::Paper),
            Some(Stroke::solid(Ink::Accent, 2.6)),
        );
    }
    pen.block((wheel.x, wheel.y), (half, run), corner, Ink::Rubber);
    // Grooves that sweep back from the crown.
    let steps = 9;
    for i in 0..steps {
        let y = wheel.y - run * 0.8 + run * 1.6 * i as f32 / (steps - 1) as f32;
        for side in [-1.0, 1.0] {
            let (from, to) =
                ((wheel.x + side * half * 0.15, y - half * 0.2), (wheel.x + side * half * 0.8, y + half * 0.3));
            pen.line(from, to, Ink::Metal, 0.6);
        }
    }
}

fn corners(x: f32, y: f32, half: f32, run: f32, corner: f32) -> [(f32, f32, f32); 4] {
    let (dx, dy) = (half - corner.min(half), run - corner);
    [(-dx, -dy), (dx, -dy), (dx, dy), (-dx, dy)].map(|(a, b)| (x + a, y + b, corner.min(half)))
}

/// Everything but the wheels' own rubber, from the ground up.
pub(super) fn machine(pen: &mut Pen<'_>, m: &Measures) {
    match m.layout {
        Layout::Trike => super::three::rear_axle(pen, m),
        Layout::TwoFront => super::three::front_arms(pen, m),
        Layout::Solo | Layout::Sidecar(_) => {}
    }
    if m.layout != Layout::Trike {
        rear_fork(pen, m);
    }
    if m.layout != Layout::TwoFront {
        front_fork(pen, m);
    }
    if m.style == Style::Moped && m.layout != Layout::TwoFront {
        step_through(pen, m);
    } else {
        exhaust(pen, m);
        engine(pen, m);
        luggage(pen, m);
        seat(pen, m);
        tank(pen, m);
        nose(pen, m);
    }
    handlebar(pen, m);
}

/// The arms from the frame to the rear axle, and what turns the wheel. Chain and belt are drawn at the left and the
/// shaft at the right, where most machines have them (from memory; the data do not say).
fn rear_fork(pen: &mut Pen<'_>, m: &Measures) {
    let Some(rear) = m.wheel(WheelPosition::Rear) else { return };
    let (axle, pivot) = (m.wheelbase, m.wheelbase * 0.66);
    let out = rear.width / 2.0 + 32.0;
    pen.bars((60.0, pivot), (out, axle), 17.0, Ink::Metal);
    pen.bar((-out - 22.0, axle), (out + 22.0, axle), 9.0, Ink::Metal);
    match m.drive {
        FinalDrive::Chain => {
            let x = -out - 30.0;
            pen.bar((x, pivot - 20.0), (x, axle), 9.0, Ink::Paper);
            let links = 22;
            for i in 0..links {
                let y = pivot - 20.0 + (axle - pivot + 20.0) * (i as f32 + 0.5) / links as f32;
                pen.line((x - 9.0, y), (x + 9.0, y), Ink::Line, 0.9);
            }
            pen.block((x, axle), (7.0, 105.0), 6.0, Ink::Metal);
        }
        FinalDrive::Belt => {
            let x = -out - 34.0;
            pen.bar((x, pivot - 30.0), (x, axle), 16.0, Ink::Rubber);
            pen.block((x, axle), (15.0, 125.0), 8.0, Ink::Metal);
        }
        FinalDrive::Shaft => {
            let x = out + 10.0;
            pen.bar((x - 10.0, pivot - 40.0), (x, axle - 60.0), 32.0, Ink::Metal);
            pen.round((x, axle, 78.0), Ink::Metal);
        }
        FinalDrive::Hub => pen.block((0.0, axle), (rear.width / 2.0 + 26.0, 95.0), 40.0, Ink::Metal),
    }
}

fn front_fork(pen: &mut Pen<'_>, m: &Measures) {
    let Some(front) = m.wheel(WheelPosition::Front) else { return };
    let out = front.width / 2.0 + 30.0;
    let head = m.wheelbase * 0.30;
    pen.bar((-out - 26.0, 0.0), (out + 26.0, 0.0), 8.0, Ink::Metal);
    pen.bars((out, -20.0), (out, head), if m.style == Style::Moped { 15.0 } else { 22.0 }, Ink::Metal);
    // The mudguard over the back of the wheel.
    let half = front.width / 2.0 + 12.0;
    let run = front.diameter / 2.0;
    pen.hull(
        &[(-half * 0.5, -run * 0.45, half * 0.5), (half * 0.5, -run * 0.45, half * 0.5), (0.0, run * 0.62, half)],
        Ink::Wash,
    );
    // Yoke.
    pen.bar((-out, head), (out, head), 26.0, Ink::Metal);
}

fn exhaust(pen: &mut Pen<'_>, m: &Measures) {
    let wb = m.wheelbase;
    let x = m.engine * 0.72 + 55.0;
    let sides: &[f32] = if m.style == Style::Tourer { &[1.0, -1.0] } else { &[1.0] };
    for side in sides {
        pen.bar((side * m.engine * 0.5, wb * 0.44), (side * x, wb * 0.72), 22.0, Ink::Metal);
        pen.hull(&[(side * x, wb * 0.74, 30.0), (side * (x + 22.0), wb * 1.08, 48.0)], Ink::Metal);
        pen.round((side * (x + 22.0), wb * 1.08, 20.0), Ink::Rubber);
    }
}

fn engine(pen: &mut Pen<'_>, m: &Measures) {
    let (wb, half) = (m.wheelbase, m.engine);
    // Cylinder head with fins, crankcase with its two covers, foot pegs.
    pen.block((0.0, wb * 0.455), (half * 0.82, wb * 0.075), 26.0, Ink::Metal);
    for i in 0..5 {
        let y = wb * (0.41 + 0.0225 * i as f32);
        pen.line((-half * 0.82, y), (half * 0.82, y), Ink::Line, 0.6);
    }
    pen.block((0.0, wb * 0.57), (half * 0.9, wb * 0.085), 45.0, Ink::Metal);
    for side in [-1.0, 1.0] {
        pen.hull(&[(side * half * 0.92, wb * 0.545, 46.0), (side * half * 0.92, wb * 0.6, 46.0)], Ink::Metal);
        pen.bar((side * half * 0.8, wb * 0.665), (side * (half + 105.0), wb * 0.672), 15.0, Ink::Rubber);
    }
}

fn tank(pen: &mut Pen<'_>, m: &Measures) {
    let wb = m.wheelbase;
    let wide = if m.style == Style::Tourer { 165.0 } else { 140.0 };
    pen.hull(
        &[
            (-wide * 0.35, wb * 0.345, wide * 0.5),
            (wide * 0.35, wb * 0.345, wide * 0.5),
            (-wide * 0.3, wb * 0.44, wide * 0.7),
            (wide * 0.3, wb * 0.44, wide * 0.7),
            (0.0, wb * 0.565, 82.0),
        ],
        Ink::Wash,
    );
    pen.line((0.0, wb * 0.31), (0.0, wb * 0.385), Ink::Faint, 0.8);
    pen.round((0.0, wb * 0.415, 36.0), Ink::Metal);
    pen.round((0.0, wb * 0.415, 19.0), Ink::Paper);
}

fn seat(pen: &mut Pen<'_>, m: &Measures) {
    let wb = m.wheelbase;
    let (rider, pillion) = if m.style == Style::Tourer { (165.0, 150.0) } else { (128.0, 105.0) };
    let end = wb + m.tail() * 0.45;
    // Tail piece with lamp and indicators, then the seat in two parts.
    pen.hulls(&[(95.0, end + 35.0, 14.0), (170.0, end + 35.0, 16.0)], Ink::Paper);
    pen.hull(
        &[(-62.0, wb * 0.9, 40.0), (62.0, wb * 0.9, 40.0), (-46.0, end + 42.0, 30.0), (46.0, end + 42.0, 30.0)],
        Ink::Wash,
    );
    pen.block((0.0, end + 58.0), (58.0, 17.0), 14.0, Ink::Metal);
    pen.hull(
        &[
            (0.0, wb * 0.58, 70.0),
            (-rider * 0.35, wb * 0.70, rider * 0.65),
            (rider * 0.35, wb * 0.70, rider * 0.65),
            (0.0, end - 40.0, pillion * 0.85),
        ],
        Ink::Rubber,
    );
    let seam = wb * 0.83;
    pen.line((-pillion * 0.95, seam), (pillion * 0.95, seam), Ink::Metal, 1.0);
}

/// Headlamp, indicators, and the screen of a tourer.
fn nose(pen: &mut Pen<'_>, m: &Measures) {
    let wb = m.wheelbase;
    if m.style == Style::Tourer {
        pen.hull(
            &[
                (0.0, wb * 0.10, 95.0),
                (-225.0, wb * 0.21, 70.0),
                (225.0, wb * 0.21, 70.0),
                (-225.0, wb * 0.285, 50.0),
                (225.0, wb * 0.285, 50.0),
            ],
            Ink::Wash,
        );
        pen.hull(&[(0.0, wb * 0.155, 40.0), (-170.0, wb * 0.255, 22.0), (170.0, wb * 0.255, 22.0)], Ink::Paper);
        pen.hulls(&[(45.0, wb * 0.075, 26.0), (85.0, wb * 0.10, 26.0)], Ink::Paper);
        return;
    }
    let at = if m.layout == Layout::TwoFront { 0.02 } else { 0.185 };
    pen.hulls(&[(120.0, wb * at + 20.0, 13.0), (190.0, wb * at + 22.0, 16.0)], Ink::Paper);
    pen.hull(&[(-60.0, wb * at, 42.0), (60.0, wb * at, 42.0), (0.0, wb * at + 65.0, 70.0)], Ink::Wash);
    pen.hull(&[(-48.0, wb * at - 22.0, 24.0), (48.0, wb * at - 22.0, 24.0)], Ink::Paper);
}

/// Panniers and a top box on a tourer.
fn luggage(pen: &mut Pen<'_>, m: &Measures) {
    if m.style != Style::Tourer {
        return;
    }
    let wb = m.wheelbase;
    for side in [-1.0, 1.0] {
        pen.block((side * 305.0, wb * 1.02), (108.0, 255.0), 55.0, Ink::Wash);
        pen.line((side * 262.0, wb * 1.02 - 225.0), (side * 262.0, wb * 1.02 + 225.0), Ink::Faint, 0.8);
    }
    pen.block((0.0, wb * 1.0 + 285.0), (195.0, 150.0), 60.0, Ink::Wash);
    pen.line((-165.0, wb + 225.0), (165.0, wb + 225.0), Ink::Faint, 0.8);
}

/// Bars, grips, levers, mirrors.
fn handlebar(pen: &mut Pen<'_>, m: &Measures) {
    let head = if m.style == Style::Moped { m.wheelbase * 0.27 } else { m.wheelbase * 0.30 };
    let end = m.bar;
    let back = head + if m.style == Style::Moped { 85.0 } else { 62.0 };
    pen.bar((-90.0, head), (90.0, head), 13.0, Ink::Metal);
    pen.bars((90.0, head), (end - 130.0, back - 14.0), 13.0, Ink::Metal);
    pen.bars((end - 135.0, back - 16.0), (end, back), 20.0, Ink::Rubber);
    // Levers, with their reservoirs or clamps inboard.
    pen.bars((end - 150.0, back - 72.0), (end - 12.0, back - 48.0), 8.0, Ink::Metal);
    pen.hulls(&[(end - 178.0, back - 52.0, 26.0), (end - 150.0, back - 48.0, 22.0)], Ink::Wash);
    if m.mirrors {
        pen.bars((end - 150.0, back - 60.0), (end - 45.0, back - 165.0), 5.0, Ink::Metal);
        pen.hulls(&[(end - 85.0, back - 172.0, 26.0), (end + 20.0, back - 160.0, 28.0)], Ink::Wash);
    }
    // The instruments.
    if m.style != Style::Tourer {
        pen.round((0.0, head - 22.0, 48.0), Ink::Wash);
        pen.round((0.0, head - 22.0, 30.0), Ink::Paper);
    }
}

/// A moped: leg shield, open step, narrow saddle, carrier, engine low beside the frame, pedals.
fn step_through(pen: &mut Pen<'_>, m: &Measures) {
    let wb = m.wheelbase;
    let end = wb + m.tail() * 0.25;
    // The frame's single tube runs low through the open step.
    pen.bar((0.0, wb * 0.27), (0.0, wb * 0.78), 30.0, Ink::Metal);
    pen.bar((-m.engine * 0.5, wb * 0.70), (m.engine * 0.75, wb * 0.70), 62.0, Ink::Metal);
    pen.round((m.engine * 0.95, wb * 0.70, 58.0), Ink::Metal);
    pen.bar((m.engine * 0.7, wb * 0.66), (135.0, wb * 0.82), 15.0, Ink::Metal);
    pen.hull(&[(138.0, wb * 0.83, 24.0), (150.0, wb * 1.1, 34.0)], Ink::Metal);
    for (side, y) in [(-1.0, wb * 0.585), (1.0, wb * 0.685)] {
        pen.bar((0.0, wb * 0.635), (side * 135.0, y), 9.0, Ink::Metal);
        pen.block((side * 178.0, y), (46.0, 36.0), 12.0, Ink::Rubber);
    }
    // Leg shields stand either side of the steering head.
    pen.hulls(
        &[(62.0, wb * 0.30, 24.0), (205.0, wb * 0.385, 34.0), (185.0, wb * 0.43, 24.0), (80.0, wb * 0.37, 18.0)],
        Ink::Wash,
    );
    // Rear mudguard, carrier and lamp.
    pen.hull(&[(0.0, wb * 0.8, 58.0), (0.0, end + 90.0, 48.0)], Ink::Wash);
    pen.block((0.0, end + 130.0), (40.0, 15.0), 12.0, Ink::Metal);
    pen.bars((105.0, wb * 0.96), (88.0, end + 110.0), 8.0, Ink::Metal);
    for i in 0..3 {
        let y = wb * 0.98 + i as f32 * (end + 80.0 - wb * 0.98) / 2.0;
        pen.bar((-100.0, y), (100.0, y), 7.0, Ink::Metal);
    }
    // The saddle.
    pen.hull(&[(0.0, wb * 0.615, 48.0), (-60.0, wb * 0.80, 72.0), (60.0, wb * 0.80, 72.0)], Ink::Rubber);
    pen.line((-105.0, wb * 0.80), (105.0, wb * 0.80), Ink::Metal, 1.0);
    // Headlamp.
    pen.hull(&[(0.0, wb * 0.20, 62.0), (0.0, wb * 0.245, 56.0)], Ink::Wash);
    pen.hull(&[(-30.0, wb * 0.165, 18.0), (30.0, wb * 0.165, 18.0)], Ink::Paper);
}
