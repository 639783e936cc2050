//! The wheel as a clock whose twelve is the valve stem: sides, clock times, spots, distances, spokes, parked wheels.
//!
//! A spot is stored once, as the angle from the valve clockwise **as seen from the right of the machine**, and read
//! from either side. Seen from the right a wheel rolling forward turns clockwise, so clockwise from the right is
//! *ahead of the valve*. This module must not know machines, rules, files or the window.

mod arc;
mod parked;
mod side;
mod spoke;
mod spot;
mod time;

pub use arc::Arc;
pub use parked::{Parked, Roll};
pub use side::Side;
pub use spoke::{SpokeCount, SpokeError};
pub use spot::Spot;
pub use time::{ClockError, ClockTime};
