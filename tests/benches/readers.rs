//! What the swift reader saves: the records of a school's garage read by it, by the general reader, and by the `ron`
//! package alone, in one run. The general reader goes over a text three times (limits, names that stand twice, values) to
//! say what is wrong with it; `ron` alone goes once, keeps no limit and says little, and stands here as the least that any
//! reader upon it could cost.
//!
//! `cargo bench --bench readers [-- MACHINES]`. It prints figures and judges none, but stops where the readers differ.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::print_stdout,
    reason = "a benchmark stops at the first surprise and prints"
)]

use std::path::{Path, PathBuf};
use std::time::Instant;

use ron::extensions::Extensions;
use serde::de::DeserializeOwned;
use stemclock::garage::GarageInfo;
use stemclock::inspection::{Event, Inspection};
use stemclock::machine::Machine;
use stemclock::store::{By, Sort, normal_form, reads};

mod school;

/// Rounds over all records; the fastest counts, as other work only ever slows one down.
const ROUNDS: usize = 5;

fn main() {
    let given = std::env::args().skip(1).find(|a| !a.starts_with('-'));
    let machines = given.map_or(10, |n| n.parse().unwrap());
    let home = tempfile::tempdir().unwrap();
    let folder = home.path().join("school");
    std::fs::create_dir_all(&folder).unwrap();
    school::build(&folder, &school::Size::of(machines)).unwrap();
    let mut records = Vec::new();
    gather(&folder, &mut records);
    let bytes: usize = records.iter().map(|(_, text)| text.len()).sum();

    let swift = records.iter().filter(|(sort, text)| reads(*sort, By::Swift, text).is_ok()).count();
    // One in twenty is held against the general reader whole, so that what is timed is the same work.
    for (sort, text) in records.iter().step_by(20) {
        assert_eq!(normal_form(*sort, By::Opening, text), normal_form(*sort, By::General, text));
    }
    println!(
        "{} records, {:.1} MB, {:.1} % of them in the form that the swift reader takes",
        records.len(),
        bytes as f64 / 1e6,
        100.0 * swift as f64 / records.len() as f64
    );
    let opening = fastest(|| records.iter().for_each(|(sort, text)| reads(*sort, By::Opening, text).unwrap()));
    let general = fastest(|| records.iter().for_each(|(sort, text)| reads(*sort, By::General, text).unwrap()));
    let alone = fastest(|| records.iter().for_each(|(sort, text)| ron_alone(*sort, text)));
    let rate = |seconds: f64| bytes as f64 / 1e6 / seconds;
    println!("as opening reads      {:7.1} MB/s", rate(opening));
    println!("by the general reader {:7.1} MB/s, {:.1} times the time", rate(general), general / opening);
    println!("by ron alone          {:7.1} MB/s, {:.1} times the time", rate(alone), alone / opening);
}

fn fastest(work: impl Fn()) -> f64 {
    let round = |_| {
        let began = Instant::now();
        work();
        began.elapsed().as_secs_f64()
    };
    (0..ROUNDS).map(round).fold(f64::INFINITY, f64::min)
}

/// A record read by the package and nothing else.
fn ron_alone(sort: Sort, bytes: &[u8]) {
    fn one<T: DeserializeOwned>(text: &str) {
        let options = ron::Options::default().with_default_extension(Extensions::IMPLICIT_SOME);
        drop(options.from_str::<T>(text).unwrap());
    }
    let text = std::str::from_utf8(bytes).unwrap();
    match sort {
        Sort::Garage => one::<GarageInfo>(text),
        Sort::Machine => one::<Machine>(text),
        Sort::Inspection => one::<Inspection>(text),
        Sort::Event => one::<Event>(text),
        other => panic!("a school's garage holds no {other:?}"),
    }
}

/// Every record below a folder, with what it is of.
fn gather(folder: &Path, into: &mut Vec<(Sort, Vec<u8>)>) {
    let mut paths: Vec<PathBuf> = std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    paths.sort();
    for path in paths {
        if path.is_dir() {
            gather(&path, into);
            continue;
        }
        let name = |path: &Path| path.file_name().unwrap().to_str().unwrap().to_owned();
        let sort = match (name(path.parent().unwrap()).as_str(), name(&path).as_str()) {
            (_, "garage.ron") => Sort::Garage,
            (_, "machine.ron") => Sort::Machine,
            ("inspections", _) => Sort::Inspection,
            ("events", _) => Sort::Event,
            _ => continue,
        };
        into.push((sort, std::fs::read(path).unwrap()));
    }
}
