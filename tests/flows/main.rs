//! What a person does in the window, found by the names that a screen reader hears. No graphics card is needed.

#![allow(clippy::unwrap_used, reason = "a test stops at the first surprise")]

mod again;
mod disk;
mod garages;
mod machines;
mod odometer;
mod places;
#[path = "../support/real_disk.rs"]
mod real_disk;
mod refusal;
mod reports;
#[path = "../support/mod.rs"]
mod support;

use std::path::Path;

use egui_kittest::Harness;
use stemclock::app::Shell;
use support::{Bench, fill, press};

const SMALL: [f32; 2] = [1024.0, 700.0];

fn add_machine(harness: &mut Harness<'_, Shell>, name: &str) {
    press(harness, "Add a machine");
    fill(harness, "What do you call it?", name);
}

fn size_on_disk(bench: &Bench) -> Option<String> {
    let opened = stemclock::store::read(&bench.garage()).expect("the garage opens");
    let bay = opened.garage.bays.first()?;
    Some(bay.machine.wheels[0].tyre.as_ref()?.marking.to_string())
}

fn names_in(folder: &Path) -> Vec<String> {
    let opened = stemclock::store::read(folder).expect("the garage opens");
    opened.garage.bays.iter().map(|b| b.machine.name.clone()).collect()
}
