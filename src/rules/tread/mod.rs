//! Tread depth by the rule of the region.

mod geometry;

pub use geometry::{Depth, POSITIONS_ALL_ROUND, TreadOutcome, depths, judge, least};
