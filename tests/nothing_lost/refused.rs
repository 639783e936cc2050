//! The disk refuses one operation after the other: what was there stays whole, the reason is said with the way out,
//! another folder takes everything, and the same save succeeds once the disk lets it.

use std::collections::BTreeMap;
use std::path::Path;

use stemclock::catalogue::Catalogue;
use stemclock::edit::{Change, decide};
use stemclock::store::{self, Store, StoreError};

use crate::commands::{every_command, garage, outfit};
use crate::faulty::{EIO, ENOSPC, EROFS, Fault, Faulty, Op};
use crate::{files, half_written, write};

type Files = BTreeMap<String, Vec<u8>>;

/// What a fault must say, by its number.
fn way_out(errno: i32) -> &'static str {
    match errno {
        ENOSPC => "free some space",
        EROFS => "read-only disk: copy the garage",
        _ => "check the disk",
    }
}

fn is_told(error: &StoreError, errno: i32) {
    let words = error.to_string();
    assert!(words.starts_with("expected ") && words.contains("found"), "{words}");
    assert!(words.contains(way_out(errno)), "{words}");
}

/// The garage as files, once written by the store itself.
fn base() -> Files {
    let dir = tempfile::tempdir().unwrap();
    Store::on(&Faulty::default()).save_all(&dir.path().join("g"), &garage()).unwrap();
    files(&dir.path().join("g"))
}

/// The faults of one step: a plain error, a full disk that takes half of it, a disk that has become read-only.
fn faults(after: usize) -> [Fault; 4] {
    [
        Fault { after, errno: EIO, does_it: false, lasts: false },
        Fault { after, errno: EIO, does_it: true, lasts: false },
        Fault { after, errno: ENOSPC, does_it: true, lasts: true },
        Fault { after, errno: EROFS, does_it: false, lasts: true },
    ]
}

/// Every file is one of the two whole versions, and nothing else is there.
fn old_or_new(folder: &Path, old: &Files, new: &Files, what: &str) {
    let found = files(folder);
    for (name, bytes) in &found {
        assert!(old.get(name) == Some(bytes) || new.get(name) == Some(bytes), "{what}: {name} is neither old nor new");
    }
    for name in old.keys().filter(|n| new.contains_key(*n)) {
        assert!(found.contains_key(name), "{what}: {name} is gone");
    }
    assert_eq!(half_written(folder), Vec::<String>::new(), "{what}");
}

#[test]
fn each_kind_of_command_survives_each_operation_that_is_refused() {
    let (catalogue, errors) = Catalogue::builtin().with_own(garage().own.iter());
    assert!(errors.is_empty(), "{errors:?}");
    let old = base();
    let disk = Faulty::default();
    let (mut tried, mut seen) = (0, std::collections::BTreeSet::new());
    for (number, (name, command)) in every_command().into_iter().enumerate() {
        let change: Change = decide(&garage(), &catalogue, command).unwrap();
        let mut changed = garage();
        changed.evolve(&change);
        // Once without a fault, to learn the operations and the new files.
        let dir = tempfile::tempdir().unwrap();
        write(dir.path(), &old);
        disk.plan(None);
        Store::on(&disk).save_record(dir.path(), &change).unwrap();
        let (new, operations) = (files(dir.path()), disk.asked());
        assert!(old != new, "{name} reaches the disk");
        assert!(store::read(dir.path()).unwrap().garage == changed, "{name}");
        for (step, operation) in operations.iter().enumerate() {
            // Folders that are left because something is in them are no fault; nor is one that stays empty.
            if *operation == Op::RemoveFolder {
                continue;
            }
            seen.insert(*operation);
            // Two of the four a step, in turn, so that every operation meets each over the commands.
            for fault in faults(step).into_iter().cycle().skip(number + step).step_by(2).take(2) {
                let what = format!("{name}, {operation:?} with {fault:?}");
                let dir = tempfile::tempdir().unwrap();
                write(dir.path(), &old);
                disk.plan(Some(fault));
                let result = Store::on(&disk).save_record(dir.path(), &change);
                // A full disk still takes files away.
                if !disk.has_struck() {
                    result.unwrap();
                    continue;
                }
                tried += 1;
                is_told(&result.expect_err(&what), fault.errno);
                old_or_new(dir.path(), &old, &new, &what);
                // Another place takes everything, with what is not on disk yet. Once a command: it takes long.
                disk.plan(None);
                if step == 0 && fault.errno != ENOSPC {
                    let elsewhere = dir.path().join("elsewhere");
                    Store::on(&disk).save_elsewhere(Some(dir.path()), &elsewhere, &changed).unwrap();
                    assert!(store::read(&elsewhere).unwrap().garage == changed, "{what}");
                    std::fs::remove_dir_all(&elsewhere).unwrap();
                }
                // And the disk takes it once it can.
                let saved = Store::on(&disk).save_record(dir.path(), &change).unwrap();
                assert_eq!(saved.set_aside, None, "{what}");
                assert!(files(dir.path()) == new, "{what}");
            }
        }
    }
    println!("{tried} refused saves, of these operations: {seen:?}");
    let all = [Op::CreateFolder, Op::Begin, Op::Write, Op::Permit, Op::Sync, Op::PutOver, Op::SyncFolder];
    assert!(all.iter().all(|op| seen.contains(op)) && seen.contains(&Op::RemoveFile), "{seen:?}");
}

#[test]
fn what_somebody_else_wrote_outlives_every_refusal() {
    let catalogue = Catalogue::builtin();
    let old = base();
    let disk = Faulty::default();
    let rename = crate::fixture::rename_change(
        &{
            let mut only = garage();
            only.bays.retain(|b| b.machine.id == outfit());
            only
        },
        "By the window",
    );
    assert!(catalogue.check("horn").is_some());
    let name = "machines/outfit-7c1e/machine.ron";
    for theirs in
        [String::from_utf8(old[name].clone()).unwrap().replace("The outfit", "By another"), "half a rec".into()]
    {
        for step in 0.. {
            for fault in faults(step) {
                let dir = tempfile::tempdir().unwrap();
                write(dir.path(), &old);
                std::fs::write(dir.path().join(name), &theirs).unwrap();
                disk.plan(Some(fault));
                let result = Store::on(&disk).save_record(dir.path(), &rename);
                let found = files(dir.path());
                assert!(
                    found.values().any(|bytes| bytes == theirs.as_bytes()),
                    "step {step}, {fault:?}: theirs is lost"
                );
                assert_eq!(result.is_err(), disk.has_struck(), "step {step}, {fault:?}");
                disk.plan(None);
                Store::on(&disk).save_record(dir.path(), &rename).unwrap();
                let found = files(dir.path());
                assert!(
                    found.values().any(|bytes| bytes == theirs.as_bytes()),
                    "step {step}, {fault:?}: theirs is lost"
                );
                assert!(String::from_utf8_lossy(&found[name]).contains("By the window"));
            }
            disk.plan(Some(faults(step)[0]));
            let dir = tempfile::tempdir().unwrap();
            write(dir.path(), &old);
            std::fs::write(dir.path().join(name), &theirs).unwrap();
            if Store::on(&disk).save_record(dir.path(), &rename).is_ok() {
                assert!(step > 8, "the copy and the record are both written, found {step} steps");
                break;
            }
        }
    }
}

#[test]
fn a_whole_garage_is_written_whole_or_the_same_folder_can_be_tried_again() {
    let old = base();
    let dir = tempfile::tempdir().unwrap();
    let from = dir.path().join("from");
    write(&from, &old);
    std::fs::create_dir_all(from.join("machines/outfit-7c1e/photos")).unwrap();
    std::fs::write(from.join("machines/outfit-7c1e/photos/left.jpg"), b"pixels").unwrap();
    let whole = files(&from);
    let disk = Faulty::default();
    let to = dir.path().join("deep/er/to");
    Store::on(&disk).save_elsewhere(Some(&from), &to, &garage()).unwrap();
    assert!(files(&to) == whole, "photos and all");
    let steps = disk.asked().len();
    let start_again = || std::fs::remove_dir_all(dir.path().join("deep")).unwrap();
    start_again();
    let mut tried = 0;
    for step in (0..12).chain((12..steps - 6).step_by(7)).chain(steps - 6..steps) {
        for fault in faults(step).into_iter().cycle().skip(step % 4).take(2) {
            disk.plan(Some(fault));
            let result = Store::on(&disk).save_elsewhere(Some(&from), &to, &garage());
            is_told(&result.expect_err(&format!("step {step}, {fault:?}")), fault.errno);
            tried += 1;
            if store::is_garage(&to) {
                // Only the name of the last file was refused, on a disk that lets nothing be taken away any more.
                assert!(files(&to) == whole && fault.lasts, "step {step}, {fault:?}");
                start_again();
            } else if fault.errno == EROFS && to.is_dir() {
                // What a dead disk has kept of it is in the way, and no garage.
                start_again();
            }
            disk.plan(None);
            Store::on(&disk).save_elsewhere(Some(&from), &to, &garage()).unwrap();
            assert!(files(&to) == whole, "step {step}, {fault:?}");
            start_again();
        }
    }
    println!("{tried} refused writes of a whole garage of {steps} operations");
}

#[test]
fn saving_elsewhere_brings_what_could_not_be_read_too() {
    let dir = tempfile::tempdir().unwrap();
    let (from, to) = (dir.path().join("from"), dir.path().join("to"));
    write(&from, &base());
    let outfit_folder = format!("machines/{}", outfit());
    let write_at = |relative: &str, text: &str| {
        let path = from.join(relative);
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(path, text).unwrap();
    };
    // One machine cannot be read, and with it nothing under it; of the others one event.
    write_at(&format!("{outfit_folder}/machine.ron"), "half a rec");
    let other = garage().bays.iter().map(|b| b.machine.id.clone()).find(|id| *id != outfit()).unwrap();
    write_at(&format!("machines/{other}/events/2026-01-01-broken.ron"), "half a rec");
    write_at(&format!("machines/{other}/photos/p.jpg"), "a photo");
    write_at("notes.txt", "the owner's own notes");
    write_at("machines/old.ron.set-aside-1", "a copy");
    write_at(".git/config", "another program's");
    #[cfg(unix)]
    std::os::unix::fs::symlink("/etc/hostname", from.join("link")).unwrap();
    let opened = store::read(&from).unwrap();
    let mut shown = opened.garage;
    // What was taken out in the window stays out, though it is still on disk.
    let course = shown.courses.iter_mut().find(|c| !c.sheets.is_empty()).unwrap();
    let gone = format!("exercises/{}/sheets/{}.ron", course.exercise.id, course.sheets.remove(0).id);
    assert!(from.join(&gone).is_file());
    let left = Store::on(&Faulty::default()).save_elsewhere(Some(&from), &to, &shown).unwrap();
    let (old, new) = (files(&from), files(&to));
    for (name, bytes) in old.iter().filter(|(name, _)| !name.starts_with(".git") && **name != gone && *name != "link") {
        assert!(new.get(name) == Some(bytes), "{name} is not there as it was");
    }
    assert!(!new.contains_key(&gone) && !new.contains_key(".git/config") && !new.contains_key("link"));
    if cfg!(unix) {
        assert_eq!(left, ["link: it is a link or a device"]);
    }
    // A machine that was taken out is not brought back by what lies in its folder.
    let to = dir.path().join("again");
    shown.bays.retain(|b| b.machine.id != other);
    Store::on(&Faulty::default()).save_elsewhere(Some(&from), &to, &shown).unwrap();
    assert!(!to.join(format!("machines/{other}")).exists());
}

#[test]
fn a_photo_and_the_sample_are_there_whole_or_not_at_all() {
    let disk = Faulty::default();
    let old = base();
    let jpeg = stemclock::photo::Kind::Jpeg;
    for step in 0.. {
        let mut has_struck = false;
        for fault in faults(step) {
            let dir = tempfile::tempdir().unwrap();
            write(dir.path(), &old);
            disk.plan(Some(fault));
            let result = Store::on(&disk).keep_photo(dir.path(), &outfit(), &[7; 5000], jpeg);
            has_struck |= disk.has_struck();
            if disk.has_struck() {
                is_told(&result.unwrap_err(), fault.errno);
            }
            let photos = |found: &Files| found.iter().filter(|(n, _)| n.contains("/photos/")).count();
            let found = files(dir.path());
            assert!(found.iter().filter(|(n, _)| n.contains("/photos/")).all(|(_, bytes)| bytes == &[7; 5000]));
            assert_eq!(half_written(dir.path()), Vec::<String>::new());
            disk.plan(None);
            let name = Store::on(&disk).keep_photo(dir.path(), &outfit(), &[7; 5000], jpeg).unwrap();
            assert_eq!(store::photo_bytes(dir.path(), &outfit(), &name).unwrap(), [7; 5000]);
            assert_eq!(photos(&files(dir.path())), 1, "kept once, step {step}, {fault:?}");
        }
        if !has_struck {
            break;
        }
    }
    let dir = tempfile::tempdir().unwrap();
    let to = dir.path().join("data/sample-garage");
    disk.plan(None);
    Store::on(&disk).copy_sample(&to).unwrap();
    let (whole, steps) = (files(&to), disk.asked().len());
    for step in (0..steps).step_by(23).chain(steps - 4..steps) {
        std::fs::remove_dir_all(dir.path().join("data")).unwrap();
        disk.plan(Some(Fault { after: step, errno: ENOSPC, does_it: true, lasts: true }));
        is_told(&Store::on(&disk).copy_sample(&to).unwrap_err(), ENOSPC);
        assert!(files(&to).is_empty() || files(&to) == whole, "step {step}");
        assert_eq!(half_written(dir.path()), Vec::<String>::new());
        disk.plan(None);
        if files(&to).is_empty() {
            Store::on(&disk).copy_sample(&to).unwrap();
        }
        assert!(files(&to) == whole, "step {step}");
    }
}

#[test]
fn a_students_pack_is_there_whole_or_not_at_all() {
    let dir = tempfile::tempdir().unwrap();
    let from = dir.path().join("from");
    write(&from, &base());
    std::fs::create_dir_all(from.join("kinds")).unwrap();
    std::fs::write(from.join("kinds/mine.ron"), "// nothing yet\n(kinds: [])").unwrap();
    // Nothing of a pack but the machine and what the garage adds.
    let mut pack = garage();
    pack.own.clear();
    for course in &mut pack.courses {
        (course.key, course.sheets) = (None, Vec::new());
    }
    for bay in &mut pack.bays {
        (bay.inspections, bay.events) = (Vec::new(), Vec::new());
    }
    let zip = dir.path().join("pack.zip");
    store::write_pack(&zip, &pack, &from).unwrap();
    let disk = Faulty::default();
    let to = dir.path().join("deep/er/to");
    let start_again = || std::fs::remove_dir_all(dir.path().join("deep")).unwrap();
    type Way<'a> = (&'a str, &'a dyn Fn() -> Result<(), StoreError>);
    let ways: [Way<'_>; 2] = [
        ("unpacked", &|| Store::on(&disk).unpack(&zip, &to)),
        ("as a folder", &|| Store::on(&disk).write_pack_folder(&to, &pack, &from)),
    ];
    for (what, way) in ways {
        disk.plan(None);
        way().unwrap();
        let (whole, steps) = (files(&to), disk.asked().len());
        assert!(whole.contains_key("kinds/mine.ron") && whole.contains_key("garage.ron"), "{what}");
        start_again();
        for step in (0..steps).step_by(3) {
            for fault in faults(step) {
                disk.plan(Some(fault));
                is_told(&way().expect_err(&format!("{what}, step {step}, {fault:?}")), fault.errno);
                if fault.errno == EROFS && to.is_dir() {
                    // A dead disk lets nothing be taken away.
                    start_again();
                }
                disk.plan(None);
                way().unwrap_or_else(|e| panic!("{what}, step {step}, {fault:?}: the second try: {e}"));
                assert!(files(&to) == whole, "{what}, step {step}, {fault:?}");
                start_again();
            }
        }
    }
}
