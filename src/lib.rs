//! Stemclock: decide whether each motorcycle in a garage is fit to ride, and what to put right first.

pub mod drawing;
