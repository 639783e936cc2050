//! The class as it is run from the command line, from the exercise to the scores.

use std::path::Path;
use std::process::Command;

use stemclock::garage::{Bay, Garage, GarageInfo};
use stemclock::store;

use crate::bench::{key, machine};

struct Done {
    code: i32,
    out: String,
    err: String,
}

fn run(arguments: &[&str]) -> Done {
    let done = Command::new(env!("CARGO_BIN_EXE_stemclock"))
        .args(arguments)
        .env_remove("DISPLAY")
        .env_remove("WAYLAND_DISPLAY")
        .output()
        .unwrap();
    Done {
        code: done.status.code().unwrap_or(-1),
        out: String::from_utf8(done.stdout).unwrap(),
        err: String::from_utf8(done.stderr).unwrap(),
    }
}

fn text(path: &Path) -> String {
    path.to_string_lossy().into_owned()
}

#[test]
fn a_class_goes_from_the_exercise_to_the_scores() {
    let home = tempfile::tempdir().unwrap();
    let at = |name: &str| text(&home.path().join(name));
    let mut bay = Bay::new(machine());
    bay.inspections = vec![key().inspection];
    let school = home.path().join("school");
    let info = GarageInfo { name: "School".into(), ..GarageInfo::default() };
    store::save_all(&school, &Garage { info, bays: vec![bay], ..Garage::default() }).unwrap();
    let school = text(&school);

    let made = run(&["class", &school, "--new", "Walk round", "--machine", "heron"]);
    assert!(made.code == 0 && made.out.contains("a key of 2 findings"), "{} {}", made.out, made.err);
    let packed = run(&["class", &school, "--key", "walk", "--pack", &at("pack.zip")]);
    assert!(packed.code == 0, "{}", packed.err);
    let unpacked = run(&["class", &at("student"), "--unpack", &at("pack.zip")]);
    assert!(unpacked.code == 0 && unpacked.out.contains("Walk round"), "{} {}", unpacked.out, unpacked.err);

    // The student has walked round: the inspection is put where the window would have put it.
    let mut student = store::read(&home.path().join("student")).unwrap().garage;
    let mut walked = key().inspection;
    walked.id = stemclock::inspection::InspectionId("2026-10-03-season-zz".into());
    walked.findings.truncate(1);
    student.bays[0].inspections.push(walked);
    store::save_all(&home.path().join("student-2"), &student).unwrap();
    let handed = run(&["class", &at("student-2"), "--hand-in", &at("kim.ron"), "--student", "=Kim"]);
    assert!(handed.code == 0, "{}", handed.err);

    std::fs::write(home.path().join("broken.ron"), "(schema: 1, id: \"x\"").unwrap();
    let scored = run(&[
        "class",
        &school,
        "--key",
        "walk",
        "--take-in",
        &at("kim.ron"),
        &at("broken.ron"),
        "--csv",
        &at("scores.csv"),
    ]);
    assert_eq!(scored.code, 0, "{}", scored.err);
    assert!(scored.err.contains("broken.ron was not taken in") && scored.err.contains("expected"), "{}", scored.err);
    for words in ["1 sheets scored", "=Kim", "found", "missed: not looked at", "Recall: 1 of 2"] {
        assert!(scored.out.contains(words), "{words}: {}", scored.out);
    }
    let csv = std::fs::read_to_string(home.path().join("scores.csv")).unwrap();
    assert!(csv.starts_with("student,") && csv.contains("\n'=Kim,"), "a name is no formula: {csv}");
    let again = run(&["class", &school, "--key", "walk", "--take-in", &at("kim.ron")]);
    assert!(again.err.contains("is there already"), "{}", again.err);
    let hidden = run(&["class", &school, "--key", "walk", "--hide-names", "--json"]);
    assert!(!hidden.out.contains("\"student\": \"=Kim\"") && hidden.out.contains("student 1"), "{}", hidden.out);
    let from_student = run(&["class", &at("student-2"), "--key", "walk"]);
    assert!(from_student.code == 1 && from_student.err.contains("holds no key"), "{}", from_student.err);
}
