//! A walk round a machine, by the labels that a screen reader hears: begin, read, place, flip, judge, take back.

#![allow(clippy::panic, reason = "a test stops at the first surprise")]

mod again;
mod begin;
mod bench;
mod guided;
mod keys;
mod part;
mod places;
mod readings;
mod rows;
mod sheet;
#[path = "../support/mod.rs"]
mod support;
mod verdicts;
