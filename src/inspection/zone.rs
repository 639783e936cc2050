//! The zones of a wheel, from the tread to the hub. Left and right are always the machine's, as the rider sits.

use serde::{Deserialize, Serialize};

use crate::clock::Side;

/// A zone of a wheel.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Zone {
    /// The middle quarter of the tread's breadth (37.5 to 62.5 %).
    Centre,
    /// Between centre and shoulder.
    Intermediate(Side),
    /// The outer eighth of the tread's breadth.
    Shoulder(Side),
    /// The sidewall.
    Sidewall(Side),
    /// Where the tyre sits on the rim.
    Bead(Side),
    /// The edge of the rim.
    RimFlange(Side),
    /// The middle of the rim, where the valve comes through.
    RimWell,
    /// A spoke at its nipple.
    Spoke,
    /// The hub.
    Hub,
    /// A brake disc.
    Disc(Side),
}

/// What a distance round a zone is measured along.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Along {
    /// The crown's circumference.
    Crown,
    /// The rim's nominal circumference, rim code × 25.4 mm × π.
    Rim,
    /// The disc's own circumference.
    Disc,
}

impl Zone {
    /// The five zones of the tread, from the left shoulder to the right.
    pub const TREAD: [Self; 5] = [
        Self::Shoulder(Side::Left),
        Self::Intermediate(Side::Left),
        Self::Centre,
        Self::Intermediate(Side::Right),
        Self::Shoulder(Side::Right),
    ];
    /// Every zone, tread first, from the left to the right.
    pub const ALL: [Self; 16] = [
        Self::Shoulder(Side::Left),
        Self::Intermediate(Side::Left),
        Self::Centre,
        Self::Intermediate(Side::Right),
        Self::Shoulder(Side::Right),
        Self::Sidewall(Side::Left),
        Self::Sidewall(Side::Right),
        Self::Bead(Side::Left),
        Self::Bead(Side::Right),
        Self::RimFlange(Side::Left),
        Self::RimFlange(Side::Right),
        Self::RimWell,
        Self::Spoke,
        Self::Hub,
        Self::Disc(Side::Left),
        Self::Disc(Side::Right),
    ];

    /// In words, with the machine's own side: `right shoulder`.
    pub fn words(self) -> String {
        let (side, part) = match self {
            Self::Centre => return "centre of the tread".into(),
            Self::RimWell => return "rim well".into(),
            Self::Spoke => return "spoke".into(),
            Self::Hub => return "hub".into(),
            Self::Intermediate(s) => (s, "intermediate"),
            Self::Shoulder(s) => (s, "shoulder"),
            Self::Sidewall(s) => (s, "sidewall"),
            Self::Bead(s) => (s, "bead"),
            Self::RimFlange(s) => (s, "rim flange"),
            Self::Disc(s) => (s, "disc"),
        };
        format!("{} {part}", side.word())
    }
    /// The side of the machine it is on; none in the middle.
    pub fn side(self) -> Option<Side> {
        match self {
            Self::Intermediate(s)
            | Self::Shoulder(s)
            | Self::Sidewall(s)
            | Self::Bead(s)
            | Self::RimFlange(s)
            | Self::Disc(s) => Some(s),
            Self::Centre | Self::RimWell | Self::Spoke | Self::Hub => None,
        }
    }
    /// Whether it belongs to the tyre, and so to its mounting.
    pub fn is_tyre(self) -> bool {
        matches!(self, Self::Centre | Self::Intermediate(_) | Self::Shoulder(_) | Self::Sidewall(_) | Self::Bead(_))
    }
    /// Whether it is on the tread.
    pub fn is_tread(self) -> bool {
        matches!(self, Self::Centre | Self::Intermediate(_) | Self::Shoulder(_))
    }
    /// What a distance round it is measured along.
    pub fn along(self) -> Along {
        match self {
            Self::Disc(_) => Along::Disc,
            z if z.is_tyre() && z != Self::Bead(Side::Left) && z != Self::Bead(Side::Right) => Along::Crown,
            _ => Along::Rim,
        }
    }
    /// The span over the tread's breadth from its left edge, in per cent; none off the tread. Edges: 0, 12.5, 37.5,
    /// 62.5, 87.5, 100 (house rule 6).
    pub fn breadth_span(self) -> Option<(f64, f64)> {
        Some(match self {
            Self::Shoulder(Side::Left) => (0.0, 12.5),
            Self::Intermediate(Side::Left) => (12.5, 37.5),
            Self::Centre => (37.5, 62.5),
            Self::Intermediate(Side::Right) => (62.5, 87.5),
            Self::Shoulder(Side::Right) => (87.5, 100.0),
            _ => return None,
        })
    }
    /// The tread zone at a per cent of the breadth from the left edge; outside it, the nearer shoulder.
    pub fn at_breadth(percent_from_left: f64) -> Self {
        match percent_from_left {
            p if p < 12.5 => Self::Shoulder(Side::Left),
            p if p < 37.5 => Self::Intermediate(Side::Left),
            p if p < 62.5 => Self::Centre,
            p if p < 87.5 => Self::Intermediate(Side::Right),
            _ => Self::Shoulder(Side::Right),
        }
    }
}
