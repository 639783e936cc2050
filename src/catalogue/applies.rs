//! Which machines and which of their parts a check applies to.

use serde::{Deserialize, Serialize};

use crate::inspection::Subject;
use crate::machine::{BatteryKind, BrakeActuation, Equipment, FinalDrive, FluidKind, Layout, Machine, Power, RimKind};

/// What a check is made on: it is asked once for each.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum On {
    /// The machine as a whole, once.
    Machine,
    /// Each wheel.
    EachWheel,
    /// Each wheel with wire spokes.
    EachSpokedWheel,
    /// Each wheel with a brake.
    EachBrakedWheel,
    /// Each disc.
    EachDisc,
    /// Each wheel with a drum.
    EachDrum,
    /// Each of these fluids that the machine has, and the fluid of a hydraulic brake even where nobody has entered it.
    EachFluid(Vec<FluidKind>),
}

impl On {
    /// The subjects on a machine.
    pub fn subjects(&self, machine: &Machine) -> Vec<Subject> {
        let wheels = |keep: &dyn Fn(&crate::machine::Wheel) -> bool| {
            machine.wheels.iter().filter(|w| keep(w)).map(|w| Subject::Wheel(w.position)).collect()
        };
        match self {
            Self::Machine => vec![Subject::Machine],
            Self::EachWheel => wheels(&|_| true),
            Self::EachSpokedWheel => wheels(&|w| matches!(w.rim.kind, RimKind::WireSpoked { .. })),
            Self::EachBrakedWheel => wheels(&|w| !w.brakes.is_empty()),
            Self::EachDrum => wheels(&|w| w.has_drum()),
            Self::EachDisc => machine
                .wheels
                .iter()
                .flat_map(|w| w.disc_sides().into_iter().map(|s| Subject::Disc(w.position, s)))
                .collect(),
            Self::EachFluid(kinds) => {
                let entered = machine.fluids.iter().map(|f| f.kind);
                // A hydraulic brake has fluid whether or not its data were typed in; left out, it would never be asked.
                let hydraulic = [
                    (FluidKind::FrontBrakeFluid, machine.front_brake),
                    (FluidKind::RearBrakeFluid, machine.rear_brake),
                ];
                let implied = hydraulic
                    .into_iter()
                    .filter(|(kind, actuation)| {
                        *actuation == BrakeActuation::Hydraulic && machine.fluid(*kind).is_none()
                    })
                    .map(|(kind, _)| kind);
                entered.chain(implied).filter(|kind| kinds.contains(kind)).map(Subject::Fluid).collect()
            }
        }
    }
}

/// A condition on the machine. A machine that lacks the part is not asked about it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Condition {
    /// Chain, belt or shaft.
    Drive(FinalDrive),
    /// A toothed belt or a chain.
    ChainOrBelt,
    /// Combustion or electric.
    Power(Power),
    /// It has a battery.
    Battery,
    /// It has a brake at the front worked this way.
    FrontBrake(BrakeActuation),
    /// It has a brake at the rear worked this way.
    RearBrake(BrakeActuation),
    /// Any brake is hydraulic.
    AnyHydraulicBrake,
    /// Any brake is worked by cable or rod.
    AnyMechanicalBrake,
    /// It has a clutch lever.
    ClutchLever,
    /// It has a side stand.
    SideStand,
    /// It has a centre stand.
    CentreStand,
    /// It has any stand.
    AnyStand,
    /// It has an anti-lock system.
    Abs,
    /// It has a sidecar.
    Sidecar,
    /// It has coolant.
    Coolant,
    /// It has two wheels on one axle.
    TwoWheelsOnOneAxle,
    /// It steers with two front wheels.
    TwoFrontWheels,
    /// It has a part that other machines were built without.
    Has(Equipment),
}

impl Condition {
    /// Whether it holds for a machine.
    pub fn holds(self, m: &Machine) -> bool {
        let front_braked = m.wheels.iter().any(|w| w.position.is_front() && !w.brakes.is_empty());
        let rear_braked = m.wheels.iter().any(|w| !w.position.is_front() && !w.brakes.is_empty());
        let works = |a: BrakeActuation| (front_braked && m.front_brake == a) || (rear_braked && m.rear_brake == a);
        match self {
            Self::Drive(d) => m.final_drive == d,
            Self::ChainOrBelt => matches!(m.final_drive, FinalDrive::Chain | FinalDrive::Belt),
            Self::Power(p) => m.power == p,
            Self::Battery => m.battery != BatteryKind::None,
            Self::FrontBrake(a) => front_braked && m.front_brake == a,
            Self::RearBrake(a) => rear_braked && m.rear_brake == a,
            Self::AnyHydraulicBrake => works(BrakeActuation::Hydraulic),
            Self::AnyMechanicalBrake => works(BrakeActuation::Cable) || works(BrakeActuation::Rod),
            Self::ClutchLever => m.clutch_lever,
            Self::SideStand => m.stands.side,
            Self::CentreStand => m.stands.centre,
            Self::AnyStand => m.stands.side || m.stands.centre,
            Self::Abs => m.abs,
            Self::Sidecar => matches!(m.layout, Layout::Sidecar(_)),
            Self::Coolant => m.fluid(FluidKind::Coolant).is_some(),
            Self::TwoWheelsOnOneAxle => matches!(m.layout, Layout::Trike | Layout::TwoFront),
            Self::TwoFrontWheels => m.layout == Layout::TwoFront,
            Self::Has(equipment) => m.has(equipment),
        }
    }
}
