//! Garages as earlier versions wrote them, one for every form that records have had: each opens whole, is sound, and is
//! saved over without losing anything; what is of an older schema is kept as it was.

use std::fs;
use std::path::{Path, PathBuf};

use stemclock::edit::{Change, Record, RecordKey};
use stemclock::garage::Garage;
use stemclock::machine::SCHEMA;
use stemclock::store;

use crate::{files, fixture, write};

/// The old garages and the one of today.
fn garages() -> Vec<PathBuf> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut found: Vec<PathBuf> =
        fs::read_dir(root.join("tests/old_garages")).unwrap().map(|entry| entry.unwrap().path()).collect();
    found.sort();
    assert!(found.len() >= 2, "{found:?}");
    found.push(root.join("sample-garage"));
    found
}

fn schema(bytes: &[u8]) -> Option<u32> {
    let text = std::str::from_utf8(bytes).ok()?;
    text.split_once("schema: ")?.1.split(',').next()?.parse().ok()
}

fn records(garage: &Garage) -> Vec<(RecordKey, Record)> {
    let mut keys = vec![RecordKey::Garage];
    for bay in &garage.bays {
        let id = &bay.machine.id;
        keys.push(RecordKey::Machine(id.clone()));
        keys.extend(bay.inspections.iter().map(|i| RecordKey::Inspection(id.clone(), i.id.clone())));
        keys.extend(bay.events.iter().map(|e| RecordKey::Event(id.clone(), e.id.clone())));
    }
    for course in &garage.courses {
        let id = &course.exercise.id;
        keys.push(RecordKey::Exercise(id.clone()));
        keys.extend(course.key.as_ref().map(|_| RecordKey::Key(id.clone())));
        keys.extend(course.sheets.iter().map(|s| RecordKey::Sheet(id.clone(), s.id.clone())));
    }
    keys.into_iter().map(|key| (key.clone(), garage.record(&key).unwrap())).collect()
}

#[test]
fn each_opens_whole_is_sound_and_is_saved_over_with_nothing_lost() {
    for from in garages() {
        let dir = tempfile::tempdir().unwrap();
        let old = files(&from);
        write(dir.path(), &old);
        let opened = store::open(dir.path()).unwrap();
        assert_eq!(opened.unreadable, vec![], "{}", from.display());
        let records = records(&opened.garage);
        let ron = old.keys().filter(|name| name.ends_with(".ron") && !name.starts_with("kinds/")).count();
        assert_eq!(records.len(), ron, "{}: every file is a record in the garage", from.display());
        let problems = store::validate(dir.path(), fixture::today());
        assert_eq!(problems, vec![], "{}", from.display());
        let mut older = 0;
        for (key, record) in records {
            let path = store::path_of(&key).unwrap();
            let change = Change { key, before: Some(record.clone()), after: Some(record), label: String::new() };
            assert_eq!(store::save_record(dir.path(), &change).unwrap().set_aside, None, "{path}");
            let was = schema(&old[&path]).unwrap();
            let kept = dir.path().join(format!("{path}.schema-{was}"));
            if was < SCHEMA {
                older += 1;
                assert_eq!(fs::read(&kept).unwrap(), old[&path], "{path} is kept as it was");
            }
            assert_eq!(kept.exists(), was < SCHEMA, "{path}");
        }
        assert!(store::read(dir.path()).unwrap().garage == opened.garage, "{}", from.display());
        assert_eq!(store::validate(dir.path(), fixture::today()), vec![], "{}: copies are no problem", from.display());
        println!("{}: {ron} records, {older} of an older schema", from.file_name().unwrap().display());
    }
}

#[test]
fn there_is_a_garage_of_every_schema() {
    let schemas: std::collections::BTreeSet<u32> =
        garages().iter().flat_map(|g| files(g).into_values().collect::<Vec<_>>()).filter_map(|b| schema(&b)).collect();
    let missing: Vec<u32> = (1..=SCHEMA).filter(|n| !schemas.contains(n)).collect();
    assert!(missing.is_empty(), "put a garage of schema {missing:?} into tests/old_garages");
}
