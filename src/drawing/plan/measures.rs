//! The measures of a machine in plan, and which of them had to be assumed.
//!
//! Defaults are typical figures from memory; they serve the drawing only, and the summary says which were assumed.

use crate::clock::Side;
use crate::machine::{Category, FinalDrive, Layout, Machine, WheelPosition};

/// What the machine looks like in plan.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Style {
    /// Small, step-through.
    Moped,
    /// A motorcycle with nothing round it.
    Standard,
    /// A large one with screen and panniers.
    Tourer,
}

/// A wheel in plan, in millimetres.
#[derive(Clone, Copy, Debug)]
pub(super) struct PlanWheel {
    pub position: WheelPosition,
    pub x: f32,
    pub y: f32,
    pub width: f32,
    pub diameter: f32,
}

/// The machine in millimetres: x to its right, y toward its tail from the front axle.
#[derive(Clone, Debug)]
pub(super) struct Measures {
    pub style: Style,
    pub layout: Layout,
    pub drive: FinalDrive,
    pub wheelbase: f32,
    pub track: f32,
    pub wheels: Vec<PlanWheel>,
    /// Half the width over the engine.
    pub engine: f32,
    /// Half the width over the handlebar.
    pub bar: f32,
    pub mirrors: bool,
    /// What is not in the machine's data and was assumed.
    pub assumed: Vec<&'static str>,
}

impl Measures {
    pub fn of(machine: &Machine) -> Self {
        let style = style(machine);
        let mut assumed = Vec::new();
        let wheelbase = known(machine.wheelbase.map(|l| l.as_mm()), 700.0, 2600.0).unwrap_or_else(|| {
            assumed.push("wheelbase");
            match (style, machine.layout) {
                (_, Layout::Trike) => 1700.0,
                (Style::Moped, _) => 1200.0,
                (Style::Tourer, _) => 1600.0,
                (Style::Standard, _) => 1430.0,
            }
        });
        let track = known(machine.track.map(|l| l.as_mm()), 250.0, 1800.0).unwrap_or_else(|| {
            if machine.layout != Layout::Solo {
                assumed.push("track");
            }
            match (machine.layout, machine.category) {
                (Layout::Trike, Category::L2e) => 750.0,
                (Layout::Trike, _) => 1150.0,
                (Layout::TwoFront, _) => 460.0,
                _ => 1150.0,
            }
        });
        let mut wheels = Vec::new();
        for &position in machine.layout.positions() {
            let size = machine.wheel(position).and_then(|w| w.tyre.as_ref()).map(|t| &t.marking.size);
            let (diameter, width) = size.map_or_else(
                || {
                    if !assumed.contains(&"tyre sizes") {
                        assumed.push("tyre sizes");
                    }
                    assumed_tyre(style, machine.layout, position)
                },
                |s| (s.outer_diameter_mm() as f32, s.width_mm as f32),
            );
            let (x, y) = place(machine.layout, position, wheelbase, track);
            wheels.push(PlanWheel { position, x, y, width, diameter });
        }
        let capacity = machine.capacity_cc.unwrap_or(match style {
            Style::Moped => 50,
            Style::Standard => 600,
            Style::Tourer => 1400,
        });
        Self {
            style,
            layout: machine.layout,
            drive: machine.final_drive,
            wheelbase,
            track,
            wheels,
            engine: (110.0 + f32::min(capacity as f32, 1800.0) * 0.085).min(250.0),
            bar: match style {
                Style::Moped => 310.0,
                Style::Standard => 375.0,
                Style::Tourer => 430.0,
            },
            mirrors: true,
            assumed,
        }
    }

    pub fn wheel(&self, position: WheelPosition) -> Option<&PlanWheel> {
        self.wheels.iter().find(|w| w.position == position)
    }

    /// Left, top, right and bottom of everything that is drawn, in millimetres.
    pub fn extent(&self) -> [f32; 4] {
        let mut extent = [-self.bar - 90.0, -200.0, self.bar + 90.0, self.wheelbase + self.tail()];
        for wheel in &self.wheels {
            extent[0] = extent[0].min(wheel.x - wheel.width / 2.0 - 40.0);
            extent[1] = extent[1].min(wheel.y - wheel.diameter / 2.0);
            extent[2] = extent[2].max(wheel.x + wheel.width / 2.0 + 40.0);
            extent[3] = extent[3].max(wheel.y + wheel.diameter / 2.0);
        }
        extent
    }

    /// How far the tail reaches behind the rear axle.
    pub fn tail(&self) -> f32 {
        match (self.style, self.layout) {
            (_, Layout::Trike) => 480.0,
            (Style::Moped, _) => 330.0,
            (Style::Standard, _) => 380.0,
            (Style::Tourer, _) => 450.0,
        }
    }
}

fn known(value: Option<f64>, least: f64, most: f64) -> Option<f32> {
    value.filter(|v| (least..=most).contains(v)).map(|v| v as f32)
}

fn style(machine: &Machine) -> Style {
    let capacity = machine.capacity_cc;
    let heavy = machine.maximum_mass.is_some_and(|m| m.as_kg() >= 400.0);
    match machine.category {
        Category::L1e | Category::L2e | Category::L6e => Style::Moped,
        _ if capacity.is_some_and(|cc| cc <= 50) => Style::Moped,
        _ if machine.layout != Layout::Solo => Style::Standard,
        _ if capacity.is_some_and(|cc| cc >= 1200) || (heavy && capacity.is_none_or(|cc| cc >= 700)) => Style::Tourer,
        _ => Style::Standard,
    }
}

/// Outer diameter and width in mm, where no size is known.
fn assumed_tyre(style: Style, layout: Layout, position: WheelPosition) -> (f32, f32) {
    match (style, layout, position) {
        (Style::Moped, _, _) => (560.0, 72.0),
        (_, Layout::Trike, WheelPosition::RearLeft | WheelPosition::RearRight) => (620.0, 205.0),
        (_, Layout::TwoFront, p) if p.is_front() => (560.0, 120.0),
        (_, Layout::Sidecar(_), _) => (640.0, 105.0),
        (_, _, p) if p.is_front() => (600.0, 120.0),
        (_, _, _) => (625.0, 170.0),
    }
}

/// Where a wheel's middle is, in mm.
fn place(layout: Layout, position: WheelPosition, wheelbase: f32, track: f32) -> (f32, f32) {
    match position {
        WheelPosition::Front => (0.0, 0.0),
        WheelPosition::Rear => (0.0, wheelbase),
        WheelPosition::FrontLeft => (-track / 2.0, 0.0),
        WheelPosition::FrontRight => (track / 2.0, 0.0),
        WheelPosition::RearLeft => (-track / 2.0, wheelbase),
        WheelPosition::RearRight => (track / 2.0, wheelbase),
        WheelPosition::Sidecar => {
            let toward = match layout {
                Layout::Sidecar(Side::Left) => -1.0,
                _ => 1.0,
            };
            // The sidecar's wheel leads the rear axle by about a hand's breadth and a half (common practice).
            (toward * track, wheelbase - 180.0)
        }
    }
}
