//! The class as it is run from the command line, from the exercise to the scores.

use std::path::Path;
use std::process::Command;

use stemclock::garage::{Bay, Garage, GarageInfo};
use stemclock::store;

use crate::bench::{key, machine};

pub struct Done {
    pub code: i32,
    pub out: String,
    pub err: String,
}

pub fn run(arguments: &[&str]) -> Done {
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

pub fn text(path: &Path) -> String {
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
    assert_eq!(scored.code, 1, "one was refused, and the rest is scored: {}", scored.err);
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

/// What a PDF says, page by page, as poppler reads it.
pub fn words_of(pdf: &Path) -> String {
    let done = Command::new("pdftotext").arg(pdf).arg("-").output().unwrap();
    assert!(done.status.success(), "{}", String::from_utf8_lossy(&done.stderr));
    String::from_utf8(done.stdout).unwrap().split_whitespace().collect::<Vec<_>>().join(" ")
}

/// A copy of the sample garage with its class.
fn sample() -> (tempfile::TempDir, String) {
    let home = tempfile::tempdir().unwrap();
    let folder = home.path().join("garage");
    store::copy_sample(&folder).unwrap();
    (home, text(&folder))
}

#[test]
fn the_class_of_the_sample_garage_is_printed_for_the_instructor_and_for_each_student() {
    let (home, garage) = sample();
    let (out, each) = (home.path().join("class.pdf"), home.path().join("each"));
    let done = run(&["class", &garage, "--key", "autumn", "--out", &text(&out), "--each", &text(&each)]);
    assert_eq!((done.code, done.err.as_str()), (0, ""), "{}", done.out);
    let report = words_of(&out);
    // Six students; by hand from the sheets: 32 of 54 findings found, of 38 written down.
    for words in [
        "Alma",
        "Bertil",
        "Ciara",
        "Dov",
        "Edda",
        "Femi",
        "32 of 54",
        "32 of 38",
        "What was missed most",
        "Balance weight missing",
        "kappa",
        "4 of 6",
        "not a statement of legal roadworthiness",
        "service manual",
        "Leave the nail in",
    ] {
        assert!(report.contains(words), "{words}: {report}");
    }
    let mut files: Vec<_> = std::fs::read_dir(&each).unwrap().map(|e| e.unwrap().file_name()).collect();
    files.sort();
    assert_eq!(files, ["01-alma.pdf", "02-bertil.pdf", "03-ciara.pdf", "04-dov.pdf", "05-edda.pdf", "06-femi.pdf"]);
    let says = |file: &str, words: &str| {
        let sheet = words_of(&each.join(file));
        assert!(sheet.contains(words), "{file}: {words}: {sheet}");
        assert!(sheet.contains("not a statement of legal roadworthiness"), "{file}");
    };
    says("01-alma.pdf", "18 of 18, 100 %");
    // 4:30 written as seen from the left is 7:30 from the right.
    says("02-bertil.pdf", "the clock was read from the other side");
    says("02-bertil.pdf", "7:30 from the right");
    says("03-ciara.pdf", "1 false alarm");
    // 5:25 from the key's 4:30 is 55 minutes, 27.5 degrees of the 1884.3 mm round a 120/70-17: 143.9 mm.
    says("03-ciara.pdf", "55 minutes off (144 mm)");
    says("04-dov.pdf", "minor instead of major");
    // The nick of the rear tyre was written down at the front: missed there, and a false alarm here.
    says("05-edda.pdf", "False alarms");
    says("06-femi.pdf", "no clock position given");
    says("06-femi.pdf", "Missed: not looked at");
}

#[test]
fn hidden_names_are_in_no_page_no_file_name_and_no_answer() {
    let (home, garage) = sample();
    let (out, each) = (home.path().join("class.pdf"), home.path().join("each"));
    let all = home.path().join("students.pdf");
    // One sheet more of a student, one of another exercise, and one that cannot be taken in again.
    let sheets = Path::new(&garage).join("exercises/autumn-class-6b3e/sheets");
    let alma = std::fs::read_to_string(sheets.join("alma-3f1c.ron")).unwrap();
    std::fs::write(sheets.join("alma-0000.ron"), alma.replace("alma-3f1c", "alma-0000")).unwrap();
    let hidden = run(&[
        "class",
        &garage,
        "--key",
        "autumn",
        "--hide-names",
        "--out",
        &text(&out),
        "--each",
        &text(&each),
        "--csv",
        &text(&home.path().join("scores.csv")),
        "--take-in",
        &text(&sheets.join("dov-c2e8.ron")),
        "--json",
    ]);
    assert_eq!(hidden.code, 1, "two were refused: {}", hidden.err);
    assert!(hidden.err.contains("student 1, sheet of student 1, is left out"), "{}", hidden.err);
    assert!(hidden.err.contains("sheet 1 of 1 was not taken in"), "{}", hidden.err);
    let printed = run(&["report", &garage, "--kind", "students", "--leave-out", "people", "--out", &text(&all)]);
    assert_eq!(printed.code, 0, "{}", printed.err);
    let mut told = vec![hidden.out, hidden.err, printed.out, words_of(&out), words_of(&all)];
    told.push(std::fs::read_to_string(home.path().join("scores.csv")).unwrap());
    for file in std::fs::read_dir(&each).unwrap() {
        let path = file.unwrap().path();
        told.push(path.file_name().unwrap().to_string_lossy().into_owned());
        // What is not on the page may stand in the file's description of itself.
        let about = Command::new("pdfinfo").arg(&path).output().unwrap();
        told.push(String::from_utf8(about.stdout).unwrap());
        told.push(words_of(&path));
    }
    assert!(told.iter().any(|t| t.contains("Student 6")));
    for name in ["Alma", "Bertil", "Ciara", "Dov", "Edda", "Femi"] {
        for text in &told {
            let place = text.to_lowercase().find(&name.to_lowercase());
            assert!(
                place.is_none(),
                "{name}: …{}",
                &text[place.unwrap_or_default()..].chars().take(80).collect::<String>()
            );
        }
    }
}

#[test]
fn a_report_of_the_class_is_one_of_the_kinds_of_report() {
    let (home, garage) = sample();
    let out = home.path().join("class.pdf");
    let done = run(&["report", &garage, "--kind", "class", "--exercise", "autumn", "--out", &text(&out)]);
    assert_eq!((done.code, done.err.as_str()), (0, ""), "{}", done.out);
    assert!(words_of(&out).contains("What the class comes to"));
    let none = run(&["report", &garage, "--kind", "class", "--machine", "moped", "--out", &text(&out)]);
    assert!(none.code == 1 && none.err.contains("expected a class exercise with its key"), "{}", none.err);
    let wrong = run(&["class", &garage, "--key", "autumn", "--out", &text(&home.path().join("class.txt"))]);
    assert!(wrong.code == 1 && wrong.err.contains("ends in .pdf"), "{}", wrong.err);
}

#[test]
fn planted_defects_are_listed_printed_and_ticked_out_one_by_one() {
    let (home, garage) = sample();
    let class = |more: &[&str]| {
        let mut all = vec!["class", garage.as_str(), "--key", "autumn"];
        all.extend(more);
        run(&all)
    };
    let screw = class(&["--plant", "Screw head on the front tyre, 4:30 from the right", "--remove", "prise it off"]);
    assert!(screw.code == 0 && screw.out.contains("reads: Do not ride, class exercise"), "{} {}", screw.out, screw.err);
    let fuse = class(&["--plant", "Fuse of the stop lamp taken out", "--remove", "put it back", "--by", "M. Fenwick"]);
    assert!(fuse.out.contains("still in (2)"), "{}", fuse.out);
    assert!(fuse.err.contains("or it counts as a false alarm"), "the key holds no fuse: {}", fuse.err);
    let status = run(&["status", &garage]);
    assert!(status.out.contains("planted for a class: Fuse of the stop lamp taken out"), "{}", status.out);
    let reads = "the machine reads: Do not ride, class exercise";
    for asked in [
        &["judge", &garage, "--machine", "standard"][..],
        &["walk", &garage, "--machine", "standard"],
        &["due", &garage, "--machine", "standard"],
        &["due", &garage],
    ] {
        let done = run(asked);
        assert!(done.out.lines().next().unwrap().contains(reads), "{asked:?}: {}{}", done.out, done.err);
    }
    // Of the machines beside it nothing is said.
    let other = run(&["judge", &garage, "--machine", "tourer"]);
    assert!(other.code == 0 && !other.out.contains("class exercise"), "{}", other.out);
    for kind in ["record", "sale", "comparison", "carry"] {
        let done = run(&["report", &garage, "--machine", "standard", "--kind", kind, "--text"]);
        let words = done.out.split_whitespace().collect::<Vec<_>>().join(" ");
        // In the head, before anything else is said of the machine.
        let said = words.find(reads).unwrap_or(usize::MAX);
        assert!(said < 700, "{kind} at {said}: {words}{}", done.err);
        if kind == "carry" {
            let told = ["Screw head", "stop lamp taken", "2 planted", "prise"].into_iter().find(|w| words.contains(w));
            assert_eq!(told, None, "students may hold the carry sheet");
        }
    }
    let out = home.path().join("class.pdf");
    let scored = class(&["--out", &text(&out)]);
    assert!(scored.out.contains("Planted on Blue standard and still in (2)"), "{}", scored.out);
    let report = words_of(&out);
    for words in ["Do not ride, class exercise", "2 defects were planted", "Prise it off", "Put it back"] {
        assert!(report.contains(words), "{words}: {report}");
    }
    for (which, expected) in [("wheel", "no \"wheel\""), ("t", "2 that it may be")] {
        let refused = class(&["--taken-out", which, "--look", "clean", "--by", "Kim"]);
        assert!(refused.code == 1 && refused.err.contains(expected), "{which}: {}", refused.err);
    }
    let without = class(&["--taken-out", "screw"]);
    assert!(without.code == 2 && without.err.contains("--look"), "{}", without.err);
    let first = class(&["--taken-out", "screw", "--look", "clean, holds its pressure", "--by", "Kim"]);
    assert!(first.out.contains("still in (1)"), "{} {}", first.out, first.err);
    let second = class(&["--taken-out", "fuse", "--look", "lights by both controls", "--by", "Kim"]);
    assert!(second.code == 0 && !second.out.contains("class exercise"), "{} {}", second.out, second.err);
    let events = Path::new(&garage).join("machines/standard-4c1f/events");
    let names = std::fs::read_dir(events).unwrap().map(|e| e.unwrap().file_name().to_string_lossy().into_owned());
    assert_eq!(names.filter(|n| n.contains("planted")).count(), 4, "one event each");
    let done = run(&["validate", &garage]);
    assert!(done.out.contains("No problem found"), "{}", done.out);
}

#[test]
fn a_fault_of_the_key_that_no_catalogue_knows_is_told_before_the_scores() {
    let (_home, garage) = sample();
    let path = Path::new(&garage).join("exercises/autumn-class-6b3e/key.ron");
    let key = std::fs::read_to_string(&path).unwrap();
    std::fs::write(&path, key.replacen("fault: \"contaminated\"", "fault: \"nonsense\"", 1)).unwrap();
    let scored = run(&["class", &garage, "--key", "autumn"]);
    assert!(scored.err.contains("expected a fault of") && scored.err.contains("\"nonsense\""), "{}", scored.err);
}

#[test]
fn a_record_that_is_there_and_cannot_be_read_is_not_called_missing() {
    let (_home, garage) = sample();
    let machine = Path::new(&garage).join("machines/standard-4c1f/machine.ron");
    let sound = std::fs::read_to_string(&machine).unwrap();
    std::fs::write(&machine, format!("<<<<<<< mine\n{sound}=======\n{sound}>>>>>>> theirs\n")).unwrap();
    let told = run(&["validate", &garage]);
    assert!(told.code == 1 && told.out.contains("machines/standard-4c1f/machine.ron"), "{}{}", told.out, told.err);
    assert!(!told.out.contains("exercise.ron"), "to correct that id would spoil a sound file: {}", told.out);
    std::fs::write(&machine, sound).unwrap();
    // An inspection that an event names: only the inspection is told.
    let watched = Path::new(&garage).join("machines/standard-4c1f/events/2026-11-21-watched-70b9.ron");
    let words = std::fs::read_to_string(watched).unwrap();
    let after = words.split("inspection: \"").nth(1).unwrap();
    let inspection = after.split('"').next().unwrap();
    let path = Path::new(&garage).join(format!("machines/standard-4c1f/inspections/{inspection}.ron"));
    std::fs::write(&path, "<<<<<<< mine\n").unwrap();
    let told = run(&["validate", &garage]);
    assert!(told.out.contains(&format!("inspections/{inspection}.ron")), "{}", told.out);
    assert!(!told.out.contains("watched-70b9.ron"), "{}", told.out);
    // One that is not there is told still.
    std::fs::remove_file(&path).unwrap();
    let told = run(&["validate", &garage]);
    assert!(told.out.contains("watched-70b9.ron"), "{}", told.out);
}
