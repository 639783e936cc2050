//! The repair list: what is open, put together so that one strip-down serves several findings, with parts, tools,
//! fasteners and their torque figures, cautions, and the steps to tick.
//!
//! Pure functions of where a machine stands. Must not know files or the window.

mod list;
mod wrench;

pub use list::{Fastener, RepairGroup, RepairItem, RepairList, repairs};
pub use wrench::Wrench;
