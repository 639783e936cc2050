//! The garage on disk: round trips, damaged files, interrupted and refused saves. Expected values are written by hand.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops at the first surprise")]

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::process::Command as Process;

use proptest::prelude::*;
use stemclock::clock::Spot;
use stemclock::edit::{Change, Record, RecordKey};
use stemclock::garage::GarageInfo;
use stemclock::guard;
use stemclock::inspection::*;
use stemclock::machine::*;
use stemclock::store::{self, StoreError};
use stemclock::units::Length;

#[path = "store/cross.rs"]
mod cross;
#[path = "store/damaged.rs"]
mod damaged;
#[path = "store/environment.rs"]
mod environment;
#[path = "store/fixture.rs"]
mod fixture;
#[path = "store/own.rs"]
mod own;
#[path = "store/sample.rs"]
mod sample;
#[cfg(target_os = "linux")]
#[path = "support/tmpfs.rs"]
mod tmpfs;

use fixture::*;

#[test]
fn every_kind_of_record_comes_back_as_it_was() {
    let (_dir, folder) = on_disk();
    let opened = store::open(&folder).unwrap();
    assert_eq!(opened.unreadable, vec![]);
    assert_eq!(opened.lock.read_only_because, None);
    assert_eq!(opened.garage, garage());
    // Equality compares base units; what the gauge showed must stay as well.
    let text = fs::read_to_string(folder.join(FIRST)).unwrap();
    assert!(text.contains("\"36 psi\"") && text.contains("\"4/32 in\""), "{text}");
    assert!(text.starts_with("// "), "the head says that comments are lost");
    assert!(text.contains("comments are lost"));
    assert!(text.lines().nth(2).unwrap().trim() == "schema: 1,", "the schema stands first: {text}");
    assert!(!text.contains("Some("), "options are written plainly: {text}");
    assert!(!text.contains('\r'));
}

#[test]
fn the_same_garage_is_the_same_bytes() {
    let (_a, one) = on_disk();
    let (_b, two) = on_disk();
    for file in ["garage.ron", MACHINE, FIRST] {
        assert_eq!(fs::read(one.join(file)).unwrap(), fs::read(two.join(file)).unwrap(), "{file}");
    }
}

#[test]
fn a_record_written_in_full_ron_is_read_too() {
    let (_dir, folder) = on_disk();
    edit(&folder, MACHINE, "capacity_cc: 649", "capacity_cc: Some(649)");
    edit(&folder, MACHINE, "capacity_cc", "/* a remark */ capacity_cc");
    let opened = store::open(&folder).unwrap();
    assert_eq!(opened.unreadable, vec![]);
    assert_eq!(opened.garage.bays[0].machine.capacity_cc, Some(649));
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, ..ProptestConfig::default() })]
    #[test]
    fn any_words_and_figures_come_back(
        name in "\\PC{1,40}", note in "(?s).{0,60}", hours in proptest::option::of(0.0f64..1e6),
        mm in -1e4f64..1e4, degrees in 0.0f64..360.0, number in proptest::num::f64::NORMAL,
    ) {
        prop_assume!(!note.contains('\0') && !name.contains('\0'));
        let mut garage = garage();
        garage.bays[0].machine.name = name;
        let inspection = &mut garage.bays[0].inspections[0];
        inspection.note = note;
        inspection.conditions.standing_hours = hours;
        inspection.findings[0].size = Some(Length::mm((mm * 1e6).round() / 1e6));
        inspection.findings[0].place = Place::Wheel {
            position: WheelPosition::Rear, zone: Zone::Centre, spot: Spot::from_degrees(degrees),
        };
        let answer = inspection.answers.values_mut().last().unwrap();
        answer.readings.insert("n".into(), Value::Number(number));
        let dir = tempfile::tempdir().unwrap();
        store::save_all(dir.path(), &garage).unwrap();
        let opened = store::read(dir.path()).unwrap();
        prop_assert_eq!(opened.unreadable, vec![]);
        // What turns or hides text comes back written out, and all else as it was.
        garage.bays[0].machine.name = guard::line(&garage.bays[0].machine.name).into_owned();
        garage.bays[0].inspections[0].note = guard::text(&garage.bays[0].inspections[0].note).into_owned();
        prop_assert_eq!(opened.garage, garage);
    }
}

#[test]
fn a_folder_that_is_no_garage_says_what_was_looked_for() {
    let dir = tempfile::tempdir().unwrap();
    let error = |path: &Path| store::open(path).unwrap_err().to_string();
    assert!(error(&dir.path().join("nowhere")).contains("found nothing"));
    assert!(error(dir.path()).contains("an empty folder"));
    fs::write(dir.path().join("letter.txt"), "x").unwrap();
    let shown = error(dir.path());
    assert!(
        shown.contains("expected garage.ron") && shown.contains("letter.txt") && shown.contains("choose"),
        "{shown}"
    );
    assert!(error(&dir.path().join("letter.txt")).contains("found a file"));
    store::save_all(&dir.path().join("mine"), &garage()).unwrap();
    assert!(error(dir.path()).contains("a garage in the folder mine"));
    assert!(error(&dir.path().join("mine/machines")).contains("a part of the garage"));
    let shown = store::validate(dir.path(), today())[0].to_string();
    assert!(shown.contains("expected garage.ron"), "{shown}");
}

#[test]
fn a_new_garage_goes_into_an_empty_folder_only() {
    let dir = tempfile::tempdir().unwrap();
    let info = GarageInfo { name: "New".into(), ..GarageInfo::default() };
    let folder = dir.path().join("a/b");
    store::create(&folder, &info).unwrap();
    assert_eq!(store::open(&folder).unwrap().garage.info.name, "New");
    assert!(matches!(store::create(&folder, &info), Err(StoreError::AlreadyThere(_))));
    let error = store::create(dir.path(), &info).unwrap_err();
    assert!(matches!(error, StoreError::NotEmpty { .. }), "{error}");
    assert!(!dir.path().join("garage.ron").exists());
}

#[test]
fn a_second_window_reads_only() {
    let (_dir, folder) = on_disk();
    let first = store::open(&folder).unwrap();
    assert_eq!(first.lock.read_only_because, None);
    let second = store::open(&folder).unwrap();
    assert!(second.lock.read_only_because.as_deref().unwrap().contains("another window"));
    assert_eq!(second.garage, garage());
    drop(first);
    assert_eq!(store::open(&folder).unwrap().lock.read_only_because, None);
}

#[test]
fn ids_and_names_lead_nowhere_else() {
    let (dir, folder) = on_disk();
    fs::write(dir.path().join("secret.jpg"), "x").unwrap();
    let id = MachineId("outfit-7c1e".into());
    for name in ["../../../secret.jpg", "/etc/hostname", "..", "nul", ""] {
        let error = store::photo_bytes(&folder, &id, name).unwrap_err();
        assert!(matches!(error, StoreError::Name { .. }), "{name}: {error}");
    }
    let mut change = rename_change(&garage(), "x");
    let mut bad = machine();
    bad.id = MachineId("../../outside".into());
    change.key = RecordKey::Machine(bad.id.clone());
    change.after = Some(Record::Machine(Box::new(bad)));
    let error = store::save(&folder, &change).unwrap_err();
    assert!(matches!(error, StoreError::Name { .. }), "{error}");
    assert!(!dir.path().join("outside").exists());
}

#[cfg(unix)]
#[test]
fn links_that_lead_out_are_not_followed() {
    use std::os::unix::fs::symlink;
    let (dir, folder) = on_disk();
    let (_other, elsewhere) = on_disk();
    let id = MachineId("outfit-7c1e".into());
    // A record, a whole machine, a photo and a folder of photos that live elsewhere.
    let outside = elsewhere.join(FIRST);
    let before = fs::read(&outside).unwrap();
    fs::remove_file(folder.join(FIRST)).unwrap();
    symlink(&outside, folder.join(FIRST)).unwrap();
    symlink(elsewhere.join("machines/outfit-7c1e"), folder.join("machines/stranger")).unwrap();
    fs::create_dir_all(folder.join("machines/outfit-7c1e/photos")).unwrap();
    symlink(&outside, folder.join("machines/outfit-7c1e/photos/p.jpg")).unwrap();
    let opened = store::open(&folder).unwrap();
    assert_eq!(opened.garage.bays.len(), 1);
    assert_eq!(opened.garage.bays[0].inspections.len(), 1);
    assert!(
        opened.unreadable.iter().filter(|p| p.message.contains("leads out")).count() >= 2,
        "{:?}",
        opened.unreadable
    );
    assert!(matches!(store::photo_bytes(&folder, &id, "p.jpg"), Err(StoreError::Outside(_))));
    let change = Change {
        key: RecordKey::Inspection(id.clone(), InspectionId("2026-03-01-season-aa".into())),
        before: None,
        after: Some(Record::Inspection(Box::new(inspection("2026-03-01-season-aa", "2026-03-01")))),
        label: String::new(),
    };
    assert!(matches!(store::save(&folder, &change), Err(StoreError::Outside(_))));
    assert_eq!(fs::read(&outside).unwrap(), before, "what is outside is untouched");
    // A link to nowhere is refused, since a write would make what it points to.
    symlink(dir.path().join("made-by-a-link"), folder.join("machines/outfit-7c1e/photos/q.jpg")).unwrap();
    assert!(store::add_photo(&folder, &id, "q.jpg", b"x").is_err());
    assert!(!dir.path().join("made-by-a-link").exists());
    // A garage that is itself reached by a link is fine.
    symlink(&folder, dir.path().join("link")).unwrap();
    assert_eq!(store::read(&dir.path().join("link")).unwrap().garage.bays.len(), 1);
}

#[cfg(unix)]
#[test]
fn a_pipe_in_place_of_a_record_does_not_stop_the_reader() {
    let (_dir, folder) = on_disk();
    fs::remove_file(folder.join(FIRST)).unwrap();
    let made = Process::new("mkfifo").arg(folder.join(FIRST)).status().unwrap();
    assert!(made.success());
    assert!(only_problem(&folder).contains("no plain file"));
}

#[cfg(unix)]
#[test]
fn a_save_keeps_the_permissions_of_the_file() {
    use std::os::unix::fs::PermissionsExt;
    let (_dir, folder) = on_disk();
    let path = folder.join(MACHINE);
    fs::set_permissions(&path, fs::Permissions::from_mode(0o640)).unwrap();
    store::save(&folder, &rename_change(&garage(), "Renamed")).unwrap();
    assert_eq!(fs::metadata(&path).unwrap().permissions().mode() & 0o777, 0o640);
}

#[test]
fn removing_a_record_removes_its_file_and_undo_brings_it_back() {
    let (_dir, folder) = on_disk();
    let change = Change {
        key: RecordKey::Event(MachineId("outfit-7c1e".into()), EventId("e-3".into())),
        before: Some(Record::Event(Box::new(every_event()[2].clone()))),
        after: None,
        label: String::new(),
    };
    store::save(&folder, &change).unwrap();
    assert_eq!(store::read(&folder).unwrap().garage.bays[0].events.len(), 4);
    store::save(&folder, &change.inverse()).unwrap();
    assert_eq!(store::read(&folder).unwrap().garage, garage());
}

#[test]
fn photos_are_added_and_never_written_over() {
    let (_dir, folder) = on_disk();
    let id = MachineId("outfit-7c1e".into());
    assert_eq!(store::add_photo(&folder, &id, "nail.jpg", b"one").unwrap(), "nail.jpg");
    assert_eq!(store::add_photo(&folder, &id, "nail.jpg", b"two").unwrap(), "nail-2.jpg");
    assert_eq!(store::photo_bytes(&folder, &id, "nail.jpg").unwrap(), b"one");
    assert!(matches!(store::photo_bytes(&folder, &id, "none.jpg"), Err(StoreError::Missing(_))));
    let (_other, copy) = on_disk();
    store::copy_attachments(&folder, &copy).unwrap();
    assert_eq!(store::photo_bytes(&copy, &id, "nail-2.jpg").unwrap(), b"two");
}

#[test]
fn two_people_adding_inspections_touch_no_common_file() {
    let (_a, mine) = on_disk();
    let (_b, theirs) = on_disk();
    let files = |folder: &Path| -> BTreeMap<String, Vec<u8>> {
        fn walk(root: &Path, at: &Path, into: &mut BTreeMap<String, Vec<u8>>) {
            for entry in fs::read_dir(at).unwrap().map(Result::unwrap) {
                let path = entry.path();
                if path.is_dir() {
                    walk(root, &path, into);
                } else if !entry.file_name().to_string_lossy().starts_with('.') {
                    into.insert(path.strip_prefix(root).unwrap().display().to_string(), fs::read(&path).unwrap());
                }
            }
        }
        let mut found = BTreeMap::new();
        walk(folder, folder, &mut found);
        found
    };
    let base = files(&mine);
    assert_eq!(base, files(&theirs));
    for (folder, id) in [(&mine, "2026-10-01-ride-m1"), (&theirs, "2026-10-01-ride-t9")] {
        let added = Change {
            key: RecordKey::Inspection(MachineId("outfit-7c1e".into()), InspectionId(id.into())),
            before: None,
            after: Some(Record::Inspection(Box::new(inspection(id, "2026-10-01")))),
            label: String::new(),
        };
        store::save(folder, &added).unwrap();
    }
    let changed = |folder: &Path| -> Vec<String> {
        files(folder).into_iter().filter(|(k, v)| base.get(k) != Some(v)).map(|(k, _)| k).collect()
    };
    assert_eq!(changed(&mine), ["machines/outfit-7c1e/inspections/2026-10-01-ride-m1.ron"]);
    assert_eq!(changed(&theirs), ["machines/outfit-7c1e/inspections/2026-10-01-ride-t9.ron"]);
}

#[test]
fn a_garage_adds_regions_and_kinds_of_its_own() {
    let (_dir, folder) = on_disk();
    fs::create_dir_all(folder.join("regions")).unwrap();
    fs::create_dir_all(folder.join("kinds")).unwrap();
    let region = |id: &str| {
        format!(
            "(id: \"{id}\", name: \"Club rules\", directive_in_force: false, tread: [(minimum: \"2 mm\", geometry: ThinnestGroove, binds: false, citation: \"club rules\")])"
        )
    };
    let kind = |check: &str| {
        format!(
            "(id: \"club\", name: \"club day\", called: \"a club look\", checks: These([\"{check}\"]), required: All, lapses_after_days: 1, lapses_after_km: 100)"
        )
    };
    fs::write(folder.join("regions/club.ron"), region("club")).unwrap();
    fs::write(folder.join("kinds/club.ron"), kind("tyre-pressure")).unwrap();
    fs::write(folder.join("kinds/wrong.ron"), kind("no-such-check").replace("\"club\"", "\"wrong\"")).unwrap();
    fs::write(folder.join("regions/bad.ron"), region("bad").replace("2 mm", "2 psi")).unwrap();
    let opened = store::open(&folder).unwrap();
    assert_eq!(opened.catalogue.region("club").unwrap().name, "Club rules");
    assert_eq!(opened.catalogue.kind("club").unwrap().lapses_after_km, 100);
    assert!(opened.catalogue.kind("wrong").is_none() && opened.catalogue.region("bad").is_none());
    let shown: Vec<String> = opened.unreadable.iter().map(ToString::to_string).collect();
    assert_eq!(shown.len(), 2, "{shown:?}");
    assert!(shown[0].starts_with("regions/bad.ron:1:") && shown[0].contains("2 psi"), "{}", shown[0]);
    assert!(shown[1].starts_with("kinds/wrong.ron") && shown[1].contains("no-such-check"), "{}", shown[1]);
}
