//! The inspection record: everything that was found and read stands in it, whatever is missing, on both papers.
#![allow(clippy::unwrap_used, reason = "a test stops at the first surprise")]

#[path = "../support/mod.rs"]
mod support;

#[path = "../support/pixels.rs"]
mod pixels;

mod bench;
mod carry;
mod painters;
mod proof;
mod record;
mod sale;
mod sample;
mod sheets;
mod window;
