//! A wheel of one machine: rim, tyre, placard pressures, brakes.

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use super::{LimitSource, WheelPosition};
use crate::clock::{Side, SpokeCount};
use crate::tyre::{TinDate, TyreMarking};
use crate::units::{Distance, Mass, Pressure};

/// How a rim is made.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum RimKind {
    /// Cast in one piece.
    Cast,
    /// Wire-spoked, with the number of spokes and, where known, the flange of the first spoke from the valve.
    WireSpoked {
        /// How many spokes.
        spokes: u16,
        /// The flange that spoke 1 leads to; the flanges alternate from it.
        first_flange: Option<Side>,
    },
    /// Pressed from sheet.
    Pressed,
}

impl RimKind {
    /// The spokes of a wire wheel, where the number makes sense.
    pub fn spokes(self) -> Option<SpokeCount> {
        match self {
            Self::WireSpoked { spokes, .. } => SpokeCount::new(u32::from(spokes)).ok(),
            Self::Cast | Self::Pressed => None,
        }
    }
    /// The flange of a spoke, where the first one is known.
    pub fn flange(self, spoke: u16) -> Option<Side> {
        match self {
            Self::WireSpoked { first_flange: Some(first), .. } => {
                Some(if spoke % 2 == 1 { first } else { first.other() })
            }
            _ => None,
        }
    }
}

/// What a rim is made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum RimMaterial {
    /// Steel.
    Steel,
    /// Aluminium alloy.
    Aluminium,
    /// Magnesium alloy.
    Magnesium,
    /// Carbon composite.
    Composite,
}

impl RimMaterial {
    /// Every material.
    pub const ALL: [Self; 4] = [Self::Steel, Self::Aluminium, Self::Magnesium, Self::Composite];
    /// In words.
    pub fn word(self) -> &'static str {
        match self {
            Self::Steel => "steel",
            Self::Aluminium => "aluminium",
            Self::Magnesium => "magnesium",
            Self::Composite => "composite",
        }
    }
}

/// A rim.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Rim {
    /// How it is made.
    pub kind: RimKind,
    /// What of.
    pub material: RimMaterial,
}

/// The arrow moulded on a sidewall that shows the way the tyre rolls.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum RollingArrow {
    /// No arrow.
    None,
    /// One arrow for any position.
    One,
    /// Two arrows, one for a front and one for a rear wheel.
    FrontAndRear,
}

/// A tyre and its mounting. A new mounting is a new record.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Tyre {
    /// What is moulded on it.
    pub marking: TyreMarking,
    /// The date code, where it was read.
    #[serde(default)]
    pub tin: Option<TinDate>,
    /// When it was mounted.
    #[serde(default)]
    pub fitted_on: Option<NaiveDate>,
    /// At which odometer reading it was mounted.
    #[serde(default)]
    pub fitted_at: Option<Distance>,
    /// The arrow on its sidewall.
    #[serde(default = "no_arrow")]
    pub arrow: RollingArrow,
    /// The cold pressure moulded on the sidewall for the greatest load, where it was read.
    #[serde(default)]
    pub sidewall_maximum: Option<Pressure>,
    /// Whether it runs with a tube.
    #[serde(default)]
    pub tube: bool,
}

impl Tyre {
    /// A tyre of which only the marking is known.
    pub fn new(marking: TyreMarking) -> Self {
        Self {
            marking,
            tin: None,
            fitted_on: None,
            fitted_at: None,
            arrow: RollingArrow::None,
            sidewall_maximum: None,
            tube: false,
        }
    }
}

fn no_arrow() -> RollingArrow {
    RollingArrow::None
}

/// The cold pressures the machine asks for, at whatever the ambient is.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Placard {
    /// Rider alone.
    pub solo: Pressure,
    /// With passenger or luggage.
    #[serde(default)]
    pub loaded: Option<Pressure>,
    /// Where the figures come from.
    pub source: LimitSource,
}

/// A brake at a wheel.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Brake {
    /// A disc at one side.
    Disc(Side),
    /// A drum.
    Drum,
}

/// A wheel in its position.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Wheel {
    /// Where it is.
    pub position: WheelPosition,
    /// Its rim.
    pub rim: Rim,
    /// Its tyre, where known.
    #[serde(default)]
    pub tyre: Option<Tyre>,
    /// The placard's pressures, where known.
    #[serde(default)]
    pub placard: Option<Placard>,
    /// Its brakes: two discs, one, a drum, or none.
    #[serde(default)]
    pub brakes: Vec<Brake>,
    /// The greatest load on its axle.
    #[serde(default)]
    pub axle_mass: Option<Mass>,
    /// The diameter of its discs, for distances round them.
    #[serde(default)]
    pub disc_diameter: Option<crate::units::Length>,
}

impl Wheel {
    /// A cast aluminium wheel with one disc brake and nothing else known. A brake is taken for granted, but on a
    /// sidecar's wheel, so that a machine whose brakes nobody has entered yet is asked about them all the same.
    pub fn bare(position: WheelPosition) -> Self {
        let brakes = match position {
            WheelPosition::Sidecar => Vec::new(),
            p if p.is_front() => vec![Brake::Disc(Side::Left)],
            _ => vec![Brake::Disc(Side::Right)],
        };
        Self {
            position,
            rim: Rim { kind: RimKind::Cast, material: RimMaterial::Aluminium },
            tyre: None,
            placard: None,
            brakes,
            axle_mass: None,
            disc_diameter: None,
        }
    }
    /// The circumference along the crown in mm, where the tyre size is known.
    pub fn circumference_mm(&self) -> Option<f64> {
        self.tyre.as_ref().map(|t| t.marking.size.circumference_mm())
    }
    /// The sides that carry a disc.
    pub fn disc_sides(&self) -> Vec<Side> {
        self.brakes
            .iter()
            .filter_map(|b| match b {
                Brake::Disc(side) => Some(*side),
                Brake::Drum => None,
            })
            .collect()
    }
    /// Whether it has a drum.
    pub fn has_drum(&self) -> bool {
        self.brakes.contains(&Brake::Drum)
    }
}
