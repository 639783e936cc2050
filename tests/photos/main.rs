//! Photos: hostile files, metadata taken out, marks burnt in, the garage's folder, the command line, and the window.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops at the first surprise")]

#[path = "../support/mod.rs"]
mod support;

mod bytes;
mod flows;
mod folder;
mod hostile;
mod marks;
