//! Statistics on plain numbers: robust slopes with their intervals, prediction, pairing.
//!
//! Every method names its source. Nothing here knows a machine, a unit or a day.

mod assignment;
mod kappa;
mod median;
mod proportion;

pub use assignment::{AssignmentError, assign, pair_up};
pub use kappa::{Kappa, weighted_kappa};
pub use median::median;
pub use proportion::{Interval, wilson};
