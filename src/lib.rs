//! Stemclock: decide whether each motorcycle in a garage is fit to ride, and what to put right first.

pub mod clock;
pub mod drawing;
pub mod tyre;
pub mod units;
