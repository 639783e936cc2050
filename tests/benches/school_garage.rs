//! Makes a school's garage in a new folder, the same for the same arguments:
//! `cargo run --example school-garage -- FOLDER [MACHINES [INSPECTIONS [READINGS [PHOTOS [SEED]]]]]`; without numbers 500 machines, 20 000
//! inspections, 2 million readings and 5 000 photos.
#![allow(clippy::print_stdout, reason = "it says what it has made")]

mod school;

use std::error::Error;
use std::path::PathBuf;

fn main() -> Result<(), Box<dyn Error>> {
    let mut given = std::env::args().skip(1);
    let folder =
        PathBuf::from(given.next().ok_or("expected a new folder for the garage, found none: name one, then sizes")?);
    let numbers: Vec<usize> = given.map(|n| n.parse()).collect::<Result<_, _>>()?;
    let full = numbers.first().map_or(school::Size::FULL, |machines| school::Size::of(*machines));
    let at = |index: usize, whole: usize| numbers.get(index).copied().unwrap_or(whole);
    let size = school::Size {
        machines: full.machines,
        inspections: at(1, full.inspections),
        readings: at(2, full.readings),
        photos: at(3, full.photos),
        seed: at(4, full.seed as usize) as u64,
    };
    let made = school::build(&folder, &size)?;
    println!(
        "{} machines, {} inspections, {} readings, {} events, {} photos",
        made.machines, made.inspections, made.readings, made.events, made.photos
    );
    Ok(())
}
