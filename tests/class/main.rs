//! The class: what a student's sheet scores against the key, what the students get, and what is refused.
#![allow(clippy::unwrap_used, reason = "a test stops at the first surprise")]

mod bad;
mod bench;
mod door;
mod leak;
mod planted;
mod scores;
#[path = "../support/mod.rs"]
mod support;
mod timed;
mod window;
mod written;
