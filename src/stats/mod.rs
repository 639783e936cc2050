//! Statistics on plain numbers: robust slopes with their intervals, prediction, pairing.
//!
//! Every method names its source. Nothing here knows a machine, a unit or a day.

mod assignment;

pub use assignment::{AssignmentError, assign, pair_up};
