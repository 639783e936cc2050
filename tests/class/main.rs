//! The class: what a student's sheet scores against the key, what the students get, and what is refused.
#![allow(clippy::unwrap_used, reason = "a test stops at the first surprise")]

mod bench;
mod door;
mod leak;
mod planted;
mod scores;
#[path = "../support/mod.rs"]
mod support;
mod window;
