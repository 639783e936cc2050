//! Looking ahead with honest uncertainty: how fast a part wears, when it reaches its limit, what falls due.
//!
//! Pure functions of a bay, the catalogue and a day. Nothing is judged here: a forecast is no verdict. Must not know
//! files, the window or the clock.

pub mod gauge;
pub mod wear;
