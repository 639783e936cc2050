//! Photos: hostile files, metadata taken out, marks burnt in, the garage's folder, and the window.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops at the first surprise")]

mod bytes;
mod hostile;
mod marks;
