//! Marks for the places and tools of the window, drawn rather than typed.

use egui::{Color32, Painter, Rect, Shape, Stroke, pos2, vec2};

/// Which mark.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Icon {
    /// A wheel with its valve: the walk-around.
    Wheel,
    /// A machine from the side.
    Machine,
    /// A page with lines.
    Page,
    /// A garage door under its roof.
    Garage,
    /// A curve that falls to a line: the history.
    Curve,
    /// A sheet of a calendar: what falls due.
    Month,
    /// A spanner: what is to be put right.
    Spanner,
    /// A board on its legs: the class.
    Board,
    /// An arrow that turns back.
    Undo,
    /// An arrow that turns on.
    Redo,
    /// A disc half dark.
    Theme,
    /// A cross.
    Close,
    /// A plus.
    Add,
}

/// Paints a mark in a square.
pub fn icon(painter: &Painter, rect: Rect, which: Icon, color: Color32) {
    let s = rect.width().min(rect.height());
    let o = rect.center() - vec2(s, s) / 2.0;
    let line = Stroke::new((s / 13.0).max(1.2), color);
    let p = |x: f32, y: f32| pos2(o.x + x * s, o.y + y * s);
    let path = |points: &[(f32, f32)]| {
        painter.add(Shape::line(points.iter().map(|&(x, y)| p(x, y)).collect(), line));
    };
    let arc = |cx: f32, cy: f32, r: f32, from: f32, to: f32| {
        let points = (0..=16)
            .map(|i| {
                let a = (from + (to - from) * i as f32 / 16.0).to_radians();
                p(cx + r * a.cos(), cy + r * a.sin())
            })
            .collect();
        painter.add(Shape::line(points, line));
    };
    match which {
        Icon::Wheel => {
            painter.circle_stroke(p(0.5, 0.5), s * 0.42, line);
            painter.circle_stroke(p(0.5, 0.5), s * 0.27, line);
            path(&[(0.5, 0.23), (0.5, 0.36)]);
            painter.circle_filled(p(0.5, 0.5), s * 0.06, color);
        }
        Icon::Board => {
            path(&[(0.08, 0.14), (0.92, 0.14), (0.92, 0.66), (0.08, 0.66), (0.08, 0.14)]);
            path(&[(0.36, 0.66), (0.22, 0.94)]);
            path(&[(0.64, 0.66), (0.78, 0.94)]);
            path(&[(0.24, 0.32), (0.6, 0.32)]);
            path(&[(0.24, 0.48), (0.46, 0.48)]);
        }
        Icon::Machine => {
            painter.circle_stroke(p(0.2, 0.68), s * 0.17, line);
            painter.circle_stroke(p(0.8, 0.68), s * 0.17, line);
            path(&[(0.2, 0.68), (0.38, 0.42), (0.62, 0.42), (0.8, 0.68)]);
            path(&[(0.62, 0.42), (0.56, 0.22), (0.7, 0.22)]);
            path(&[(0.14, 0.4), (0.38, 0.42)]);
        }
        Icon::Page => {
            path(&[(0.2, 0.08), (0.8, 0.08), (0.8, 0.92), (0.2, 0.92), (0.2, 0.08)]);
            path(&[(0.33, 0.3), (0.67, 0.3)]);
            path(&[(0.33, 0.48), (0.67, 0.48)]);
            path(&[(0.33, 0.66), (0.53, 0.66)]);
        }
        Icon::Garage => {
            path(&[(0.08, 0.42), (0.5, 0.1), (0.92, 0.42)]);
            path(&[(0.17, 0.38), (0.17, 0.9), (0.83, 0.9), (0.83, 0.38)]);
            path(&[(0.3, 0.9), (0.3, 0.55), (0.7, 0.55), (0.7, 0.9)]);
            path(&[(0.3, 0.72), (0.7, 0.72)]);
        }
        Icon::Curve => {
            path(&[(0.1, 0.1), (0.1, 0.9), (0.92, 0.9)]);
            path(&[(0.18, 0.22), (0.42, 0.4), (0.62, 0.62), (0.88, 0.7)]);
        }
        Icon::Month => {
            path(&[(0.1, 0.2), (0.9, 0.2), (0.9, 0.9), (0.1, 0.9), (0.1, 0.2)]);
            path(&[(0.1, 0.42), (0.9, 0.42)]);
            path(&[(0.32, 0.08), (0.32, 0.28)]);
            path(&[(0.68, 0.08), (0.68, 0.28)]);
        }
        Icon::Spanner => {
            path(&[(0.2, 0.84), (0.6, 0.44)]);
            path(&[(0.28, 0.92), (0.68, 0.52)]);
            arc(0.7, 0.3, 0.22, -20.0, 290.0);
        }
        Icon::Undo => {
            arc(0.5, 0.55, 0.32, 180.0, 400.0);
            path(&[(0.04, 0.4), (0.18, 0.58), (0.34, 0.42)]);
        }
        Icon::Redo => {
            arc(0.5, 0.55, 0.32, 360.0, 140.0);
            path(&[(0.96, 0.4), (0.82, 0.58), (0.66, 0.42)]);
        }
        Icon::Theme => {
            painter.circle_stroke(p(0.5, 0.5), s * 0.38, line);
            let half = (0..=16)
                .map(|i| {
                    let a = (-90.0 + 180.0 * i as f32 / 16.0_f32).to_radians();
                    p(0.5 + 0.38 * a.cos(), 0.5 + 0.38 * a.sin())
                })
                .collect();
            painter.add(Shape::convex_polygon(half, color, Stroke::NONE));
        }
        Icon::Close => {
            path(&[(0.25, 0.25), (0.75, 0.75)]);
            path(&[(0.75, 0.25), (0.25, 0.75)]);
        }
        Icon::Add => {
            path(&[(0.5, 0.2), (0.5, 0.8)]);
            path(&[(0.2, 0.5), (0.8, 0.5)]);
        }
    }
}
