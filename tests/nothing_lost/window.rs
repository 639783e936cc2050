//! The window on a disk that refuses: it says so, keeps the change, offers another folder, and saves later.

use std::sync::Arc;

use egui_kittest::kittest::Queryable as _;
use stemclock::store::{self, Store};
use stemclock::ui::Action;

use crate::commands::{every_command, garage};
use crate::faulty::{EIO, ENOSPC, EROFS, Fault, Faulty};
use crate::support::{Bench, press, rest, window};

const SIZE: [f32; 2] = [1024.0, 700.0];

fn ready() -> (Bench, std::path::PathBuf, Faulty) {
    let bench = Bench::new();
    let folder = bench.folder.path().join("full");
    Store::on(&Faulty::default()).save_all(&folder, &garage()).unwrap();
    (bench, folder, Faulty::default())
}

#[test]
fn each_kind_of_command_is_said_kept_and_saved_later() {
    for (index, (name, command)) in every_command().into_iter().enumerate() {
        let (bench, folder, disk) = ready();
        let mut harness = window(bench.shell_on(Some(&folder), Arc::new(disk.clone())), SIZE);
        let (errno, words) =
            [(EIO, "check the disk"), (ENOSPC, "free some space"), (EROFS, "read-only disk")][index % 3];
        // A full disk still takes a file away, in one operation.
        let is_removal =
            matches!(name, "remove a kind" | "remove an inspection" | "remove an exercise" | "remove a sheet");
        let (after, errno) = if is_removal { (0, EIO) } else { (index % 4, errno) };
        disk.plan(Some(Fault { after, errno, does_it: index % 2 == 0, lasts: true }));
        harness.state_mut().apply(Action::Edit(command));
        rest(&mut harness);
        let kept = harness.state().garage().clone();
        assert!(kept != garage(), "{name} is kept in the window");
        assert!(disk.has_struck(), "{name}");
        assert!(harness.query_by_label("Not saved").is_some(), "{name} is said");
        let words = if errno == EIO { "check the disk" } else { words };
        let said = harness.query_all_by_label_contains(words).count();
        assert!(said > 0, "{name}: {:?}", harness.state().saved());
        assert!(harness.query_by_label("or write everything to this folder").is_some(), "another place is offered");
        // Tried in vain, it stays; tried again when the disk takes it, it is saved.
        press(&mut harness, "Try again");
        rest(&mut harness);
        assert!(harness.query_by_label("Not saved").is_some(), "{name}");
        disk.plan(None);
        press(&mut harness, "Try again");
        rest(&mut harness);
        assert!(harness.query_by_label("Saved").is_some(), "{name}: {:?}", harness.state().saved());
        assert!(store::read(&folder).unwrap().garage == kept, "{name}");
        assert!(harness.state().garage() == &kept, "{name}");
    }
}

#[test]
fn everything_goes_to_another_folder_when_this_one_takes_nothing() {
    let (bench, folder, disk) = ready();
    std::fs::create_dir_all(folder.join("machines/outfit-7c1e/photos")).unwrap();
    std::fs::write(folder.join("machines/outfit-7c1e/photos/left.jpg"), b"pixels").unwrap();
    let before = crate::files(&folder);
    let mut harness = window(bench.shell_on(Some(&folder), Arc::new(disk.clone())), SIZE);
    disk.plan(Some(Fault { after: 0, errno: EROFS, does_it: false, lasts: true }));
    for (_, command) in every_command().into_iter().filter(|(name, _)| !name.starts_with("remove")) {
        harness.state_mut().apply(Action::Edit(command));
    }
    rest(&mut harness);
    let kept = harness.state().garage().clone();
    assert!(harness.query_by_label("Not saved").is_some());
    let elsewhere = bench.folder.path().join("stick/garage");
    let go = |harness: &mut egui_kittest::Harness<'_, stemclock::app::Shell>| {
        harness.state_mut().apply(Action::SaveElsewhere(elsewhere.clone()));
        rest(harness);
    };
    // The other place refuses too: it is said, everything is kept, and the same place can be tried again.
    go(&mut harness);
    assert!(harness.query_by_label_contains("could not be written to").is_some());
    assert!(harness.state().garage() == &kept);
    disk.plan(Some(Fault { after: 40, errno: ENOSPC, does_it: true, lasts: true }));
    go(&mut harness);
    assert!(disk.has_struck() && !store::is_garage(&elsewhere));
    disk.plan(None);
    go(&mut harness);
    assert_eq!(harness.state().folder(), Some(elsewhere.as_path()));
    assert!(harness.query_by_label("Saved").is_some());
    assert!(store::read(&elsewhere).unwrap().garage == kept);
    assert_eq!(std::fs::read(elsewhere.join("machines/outfit-7c1e/photos/left.jpg")).unwrap(), b"pixels");
    assert!(crate::files(&folder) == before, "the old folder is as it was");
    // What is changed from here on is saved there.
    let mut info = kept.info.clone();
    info.name = "On the stick".into();
    harness.state_mut().apply(Action::Edit(stemclock::edit::Command::SetGarage(info)));
    rest(&mut harness);
    assert_eq!(store::read(&elsewhere).unwrap().garage.info.name, "On the stick");
}

#[cfg(unix)]
#[test]
fn what_saving_elsewhere_leaves_behind_is_named() {
    let bench = Bench::new();
    let (folder, to) = (bench.folder.path().join("shared"), bench.folder.path().join("rescue"));
    Store::on(&Faulty::default()).save_all(&folder, &garage()).unwrap();
    std::fs::write(folder.join("notes.txt"), "the owner's own notes").unwrap();
    std::os::unix::fs::symlink("/etc/hostname", folder.join("link")).unwrap();
    let mut harness = window(bench.shell(Some(&folder)), SIZE);
    harness.state_mut().apply(Action::SaveElsewhere(to.clone()));
    rest(&mut harness);
    let notes: String = harness.state().notes().iter().map(|n| format!("{}: {}\n", n.summary, n.details)).collect();
    assert!(notes.contains("The garage is now in") && notes.contains("link: it is a link or a device"), "{notes}");
    assert!(to.join("notes.txt").is_file());
}
