//! What a garage remembers: work and what it disturbs, defects seen again, lives of parts, events that cannot be right.
#![allow(clippy::unwrap_used, reason = "a test stops at the first surprise")]

mod again;
mod bench;
mod jobs;
mod parts;
mod past;
mod repairs;
mod wrong;
