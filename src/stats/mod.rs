//! Statistics on plain numbers: robust slopes with their intervals, prediction, shares, agreement, pairing.
//!
//! Every method names its source. Nothing here knows a machine, a unit or a day.

mod assignment;
mod kappa;
mod least_squares;
mod median;
mod proportion;
mod quantile;
mod theil_sen;

pub use assignment::{AssignmentError, assign, pair_up};
pub use kappa::{Kappa, weighted_kappa};
pub use least_squares::LeastSquares;
pub use median::{hodges_lehmann, mad, median};
pub use proportion::{Interval, wilson};
pub use quantile::{normal_quantile, student_quantile};
pub use theil_sen::{DIRECT, TheilSen, theil_sen};
