//! The walk round one machine: which checks take away the most risk in the minutes there are, and in which order, so
//! that no lift, warm-up or walk is wasted.
//!
//! Pure: it takes records, the catalogue and "today", and gives a [`Plan`]. [`plan`] makes one, and
//! of a request [from where one stands](Request::from_here) the rest of one anew. The order and the choice are worked out
//! together by [`solve`], which knows neither machines nor checks.

mod build;
mod early;
mod engine;
mod places;
mod plan;
mod request;
mod setup;
mod solve;
mod weigh;

pub use engine::EngineNow;
pub use places::walk_seconds;
pub use plan::{LeftOut, Plan, Proof, Reason, Step, minutes_words};
pub use request::{Now, Request, Stop};
pub use setup::{Change, Pose, Setup};
pub use solve::{Limits, MAX_ROUNDS, MAX_STATIONS, Move, Problem, ProblemError, Solution, Task, solve};
pub use weigh::Weight;

pub use plan::plan;

#[cfg(test)]
mod tests;
