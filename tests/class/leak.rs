//! No byte of the key reaches the students: the pack is opened and searched for everything the key says.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use stemclock::clock::Side;
use stemclock::edit::{Command, History, decide};
use stemclock::exercise::{Key, Mark, Marking, ReadingMark};
use stemclock::garage::{Bay, Course, Garage, GarageInfo};
use stemclock::inspection::{Answer, CheckRef, CheckState, Event, EventId, EventKind, FindingId, Subject, Value, Zone};
use stemclock::machine::{Machine, SCHEMA};
use stemclock::store;
use stemclock::units::{Distance, Length, Pressure, Temperature};

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
    answer.at = "07:51:33".parse().ok();
    answer.note = "note-of-the-answer".into();
    inspection.answers.insert(CheckRef::new("tyre-pressure", Subject::Wheel(FRONT)), answer);
    inspection.odometer = Some(Distance::km(31_313.0));
    inspection.conditions.ambient = Some(Temperature::celsius(13.37));
    inspection.conditions.standing_hours = Some(6.25);
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
    "07:51:33",
    "note-of-the-answer",
    "31313",
    "13.37",
    "planted-for-the-class",
    "how-it-is-taken-out",
    "zq-photo-bytes",
    "set-aside",
    "a-note-beside-the-kinds",
    "words-of-a-photo-of-the-machine",
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

/// The machine with what only the instructor knows of it.
fn own_machine() -> Machine {
    let mut machine = machine();
    machine.photos = vec!["zq-photo.jpg".into()];
    machine.photos[0].words = "words-of-a-photo-of-the-machine".into();
    machine
}

fn event(id: &str, kind: EventKind) -> Event {
    Event { schema: SCHEMA, id: EventId(id.into()), date: "2026-10-03".parse().unwrap(), by: "Ada".into(), kind }
}

fn instructors_garage(folder: &Path) -> Garage {
    let mut bay = Bay::new(own_machine());
    bay.inspections = vec![telling_key().inspection];
    bay.events = vec![
        event("2026-10-03-zq", EventKind::Fall { note: "fall-before-the-class".into() }),
        event(
            "2026-10-03-zr",
            EventKind::Planted {
                exercise: exercise().id.0,
                what: "planted-for-the-class".into(),
                remove: "how-it-is-taken-out".into(),
            },
        ),
    ];
    let course = Course { exercise: exercise(), key: Some(telling_key()), sheets: vec![sheet("Ada", Vec::new())] };
    let info = GarageInfo { name: "School".into(), ..GarageInfo::default() };
    let garage = Garage { info, bays: vec![bay], courses: vec![course], ..Garage::default() };
    store::save_all(folder, &garage).unwrap();
    let photo = image_bytes();
    store::add_photo(folder, &machine().id, "zq-photo.jpg", &photo).unwrap();
    // What a save, an editor or the instructor leaves beside the records.
    for (path, text) in [
        ("exercises/walk-round-19ab/key.ron.set-aside-1", "zq-nail"),
        ("exercises/walk-round-19ab/key.ron~", "zq-nail"),
        ("kinds/own.ron.set-aside-1", "zq-nail, set-aside"),
        ("kinds/read-me.txt", "a-note-beside-the-kinds"),
        ("kinds/.own.ron.swp", "zq-nail"),
    ] {
        let path = folder.join(path);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, text).unwrap();
    }
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
    let as_folder = home.path().join("folder");
    store::write_pack(&zip, &pack, &school).unwrap();
    store::unpack(&zip, &unpacked).unwrap();
    store::write_pack_folder(&as_folder, &pack, &school).unwrap();
    for folder in [&unpacked, &as_folder] {
        let mut names: Vec<String> = files(folder).into_iter().map(|(name, _)| name).collect();
        names.sort();
        assert_eq!(names, ["exercises/walk-round-19ab/exercise.ron", "garage.ron", "machines/heron-7k2m/machine.ron"]);
    }
    let raw = fs::read(&zip).unwrap();
    let handed_out: Vec<(String, Vec<u8>)> = files(&unpacked)
        .into_iter()
        .chain(files(&as_folder))
        .chain([("the zip file itself".to_owned(), raw.clone())])
        .collect();
    for (name, bytes) in &handed_out {
        for text in TELLING {
            assert!(!holds(bytes, text) && !name.contains(text), "{name} tells \"{text}\"");
        }
    }
    // Nor does the zip say when it was made: every file in it is dated at the beginning of the format.
    let mut archive = zip::ZipArchive::new(fs::File::open(&zip).unwrap()).unwrap();
    for index in 0..archive.len() {
        let file = archive.by_index(index).unwrap();
        let made = file.last_modified().unwrap();
        assert_eq!((made.year(), made.month(), made.day(), made.hour()), (1980, 1, 1, 0), "{}", file.name());
        assert!(file.comment().is_empty() && file.extra_data().unwrap_or_default().is_empty(), "{}", file.name());
    }
    assert!(archive.comment().is_empty());
}

/// Every text and number of a record, keys of maps included, as it would stand in a file.
fn leaves(value: &serde_json::Value, into: &mut Vec<String>) {
    match value {
        serde_json::Value::String(text) => into.push(text.clone()),
        serde_json::Value::Number(number) => into.push(number.to_string()),
        serde_json::Value::Array(items) => items.iter().for_each(|item| leaves(item, into)),
        serde_json::Value::Object(entries) => {
            for (key, value) in entries {
                into.push(key.clone());
                leaves(value, into);
            }
        }
        serde_json::Value::Null | serde_json::Value::Bool(_) => {}
    }
}

#[test]
fn every_value_of_the_key_is_looked_for_whatever_field_it_stands_in() {
    // The list above is written by hand; this one is made of the record, so that a field of tomorrow is looked for too.
    let home = tempfile::tempdir().unwrap();
    let (school, zip, unpacked) =
        (home.path().join("school"), home.path().join("pack.zip"), home.path().join("student"));
    let garage = instructors_garage(&school);
    store::write_pack(&zip, &stemclock::class::pack(&garage, &exercise()).unwrap(), &school).unwrap();
    store::unpack(&zip, &unpacked).unwrap();
    let mut of_key = Vec::new();
    leaves(&serde_json::to_value(telling_key()).unwrap(), &mut of_key);
    // What the exercise and the machine say by themselves is no secret: made of the records, not of the pack.
    let mut open = Vec::new();
    leaves(&serde_json::to_value(exercise()).unwrap(), &mut open);
    leaves(&serde_json::to_value(stemclock::class::for_students(&machine())).unwrap(), &mut open);
    leaves(&serde_json::to_value(GarageInfo { name: exercise().title, ..GarageInfo::default() }).unwrap(), &mut open);
    // The line at the head of each file names the kind of its record.
    open.push("A Stemclock exercise record".into());
    let is_open = |leaf: &String| open.iter().any(|text| text.contains(leaf.as_str()));
    // One or two letters or figures stand in any file by chance.
    let secret: Vec<&String> = of_key.iter().filter(|leaf| leaf.len() > 2 && !is_open(leaf)).collect();
    assert!(secret.len() > 40, "too little to look for: {secret:?}");
    for (name, bytes) in files(&unpacked) {
        for leaf in &secret {
            assert!(!holds(&bytes, leaf), "{name} tells \"{leaf}\"");
        }
    }
}

#[test]
fn how_many_in_which_order_and_what_was_undone_change_no_byte_of_the_pack() {
    let home = tempfile::tempdir().unwrap();
    let school = home.path().join("school");
    let garage = instructors_garage(&school);
    let bytes_of = |name: &str, garage: &Garage| {
        let to = home.path().join(name);
        store::write_pack(&to, &stemclock::class::pack(garage, &exercise()).unwrap(), &school).unwrap();
        fs::read(to).unwrap()
    };
    let packed = bytes_of("pack.zip", &garage);
    let with = |change: &dyn Fn(&mut Garage)| {
        let mut other = garage.clone();
        change(&mut other);
        other
    };
    let key_of = |garage: &mut Garage, change: &dyn Fn(&mut Key)| change(garage.courses[0].key.as_mut().unwrap());
    for (what, other) in [
        ("the order", with(&|g| key_of(g, &|k| k.inspection.findings.reverse()))),
        ("how many", with(&|g| key_of(g, &|k| k.inspection.findings.truncate(1)))),
        ("when", with(&|g| key_of(g, &|k| k.inspection.started = "18:00:00".parse().ok()))),
        ("the sheets", with(&|g| g.courses[0].sheets.clear())),
        ("no key at all", with(&|g| g.courses[0].key = None)),
        (
            "no past at all",
            with(&|g| {
                g.bays[0].inspections.clear();
                g.bays[0].events.clear();
            }),
        ),
    ] {
        assert_eq!(packed, bytes_of("other.zip", &other), "{what} can be told from the pack");
    }
    // A key that was put, taken back and put again leaves nothing either: what undo knows is in no file.
    let catalogue = stemclock::catalogue::Catalogue::builtin();
    let (mut edited, mut history) = (garage.clone(), History::default());
    let mut undone = telling_key();
    undone.inspection.note = "note-of-an-undone-key".into();
    let change = decide(&edited, catalogue, Command::PutKey(undone)).unwrap();
    store::save(&school, &change).unwrap();
    edited.evolve(&change);
    history.push(change);
    let back = history.undo().unwrap();
    store::save(&school, &back).unwrap();
    edited.evolve(&back);
    assert!(history.redo_label().is_some(), "the undone key can be put again");
    assert_eq!(packed, bytes_of("undone.zip", &edited));
    for (name, bytes) in files(&school) {
        assert!(!holds(&bytes, "note-of-an-undone-key"), "{name} keeps what was undone");
    }
}

#[test]
fn students_never_learn_that_a_defect_was_planted() {
    let home = tempfile::tempdir().unwrap();
    let (school, zip, unpacked) =
        (home.path().join("school"), home.path().join("pack.zip"), home.path().join("student"));
    let garage = instructors_garage(&school);
    let today = "2026-10-03".parse().unwrap();
    let reads = |garage: &Garage| {
        let catalogue = stemclock::catalogue::Catalogue::builtin();
        stemclock::rules::standing(&garage.bays[0], catalogue, &garage.info.units, today).verdict.map(|v| v.sentence())
    };
    let own = reads(&garage).unwrap();
    assert!(own.starts_with("Do not ride, class exercise"), "{own}");
    store::write_pack(&zip, &stemclock::class::pack(&garage, &exercise()).unwrap(), &school).unwrap();
    store::unpack(&zip, &unpacked).unwrap();
    let students = store::read(&unpacked).unwrap().garage;
    assert_eq!(reads(&students), None, "nobody has gone over it yet, and that is all it says");
    assert_eq!(store::validate(&unpacked, today), Vec::new());
    for (name, bytes) in files(&unpacked) {
        assert!(!String::from_utf8_lossy(&bytes).to_lowercase().contains("plant"), "{name}");
    }
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
