//! Photos in the garage's folder: names of the project's making, problems named, and the command line's doors.

use std::path::{Path, PathBuf};
use std::process::Command;

use stemclock::edit::{Command as Wish, PhotoHome, decide, photos};
use stemclock::machine::{Layout, Machine, MachineId};
use stemclock::photo::{At, Kind, PhotoMark, PhotoRef};
use stemclock::{catalogue::Catalogue, garage::Garage, garage::GarageInfo, store};

use crate::bytes::{jpeg, png, says, told_jpeg};

fn machine() -> MachineId {
    MachineId("heron-7".into())
}

/// A garage with one machine, and a folder beside it.
fn garage() -> (tempfile::TempDir, PathBuf) {
    let dir = tempfile::tempdir().unwrap();
    let folder = dir.path().join("garage");
    store::create(&folder, &GarageInfo::default()).unwrap();
    wish(&folder, Wish::AddMachine(Machine::new(machine(), "Heron", Layout::Solo)));
    (dir, folder)
}

fn wish(folder: &Path, command: Wish) {
    let opened = store::read(folder).unwrap();
    store::save(folder, &decide(&opened.garage, &opened.catalogue, command).unwrap()).unwrap();
}

fn named(folder: &Path) -> Vec<String> {
    let entries = std::fs::read_dir(folder.join("machines/heron-7/photos")).unwrap();
    let mut names: Vec<String> = entries.map(|e| e.unwrap().file_name().into_string().unwrap()).collect();
    names.sort();
    names
}

fn today() -> chrono::NaiveDate {
    "2026-11-25".parse().unwrap()
}

#[test]
fn a_name_is_made_of_what_is_in_the_photo() {
    let (_dir, folder) = garage();
    let keep = |bytes: &[u8], kind| store::keep_photo(&folder, &machine(), bytes, kind).unwrap();
    let first = keep(&jpeg(20, 10), Kind::Jpeg);
    assert_eq!(keep(&jpeg(20, 10), Kind::Jpeg), first, "the same photo is kept once");
    let second = keep(&png(20, 10), Kind::Png);
    assert_eq!(named(&folder), {
        let mut n = vec![first.clone(), second];
        n.sort();
        n
    });
    // FIPS 180-4 by the system's own tool would give the same twenty digits; here their form is held.
    let digits = first.strip_prefix("photo-").and_then(|n| n.strip_suffix(".jpg")).unwrap();
    assert!(digits.len() == 20 && digits.bytes().all(|b| b.is_ascii_hexdigit()), "{first}");
    // What stands under the name and is another photo is not written over.
    let path = folder.join("machines/heron-7/photos").join(&first);
    std::fs::write(&path, b"something else").unwrap();
    let again = keep(&jpeg(20, 10), Kind::Jpeg);
    assert_ne!(again, first);
    assert_eq!(std::fs::read(&path).unwrap(), b"something else");
}

#[test]
fn a_missing_and_a_broken_photo_are_named_and_the_rest_opens() {
    let (_dir, folder) = garage();
    let good = store::keep_photo(&folder, &machine(), &jpeg(20, 10), Kind::Jpeg).unwrap();
    let swapped = store::keep_photo(&folder, &machine(), &jpeg(30, 10), Kind::Jpeg).unwrap();
    std::fs::write(folder.join("machines/heron-7/photos").join(&swapped), jpeg(31, 10)).unwrap();
    let cut = store::add_photo(&folder, &machine(), "cut.jpg", &jpeg(64, 64)[..400]).unwrap();
    for file in [good.as_str(), &swapped, &cut, "gone.jpg", "../machine.ron"] {
        wish(&folder, Wish::PutPhoto(machine(), PhotoHome::Machine, PhotoRef::new(file)));
    }
    let problems: Vec<String> = store::validate(&folder, today()).iter().map(ToString::to_string).collect();
    let about = |words: &[&str]| {
        assert!(problems.iter().any(|p| words.iter().all(|w| p.contains(w))), "{words:?} in {problems:#?}");
    };
    about(&["machine.ron:", "gone.jpg", "found none"]);
    about(&["machine.ron:", "../machine.ron", "found none"]);
    about(&["photos/cut.jpg", "cut short"]);
    about(&[&format!("photos/{swapped}"), "found another one"]);
    assert_eq!(problems.len(), 4, "{problems:#?}");
    assert_eq!(store::read(&folder).unwrap().garage.bays[0].machine.photos.len(), 5, "the machine opens");
}

#[test]
fn adding_marking_and_taking_away_are_commands_that_undo_turns_round() {
    let mut garage = Garage::default();
    let catalogue = Catalogue::builtin();
    let apply = |garage: &mut Garage, command: Wish| {
        let change = decide(garage, catalogue, command).unwrap();
        garage.evolve(&change);
        change
    };
    apply(&mut garage, Wish::AddMachine(Machine::new(machine(), "Heron", Layout::Solo)));
    let plain = PhotoRef::new("a.jpg");
    let added = apply(&mut garage, Wish::PutPhoto(machine(), PhotoHome::Machine, plain.clone()));
    assert_eq!(added.label, "add a photo");
    let marks = vec![PhotoMark::Arrow { tail: At { x: 1, y: 2 }, tip: At { x: 900, y: 900 } }];
    let marked = PhotoRef { marks, ..plain.clone() };
    let change = apply(&mut garage, Wish::PutPhoto(machine(), PhotoHome::Machine, marked.clone()));
    assert_eq!(change.label, "change a photo");
    let of = |garage: &Garage| photos(garage, &machine(), &PhotoHome::Machine).unwrap().to_vec();
    assert_eq!(of(&garage), [marked]);
    garage.evolve(&change.inverse());
    assert_eq!(of(&garage), [plain]);
    apply(&mut garage, Wish::RemovePhoto(machine(), PhotoHome::Machine, "a.jpg".into()));
    assert!(of(&garage).is_empty());
    let gone = Wish::RemovePhoto(machine(), PhotoHome::Machine, "a.jpg".into());
    assert!(decide(&garage, catalogue, gone).unwrap_err().to_string().contains("expected the photo a.jpg"));
}

/// A run of the built program: exit code, stdout, stderr.
fn run(arguments: &[&str]) -> (i32, String, String) {
    let mut program = Command::new(env!("CARGO_BIN_EXE_stemclock"));
    program.env_remove("DISPLAY").env_remove("WAYLAND_DISPLAY").env_remove("RUST_LOG");
    let done = program.args(arguments).output().unwrap();
    let text = |bytes| String::from_utf8(bytes).unwrap();
    (done.status.code().unwrap_or(-1), text(done.stdout), text(done.stderr))
}

#[test]
fn scripts_add_photos_and_those_refused_do_not_keep_the_others_out() {
    let (dir, folder) = garage();
    let outside = |name: &str, bytes: &[u8]| {
        let path = dir.path().join(name);
        std::fs::write(&path, bytes).unwrap();
        path.display().to_string()
    };
    let (good, lying) = (outside("a b'\n$.jpg", &told_jpeg(40, 30, 6)), outside("b.png", &jpeg(4, 4)));
    let folder_text = folder.display().to_string();
    let (code, out, err) = run(&[
        "photo",
        "add",
        &folder_text,
        "--machine",
        "heron",
        &good,
        &lying,
        "/none.jpg",
        "--words",
        "front",
        "--json",
    ]);
    assert_eq!(code, 1, "{err}");
    assert!(err.contains("expected a PNG file") && err.contains("found a JPEG file"), "{err}");
    assert!(err.contains("expected a file at /none.jpg"), "{err}");
    let answer: serde_json::Value = serde_json::from_str(&out).unwrap();
    assert_eq!((&answer["photos"][0]["width_px"], &answer["photos"][0]["height_px"]), (&30.into(), &40.into()));
    let names = named(&folder);
    assert_eq!(names.len(), 1);
    assert_eq!(answer["photos"][0]["file"], names[0].as_str());
    let photo = &store::read(&folder).unwrap().garage.bays[0].machine.photos[0];
    assert_eq!((photo.file.as_str(), photo.words.as_str()), (names[0].as_str(), "front"));
    assert!(!says(&std::fs::read(folder.join("machines/heron-7/photos").join(&names[0])).unwrap(), "SECRET"));
    assert!(store::validate(&folder, today()).is_empty());
    // A finding that is not there.
    let (code, _, err) = run(&["photo", "add", &folder_text, "--machine", "heron", "--finding", "x", &good]);
    assert_eq!(code, 1);
    assert!(err.contains("expected an inspection of Heron, found none"), "{err}");
}

#[test]
fn copies_have_their_boxes_filled_and_say_nothing_of_the_camera() {
    let (dir, folder) = garage();
    let file = store::keep_photo(&folder, &machine(), &told_jpeg(200, 100, 1), Kind::Jpeg).unwrap();
    let marks = vec![PhotoMark::Blur { corner: At { x: 0, y: 0 }, across: At { x: 10_000, y: 10_000 } }];
    wish(&folder, Wish::PutPhoto(machine(), PhotoHome::Machine, PhotoRef { marks, ..PhotoRef::new(&file) }));
    let out = dir.path().join("for-sale");
    let words =
        ["photo", "copy", &folder.display().to_string(), "--machine", "heron", "--out", &out.display().to_string()];
    let (code, told, err) = run(&words);
    assert_eq!((code, err.as_str()), (0, ""));
    let path = PathBuf::from(told.trim());
    let bytes = std::fs::read(&path).unwrap();
    assert!(!says(&bytes, "SECRET"));
    let picture = image::load_from_memory(&bytes).unwrap().into_rgb8();
    assert_eq!(picture.dimensions(), (200, 100));
    assert_eq!(picture.get_pixel(3, 3), picture.get_pixel(190, 90), "all of it is one colour");
}

#[test]
fn a_photo_that_no_record_names_is_a_note_with_the_way_out() {
    let (_dir, folder) = garage();
    let file = store::keep_photo(&folder, &machine(), &jpeg(20, 10), Kind::Jpeg).unwrap();
    let place = folder.display().to_string();
    let (code, out, err) = run(&["validate", &place]);
    assert_eq!((code, err.as_str()), (0, ""), "a photo that was taken out of a finding lies there too: {out}");
    let path = format!("machines/heron-7/photos/{file}");
    assert!(out.contains(&format!("Note: {path}: expected a record that names this photo")), "{out}");
    assert!(out.contains("No problem found: 1 machine, 1 record read."), "{out}");
    // The way out keeps the same file.
    let lying = folder.join(&path).display().to_string();
    let (code, _, err) = run(&["photo", "add", &place, "--machine", "heron", &lying]);
    assert_eq!((code, err.as_str()), (0, ""));
    assert_eq!(named(&folder), [file]);
    let (_, out, _) = run(&["validate", &place]);
    assert!(!out.contains("Note:"), "{out}");
    // Where a record cannot be read, what it names is not known.
    let record = folder.join("machines/heron-7/machine.ron");
    let whole = std::fs::read_to_string(&record).unwrap();
    std::fs::write(&record, whole.replacen("name:", "nmae:", 1)).unwrap();
    let (code, out, _) = run(&["validate", &place]);
    assert!(code == 1 && !out.contains("Note:"), "{out}");
}
