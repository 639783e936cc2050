//! Fluids, with the stance and the temperature in which each level is read.

use serde::{Deserialize, Serialize};

/// A fluid that is looked at through a window, on a stick or in a reservoir.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum FluidKind {
    /// Engine oil.
    EngineOil,
    /// Gearbox or primary drive oil.
    GearboxOil,
    /// Final drive (shaft) oil.
    FinalDriveOil,
    /// Coolant.
    Coolant,
    /// Front brake fluid.
    FrontBrakeFluid,
    /// Rear brake fluid.
    RearBrakeFluid,
    /// Clutch fluid.
    ClutchFluid,
}

impl FluidKind {
    /// Every fluid.
    pub const ALL: [Self; 7] = [
        Self::EngineOil,
        Self::GearboxOil,
        Self::FinalDriveOil,
        Self::Coolant,
        Self::FrontBrakeFluid,
        Self::RearBrakeFluid,
        Self::ClutchFluid,
    ];
    /// In words.
    pub fn word(self) -> &'static str {
        match self {
            Self::EngineOil => "engine oil",
            Self::GearboxOil => "gearbox oil",
            Self::FinalDriveOil => "final drive oil",
            Self::Coolant => "coolant",
            Self::FrontBrakeFluid => "front brake fluid",
            Self::RearBrakeFluid => "rear brake fluid",
            Self::ClutchFluid => "clutch fluid",
        }
    }
    /// In ids: `engine-oil`.
    pub fn id(self) -> &'static str {
        match self {
            Self::EngineOil => "engine-oil",
            Self::GearboxOil => "gearbox-oil",
            Self::FinalDriveOil => "final-drive-oil",
            Self::Coolant => "coolant",
            Self::FrontBrakeFluid => "front-brake-fluid",
            Self::RearBrakeFluid => "rear-brake-fluid",
            Self::ClutchFluid => "clutch-fluid",
        }
    }
    /// The fluid with this id.
    pub fn from_id(id: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|f| f.id() == id)
    }
    /// Whether it works a brake.
    pub fn is_brake_fluid(self) -> bool {
        matches!(self, Self::FrontBrakeFluid | Self::RearBrakeFluid)
    }
}

/// How the machine stands while something is read.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum Stance {
    /// Leaning on the side stand.
    SideStand,
    /// Held or stood upright, both wheels on the ground.
    Upright,
    /// On the centre stand.
    CentreStand,
    /// Front wheel off the ground.
    FrontRaised,
    /// Rear wheel off the ground.
    RearRaised,
    /// Upright with the rider aboard.
    RiderAboard,
}

impl Stance {
    /// Every stance.
    pub const ALL: [Self; 6] =
        [Self::SideStand, Self::Upright, Self::CentreStand, Self::FrontRaised, Self::RearRaised, Self::RiderAboard];
    /// In words.
    pub fn word(self) -> &'static str {
        match self {
            Self::SideStand => "on the side stand",
            Self::Upright => "upright",
            Self::CentreStand => "on the centre stand",
            Self::FrontRaised => "front raised",
            Self::RearRaised => "rear raised",
            Self::RiderAboard => "rider aboard",
        }
    }
}

/// How warm a fluid is while its level is read.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum FluidState {
    /// Not run since it stood overnight.
    Cold,
    /// Run for a few minutes.
    Warm,
    /// At working temperature.
    Hot,
    /// The manual asks for no particular temperature.
    Any,
}

impl FluidState {
    /// Every state.
    pub const ALL: [Self; 4] = [Self::Cold, Self::Warm, Self::Hot, Self::Any];
    /// In words.
    pub fn word(self) -> &'static str {
        match self {
            Self::Cold => "cold",
            Self::Warm => "warm",
            Self::Hot => "hot",
            Self::Any => "at any temperature",
        }
    }
}

/// A fluid of one machine and how its level is read, from the service manual.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Fluid {
    /// Which one.
    pub kind: FluidKind,
    /// What goes in, for example `DOT 4` or `10W-40`.
    #[serde(default)]
    pub grade: String,
    /// The stance in which its level is read.
    pub stance: Stance,
    /// The temperature at which its level is read.
    pub state: FluidState,
    /// When it was last changed.
    #[serde(default)]
    pub changed_on: Option<chrono::NaiveDate>,
}
