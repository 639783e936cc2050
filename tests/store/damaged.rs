//! Files that cannot be read: named with their line, kept byte for byte, and the rest opens.

use std::fs;

use stemclock::edit::{Change, Record, RecordKey};
use stemclock::inspection::Inspection;
use stemclock::machine::MachineId;
use stemclock::store::{self, StoreError};

use super::fixture::*;

#[test]
fn a_damaged_file_is_named_and_the_rest_opens() {
    let (_dir, folder) = on_disk();
    edit(&folder, FIRST, "kind: \"season\"", "kind: season");
    let text = fs::read_to_string(folder.join(FIRST)).unwrap();
    let line = text.lines().position(|l| l.contains("kind: season")).unwrap() + 1;
    let opened = store::open(&folder).unwrap();
    let problem = &opened.unreadable[0];
    assert_eq!((problem.path.as_str(), problem.line), (FIRST, Some(line)), "{problem}");
    let shown = problem.to_string();
    assert!(shown.starts_with(&format!("{FIRST}:{line}:")), "{shown}");
    assert!(shown.contains("    kind: season,"), "the line itself is shown: {shown}");
    assert!(shown.contains("in quotes"), "{shown}");
    assert_eq!(opened.garage.bays[0].inspections.len(), 1);
    assert_eq!(opened.garage.bays[0].events.len(), 5);
}

#[test]
fn each_slip_of_a_hand_gets_its_own_hint() {
    for (file, from, to, words) in [
        (FIRST, "standing_hours: 12.0", "standing_hours: 12,5", vec!["decimal comma", "12,5", "write 12.5"]),
        (MACHINE, "capacity_cc: 649", "capacity_cc: 649.5", vec!["whole number", "649.5", "write 649"]),
        (MACHINE, "wheelbase:", "wheelbse:", vec!["\"wheelbse\"", "write \"wheelbase\""]),
        (MACHINE, "layout: Sidecar(Left)", "layout: Sidecra(Left)", vec!["\"Sidecra\"", "write \"Sidecar\""]),
        (MACHINE, "solo: \"28 psi\"", "solo: \"28 mm\"", vec!["pressure", "28 mm", "36 psi"]),
        (MACHINE, "solo: \"28 psi\"", "solo: 28 psi", vec!["in quotes", "28 psi"]),
        (MACHINE, "solo: \"28 psi\"", "solo: \"NaN psi\"", vec!["NaN"]),
        (FIRST, "\"number\": Number(2.0)", "\"number\": Number(NaN)", vec!["finite number", "NaN", "\"number\""]),
        (FIRST, "\"number\": Number(2.0)", "\"number\": Number(inf)", vec!["finite number", "inf"]),
        (FIRST, "standing_hours: 12.0", "standing_hours: NaN", vec!["hours at rest", "NaN"]),
        (FIRST, "date: \"2026-03-01\"", "date: \"2026-02-30\"", vec!["mend this line"]),
        (FIRST, "spot: 135.0", "spot: inf", vec!["angle in degrees", "inf"]),
        (FIRST, "\"number\": Number(2.0)", "\"choice\": Number(2.0)", vec!["once", "\"choice\" twice"]),
        (FIRST, "schema: 1", "schema: 7", vec!["schema 7", "newer version"]),
        (FIRST, "schema: 1", "schema: 0", vec!["schema", "found 0"]),
        (FIRST, "id: \"2026-03-01-season-aa\"", "id: \"other\"", vec!["\"other\"", "rename one of the two"]),
        (MACHINE, "position: Sidecar", "position: Rear", vec!["front, rear, sidecar", "front, rear, rear"]),
        (MACHINE, "spokes: 40", "spokes: 400000", vec!["expected"]),
        (MACHINE, "(\n", "<<<<<<< HEAD\n(\n", vec!["merge"]),
    ] {
        let (_dir, folder) = on_disk();
        edit(&folder, file, from, to);
        let shown = only_problem(&folder);
        for word in words {
            assert!(shown.contains(word), "{to}: expected {word:?} in\n{shown}");
        }
        assert!(shown.starts_with(&format!("{file}:")), "{shown}");
        assert!(shown.contains("expected") && shown.contains("found") || shown.contains("mend"), "{shown}");
        assert!(shown.contains(" | "), "the line is shown: {shown}");
    }
}

#[test]
fn files_that_hold_no_record_at_all_are_named() {
    let (_dir, folder) = on_disk();
    for (bytes, words) in [
        (Vec::new(), "empty file"),
        (b"  \n".to_vec(), "empty file"),
        (vec![0; 64], "zero bytes"),
        (b"(schema: 1, note: \"caf\xe9\")".to_vec(), "0xE9"),
        (b"(schema: 1, id: \"2026".to_vec(), "end of the file"),
        ("(".repeat(100_000).into_bytes(), "expected identifier"),
        (vec![b' '; 9 * 1024 * 1024], "at most 8 MiB"),
        (b"PK\x03\x04".to_vec(), "expected"),
    ] {
        fs::write(folder.join(FIRST), &bytes).unwrap();
        let shown = only_problem(&folder);
        assert!(shown.contains(words), "{words}: {shown}");
        assert!(shown.len() < 2000, "a message can be read: {} bytes", shown.len());
    }
}

#[test]
fn a_mark_at_the_head_of_the_text_is_forgiven() {
    let (_dir, folder) = on_disk();
    let path = folder.join(MACHINE);
    let mut bytes = b"\xef\xbb\xbf".to_vec();
    bytes.extend(fs::read(&path).unwrap());
    fs::write(&path, String::from_utf8(bytes).unwrap().replace('\n', "\r\n")).unwrap();
    let opened = store::open(&folder).unwrap();
    assert_eq!(opened.unreadable, vec![]);
    assert_eq!(opened.garage, garage());
}

#[test]
fn what_cannot_be_read_stays_byte_for_byte() {
    let (_dir, folder) = on_disk();
    let damaged = b"(schema: 1, id: \"2026-03-01-season-aa\", half of a rec".to_vec();
    fs::write(folder.join(FIRST), &damaged).unwrap();
    let opened = store::open(&folder).unwrap();
    assert_eq!(opened.garage.bays[0].unread, [FIRST], "the machine knows that a record of its own was not read");
    // Saves of other records do not touch it.
    store::save(&folder, &rename_change(&opened.garage, "Renamed")).unwrap();
    assert_eq!(fs::read(folder.join(FIRST)).unwrap(), damaged);
    // A save of the same record keeps a copy beside it, and the next one another.
    let change = |before: Option<Inspection>, after: Inspection| Change {
        key: RecordKey::Inspection(MachineId("outfit-7c1e".into()), after.id.clone()),
        before: before.map(|b| Record::Inspection(Box::new(b))),
        after: Some(Record::Inspection(Box::new(after))),
        label: "save".into(),
    };
    let fresh = inspection("2026-03-01-season-aa", "2026-03-01");
    let saved = store::save_record(&folder, &change(None, fresh.clone())).unwrap();
    let aside = folder.join(format!("{FIRST}.set-aside-1"));
    assert_eq!(saved.set_aside.map(|p| fs::canonicalize(p).unwrap()), Some(fs::canonicalize(&aside).unwrap()));
    assert_eq!(fs::read(&aside).unwrap(), damaged);
    let second = b"damaged again".to_vec();
    fs::write(folder.join(FIRST), &second).unwrap();
    store::save(&folder, &change(Some(fresh.clone()), fresh)).unwrap();
    assert_eq!(fs::read(folder.join(format!("{FIRST}.set-aside-2"))).unwrap(), second);
    assert_eq!(fs::read(&aside).unwrap(), damaged);
    let opened = store::read(&folder).unwrap();
    assert_eq!((opened.unreadable.len(), opened.set_aside.len()), (0, 2));
}

#[test]
fn a_file_of_a_newer_version_is_never_written_over() {
    let (_dir, folder) = on_disk();
    edit(&folder, MACHINE, "schema: 1", "schema: 2");
    edit(&folder, MACHINE, "archived", "a_field_of_tomorrow: 3, archived");
    let newer = fs::read(folder.join(MACHINE)).unwrap();
    let shown = only_problem(&folder);
    assert!(shown.contains("found schema 2") && shown.contains("newer version"), "{shown}");
    let error = store::save(&folder, &rename_change(&garage(), "Renamed")).unwrap_err();
    assert!(matches!(error, StoreError::Newer { found: 2, known: 1, .. }), "{error}");
    assert_eq!(fs::read(folder.join(MACHINE)).unwrap(), newer);
}

#[test]
fn a_file_that_somebody_else_changed_is_kept_beside_the_new_one() {
    let (_dir, folder) = on_disk();
    let opened = store::open(&folder).unwrap();
    edit(&folder, MACHINE, "The outfit", "Changed in an editor");
    let theirs = fs::read(folder.join(MACHINE)).unwrap();
    let saved = store::save_record(&folder, &rename_change(&opened.garage, "Mine")).unwrap();
    assert_eq!(fs::read(saved.set_aside.expect("a copy")).unwrap(), theirs);
    assert_eq!(store::read(&folder).unwrap().garage.bays[0].machine.name, "Mine");
    // The usual case keeps no copy.
    let again = store::read(&folder).unwrap();
    let saved = store::save_record(&folder, &rename_change(&again.garage, "Mine again")).unwrap();
    assert_eq!(saved.set_aside, None);
}

#[test]
fn a_damaged_garage_record_does_not_hide_the_machines() {
    let (_dir, folder) = on_disk();
    fs::write(folder.join("garage.ron"), "(schema: 1, name: ").unwrap();
    let opened = store::open(&folder).unwrap();
    assert_eq!(opened.unreadable.len(), 1);
    assert_eq!(opened.garage.bays.len(), 1);
    assert_eq!(opened.garage.info.name, "garage", "it is called as its folder until the record is mended");
}
