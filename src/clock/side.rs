//! The two sides of a machine, as the rider sits.

use serde::{Deserialize, Serialize};

/// Left or right of the machine, as the rider sits.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Side {
    /// The rider's left.
    Left,
    /// The rider's right.
    Right,
}

impl Side {
    /// Both sides, left first.
    pub const BOTH: [Self; 2] = [Self::Left, Self::Right];

    /// The other side.
    pub fn other(self) -> Self {
        match self {
            Self::Left => Self::Right,
            Self::Right => Self::Left,
        }
    }
    /// `left` or `right`.
    pub fn word(self) -> &'static str {
        match self {
            Self::Left => "left",
            Self::Right => "right",
        }
    }
}

impl std::str::FromStr for Side {
    type Err = String;
    fn from_str(text: &str) -> Result<Self, String> {
        match text.trim().to_ascii_lowercase().as_str() {
            "left" | "l" => Ok(Self::Left),
            "right" | "r" => Ok(Self::Right),
            _ => Err(format!("expected a side, left or right as the rider sits, found \"{}\"", text.trim())),
        }
    }
}
