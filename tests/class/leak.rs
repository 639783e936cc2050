//! No byte of the key reaches the students: the pack is opened and searched for everything the key says.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use stemclock::clock::Side;
use stemclock::exercise::{Key, Mark, Marking, ReadingMark};
use stemclock::garage::{Bay, Course, Garage, GarageInfo};
use stemclock::inspection::{Answer, CheckRef, CheckState, Event, EventId, EventKind, FindingId, Subject, Value, Zone};
use stemclock::machine::SCHEMA;
use stemclock::store;
use stemclock::units::{Length, Pressure};

use crate::bench::{FRONT, exercise, key, machine, on_tyre, right, sheet};

/// A key whose every value stands nowhere else.
fn telling_key() -> Key {
    let mut key = key();
    let inspection = &mut key.inspection;
    inspection.note = "note-of-the-key".into();
    inspection.inspector = "Inspector of the key".into();
    inspection.started = "07:43:21".parse().ok();
    inspection.conditions.place = "place of the key".into();
    inspection.findings = vec![
        on_tyre("zq-nail", "foreign-body", Zone::Shoulder(Side::Right), Some(right("4:37"))),
        on_tyre("zq-cut", "cut-cord", Zone::Sidewall(Side::Left), Some(right("9:11"))),
    ];
    inspection.findings[0].photos = vec!["zq-photo.jpg".into()];
    inspection.findings[0].note = "note-of-the-finding".into();
    inspection.findings[0].size = Some(Length::mm(7.77));
    let mut answer = Answer { state: CheckState::CouldNot("why-not-of-the-key".into()), ..Answer::default() };
    answer.readings.insert("cold".into(), Value::Pressure(Pressure::kpa(213.79)));
    inspection.answers.insert(CheckRef::new("tyre-pressure", Subject::Wheel(FRONT)), answer);
    key.marks = BTreeMap::from([(
        FindingId("zq-nail".into()),
        Mark { near_minutes: 17.25, weight: 3.125, also: vec!["tyre-look:puncture".into()], ..Mark::default() },
    )]);
    key.readings = vec![ReadingMark {
        check: CheckRef::new("tyre-pressure", Subject::Wheel(FRONT)),
        field: "cold".into(),
        within: Some(Value::Pressure(Pressure::kpa(4.44))),
        weight: 2.875,
    }];
    key.marking = Marking { false_alarm: 0.6875, misplaced: 0.4375, ..Marking::default() };
    key
}

/// What the key says, as text that could stand in a file.
const TELLING: &[&str] = &[
    "zq-",
    "foreign-body",
    "cut-cord",
    "puncture",
    "note-of-the-key",
    "note-of-the-finding",
    "why-not-of-the-key",
    "Inspector of the key",
    "place of the key",
    "07:43:21",
    "2026-10-03-season-k1",
    "213.79",
    "4.44",
    "7.77",
    "17.25",
    "3.125",
    "2.875",
    "0.6875",
    "0.4375",
    "138.5",
    "275.5",
    "false_alarm",
    "marks",
    "inspections",
    "findings",
    "events",
    "sheets",
    "key.ron",
    "photos",
    "bought from a neighbour",
    "1M8GDM9AXKP042788",
    "Ada",
];

fn instructors_garage(folder: &Path) -> Garage {
    let mut bay = Bay::new(machine());
    bay.inspections = vec![telling_key().inspection];
    bay.events = vec![Event {
        schema: SCHEMA,
        id: EventId("2026-10-03-zq".into()),
        date: "2026-10-03".parse().unwrap(),
        by: String::new(),
        kind: EventKind::Fall { note: "fall-before-the-class".into() },
    }];
    let course = Course { exercise: exercise(), key: Some(telling_key()), sheets: vec![sheet("Ada", Vec::new())] };
    let info = GarageInfo { name: "School".into(), ..GarageInfo::default() };
    let garage = Garage { info, bays: vec![bay], courses: vec![course], ..Garage::default() };
    store::save_all(folder, &garage).unwrap();
    let photo = image_bytes();
    store::add_photo(folder, &machine().id, "zq-photo.jpg", &photo).unwrap();
    garage
}

fn image_bytes() -> Vec<u8> {
    b"not a picture, only bytes: zq-photo-bytes".to_vec()
}

/// Every file below a folder as path and bytes.
fn files(folder: &Path) -> Vec<(String, Vec<u8>)> {
    let mut found = Vec::new();
    let mut folders = vec![folder.to_path_buf()];
    while let Some(next) = folders.pop() {
        for entry in fs::read_dir(&next).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else {
                let name = path.strip_prefix(folder).unwrap().to_string_lossy().into_owned();
                found.push((name, fs::read(&path).unwrap()));
            }
        }
    }
    found
}

fn holds(bytes: &[u8], text: &str) -> bool {
    bytes.windows(text.len()).any(|w| w == text.as_bytes())
}

#[test]
fn no_byte_of_the_key_is_in_the_students_pack() {
    let home = tempfile::tempdir().unwrap();
    let (school, zip, unpacked) =
        (home.path().join("school"), home.path().join("pack.zip"), home.path().join("student"));
    let garage = instructors_garage(&school);
    // The search would find what is there: everything stands in the instructor's own folder.
    let own: Vec<u8> =
        files(&school).into_iter().flat_map(|(name, bytes)| [name.into_bytes(), bytes]).flatten().collect();
    for text in TELLING {
        assert!(holds(&own, text), "the key does not say \"{text}\", so looking for it proves nothing");
    }
    let pack = stemclock::class::pack(&garage, &exercise()).unwrap();
    store::write_pack(&zip, &pack, &school).unwrap();
    store::unpack(&zip, &unpacked).unwrap();
    let mut names: Vec<String> = files(&unpacked).into_iter().map(|(name, _)| name).collect();
    names.sort();
    assert_eq!(names, ["exercises/walk-round-19ab/exercise.ron", "garage.ron", "machines/heron-7k2m/machine.ron",]);
    let raw = fs::read(&zip).unwrap();
    for (name, bytes) in files(&unpacked).into_iter().chain([("the zip file itself".to_owned(), raw)]) {
        for text in TELLING {
            assert!(!holds(&bytes, text) && !name.contains(text), "{name} tells \"{text}\"");
        }
    }
    // Nor how many findings there are, nor in which order, nor when they were written: another key, the same bytes.
    let mut other = garage;
    other.bays[0].inspections.clear();
    other.bays[0].events.clear();
    other.courses[0].key = None;
    other.courses[0].sheets.clear();
    let again = home.path().join("again.zip");
    store::write_pack(&again, &stemclock::class::pack(&other, &exercise()).unwrap(), &school).unwrap();
    assert_eq!(fs::read(&zip).unwrap(), fs::read(&again).unwrap());
}

#[test]
fn a_strangers_pack_can_name_no_place_outside() {
    use std::io::Write;
    let home = tempfile::tempdir().unwrap();
    for (index, name) in [
        "../outside.ron",
        "/etc/outside.ron",
        "machines/../../outside/machine.ron",
        "machines/a/b/machine.ron",
        "kinds/..",
        "kinds/con.ron",
        "C:\\outside.ron",
        "exercises/x/key.ron",
        "machines/x/photos/a.jpg",
        "run.sh",
    ]
    .into_iter()
    .enumerate()
    {
        let zip = home.path().join(format!("{index}.zip"));
        let mut writer = zip::ZipWriter::new(fs::File::create(&zip).unwrap());
        for file in ["garage.ron", name] {
            writer.start_file(file, zip::write::SimpleFileOptions::default()).unwrap();
            writer.write_all(b"(schema: 1, name: \"x\")").unwrap();
        }
        writer.finish().unwrap();
        let to = home.path().join(format!("to-{index}"));
        let refused = store::unpack(&zip, &to).unwrap_err().to_string();
        assert!(refused.contains("expected the records of a garage only"), "{name}: {refused}");
        assert!(!to.exists(), "{name}: something was written");
    }
}

#[test]
fn a_pack_that_swells_is_refused() {
    use std::io::Write;
    let home = tempfile::tempdir().unwrap();
    let zip = home.path().join("bomb.zip");
    let mut writer = zip::ZipWriter::new(fs::File::create(&zip).unwrap());
    let options = zip::write::SimpleFileOptions::default().compression_method(zip::CompressionMethod::Deflated);
    writer.start_file("garage.ron", options).unwrap();
    let zeros = vec![b' '; 1 << 20];
    for _ in 0..32 {
        writer.write_all(&zeros).unwrap();
    }
    writer.finish().unwrap();
    assert!(fs::metadata(&zip).unwrap().len() < 100_000);
    let refused = store::unpack(&zip, &home.path().join("to")).unwrap_err().to_string();
    assert!(refused.contains("is larger"), "{refused}");
}
