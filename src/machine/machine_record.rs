//! The record of one machine, one file of the garage.

use std::collections::BTreeSet;
use std::fmt;

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use super::{
    Category, Equipment, Fluid, FluidKind, Layout, Limit, LimitKind, Months, Service, Stance, TorqueFigure, Wheel,
    WheelPosition,
};
use crate::photo::PhotoRef;
use crate::units::{Distance, Length, Mass, Speed};

/// The schema number written at the head of every record of this version.
pub const SCHEMA: u32 = 1;

/// The id of a machine: a short slug with a random part, also the name of its folder.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(transparent)]
pub struct MachineId(pub String);

impl fmt::Display for MachineId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

/// What turns the driven wheel.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum FinalDrive {
    /// A chain.
    Chain,
    /// A toothed belt.
    Belt,
    /// A shaft.
    Shaft,
    /// A motor in the hub, or nothing to look at.
    Hub,
}

impl FinalDrive {
    /// Every drive.
    pub const ALL: [Self; 4] = [Self::Chain, Self::Belt, Self::Shaft, Self::Hub];
    /// In words.
    pub fn word(self) -> &'static str {
        match self {
            Self::Chain => "chain",
            Self::Belt => "belt",
            Self::Shaft => "shaft",
            Self::Hub => "hub motor",
        }
    }
}

/// What drives the machine.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Power {
    /// An engine.
    Combustion,
    /// An electric motor.
    Electric,
}

/// The kind of the starter or on-board battery.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum BatteryKind {
    /// Lead-acid with caps.
    Flooded,
    /// Lead-acid with glass mat, sealed.
    Agm,
    /// Lead-acid gel, sealed.
    Gel,
    /// Lithium iron phosphate.
    LithiumIronPhosphate,
    /// No battery.
    None,
}

impl BatteryKind {
    /// Every kind.
    pub const ALL: [Self; 5] = [Self::Flooded, Self::Agm, Self::Gel, Self::LithiumIronPhosphate, Self::None];
    /// In words.
    pub fn word(self) -> &'static str {
        match self {
            Self::Flooded => "flooded lead-acid",
            Self::Agm => "AGM lead-acid",
            Self::Gel => "gel lead-acid",
            Self::LithiumIronPhosphate => "lithium iron phosphate",
            Self::None => "no battery",
        }
    }
}

/// How a brake is worked.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum BrakeActuation {
    /// Through fluid.
    Hydraulic,
    /// By cable.
    Cable,
    /// By rod.
    Rod,
}

impl BrakeActuation {
    /// Every actuation.
    pub const ALL: [Self; 3] = [Self::Hydraulic, Self::Cable, Self::Rod];
    /// In words.
    pub fn word(self) -> &'static str {
        match self {
            Self::Hydraulic => "hydraulic",
            Self::Cable => "cable",
            Self::Rod => "rod",
        }
    }
}

/// Which stands the machine has.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Stands {
    /// A side stand.
    pub side: bool,
    /// A centre stand.
    pub centre: bool,
}

/// A machine of the garage.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Machine {
    /// The schema of this record.
    pub schema: u32,
    /// Its id, also the name of its folder.
    pub id: MachineId,
    /// What the owner calls it.
    pub name: String,
    /// Whether it is put away: kept, but not listed among the machines in use.
    #[serde(default)]
    pub archived: bool,
    /// Where its history was read from, for a machine that came out of a report: it is kept as it came and not changed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub read_only: Option<String>,
    /// How its wheels are laid out.
    pub layout: Layout,
    /// Its category.
    pub category: Category,
    /// The id of the region whose rules apply, for example `gb`.
    pub region: String,
    /// What drives it.
    pub power: Power,
    /// What turns the driven wheel.
    pub final_drive: FinalDrive,
    /// Engine capacity in cm³.
    #[serde(default)]
    pub capacity_cc: Option<u32>,
    /// Day of first use.
    #[serde(default)]
    pub first_use: Option<NaiveDate>,
    /// Greatest authorised mass.
    #[serde(default)]
    pub maximum_mass: Option<Mass>,
    /// Top speed by its papers.
    #[serde(default)]
    pub top_speed: Option<Speed>,
    /// Identification number.
    #[serde(default)]
    pub vin: Option<String>,
    /// Registration.
    #[serde(default)]
    pub registration: Option<String>,
    /// Odometer reading when it was added.
    #[serde(default)]
    pub odometer: Option<Distance>,
    /// Axle to axle.
    #[serde(default)]
    pub wheelbase: Option<Length>,
    /// Between the two wheels of one axle, or from the machine to its sidecar wheel.
    #[serde(default)]
    pub track: Option<Length>,
    /// Whether it has an anti-lock system.
    #[serde(default)]
    pub abs: bool,
    /// Whether one control works both brakes.
    #[serde(default)]
    pub linked_brakes: bool,
    /// How the front brake is worked.
    pub front_brake: BrakeActuation,
    /// How the rear brake is worked.
    pub rear_brake: BrakeActuation,
    /// Its stands.
    pub stands: Stands,
    /// Nominal voltage of the on-board system: 6, 12, 48 … V.
    #[serde(default)]
    pub nominal_voltage: Option<u16>,
    /// Its battery.
    pub battery: BatteryKind,
    /// Whether it has a throttle cable or grip that must snap shut, and a clutch lever.
    #[serde(default)]
    pub clutch_lever: bool,
    /// What it was built without: it is not asked about it.
    #[serde(default, skip_serializing_if = "BTreeSet::is_empty")]
    pub built_without: BTreeSet<Equipment>,
    /// What it carries though machines of its layout usually do not.
    #[serde(default, skip_serializing_if = "BTreeSet::is_empty")]
    pub fitted_with: BTreeSet<Equipment>,
    /// Wheels in the order of the layout's positions.
    pub wheels: Vec<Wheel>,
    /// Fluids with the stance and temperature of each level.
    #[serde(default)]
    pub fluids: Vec<Fluid>,
    /// Service limits with their sources.
    #[serde(default)]
    pub limits: Vec<Limit>,
    /// The stance in which the slack of chain or belt is read, from the service manual.
    #[serde(default)]
    pub slack_stance: Option<Stance>,
    /// Torque figures with their sources.
    #[serde(default)]
    pub torques: Vec<TorqueFigure>,
    /// The months in which this machine stays off the road; where it has none of its own, those of the garage count.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub off_road: Option<Months>,
    /// Services that come round.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub services: Vec<Service>,
    /// The day by which the test of the law falls due, where there is one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub test_due: Option<NaiveDate>,
    /// The last day on which it is insured.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub insured_until: Option<NaiveDate>,
    /// The owner's notes.
    #[serde(default)]
    pub notes: String,
    /// Photos of the machine as a whole, in its photo folder.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub photos: Vec<PhotoRef>,
}

impl Machine {
    /// A new solo motorcycle with nothing known but its name.
    pub fn new(id: MachineId, name: impl Into<String>, layout: Layout) -> Self {
        let category = match layout {
            Layout::Solo => Category::L3e,
            Layout::Sidecar(_) => Category::L4e,
            Layout::Trike | Layout::TwoFront => Category::L5e,
        };
        Self {
            schema: SCHEMA,
            id,
            name: name.into(),
            archived: false,
            read_only: None,
            layout,
            category,
            region: "generic".into(),
            power: Power::Combustion,
            final_drive: FinalDrive::Chain,
            capacity_cc: None,
            first_use: None,
            maximum_mass: None,
            top_speed: None,
            vin: None,
            registration: None,
            odometer: None,
            wheelbase: None,
            track: None,
            abs: false,
            linked_brakes: false,
            front_brake: BrakeActuation::Hydraulic,
            rear_brake: BrakeActuation::Hydraulic,
            stands: Stands { side: true, centre: false },
            nominal_voltage: Some(12),
            battery: BatteryKind::Agm,
            clutch_lever: true,
            built_without: BTreeSet::new(),
            fitted_with: BTreeSet::new(),
            wheels: layout.positions().iter().map(|&p| Wheel::bare(p)).collect(),
            fluids: Vec::new(),
            limits: Vec::new(),
            slack_stance: None,
            torques: Vec::new(),
            off_road: None,
            services: Vec::new(),
            test_due: None,
            insured_until: None,
            notes: String::new(),
            photos: Vec::new(),
        }
    }
    /// Whether it has a part: by its record, else by what is usual for its layout.
    pub fn has(&self, equipment: Equipment) -> bool {
        !self.built_without.contains(&equipment)
            && (equipment.is_usual(self.layout) || self.fitted_with.contains(&equipment))
    }
    /// The wheel at a position.
    pub fn wheel(&self, position: WheelPosition) -> Option<&Wheel> {
        self.wheels.iter().find(|w| w.position == position)
    }
    /// Changes the layout and gives every position a wheel; wheels that no longer have a position are dropped.
    pub fn set_layout(&mut self, layout: Layout) {
        let old = std::mem::take(&mut self.wheels);
        self.layout = layout;
        self.wheels = layout
            .positions()
            .iter()
            .map(|&p| old.iter().find(|w| w.position == p).cloned().unwrap_or_else(|| Wheel::bare(p)))
            .collect();
    }
    /// The fluid of a kind, where the machine has it.
    pub fn fluid(&self, kind: FluidKind) -> Option<&Fluid> {
        self.fluids.iter().find(|f| f.kind == kind)
    }
    /// The service limit of a kind, where the machine's data hold one.
    pub fn limit(&self, kind: LimitKind) -> Option<&Limit> {
        self.limits.iter().find(|l| l.kind == kind)
    }
}
