//! Layouts, the wheel positions that follow from them, and the categories of Regulation (EU) 168/2013.

use serde::{Deserialize, Serialize};

use crate::clock::Side;

/// How the wheels of a machine are laid out.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum Layout {
    /// Two wheels in line.
    Solo,
    /// A sidecar at the rider's left or right.
    Sidecar(Side),
    /// One wheel in front, two behind.
    Trike,
    /// Two wheels in front, one behind.
    TwoFront,
}

impl Layout {
    /// Every layout, in the order they are offered.
    pub const ALL: [Self; 5] =
        [Self::Solo, Self::Sidecar(Side::Left), Self::Sidecar(Side::Right), Self::Trike, Self::TwoFront];

    /// The wheel positions in walking order, front first.
    pub fn positions(self) -> &'static [WheelPosition] {
        use WheelPosition::{Front, FrontLeft, FrontRight, Rear, RearLeft, RearRight, Sidecar};
        match self {
            Self::Solo => &[Front, Rear],
            Self::Sidecar(_) => &[Front, Rear, Sidecar],
            Self::Trike => &[Front, RearLeft, RearRight],
            Self::TwoFront => &[FrontLeft, FrontRight, Rear],
        }
    }
    /// The layout in words.
    pub fn word(self) -> &'static str {
        match self {
            Self::Solo => "solo",
            Self::Sidecar(Side::Left) => "sidecar, left",
            Self::Sidecar(Side::Right) => "sidecar, right",
            Self::Trike => "trike, two rear wheels",
            Self::TwoFront => "three-wheeler, two front wheels",
        }
    }
}

/// Where a wheel is on the machine.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum WheelPosition {
    /// The only front wheel.
    Front,
    /// The only rear wheel.
    Rear,
    /// The sidecar's wheel.
    Sidecar,
    /// Front left of two.
    FrontLeft,
    /// Front right of two.
    FrontRight,
    /// Rear left of two.
    RearLeft,
    /// Rear right of two.
    RearRight,
}

impl WheelPosition {
    /// Every position.
    pub const ALL: [Self; 7] =
        [Self::Front, Self::Rear, Self::Sidecar, Self::FrontLeft, Self::FrontRight, Self::RearLeft, Self::RearRight];
    /// The position in words: `front`, `rear left`.
    pub fn word(self) -> &'static str {
        match self {
            Self::Front => "front",
            Self::Rear => "rear",
            Self::Sidecar => "sidecar",
            Self::FrontLeft => "front left",
            Self::FrontRight => "front right",
            Self::RearLeft => "rear left",
            Self::RearRight => "rear right",
        }
    }
    /// The position in file names and ids: `front`, `rear-left`.
    pub fn id(self) -> &'static str {
        match self {
            Self::FrontLeft => "front-left",
            Self::FrontRight => "front-right",
            Self::RearLeft => "rear-left",
            Self::RearRight => "rear-right",
            other => other.word(),
        }
    }
    /// The position with this id.
    pub fn from_id(id: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|p| p.id() == id)
    }
    /// Whether it is a front wheel, which steers.
    pub fn is_front(self) -> bool {
        matches!(self, Self::Front | Self::FrontLeft | Self::FrontRight)
    }
    /// Whether the engine drives it.
    pub fn is_driven(self) -> bool {
        matches!(self, Self::Rear | Self::RearLeft | Self::RearRight)
    }
}

/// Vehicle categories L1e to L7e, Regulation (EU) 168/2013 article 4.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum Category {
    /// Light two-wheel powered vehicle (moped).
    L1e,
    /// Three-wheel moped.
    L2e,
    /// Two-wheel motorcycle.
    L3e,
    /// Motorcycle with sidecar.
    L4e,
    /// Powered tricycle.
    L5e,
    /// Light quadricycle.
    L6e,
    /// Heavy quadricycle.
    L7e,
}

impl Category {
    /// Every category in order.
    pub const ALL: [Self; 7] = [Self::L1e, Self::L2e, Self::L3e, Self::L4e, Self::L5e, Self::L6e, Self::L7e];
    /// `L3e`.
    pub fn word(self) -> &'static str {
        match self {
            Self::L1e => "L1e",
            Self::L2e => "L2e",
            Self::L3e => "L3e",
            Self::L4e => "L4e",
            Self::L5e => "L5e",
            Self::L6e => "L6e",
            Self::L7e => "L7e",
        }
    }
    /// What it is, in plain words.
    pub fn meaning(self) -> &'static str {
        match self {
            Self::L1e => "moped, two wheels",
            Self::L2e => "moped, three wheels",
            Self::L3e => "motorcycle",
            Self::L4e => "motorcycle with sidecar",
            Self::L5e => "powered tricycle",
            Self::L6e => "light quadricycle",
            Self::L7e => "heavy quadricycle",
        }
    }
}
