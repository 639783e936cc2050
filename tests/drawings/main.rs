//! The drawings: properties that must hold for every place, and sheets of drawings to look at.
#![allow(clippy::unwrap_used, reason = "a test stops at the first surprise")]

mod gallery;
mod mapping;
mod plans;
mod support;
