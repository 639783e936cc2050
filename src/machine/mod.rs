//! A machine as its owner and its papers describe it: layout, wheels, brakes, fluids, limits with their sources.
//!
//! Pure data with the few facts that follow from it. Must not know inspections, rules, files or the window.

mod equipment;
mod fluid;
mod layout;
mod limit;
mod machine_record;
mod months;
mod service;
mod wheel;

pub use equipment::Equipment;
pub use fluid::{Fluid, FluidKind, FluidState, Stance};
pub use layout::{Category, Layout, WheelPosition};
pub use limit::{Limit, LimitKind, LimitSource, Quota, TorqueFigure};
pub use machine_record::{BatteryKind, BrakeActuation, FinalDrive, Machine, MachineId, Power, SCHEMA, Stands};
pub use months::Months;
pub use service::Service;
pub use wheel::{Brake, Placard, Rim, RimKind, RimMaterial, RollingArrow, Tyre, Wheel};
