//! A garage whose machines stay on disk until they are taken in hand shows and keeps the same as one that is in memory whole.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops at the first surprise")]

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::{Duration, Instant};

use egui::accesskit::Role;
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use stemclock::app::{Disk, Found, RealDisk, Shell};
use stemclock::edit::Command;
use stemclock::inspection::{Event, EventId, EventKind};
use stemclock::machine::{MachineId, SCHEMA};
use stemclock::store;
use stemclock::ui::{Action, Place};

mod kept;
#[path = "../support/real_disk.rs"]
mod real_disk;
#[path = "../benches/school/mod.rs"]
mod school;
#[path = "../support/mod.rs"]
mod support;

use real_disk::real_disk;
use support::{Bench, rest, window};

const SIZE: [f32; 2] = [1280.0, 860.0];

/// The real disk, which takes every garage for a large one.
struct Light;

impl Disk for Light {
    fn open(&self, folder: &Path) -> Result<Found, String> {
        let mut found = RealDisk.open(folder)?;
        for bay in &mut found.garage.bays {
            bay.inspections.clear();
            bay.events.clear();
            bay.unread.push("not read yet".into());
        }
        found.is_light = true;
        Ok(found)
    }
    real_disk!(create, save, save_unless_met, save_elsewhere, copy_sample, photo, make_folder, write_file, read_text);
}

/// Twelve machines with forty-eight inspections.
fn school_garage(bench: &Bench) -> PathBuf {
    let folder = bench.folder.path().join("school");
    let size = school::Size { machines: 12, inspections: 48, readings: 4_800, photos: 2, seed: 3 };
    let made = school::build(&folder, &size).unwrap();
    assert_eq!((made.machines, made.inspections, made.photos), (12, 48, 2));
    folder
}

/// What is said to somebody who cannot see, all over the window.
fn spoken(harness: &Harness<'_, Shell>) -> Vec<String> {
    harness
        .root()
        .children_recursive()
        .filter_map(|n| n.accesskit_node().label().or_else(|| n.accesskit_node().value()))
        .collect()
}

#[test]
fn it_shows_the_same_as_a_garage_that_is_in_memory() {
    let (bench, other) = (Bench::new(), Bench::new());
    let folder = school_garage(&bench);
    let mut whole = window(bench.shell(Some(&folder)), SIZE);
    rest(&mut whole);
    let copy = school_garage(&other);
    let mut light = window(other.shell_on(Some(&copy), Arc::new(Light)), SIZE);
    rest(&mut light);
    let held = light.state().garage().bays.iter().filter(|b| !b.inspections.is_empty()).count();
    assert_eq!(held, 1, "only the machine in hand is in memory");
    for (place, key) in
        [(Place::Walk, egui::Key::F1), (Place::Calendar, egui::Key::F6), (Place::Repairs, egui::Key::F7)]
    {
        for harness in [&mut whole, &mut light] {
            harness.key_press(key);
            rest(harness);
            harness.state_mut().state_mut().place = place;
            rest(harness);
        }
        let (whole, light) = (spoken(&whole), spoken(&light));
        assert!(whole.len() > 20, "{place:?}: {whole:?}");
        assert_eq!(whole, light, "{place:?}");
    }
}

#[test]
fn what_was_changed_stays_in_memory_and_is_saved_and_undone() {
    let bench = Bench::new();
    let folder = school_garage(&bench);
    let mut harness = window(bench.shell_on(Some(&folder), Arc::new(Light)), SIZE);
    rest(&mut harness);
    let before = store::read(&folder).unwrap().garage;
    let ids: Vec<MachineId> = before.bays.iter().map(|b| b.machine.id.clone()).collect();
    // A machine that is not in hand is brought for a change.
    let changed = ids[7].clone();
    let event = Event {
        schema: SCHEMA,
        id: EventId("2026-11-24-fall-zz".into()),
        date: "2026-11-24".parse().unwrap(),
        by: "Ana Bell".into(),
        kind: EventKind::Fall { note: "in the yard".into() },
    };
    harness.state_mut().apply(Action::Edit(Command::Record(changed.clone(), event.clone())));
    rest(&mut harness);
    for id in &ids {
        harness.state_mut().state_mut().machine = Some(id.clone());
        harness.state_mut().state_mut().inspection = None;
        rest(&mut harness);
        assert!(harness.state().state().inspection.is_some(), "{id}: its latest inspection is taken in hand");
    }
    let garage = harness.state().garage();
    let held: BTreeSet<_> = garage.bays.iter().filter(|b| !b.inspections.is_empty()).map(|b| &b.machine.id).collect();
    assert!(held.len() <= 9 && held.contains(&changed), "{held:?}");
    let on_disk = store::read(&folder).unwrap().garage;
    assert!(on_disk.bay(&changed).unwrap().events.contains(&event));
    assert!(
        harness.query_by_label_contains("Undo: record").is_some() || harness.query_by_label_contains("Undo:").is_some()
    );
    harness.state_mut().apply(Action::Undo);
    rest(&mut harness);
    assert_eq!(store::read(&folder).unwrap().garage, before);
}

#[test]
fn all_of_it_is_written_elsewhere() {
    let bench = Bench::new();
    let folder = school_garage(&bench);
    let mut harness = window(bench.shell_on(Some(&folder), Arc::new(Light)), SIZE);
    let to = bench.folder.path().join("elsewhere");
    harness.state_mut().apply(Action::SaveElsewhere(to.clone()));
    rest(&mut harness);
    assert_eq!(store::read(&to).unwrap().garage, store::read(&folder).unwrap().garage);
}

#[test]
fn a_machine_that_is_gone_is_named_and_nothing_can_be_changed_on_it() {
    let bench = Bench::new();
    let folder = school_garage(&bench);
    let mut harness = window(bench.shell_on(Some(&folder), Arc::new(Light)), SIZE);
    rest(&mut harness);
    let gone = harness.state().garage().bays[9].machine.id.clone();
    fs::rename(folder.join("machines").join(&gone.0), folder.join("gone")).unwrap();
    harness.state_mut().apply(Action::Edit(Command::Archive(gone.clone(), true)));
    rest(&mut harness);
    assert!(harness.state().notes().iter().any(|n| n.summary.contains(&gone.0)), "{:?}", harness.state().notes());
    assert!(!harness.state().garage().bay(&gone).unwrap().machine.archived);
    assert!(!folder.join("machines").join(&gone.0).exists());
}

#[test]
fn a_broken_record_of_a_machine_on_disk_is_named_once_all_are_read() {
    let bench = Bench::new();
    let folder = school_garage(&bench);
    let id = store::read(&folder).unwrap().garage.bays[5].machine.id.clone();
    let broken = folder.join("machines").join(&id.0).join("events/2026-01-01-broken.ron");
    fs::create_dir_all(broken.parent().unwrap()).unwrap();
    fs::write(&broken, "(schema: 1, id: ").unwrap();
    let mut harness = window(bench.shell_on(Some(&folder), Arc::new(Light)), SIZE);
    // The disk that takes every garage for a large one has told of it already; it is not told twice.
    rest(&mut harness);
    assert_eq!(harness.state().notes().iter().filter(|n| n.details.contains("2026-01-01-broken.ron")).count(), 1);
}

#[test]
fn a_garage_with_very_many_records_is_opened_by_its_machines() {
    let bench = Bench::new();
    let folder = bench.folder.path().join("school");
    let size = school::Size { machines: 2, inspections: 4, readings: 400, photos: 0, seed: 3 };
    school::build(&folder, &size).unwrap();
    assert!(!store::open(&folder).unwrap().is_light);
    let id = store::read(&folder).unwrap().garage.bays[1].machine.id.clone();
    let events = folder.join("machines").join(&id.0).join("events");
    fs::create_dir_all(&events).unwrap();
    for n in 0..2_001 {
        let text = format!(
            "(schema: 1, id: \"2026-01-01-{n:04}\", date: \"2026-01-01\", by: \"Ana Bell\", kind: Odometer(\"{} km\"))",
            20_000 + n
        );
        fs::write(events.join(format!("2026-01-01-{n:04}.ron")), text).unwrap();
    }
    let light = store::open(&folder).unwrap();
    assert!(light.is_light);
    assert!(light.garage.bays.iter().all(|b| b.inspections.is_empty() && b.events.is_empty() && b.unread.len() == 1));
    let (bay, problems) = store::read_machine(&folder, &id).unwrap();
    assert!(problems.is_empty());
    assert_eq!(bay.as_ref(), store::read(&folder).unwrap().garage.bay(&id));
    drop(light);
    // The window of the same garage: the list is there at once, and the rest is read behind it.
    let mut harness = window(bench.shell(Some(&folder)), SIZE);
    assert_eq!(harness.state().garage().bays.len(), 2);
    rest(&mut harness);
    let rows = harness.get_all_by_role(Role::Button).filter_map(|n| n.accesskit_node().label()).collect::<Vec<_>>();
    assert!(rows.iter().all(|r| !r.contains("being read")), "{rows:?}");
}

#[test]
fn a_broken_record_of_a_machine_on_disk_goes_from_the_list_when_it_is_mended() {
    let bench = Bench::new();
    let folder = school_garage(&bench);
    let id = store::read(&folder).unwrap().garage.bays[5].machine.id.clone();
    let file = "events/2026-01-01-broken.ron";
    let broken = folder.join("machines").join(&id.0).join(file);
    fs::create_dir_all(broken.parent().unwrap()).unwrap();
    fs::write(&broken, "(schema: 1, id: ").unwrap();
    let mut harness = window(bench.shell_on(Some(&folder), Arc::new(Light)), SIZE);
    rest(&mut harness);
    let is_listed = |harness: &mut Harness<'_, Shell>| {
        harness.state_mut().state_mut().place = Place::Garage;
        rest(harness);
        harness.query_all_by_label_contains(file).count() > 0
    };
    assert!(is_listed(&mut harness));
    let mended =
        "(schema: 1, id: \"2026-01-01-broken\", date: \"2026-01-01\", by: \"Ana Bell\", kind: Odometer(\"9 km\"))";
    fs::write(&broken, mended).unwrap();
    let end = Instant::now() + Duration::from_secs(20);
    while is_listed(&mut harness) {
        assert!(Instant::now() < end, "a mended file is listed no more");
        std::thread::sleep(Duration::from_millis(50));
    }
}
