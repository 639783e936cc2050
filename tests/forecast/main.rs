//! Looking ahead: how often the intervals hold the truth, what falls due and when.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops at the first surprise")]

mod calibration;
mod due;
#[path = "../support/mod.rs"]
mod support;
mod window;
