//! The window changes to another folder: by writing the garage elsewhere, which takes minutes for a large one, or by
//! opening another. What is on its way belongs to the garage it was made in.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use egui_kittest::Harness;
use stemclock::app::Shell;
use stemclock::edit::{Command, PhotoHome};
use stemclock::machine::MachineId;
use stemclock::photo::Keep;
use stemclock::store;
use stemclock::ui::{Action, PhotoSource};

use crate::commands::{garage, outfit};
use crate::slow::Slow;
use crate::support::{Bench, rest, window};

const SIZE: [f32; 2] = [1024.0, 700.0];

/// Two clones of one garage, the first open in a window.
fn two_clones() -> (Bench, PathBuf, PathBuf, Slow) {
    let bench = Bench::new();
    let [one, other] = ["one", "other"].map(|name| bench.folder.path().join(name));
    store::save_all(&one, &garage()).unwrap();
    store::save_all(&other, &garage()).unwrap();
    (bench, one, other, Slow::default())
}

fn rename(harness: &mut Harness<'_, Shell>, name: &str) {
    let mut machine = harness.state().garage().bay(&outfit()).unwrap().machine.clone();
    machine.name = name.into();
    harness.state_mut().apply(Action::Edit(Command::EditMachine(machine)));
}

fn name_in(folder: &Path) -> String {
    store::read(folder).unwrap().garage.bay(&outfit()).unwrap().machine.name.clone()
}

fn is_said(harness: &Harness<'_, Shell>, summary: &str) -> bool {
    harness.state().notes().iter().any(|note| note.summary.contains(summary))
}

fn picture(bench: &Bench) -> PathBuf {
    let path = bench.folder.path().join("seen.png");
    image::RgbImage::from_pixel(40, 30, image::Rgb([90, 90, 120])).save(&path).unwrap();
    path
}

fn add_photo(harness: &mut Harness<'_, Shell>, path: &Path) {
    harness.state_mut().apply(Action::AddPhotos {
        machine: outfit(),
        home: PhotoHome::Machine,
        from: vec![PhotoSource::File(path.to_owned())],
        keep: Keep::default(),
    });
}

fn photos(folder: &Path, machine: &MachineId) -> usize {
    store::read(folder).unwrap().garage.bay(machine).unwrap().machine.photos.len()
}

#[test]
fn no_other_garage_opens_while_this_one_is_being_written_elsewhere() {
    let (bench, one, other, disk) = two_clones();
    let copy = bench.folder.path().join("stick");
    let mut harness = window(bench.shell_on(Some(&one), Arc::new(disk.clone())), SIZE);
    disk.copy.shut();
    harness.state_mut().apply(Action::SaveElsewhere(copy.clone()));
    harness.state_mut().apply(Action::OpenGarage(other.clone()));
    assert_eq!(harness.state().folder(), Some(one.as_path()), "the other one is not opened");
    assert!(is_said(&harness, "The garage stays open"));
    // Nor is it written to a third place, nor gets it a photo that would be in the old folder alone.
    harness.state_mut().apply(Action::SaveElsewhere(bench.folder.path().join("third")));
    assert!(is_said(&harness, "is being written elsewhere already"));
    let seen = picture(&bench);
    add_photo(&mut harness, &seen);
    assert!(is_said(&harness, "No photo can be added yet"));
    rename(&mut harness, "Changed meanwhile");
    disk.copy.open();
    rest(&mut harness);
    assert_eq!(harness.state().folder(), Some(copy.as_path()));
    assert_eq!(name_in(&copy), "Changed meanwhile");
    assert!(!bench.folder.path().join("third").exists());
    // Now it may.
    harness.state_mut().apply(Action::OpenGarage(other.clone()));
    assert_eq!(harness.state().folder(), Some(other.as_path()));
    rest(&mut harness);
    assert_eq!((name_in(&one), name_in(&other)), ("The outfit".into(), "The outfit".into()));
}

#[test]
fn what_cannot_follow_into_the_copy_waits_for_the_old_folder() {
    let (bench, one, _, disk) = two_clones();
    let copy = bench.folder.path().join("stick");
    let mut harness = window(bench.shell_on(Some(&one), Arc::new(disk.clone())), SIZE);
    disk.copy.shut();
    harness.state_mut().apply(Action::SaveElsewhere(copy.clone()));
    rename(&mut harness, "Changed meanwhile");
    *disk.refused.lock().unwrap() = Some(copy.clone());
    disk.copy.open();
    rest(&mut harness);
    assert_eq!(harness.state().folder(), Some(one.as_path()));
    assert!(is_said(&harness, "The garage is not whole in"));
    harness.state_mut().apply(Action::RetrySave);
    rest(&mut harness);
    assert_eq!(name_in(&one), "Changed meanwhile");
    assert!(harness.state().saved().is_ok());
}

#[test]
fn photos_on_their_way_keep_the_garage_open() {
    let (bench, one, other, disk) = two_clones();
    let mut harness = window(bench.shell_on(Some(&one), Arc::new(disk.clone())), SIZE);
    let seen = picture(&bench);
    disk.picture.shut();
    add_photo(&mut harness, &seen);
    for action in [Action::OpenGarage(other.clone()), Action::SaveElsewhere(bench.folder.path().join("stick"))] {
        harness.state_mut().apply(action);
        assert_eq!(harness.state().folder(), Some(one.as_path()));
    }
    assert!(is_said(&harness, "The garage stays open") && is_said(&harness, "cannot be written elsewhere yet"));
    disk.picture.open();
    rest(&mut harness);
    assert_eq!(photos(&one, &outfit()), photos(&other, &outfit()) + 1, "the photo has its record");
    assert!(harness.state().state().photos.at_work.is_none(), "and its line goes");
    harness.state_mut().apply(Action::OpenGarage(other.clone()));
    assert_eq!(harness.state().folder(), Some(other.as_path()));
}

#[test]
fn a_photo_whose_record_is_refused_is_not_counted_as_added() {
    let (bench, one, _, disk) = two_clones();
    let mut harness = window(bench.shell_on(Some(&one), Arc::new(disk.clone())), SIZE);
    let seen = picture(&bench);
    disk.picture.shut();
    add_photo(&mut harness, &seen);
    // The machine is taken away on disk, and so in the window, before its photo has come.
    std::fs::rename(one.join("machines/outfit-7c1e"), bench.folder.path().join("aside")).unwrap();
    let end = std::time::Instant::now() + std::time::Duration::from_secs(20);
    while harness.state().garage().bay(&outfit()).is_some() {
        assert!(std::time::Instant::now() < end, "the machine is gone");
        harness.run();
        std::thread::sleep(std::time::Duration::from_millis(20));
    }
    disk.picture.open();
    rest(&mut harness);
    assert!(is_said(&harness, "That was not done") && !is_said(&harness, "1 photo added"));
}
