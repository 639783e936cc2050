//! Marks on a photo as data: arrows, circles, and boxes whose inside is made unreadable.
//!
//! Places are fractions of the upright picture, so that a mark fits the photo at every size. The photo itself stays as
//! it is; marks are drawn over it in the window and burnt into the copy that leaves the garage.

use serde::{Deserialize, Serialize};

/// The whole width or height of a photo, in which places are counted.
pub const WHOLE: u16 = 10_000;

/// A place on a photo, from its top left corner.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct At {
    /// Ten-thousandths of the width.
    pub x: u16,
    /// Ten-thousandths of the height.
    pub y: u16,
}

/// A mark on a photo.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum PhotoMark {
    /// An arrow.
    Arrow {
        /// Where it begins.
        tail: At,
        /// What it points to.
        tip: At,
    },
    /// A circle.
    Circle {
        /// Its middle.
        middle: At,
        /// A place on it.
        rim: At,
    },
    /// A box that is filled with one colour in every copy that leaves the garage: a plate, a face, a house.
    Blur {
        /// A corner.
        corner: At,
        /// The corner across.
        across: At,
    },
}

impl At {
    /// The place at a fraction of width and height; what lies outside the photo is brought to its edge.
    pub fn of(x: f32, y: f32) -> Self {
        let part = |f: f32| (f.clamp(0.0, 1.0) * f32::from(WHOLE)).round() as u16;
        Self { x: part(x), y: part(y) }
    }
    /// The place on a photo of a size, in the unit of the size.
    pub fn on(self, (width, height): (f32, f32)) -> (f32, f32) {
        let part = |p: u16, whole: f32| f32::from(p.min(WHOLE)) / f32::from(WHOLE) * whole;
        (part(self.x, width), part(self.y, height))
    }
}

/// The lines of a mark on a photo of a size: each a run of places, the last one joined to the first where it is closed.
pub struct Lines {
    /// The runs.
    pub runs: Vec<Vec<(f32, f32)>>,
    /// Whether each run is closed.
    pub is_closed: bool,
}

impl PhotoMark {
    /// Its two places: tail and tip, middle and rim, or two corners.
    pub fn places(self) -> [At; 2] {
        match self {
            Self::Arrow { tail, tip } => [tail, tip],
            Self::Circle { middle, rim } => [middle, rim],
            Self::Blur { corner, across } => [corner, across],
        }
    }
    /// What it is called.
    pub fn word(self) -> &'static str {
        match self {
            Self::Arrow { .. } => "arrow",
            Self::Circle { .. } => "circle",
            Self::Blur { .. } => "blur box",
        }
    }
    /// Whether it hides what is under it.
    pub fn hides(self) -> bool {
        matches!(self, Self::Blur { .. })
    }
    /// Its lines on a photo of a size.
    pub fn lines(self, size: (f32, f32)) -> Lines {
        let [a, b] = self.places().map(|at| at.on(size));
        let runs = match self {
            Self::Arrow { .. } => {
                let (dx, dy) = (a.0 - b.0, a.1 - b.1);
                let length = dx.hypot(dy).max(f32::EPSILON);
                let barb = (length * 0.35).min(size.0.max(size.1) * 0.05);
                let (ux, uy) = (dx / length * barb, dy / length * barb);
                // Barbs at 28 degrees to the shaft.
                let (cos, sin) = (0.883, 0.469);
                let left = (b.0 + ux * cos - uy * sin, b.1 + ux * sin + uy * cos);
                let right = (b.0 + ux * cos + uy * sin, b.1 - ux * sin + uy * cos);
                return Lines { runs: vec![vec![a, b], vec![left, b, right]], is_closed: false };
            }
            Self::Circle { .. } => {
                let radius = (b.0 - a.0).hypot(b.1 - a.1);
                let on = |i: u16| {
                    let angle = std::f32::consts::TAU * f32::from(i) / 72.0;
                    (a.0 + radius * angle.cos(), a.1 + radius * angle.sin())
                };
                vec![(0..72).map(on).collect()]
            }
            Self::Blur { .. } => vec![vec![a, (b.0, a.1), b, (a.0, b.1)]],
        };
        Lines { runs, is_closed: true }
    }
    /// Whether it is large enough to be seen; a slip of the hand draws a mark that is none.
    pub fn is_seen(self) -> bool {
        let [a, b] = self.places();
        let (dx, dy) = (a.x.abs_diff(b.x), a.y.abs_diff(b.y));
        if self.hides() { dx > 50 && dy > 50 } else { dx > 100 || dy > 100 }
    }
}

/// The width of a mark's lines on a photo of a size.
pub fn line_width((width, height): (f32, f32)) -> f32 {
    (width.max(height) * 0.006).max(2.0)
}
