//! A class in the window, by the names that a screen reader hears: an instructor makes an exercise, edits the key and
//! writes the pack; a student opens it, works and hands in; the instructor takes the sheet in, sees the score, and steps
//! through the projector by keyboard.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use egui::Key as Pressed;
use egui::accesskit::Role;
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use stemclock::app::{Question, Shell};
use stemclock::catalogue::Catalogue;
use stemclock::class::words;
use stemclock::exercise::{Key, ZoneRule};
use stemclock::garage::{Bay, Course, Garage, GarageInfo};
use stemclock::inspection::{Answer, CheckRef, CheckState, Severity, Station, Subject, Value};
use stemclock::store;
use stemclock::ui::{Action, ClassItem, Place, Where};
use stemclock::units::Pressure;

use crate::bench::{FRONT, exercise, key, machine, on_part, sheet};
use crate::support::{Bench, fill, press, rest, window};

const LARGE: [f32; 2] = [1600.0, 1000.0];
const SMALL: [f32; 2] = [1024.0, 700.0];

type Window = Harness<'static, Shell>;

/// How often some words are told.
fn told(window: &Window, words: &str) -> usize {
    window.query_all_by_label_contains(words).count()
}

fn hit(window: &mut Window, key: Pressed) {
    window.key_press(key);
    window.run();
}

/// Presses the first button with a label.
fn button(window: &mut Window, label: &str) {
    rest(window);
    window.get_all_by_role_and_label(Role::Button, label).next().expect(label).click_accesskit();
    window.run();
}

/// The inspection that becomes the key, with a pressure read.
fn walked() -> stemclock::inspection::Inspection {
    let mut inspection = key().inspection;
    let mut answer = Answer { state: CheckState::Sound, ..Answer::default() };
    answer.readings.insert("cold".into(), Value::Pressure(Pressure::kpa(250.0)));
    inspection.answers.insert(CheckRef::new("tyre-pressure", Subject::Wheel(FRONT)), answer);
    inspection
}

/// A school's garage on disk: one machine, walked round once.
fn school(home: &Path) -> PathBuf {
    let folder = home.join("school");
    let mut bay = Bay::new(machine());
    bay.inspections = vec![walked()];
    let info = GarageInfo { name: "School".into(), ..GarageInfo::default() };
    store::save_all(&folder, &Garage { info, bays: vec![bay], ..Garage::default() }).unwrap();
    folder
}

/// A school whose exercise has these sheets.
fn marked(home: &Path, sheets: Vec<stemclock::exercise::Sheet>) -> PathBuf {
    let folder = home.join("marked");
    let course = Course { exercise: exercise(), key: Some(key()), sheets };
    let info = GarageInfo { name: "School".into(), ..GarageInfo::default() };
    let garage = Garage { info, bays: vec![Bay::new(machine())], courses: vec![course], ..Garage::default() };
    store::save_all(&folder, &garage).unwrap();
    folder
}

fn the_key(window: &Window) -> Key {
    window.state().garage().courses[0].key.clone().expect("a key")
}

fn finding_words(index: usize) -> String {
    words::finding_words(Catalogue::builtin(), &key().inspection.findings[index])
}

#[test]
fn an_exercise_is_made_keyed_packed_walked_handed_in_and_marked() {
    let (bench, home) = (Bench::new(), tempfile::tempdir().unwrap());
    let at = |name: &str| home.path().join(name).display().to_string();
    let school = school(home.path());
    let mut window = window(bench.shell(Some(&school)), LARGE);
    hit(&mut window, Pressed::F7);

    // The instructor makes the exercise from the machine in hand.
    assert!(told(&window, "None yet. Make one below") > 0, "an empty place says what to do first");
    fill(&mut window, "Title", "Walk round the Heron");
    fill(&mut window, "Time limit", "soon");
    assert!(told(&window, "expected whole minutes") > 0, "a slip is told with the way out");
    fill(&mut window, "Time limit", "40");
    button(&mut window, "Make the exercise");
    let course = window.state().garage().courses[0].clone();
    assert_eq!((course.exercise.title.as_str(), course.exercise.minutes), ("Walk round the Heron", Some(40)));
    assert_eq!(the_key(&window).inspection.findings.len(), 2);

    // The key: how near, which zones and names count, weight, a reading, what a false alarm costs.
    let nail = finding_words(0);
    let called = Catalogue::builtin().fault_words(&key().inspection.findings[0]).to_owned();
    button(&mut window, &format!("1. {called}"));
    fill(&mut window, &format!("Near enough: {nail}"), "a lot");
    assert!(told(&window, "expected clock minutes") > 0);
    fill(&mut window, &format!("Near enough: {nail}"), "45 min");
    button(&mut window, "the same only");
    fill(&mut window, &format!("Weight: {nail}"), "2,5");
    let puncture = Catalogue::builtin().check("tyre-look").unwrap();
    let puncture = format!("{}: {}", puncture.title, puncture.fault("puncture").unwrap().words);
    button(&mut window, &puncture);
    fill(&mut window, "A false alarm costs", "0.25");
    fill(&mut window, "In the wrong place", "40 %");
    let reading = window.get_by(|n| n.role() == Role::CheckBox && n.label().is_some_and(|l| l.contains("2.50 bar")));
    let name = reading.accesskit_node().label().unwrap();
    reading.click_accesskit();
    window.run();
    let what = name.rsplit_once(':').unwrap().0.to_owned();
    fill(&mut window, &format!("May be off by: {what}"), "10 kPa");
    let edited = the_key(&window);
    let mark = edited.mark(&edited.inspection.findings[0].id);
    assert_eq!((mark.near_minutes, mark.zone, mark.weight), (45.0, ZoneRule::Same, 2.5));
    assert_eq!(mark.also, ["tyre-look:puncture"]);
    assert_eq!((edited.marking.false_alarm, edited.marking.misplaced), (0.25, 0.4));
    assert_eq!(edited.readings.len(), 1);
    assert_eq!(edited.readings[0].within, Some(Value::Pressure(Pressure::kpa(10.0))));

    // The pack: a typed path, never into the garage itself, never over a file without being asked twice.
    button(&mut window, "Hand out, take in");
    fill(&mut window, "or type a path for it", &school.join("pack.zip").display().to_string());
    assert!(told(&window, "outside the garage's folder") > 0);
    fill(&mut window, "or type a path for it", &at("pack"));
    rest(&mut window);
    assert!(home.path().join("pack.zip").is_file(), "the ending is added");
    fill(&mut window, "or type a path for it", &at("pack.zip"));
    assert!(told(&window, "There is a file of that name already") > 0);

    // The student opens it, walks round and hands in.
    let sheet = student(home.path());
    let handed = store::read_sheet(&sheet).unwrap();
    assert_eq!((handed.student.as_str(), handed.inspection.findings.len()), ("Kim", 1));
    let when: Vec<_> = handed.inspection.answers.values().map(|a| a.at.map(|t| t.to_string())).collect();
    assert_eq!(when, [Some("10:30:00".to_owned())], "the moment of each answer is kept");

    // The instructor takes it in, beside a file that is none.
    let broken = home.path().join("broken.ron");
    std::fs::write(&broken, "(schema: 1, id: \"x\"").unwrap();
    for path in [&broken, &sheet, &sheet] {
        fill(&mut window, "or type the path of one", &path.display().to_string());
        rest(&mut window);
    }
    assert!(told(&window, "broken.ron was not taken in") > 0 && told(&window, "1 sheet taken in") > 0);
    assert!(told(&window, "is there already") > 0, "the same sheet twice is named");
    assert_eq!(window.state().garage().courses[0].sheets.len(), 1);
    button(&mut window, "Scores");
    assert!(told(&window, "Recall, found of all there were: 1 of 2") > 0);
    assert!(told(&window, "found by 1 of 1") > 0 && told(&window, "missed by 1") > 0);
    fill(&mut window, "or type a path for it", &at("scores"));
    rest(&mut window);
    assert!(std::fs::read_to_string(home.path().join("scores.csv")).unwrap().contains("\nKim,"));
    fill(&mut window, "or type a path for the report", &at("class"));
    fill(&mut window, "or a folder for the sheets", &at("sheets"));
    rest(&mut window);
    for pdf in ["class.pdf", "sheets/01-kim.pdf"] {
        assert!(std::fs::read(home.path().join(pdf)).unwrap().starts_with(b"%PDF-"), "{pdf}");
    }
    press(&mut window, "Kim");
    assert!(
        told(&window, "missed: not looked at") > 0 && told(&window, "found, 10 minutes off (26 mm); earns 2.5") > 0
    );
    button(&mut window, "Back to the class");

    // Undo takes the sheet out again and shows where.
    hit(&mut window, Pressed::F1);
    button(&mut window, "Undo: take a sheet in");
    assert_eq!(window.state().state().place, Place::Class);
    assert!(window.state().garage().courses[0].sheets.is_empty());
}

/// What a student does with the pack; gives the file that is handed in.
fn student(home: &Path) -> PathBuf {
    let bench = Bench::new();
    let mut window = window(bench.shell(Some(&bench.garage())), LARGE);
    hit(&mut window, Pressed::F7);
    fill(&mut window, "or type its path", &home.join("pack.zip").display().to_string());
    rest(&mut window);
    assert_eq!(window.state().folder(), Some(home.join("pack").as_path()), "it is unpacked beside it");
    assert!(told(&window, "1. Walk round the machine") > 0, "the exercise is in hand");
    assert!(window.query_by_label("The key").is_none(), "a student sees no key");
    button(&mut window, "Begin");
    button(&mut window, "Begin the inspection");
    assert!(told(&window, "40 min left of 40") > 0, "the time that is left is told");
    rest(&mut window);
    window.get_all_by_role_and_label(Role::ComboBox, "Zone").next().unwrap().click_accesskit();
    window.run();
    window.get_by_label("right shoulder").click_accesskit();
    window.run();
    window.get_by_role_and_label(Role::TextInput, "Place, from the right").focus();
    window.run();
    window.get_by_role_and_label(Role::TextInput, "Place, from the right").type_text("4:40");
    window.run();
    hit(&mut window, Pressed::Enter);
    let nail = Catalogue::builtin().check("tyre-look").unwrap().fault("foreign-body").unwrap().words.clone();
    button(&mut window, &stemclock::ui::widgets::sentence(&nail));
    rest(&mut window);
    hit(&mut window, Pressed::F7);
    fill(&mut window, "Your name", "Kim");
    let sheet = home.join("kim.ron");
    fill(&mut window, "or type a path", &sheet.display().to_string());
    rest(&mut window);
    assert!(told(&window, "Send this one file to your instructor") > 0);
    sheet
}

#[test]
fn the_projector_steps_hides_and_reveals_by_keyboard_alone() {
    let (bench, home) = (Bench::new(), tempfile::tempdir().unwrap());
    let key_findings = key().inspection.findings;
    let sheets = vec![sheet("Ada", key_findings.clone()), sheet("Bo", vec![key_findings[0].clone()])];
    let folder = marked(home.path(), sheets);
    for size in [LARGE, SMALL] {
        let mut window = window(bench.shell(Some(&folder)), size);
        hit(&mut window, Pressed::F7);
        match size == LARGE {
            true => button(&mut window, "Projector (P)"),
            false => hit(&mut window, Pressed::P),
        }
        assert!(window.query_by_label("Walk-around").is_none(), "it has the window to itself");
        assert!(told(&window, "2 sheets are marked") > 0);
        assert_eq!(told(&window, "2 things to find"), 0, "how many there are is the key's to say");
        hit(&mut window, Pressed::ArrowLeft);
        hit(&mut window, Pressed::ArrowRight);
        assert!(told(&window, "Finding 1 of 2, the key is hidden") > 0);
        let nail = words::place_words(&key_findings[0]);
        assert!(told(&window, &nail) == 0 && told(&window, Severity::Major.word()) == 0, "hidden is hidden");
        hit(&mut window, Pressed::Space);
        assert!(told(&window, &nail) > 0 && told(&window, "major") > 0);
        assert!(told(&window, "Found by 2: 1\u{a0}Ada, 2\u{a0}Bo") > 0);
        hit(&mut window, Pressed::N);
        assert!(told(&window, "Ada") == 0 && told(&window, "Found by 2") > 0, "names are hidden on request");
        hit(&mut window, Pressed::N);
        hit(&mut window, Pressed::ArrowRight);
        assert!(told(&window, "Finding 2 of 2, the key is hidden") > 0, "a new step is hidden");
        hit(&mut window, Pressed::Space);
        assert!(told(&window, "Found by 1: 1\u{a0}Ada") > 0 && told(&window, "Missed by 1: 2\u{a0}Bo") > 0);
        hit(&mut window, Pressed::ArrowRight);
        // Three of four findings of the key were found.
        assert!(told(&window, "Found of all there were: 75 % (3 of 4)") > 0);
        hit(&mut window, Pressed::ArrowRight);
        hit(&mut window, Pressed::ArrowLeft);
        assert!(told(&window, "Finding 2 of 2") > 0, "the last step is the last");
        hit(&mut window, Pressed::Escape);
        assert!(window.query_by_label("Walk-around").is_some(), "the window is given back");
    }
}

#[test]
fn a_machine_with_planted_defects_reads_do_not_ride_until_each_is_ticked_out() {
    let (bench, home) = (Bench::new(), tempfile::tempdir().unwrap());
    let folder = marked(home.path(), Vec::new());
    let mut window = window(bench.shell(Some(&folder)), LARGE);
    hit(&mut window, Pressed::F7);
    button(&mut window, "Planted");
    assert!(told(&window, "Nothing is planted on Heron now.") > 0);
    for index in 0..2 {
        button(&mut window, &finding_words(index));
        fill(&mut window, "How it is taken out", "pulled with pliers");
        button(&mut window, "Put it on the list");
    }
    assert_eq!(told(&window, "No finding of the key is called so"), 0, "both are of the key");
    let banner = "do not ride, class exercise: 2 planted defects are still in";
    hit(&mut window, Pressed::F2);
    assert!(told(&window, banner) > 0, "it is said in every place");
    button(&mut window, "Removal list (F7)");
    // Without a second look and a name nothing is out.
    for left in [1, 0] {
        let tick = window.get_all_by_role(Role::CheckBox).next().unwrap();
        tick.click_accesskit();
        window.run();
        fill(&mut window, "What the second look showed", "nothing left in the rubber");
        assert_eq!(stemclock::history::planted(&window.state().garage().bays[0], today()).len(), left + 1);
        fill(&mut window, "Who looked", "Ada");
        button(&mut window, "It is out");
        assert_eq!(stemclock::history::planted(&window.state().garage().bays[0], today()).len(), left);
    }
    assert_eq!(told(&window, "do not ride, class exercise:"), 0, "the banner goes with the last one");
    button(&mut window, "Undo: take a planted defect out");
    assert!(told(&window, "do not ride, class exercise: 1 planted defect is still in") > 0);
}

#[test]
fn a_planted_defect_that_the_key_does_not_hold_is_said_to_count_as_a_false_alarm() {
    let (bench, home) = (Bench::new(), tempfile::tempdir().unwrap());
    let folder = marked(home.path(), Vec::new());
    let mut window = window(bench.shell(Some(&folder)), LARGE);
    hit(&mut window, Pressed::F7);
    button(&mut window, "Planted");
    fill(&mut window, "What, and where", "fuse of the stop lamp taken out");
    fill(&mut window, "How it is taken out", "put it back");
    button(&mut window, "Put it on the list");
    assert_eq!(told(&window, "No finding of the key is called so"), 1);
}

#[test]
fn an_exercise_that_is_not_begun_is_told_in_every_place_with_its_task_and_how_it_begins() {
    let (bench, home) = (Bench::new(), tempfile::tempdir().unwrap());
    let folder = home.path().join("student");
    let courses = vec![Course::new(exercise())];
    let garage = Garage { bays: vec![Bay::new(machine())], courses, ..Garage::default() };
    store::save_all(&folder, &garage).unwrap();
    let mut window = window(bench.shell(Some(&folder)), SMALL);
    let kind = &Catalogue::builtin().kind("season").unwrap().name;
    for place in [Pressed::F1, Pressed::F2] {
        hit(&mut window, place);
        for words in
            ["Walk round the Heron", "Find what is wrong and say where.", &format!("inspection of the kind \"{kind}\"")]
        {
            assert!(told(&window, words) > 0, "{place:?}: {words}");
        }
    }
    button(&mut window, "To the exercise (F7)");
    assert!(told(&window, "1. Walk round the machine") > 0);
    assert!(window.query_by_label("To the exercise (F7)").is_none(), "its own page says it anyway");
    button(&mut window, "All exercises");
    assert!(told(&window, &format!("to be walked as \"{kind}\"")) > 0);
    // An instructor, who has the key, is not asked to begin.
    let mut window = self::window(bench.shell(Some(&marked(home.path(), Vec::new()))), SMALL);
    hit(&mut window, Pressed::F1);
    assert_eq!(told(&window, "Find what is wrong and say where."), 0);
}

fn today() -> chrono::NaiveDate {
    crate::support::NOW[..10].parse().unwrap()
}

#[test]
fn what_cannot_be_marked_is_named_with_why_and_names_are_hidden_everywhere() {
    let (bench, home) = (Bench::new(), tempfile::tempdir().unwrap());
    let mut edited = sheet("Cy", Vec::new());
    edited.machine.name = "Heron, repainted".into();
    let mut again = sheet("Ada", Vec::new());
    again.id = stemclock::exercise::SheetId("ada-2".into());
    let first = sheet("Ada", key().inspection.findings);
    let folder = marked(home.path(), vec![first, again, edited]);
    let mut window = window(bench.shell(Some(&folder)), SMALL);
    hit(&mut window, Pressed::F7);
    button(&mut window, "Scores");
    assert!(told(&window, "Cy: expected the machine as it was handed out, found another value in name:") > 0);
    assert!(told(&window, "Ada: expected one sheet") > 0);
    window.get_by_label_contains("Hide the students' names").click();
    window.run();
    for name in ["Ada", "Cy"] {
        assert_eq!(told(&window, name), 0, "{name} is hidden");
    }
    assert!(told(&window, "student 2") > 0);
    fill(&mut window, "or type a path for it", &home.path().join("hidden.csv").display().to_string());
    rest(&mut window);
    let table = std::fs::read_to_string(home.path().join("hidden.csv")).unwrap();
    assert!(!table.contains("Ada") && table.contains("student 1"), "{table}");
    // A sheet that is not wanted is taken out.
    button(&mut window, "Take this sheet out");
    assert_eq!(window.state().garage().courses[0].sheets.len(), 2);
}

#[test]
fn dialogs_ask_for_every_file_and_what_they_answer_is_done() {
    let (bench, home) = (Bench::new(), tempfile::tempdir().unwrap());
    let folder = marked(home.path(), vec![sheet("Ada", Vec::new())]);
    let mut window = window(bench.shell(Some(&folder)), LARGE);
    let answer = |action: Action| *bench.answers.answer.lock().unwrap() = Some(action);
    hit(&mut window, Pressed::F7);
    button(&mut window, "Hand out, take in");
    let id = exercise().id;
    answer(Action::ClassFile(id.clone(), ClassItem::PackFolder, Where::Agreed(home.path().to_owned())));
    button(&mut window, "Save a folder…");
    rest(&mut window);
    let students = store::read(&home.path().join(&id.0)).unwrap().garage;
    assert!(students.courses[0].key.is_none() && students.courses[0].sheets.is_empty());
    let other = home.path().join("bo.ron");
    store::write_sheet(&other, &sheet("Bo", vec![on_part("b", "horn", "silent", Station::Bars)])).unwrap();
    answer(Action::TakeInSheets(id.clone(), vec![other]));
    button(&mut window, "Take sheets in…");
    rest(&mut window);
    assert_eq!(window.state().garage().courses[0].sheets.len(), 2);
    let asked = bench.answers.asked.lock().unwrap().clone();
    assert!(matches!(&asked[0], Question::ClassFile { what: ClassItem::PackFolder, .. }));
    assert_eq!(asked[1], Question::Sheets(id));
}

#[derive(Debug)]
struct Dropped(PathBuf);

impl egui::DroppedFile for Dropped {
    fn path(&self) -> &Path {
        &self.0
    }
    fn bytes(&self) -> Result<Vec<u8>, String> {
        Err("the window reads the file by its path".into())
    }
}

#[test]
fn files_dropped_on_the_class_are_taken_in() {
    let (bench, home) = (Bench::new(), tempfile::tempdir().unwrap());
    let folder = marked(home.path(), Vec::new());
    let mut window = window(bench.shell(Some(&folder)), LARGE);
    hit(&mut window, Pressed::F7);
    let (ada, other) = (home.path().join("ada.ron"), home.path().join("other.ron"));
    store::write_sheet(&ada, &sheet("Ada", Vec::new())).unwrap();
    let mut elsewhere = sheet("Eve", Vec::new());
    elsewhere.exercise.0 = "another-exercise".into();
    store::write_sheet(&other, &elsewhere).unwrap();
    for path in [ada, other] {
        window.input_mut().dropped_files.push(Arc::new(Dropped(path)));
    }
    window.run();
    rest(&mut window);
    assert_eq!(window.state().garage().courses[0].sheets.len(), 1);
    assert!(told(&window, "other.ron was not taken in") > 0 && told(&window, "another-exercise") > 0);
}

#[test]
fn what_is_no_exercise_is_refused_with_why_and_what_is_open_stays_open() {
    use std::io::Write;
    let (bench, home) = (Bench::new(), tempfile::tempdir().unwrap());
    let mut window = window(bench.shell(Some(&bench.garage())), LARGE);
    hit(&mut window, Pressed::F7);
    let at = |name: &str| home.path().join(name);
    std::fs::write(at("words.zip"), "no archive at all").unwrap();
    let mut climbing = zip::ZipWriter::new(std::fs::File::create(at("climbing.zip")).unwrap());
    climbing.start_file("../outside.ron", zip::write::SimpleFileOptions::default()).unwrap();
    climbing.write_all(b"(schema: 1, name: \"x\")").unwrap();
    climbing.finish().unwrap();
    for (name, why) in [
        ("words.zip", "expected a zip file"),
        ("climbing.zip", "expected the records of a garage only"),
        ("missing.zip", "missing.zip"),
    ] {
        fill(&mut window, "or type its path", &at(name).display().to_string());
        rest(&mut window);
        assert!(told(&window, &format!("{name} could not be opened")) > 0, "{name}");
        let told = window.state().notes().last().unwrap().details.clone();
        assert!(told.contains(why), "{name}: {told}");
        assert_eq!(window.state().folder(), Some(bench.garage().as_path()), "{name}");
    }
    assert!(!at("outside.ron").exists() && !home.path().parent().unwrap().join("outside.ron").exists());
}
