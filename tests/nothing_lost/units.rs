//! 2.5 bar and 250 kPa are one pressure and two things to read: a change of the unit alone is a change, and is kept.

use std::fs;

use stemclock::edit::{Change, Record, RecordKey};
use stemclock::store;
use stemclock::units::Pressure;

use crate::commands::{garage, outfit};

#[test]
fn somebodys_change_of_unit_is_kept_when_the_command_line_writes_over_it() {
    let dir = tempfile::tempdir().unwrap();
    let mut garage = garage();
    let bay = garage.bay_mut(&outfit()).unwrap();
    let placard = bay.machine.wheels.iter_mut().find_map(|wheel| wheel.placard.as_mut()).expect("a placard");
    placard.solo = Pressure::bar(2.5);
    store::save_all(dir.path(), &garage).unwrap();
    let key = RecordKey::Machine(outfit());
    let before = store::read(dir.path()).unwrap().garage.record(&key);
    // Meanwhile somebody writes the same in another unit.
    let path = dir.path().join(store::path_of(&key).unwrap());
    let text = fs::read_to_string(&path).unwrap();
    assert!(text.contains("\"2.5 bar\""), "{text}");
    let theirs = text.replace("\"2.5 bar\"", "\"250 kPa\"");
    fs::write(&path, &theirs).unwrap();
    let there = store::read(dir.path()).unwrap().garage.record(&key).unwrap();
    let Some(Record::Machine(mut machine)) = before.clone() else { panic!("a machine") };
    assert!(&there == before.as_ref().unwrap() && !there.is_same(before.as_ref().unwrap()), "equal, and not the same");
    machine.name = "By the command line".into();
    let change = Change { key, before, after: Some(Record::Machine(machine)), label: String::new() };
    let copy = store::save_record(dir.path(), &change).unwrap().set_aside.expect("theirs is kept beside it");
    assert_eq!(fs::read_to_string(copy).unwrap(), theirs);
}
