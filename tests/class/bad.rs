//! What comes back wrong from a class of thirty: each file is named with what is wrong with it, and the rest is scored.

use std::fs;
use std::path::{Path, PathBuf};

use stemclock::exercise::{ExerciseId, Mark, ReadingMark, Sheet, SheetId};
use stemclock::garage::{Bay, Course, Garage, GarageInfo};
use stemclock::inspection::{CheckRef, FindingId, Subject, Value};
use stemclock::store;
use stemclock::units::Pressure;

use crate::bench::{FRONT, exercise, key, machine, sheet};
use crate::door::{run, text, words_of};

/// The instructor's garage with a key and no sheets.
fn school(home: &Path) -> PathBuf {
    let folder = home.join("school");
    let course = Course { exercise: exercise(), key: Some(key()), sheets: Vec::new() };
    let info = GarageInfo { name: "School".into(), ..GarageInfo::default() };
    let garage = Garage { info, bays: vec![Bay::new(machine())], courses: vec![course], ..Garage::default() };
    store::save_all(&folder, &garage).unwrap();
    folder
}

/// A sheet as a student's program writes it.
fn sent(home: &Path, name: &str, sheet: &Sheet) -> String {
    let path = home.join(name);
    store::write_sheet(&path, sheet).unwrap();
    text(&path)
}

#[test]
fn of_thirty_files_each_wrong_one_is_named_and_the_rest_is_scored() {
    let home = tempfile::tempdir().unwrap();
    let school = school(home.path());
    let home = home.path();
    let all = key().inspection.findings;
    let mut files = Vec::new();
    for n in 1..=22 {
        files.push(sent(home, &format!("s{n:02}.ron"), &sheet(&format!("Student{n:02}"), all[..n % 3].to_vec())));
    }
    let elsewhere = Sheet { exercise: ExerciseId("another-class-77aa".into()), ..sheet("Elsewhere", all.clone()) };
    files.push(sent(home, "elsewhere.ron", &elsewhere));
    let mut again = Sheet { id: SheetId("student01-later".into()), ..sheet(" student01", all.clone()) };
    again.inspection.started = "11:00:00".parse().ok();
    files.push(sent(home, "again.ron", &again));
    files.push(files[4].clone());
    let mut edited = sheet("Edited", all.clone());
    edited.machine.wheels[0].tyre = None;
    files.push(sent(home, "edited.ron", &edited));
    let whole = fs::read_to_string(&files[0]).unwrap();
    let raw: [(&str, Vec<u8>); 6] = [
        ("broken.ron", whole.as_bytes()[..whole.len() / 2].to_vec()),
        ("climbing.ron", whole.replace("student01-1", "../../../climbed").into_bytes()),
        ("newer.ron", whole.replacen("schema: 1", "schema: 99", 1).into_bytes()),
        ("no-text.ron", vec![0xff, 0xfe, 0x00, 0x12]),
        ("a-zip.ron", b"PK\x03\x04 and so on".to_vec()),
        ("empty.ron", Vec::new()),
    ];
    for (name, bytes) in raw {
        fs::write(home.join(name), bytes).unwrap();
        files.push(text(&home.join(name)));
    }
    files.push(text(&home.join("not-there.ron")));
    files.push(text(home));

    let out = home.join("class.pdf");
    let (school_text, out_text) = (text(&school), text(&out));
    let mut command = vec!["class", &school_text, "--key", "walk", "--json", "--out", &out_text, "--take-in"];
    command.extend(files.iter().map(String::as_str));
    let done = run(&command);
    assert_eq!(done.code, 1, "some were refused: {}", done.err);
    for (file, why) in [
        ("elsewhere.ron", "found one of another-class-77aa"),
        ("s05.ron", "is there already"),
        ("broken.ron", "expected"),
        ("climbing.ron", "expected a sheet id"),
        ("newer.ron", "newer"),
        ("no-text.ron", "expected"),
        ("a-zip.ron", "expected"),
        ("empty.ron", "expected"),
        ("not-there.ron", "not-there.ron"),
    ] {
        let line = done.err.lines().find(|l| l.contains(&format!("{file} was not taken in")));
        assert!(line.is_some_and(|l| l.contains(why)), "{file}: {why}: {}", done.err);
    }
    assert!(
        done.err.contains("Edited, edited-1, is left out: expected the machine as it was handed out"),
        "{}",
        done.err
    );
    assert!(
        done.err.contains("Student01, student01-1, is left out: expected one sheet from each student"),
        "{}",
        done.err
    );
    let told: serde_json::Value = serde_json::from_str(&done.out).unwrap();
    assert_eq!(told["students"].as_array().unwrap().len(), 22, "twenty-two people, one of them by the later sheet");
    assert_eq!(told["left_out"].as_array().unwrap().len(), 2);
    let report = words_of(&out);
    for words in ["Sheets left out", "edited-1", "the one begun last is scored", "22, 2 left out"] {
        assert!(report.contains(words), "{words}: {report}");
    }
    // Nothing was written beside the sheets of this exercise.
    let names = |folder: &Path| -> Vec<String> {
        let mut names: Vec<String> =
            fs::read_dir(folder).unwrap().map(|e| e.unwrap().file_name().to_string_lossy().into_owned()).collect();
        names.sort();
        names
    };
    assert_eq!(names(&school.join("exercises")), ["walk-round-19ab"]);
    assert_eq!(names(&school.join("exercises/walk-round-19ab")), ["exercise.ron", "key.ron", "sheets"]);
    assert_eq!(names(&school.join("exercises/walk-round-19ab/sheets")).len(), 24);
    assert!(!home.join("climbed.ron").exists() && !school.join("climbed.ron").exists());

    // One that is damaged on the instructor's own disk is named with its line, and the others are still scored.
    let damaged = school.join("exercises/walk-round-19ab/sheets/student02-1.ron");
    let whole = fs::read_to_string(&damaged).unwrap();
    fs::write(&damaged, whole.replacen("student:", "studnt:", 1)).unwrap();
    let done = run(&["class", &school_text, "--key", "walk", "--json"]);
    assert!(done.code == 1 && done.err.contains("sheets/student02-1.ron:"), "{}", done.err);
    let told: serde_json::Value = serde_json::from_str(&done.out).unwrap();
    assert_eq!(told["students"].as_array().unwrap().len(), 21);
}

#[test]
fn a_pack_whose_paths_climb_out_is_refused_whole_and_named() {
    use std::io::Write as _;
    let home = tempfile::tempdir().unwrap();
    let pack = home.path().join("pack.zip");
    let mut writer = zip::ZipWriter::new(fs::File::create(&pack).unwrap());
    for file in ["garage.ron", "machines/heron-7k2m/machine.ron", "machines/../../../climbed.ron"] {
        writer.start_file(file, zip::write::SimpleFileOptions::default()).unwrap();
        writer.write_all(b"(schema: 1, name: \"x\")").unwrap();
    }
    writer.finish().unwrap();
    let to = home.path().join("a/b/student");
    let done = run(&["class", &text(&to), "--unpack", &text(&pack)]);
    assert!(done.code == 1 && done.err.contains("machines/../../../climbed.ron"), "{}", done.err);
    assert!(done.err.contains("expected the records of a garage only"), "{}", done.err);
    assert!(!to.exists() && !home.path().join("a/climbed.ron").exists());
}

#[test]
fn a_key_that_cannot_be_meant_is_told_by_validate() {
    let home = tempfile::tempdir().unwrap();
    let mut bad = key();
    let of = |id: &str| FindingId(id.into());
    bad.marks.insert(of("k-none"), Mark::default());
    bad.marks.insert(of("k-nail"), Mark { near_minutes: 500.0, also: vec!["flat".into()], ..Mark::default() });
    let cold = |within| ReadingMark {
        check: CheckRef::new("tyre-pressure", Subject::Wheel(FRONT)),
        field: "cold".into(),
        within,
        weight: 1.0,
    };
    bad.readings =
        vec![cold(Some(Value::Pressure(Pressure::kpa(5.0)))), ReadingMark { field: "warmth".into(), ..cold(None) }];
    bad.marking.misplaced = 7.0;
    let strays = Sheet { exercise: ExerciseId("another-class-77aa".into()), ..sheet("Elsewhere", Vec::new()) };
    let mut elsewhere = exercise();
    elsewhere.id = ExerciseId("gone-1".into());
    elsewhere.machine = stemclock::machine::MachineId("sold-1".into());
    elsewhere.kind = "no-such-kind".into();
    let garage = Garage {
        bays: vec![Bay::new(machine())],
        courses: vec![Course::new(elsewhere), Course { exercise: exercise(), key: Some(bad), sheets: vec![strays] }],
        ..Garage::default()
    };
    let folder = home.path().join("school");
    store::save_all(&folder, &garage).unwrap();
    let problems: Vec<String> =
        store::validate(&folder, "2026-11-01".parse().unwrap()).into_iter().map(|p| p.to_string()).collect();
    let said = problems.join("\n");
    for words in [
        "found \"k-none\", so its mark counts for nothing",
        "expected at most 360 minutes of the hour-hand clock, half the wheel, found 500",
        "found \"flat\": correct it",
        "in the key's own answers, found none",
        "found \"warmth\": correct the name",
        "expected a share from 0 to 1, found 7",
        "expected a machine of this garage, found \"sold-1\"",
        "found \"no-such-kind\"",
        "found one of another-class-77aa",
    ] {
        assert!(said.contains(words), "{words}: {said}");
    }
    assert!(problems.iter().all(|p| p.contains(".ron:")), "with line and column: {said}");
}
