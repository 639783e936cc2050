//! Every door that writes a file for somebody: it goes into no garage, has the ending of its form, and takes the place
//! of nothing but an older file of its own form.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

use stemclock::exercise::ExerciseId;
use stemclock::machine::MachineId;
use stemclock::photo::PhotoRef;
use stemclock::store;

use crate::door::{run, text, words_of};

const MACHINE: &str = "standard-4c1f";

/// Every file of a folder with its bytes.
fn files(folder: &Path) -> BTreeMap<PathBuf, Vec<u8>> {
    let mut found = BTreeMap::new();
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        match path.is_dir() {
            true => found.extend(files(&path)),
            false => drop(found.insert(path.clone(), fs::read(&path).unwrap())),
        }
    }
    found.retain(|path, _| !path.ends_with(".stemclock.lock"));
    found
}

/// A copy of the sample garage with a photo.
fn garage(home: &Path) -> PathBuf {
    let folder = home.join("garage");
    store::copy_sample(&folder).unwrap();
    let mut jpeg = std::io::Cursor::new(Vec::new());
    image::RgbImage::new(30, 20).write_to(&mut jpeg, image::ImageFormat::Jpeg).unwrap();
    let opened = store::open(&folder).unwrap();
    let mut machine = opened.garage.bays.iter().find(|b| b.machine.id.0 == MACHINE).unwrap().machine.clone();
    let kept = store::keep_photo(&folder, &machine.id, &jpeg.into_inner(), stemclock::photo::Kind::Jpeg).unwrap();
    machine.photos.push(PhotoRef::new(kept));
    let command = stemclock::edit::Command::EditMachine(machine);
    store::save(&folder, &stemclock::edit::decide(&opened.garage, &opened.catalogue, command).unwrap()).unwrap();
    folder
}

/// A door: its words before the path, the ending of what it writes, and the name of a file in it where it takes a folder.
struct Door {
    words: Vec<String>,
    ending: &'static str,
    of_a_folder: Option<String>,
}

fn doors(garage: &Path) -> Vec<Door> {
    let held = store::read(garage).unwrap().garage;
    let photo = held.bay(&MachineId(MACHINE.into())).unwrap().machine.photos[0].file.clone();
    let garage = text(garage);
    let door = |words: &[&str], ending, of_a_folder: Option<&str>| Door {
        words: words.iter().map(|w| (*w).replace("GARAGE", &garage)).collect(),
        ending,
        of_a_folder: of_a_folder.map(ToOwned::to_owned),
    };
    let report = ["report", "GARAGE", "--machine", MACHINE, "--kind", "record"];
    vec![
        door(&["class", "GARAGE", "--key", "autumn", "--csv"], "csv", None),
        door(&["class", "GARAGE", "--key", "autumn", "--pack"], "zip", None),
        door(&["class", "GARAGE", "--key", "autumn", "--out"], "pdf", None),
        door(&["class", "GARAGE", "--key", "autumn", "--each"], "pdf", Some("01-alma.pdf")),
        door(&["due", "GARAGE", "--ics"], "ics", None),
        door(&[&report[..], &["--out"]].concat(), "pdf", None),
        door(&[&report[..], &["--png"]].concat(), "png", Some(&format!("record-{MACHINE}-01.png"))),
        door(&["photo", "copy", "GARAGE", "--machine", MACHINE, "--out"], "jpg", Some(&photo)),
    ]
}

fn go(door: &Door, to: &Path) -> crate::door::Done {
    let to = text(to);
    let mut words: Vec<&str> = door.words.iter().map(String::as_str).collect();
    words.push(&to);
    run(&words)
}

#[test]
fn no_door_writes_over_a_record_or_into_a_garage() {
    let home = tempfile::tempdir().unwrap();
    let garage = garage(home.path());
    let before = files(&garage);
    for door in doors(&garage) {
        let mut places: Vec<PathBuf> = vec![
            "garage.ron".into(),
            "exercises/autumn-class-6b3e/key.ron".into(),
            format!("machines/{MACHINE}/machine.ron").into(),
        ];
        match &door.of_a_folder {
            Some(_) => places.extend(["machines".into(), "new/deep".into(), "".into()]),
            None => places.extend([format!("x.{}", door.ending).into(), format!("machines/x.{}", door.ending).into()]),
        }
        for place in places {
            let done = go(&door, &garage.join(&place));
            assert!(done.code == 1 && done.err.contains("expected"), "{:?} {place:?}: {}", door.words, done.err);
            assert!(files(&garage) == before, "{:?} {place:?} has changed the garage", door.words);
        }
    }
}

#[test]
fn a_file_of_somebody_else_is_never_written_over_and_an_older_one_of_ours_is() {
    let home = tempfile::tempdir().unwrap();
    let garage = garage(home.path());
    for (at, door) in doors(&garage).into_iter().enumerate() {
        let own = home.path().join(format!("door-{at}"));
        fs::create_dir(&own).unwrap();
        let (to, file) = match &door.of_a_folder {
            Some(name) => (own.clone(), own.join(name)),
            None => (own.join(format!("x.{}", door.ending)), own.join(format!("x.{}", door.ending))),
        };
        // A zip file that is no pack; by its first bytes it is of no other form either.
        fs::write(&file, foreign_zip()).unwrap();
        let before = files(&own);
        let done = go(&door, &to);
        assert!(done.code == 1 && done.err.contains("found another file"), "{:?}: {}", door.words, done.err);
        assert!(done.err.contains("choose another name, or take that file away first"), "{}", done.err);
        assert!(files(&own) == before, "{:?}: one file that is refused keeps all back", door.words);
        fs::remove_file(&file).unwrap();
        for time in ["at first", "over its own"] {
            let done = go(&door, &to);
            assert!(done.code == 0 && file.exists(), "{:?} {time}: {}", door.words, done.err);
        }
    }
}

fn foreign_zip() -> Vec<u8> {
    use std::io::Write as _;
    let mut writer = zip::ZipWriter::new(std::io::Cursor::new(Vec::new()));
    writer.start_file("letters.txt", zip::write::SimpleFileOptions::default()).unwrap();
    writer.write_all(b"the only copy").unwrap();
    writer.finish().unwrap().into_inner()
}

#[test]
fn one_run_of_the_class_writes_all_that_it_is_asked_for() {
    let home = tempfile::tempdir().unwrap();
    let garage = text(&garage(home.path()));
    let at = |name: &str| text(&home.path().join(name));
    let (zip, csv, pdf) = (at("q.zip"), at("q.csv"), at("q.pdf"));
    let words = ["class", &garage, "--key", "autumn", "--pack", &zip, "--csv", &csv, "--out", &pdf];
    let done = run(&words);
    assert_eq!((done.code, done.err.as_str()), (0, ""));
    for path in [&zip, &csv, &pdf] {
        assert!(Path::new(path).exists() && done.out.contains(path.as_str()), "{path}: {}", done.out);
    }
    assert!(words_of(Path::new(&pdf)).contains("What the class comes to"));
    assert!(fs::read_to_string(&csv).unwrap().starts_with(stemclock::class::TABLE_BEGINS));
    let told: serde_json::Value = serde_json::from_str(&run(&[&words[..], &["--json"]].concat()).out).unwrap();
    assert!(told["pack"] == zip.as_str() && told["students"].as_array().unwrap().len() == 6, "{told}");
    // Where one of them may not be written, none is, and no sheet is taken in.
    let (other, sheet) = (at("other.zip"), at("kim.ron"));
    let kim = fs::read_to_string(Path::new(&garage).join("exercises/autumn-class-6b3e/sheets/alma-3f1c.ron")).unwrap();
    fs::write(&sheet, kim.replace("alma-3f1c", "kim-0001").replace("Alma", "Kim")).unwrap();
    let refused =
        run(&["class", &garage, "--key", "autumn", "--pack", &other, "--csv", &at("q.txt"), "--take-in", &sheet]);
    assert!(refused.code == 1 && !Path::new(&other).exists(), "{}", refused.err);
    assert!(!Path::new(&garage).join("exercises/autumn-class-6b3e/sheets/kim-0001.ron").exists());
}

#[test]
fn a_time_limit_that_no_exercise_has_is_refused_wherever_it_comes_from() {
    let home = tempfile::tempdir().unwrap();
    let folder = garage(home.path());
    let garage = text(&folder);
    for minutes in ["0", "601", "4294967295"] {
        let done = run(&["class", &garage, "--new", "T", "--machine", "standard", "--minutes", minutes]);
        assert!(done.code == 2 && done.err.contains("1..=600"), "{minutes}: {}", done.err);
    }
    // Written by hand, it is named with its line.
    let zip = home.path().join("pack.zip");
    let opened = store::read(&folder).unwrap();
    let id = ExerciseId("autumn-class-6b3e".into());
    let mut exercise = opened.garage.course(&id).unwrap().exercise.clone();
    exercise.minutes = Some(601);
    store::write_pack(&zip, &stemclock::class::pack(&opened.garage, &exercise).unwrap(), &folder).unwrap();
    let record = folder.join("exercises/autumn-class-6b3e/exercise.ron");
    let text_of = fs::read_to_string(&record).unwrap();
    let limit = opened.garage.course(&id).unwrap().exercise.minutes.unwrap();
    fs::write(&record, text_of.replace(&format!("minutes: {limit}"), "minutes: 601")).unwrap();
    let validated = run(&["validate", &garage]);
    let named = "expected a time limit of 1 to 600 whole minutes, or none, found 601";
    assert!(validated.code == 1 && validated.out.contains(named), "{}{}", validated.out, validated.err);
    assert!(validated.out.contains("exercise.ron:") && validated.out.contains("| "), "{}", validated.out);
    let to = home.path().join("student");
    let unpacked = run(&["class", &text(&to), "--unpack", &text(&zip)]);
    assert!(unpacked.code == 1 && unpacked.err.contains(named) && !to.exists(), "{}", unpacked.err);
}
