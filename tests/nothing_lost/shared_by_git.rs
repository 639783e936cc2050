//! A club shares a garage by git with the very commands of the README: two clones, work on both through the library, one
//! merge without a conflict, and one with, settled without losing a side.

use std::path::{Path, PathBuf};
use std::process::Command as Process;

use stemclock::clock::{ClockTime, Side, Spot};
use stemclock::edit::{Command, PhotoHome, decide};
use stemclock::inspection::*;
use stemclock::machine::{MachineId, SCHEMA, WheelPosition};
use stemclock::photo::{Kind, PhotoRef};
use stemclock::store;

use crate::fixture::{day, today};

/// What the README says between the beginning of sharing by git and the next chapter.
fn recipe() -> String {
    let readme = std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("README.md")).unwrap();
    let (_, rest) = readme.split_once("shares a garage by git").expect("the README says how a club shares a garage");
    rest.split("\n## ").next().unwrap().to_owned()
}

/// The commands of the recipe, block by block.
fn blocks() -> Vec<String> {
    recipe().split("```\n").skip(1).step_by(2).map(ToOwned::to_owned).collect()
}

/// The one block that holds these words.
fn block(words: &str) -> String {
    let mut found = blocks().into_iter().filter(|b| b.contains(words));
    let one = found.next().unwrap_or_else(|| panic!("no commands with {words} in the README"));
    assert_eq!(found.next(), None, "{words} stands twice");
    one
}

/// A club: the place they share, and a home with nothing set but a name.
struct Club {
    dir: tempfile::TempDir,
}

impl Club {
    fn new() -> Self {
        let club = Self { dir: tempfile::tempdir().unwrap() };
        std::fs::write(club.at(".gitconfig"), "[user]\n\tname = A. Member\n\temail = member@example.org\n").unwrap();
        club.must(club.dir.path(), "git init --bare --quiet place");
        club
    }
    fn at(&self, name: &str) -> PathBuf {
        self.dir.path().join(name)
    }
    /// Runs lines as they stand, each after the other, stopping at the first that fails.
    fn run(&self, folder: &Path, lines: &str) -> (bool, String) {
        let program = Path::new(env!("CARGO_BIN_EXE_stemclock")).parent().unwrap().to_path_buf();
        let path = std::env::var_os("PATH").unwrap_or_default();
        let path = std::env::join_paths(std::iter::once(program).chain(std::env::split_paths(&path))).unwrap();
        let lines = lines.replace("PLACE", self.at("place").to_str().unwrap());
        let mut shell = Process::new("sh");
        shell.args(["-e", "-c", &lines]).current_dir(folder).stdin(std::process::Stdio::null());
        for (name, _) in std::env::vars().filter(|(name, _)| name.starts_with("GIT_") || name.starts_with("XDG_")) {
            shell.env_remove(name);
        }
        shell.env("HOME", self.dir.path()).env("GIT_CONFIG_NOSYSTEM", "1").env("PATH", path);
        let output = shell.output().expect("these tests need git and a shell");
        let said = [output.stdout, output.stderr].concat();
        (output.status.success(), String::from_utf8_lossy(&said).into_owned())
    }
    fn must(&self, folder: &Path, lines: &str) -> String {
        let (ok, said) = self.run(folder, lines);
        assert!(ok, "{lines}: {said}");
        said
    }
    /// Two members with the garage of the sample: one began, the other cloned.
    fn members(&self) -> (PathBuf, PathBuf) {
        let ada = self.at("ada");
        store::copy_sample(&ada).unwrap();
        self.must(&ada, &block("git init\n"));
        self.must(self.dir.path(), &block("git clone"));
        (ada, self.at("my-garage"))
    }
    /// What each does after work.
    fn after_work(&self, folder: &Path) -> (bool, String) {
        self.run(folder, &block("git pull"))
    }
}

fn jpeg(shade: u8) -> Vec<u8> {
    let picture = image::RgbImage::from_pixel(40, 30, image::Rgb([shade, 90, 120]));
    let mut bytes = std::io::Cursor::new(Vec::new());
    picture.write_to(&mut bytes, image::ImageFormat::Jpeg).unwrap();
    bytes.into_inner()
}

/// An inspection with a finding and its photo, and an event, on every machine, as the window would make them.
fn work(folder: &Path, member: &str, shade: u8) {
    let opened = store::open(folder).unwrap();
    assert_eq!(opened.lock.read_only_because, None);
    let mut garage = opened.garage;
    let ids: Vec<MachineId> = garage.bays.iter().map(|b| b.machine.id.clone()).collect();
    for id in ids {
        let inspection_id = InspectionId(format!("2026-11-25-ride-{member}"));
        let finding_id = FindingId(format!("f-{member}-{id}"));
        let mut inspection = Inspection::new(inspection_id.clone(), "ride", day("2026-11-25"));
        inspection.inspector = member.into();
        let wheel = garage.bay(&id).unwrap().machine.wheels[0].position;
        let finding = Finding {
            id: finding_id.clone(),
            check: CheckRef::new("tyre-look", Subject::Wheel(wheel)),
            fault: "foreign-body".into(),
            place: Place::Wheel {
                position: wheel,
                zone: Zone::Shoulder(Side::Right),
                spot: Some(Spot::at(ClockTime::parse("4:30").unwrap(), Side::Right)),
            },
            size: None,
            note: format!("seen by {member}"),
            overrule: None,
            photos: Vec::new(),
        };
        let file = store::keep_photo(folder, &id, &jpeg(shade), Kind::Jpeg).unwrap();
        let home = PhotoHome::Finding(inspection_id.clone(), finding_id);
        let event = Event {
            schema: SCHEMA,
            id: EventId(format!("2026-11-25-work-{member}")),
            date: day("2026-11-25"),
            by: member.into(),
            kind: EventKind::Fall { note: "at a stand".into() },
        };
        for command in [
            Command::StartInspection(id.clone(), inspection),
            Command::PutFinding(id.clone(), inspection_id, finding),
            Command::PutPhoto(id.clone(), home, PhotoRef::new(file)),
            Command::Record(id.clone(), event),
        ] {
            let change = decide(&garage, &opened.catalogue, command).unwrap();
            assert_eq!(store::save_record(folder, &change).unwrap().set_aside, None);
            garage.evolve(&change);
        }
    }
}

#[test]
fn two_members_work_apart_and_merge_without_a_conflict() {
    let club = Club::new();
    let (ada, ben) = club.members();
    let before = store::read(&ada).unwrap().garage;
    for (folder, member, shade) in [(&ada, "ada", 40), (&ben, "ben", 200)] {
        work(folder, member, shade);
        let changed = club.must(folder, "git status --porcelain --untracked-files=all");
        assert!(changed.lines().all(|l| l.starts_with("??")), "records are added, none is written over: {changed}");
        assert!(!changed.contains(".stemclock"), "the lock stays at home: {changed}");
        let (ok, said) = club.after_work(folder);
        assert!(ok && !said.contains("CONFLICT"), "{said}");
    }
    assert_eq!(store::validate(&ben, today()), vec![]);
    let merged = store::read(&ben).unwrap().garage;
    for (bay, was) in merged.bays.iter().zip(&before.bays) {
        assert_eq!(bay.inspections.len(), was.inspections.len() + 2, "{}", bay.machine.id);
        assert_eq!(bay.events.len(), was.events.len() + 2, "{}", bay.machine.id);
        for member in ["ada", "ben"] {
            let (_, finding) = bay.finding(&FindingId(format!("f-{member}-{}", bay.machine.id))).unwrap();
            let photo = store::photo_bytes(&ben, &bay.machine.id, &finding.photos[0].file).unwrap();
            assert_eq!(photo, jpeg(if member == "ada" { 40 } else { 200 }));
        }
    }
    // The other one gets the same bytes.
    club.must(&ada, "git pull --no-rebase --no-edit");
    assert!(crate::files(&ada) == crate::files(&ben));
    // And opening and saving what is there changes no byte, so that git has nothing to tell.
    let opened = store::open(&ada).unwrap();
    let machine = opened.garage.bays[0].machine.clone();
    let change = decide(&opened.garage, &opened.catalogue, Command::EditMachine(machine)).unwrap();
    store::save(&ada, &change).unwrap();
    assert_eq!(club.must(&ada, "git status --porcelain"), "");
}

#[test]
fn a_conflict_is_named_with_its_line_and_goes_when_one_side_is_kept() {
    let club = Club::new();
    let (ada, ben) = club.members();
    for (folder, name) in [(&ada, "By Ada"), (&ben, "By Ben")] {
        let opened = store::open(folder).unwrap();
        let mut machine = opened.garage.bays[0].machine.clone();
        assert!(machine.wheel(WheelPosition::Front).is_some());
        machine.name = name.into();
        let change = decide(&opened.garage, &opened.catalogue, Command::EditMachine(machine)).unwrap();
        store::save(folder, &change).unwrap();
    }
    assert!(club.after_work(&ada).0);
    assert!(!club.after_work(&ben).0, "both have named one machine");
    let problems = store::validate(&ben, today());
    assert!(
        problems.iter().any(|p| p.line.is_some() && p.message.contains("merge that was not settled")),
        "{problems:?}"
    );
    assert!(store::read(&ben).unwrap().garage.bays.len() >= 3, "the rest opens");
    // With --no-rebase, theirs is the side that came.
    club.must(&ben, "git checkout --theirs -- machines");
    club.must(&ben, &block("Both sides kept"));
    assert!(store::read(&ben).unwrap().garage.bays.iter().any(|b| b.machine.name == "By Ada"));
}

#[test]
fn photos_of_one_machine_from_two_members_are_both_kept_as_the_recipe_says() {
    // By hand the three lines of marks go; photos with words stand each in brackets of its own.
    for (words, between) in [(["", ""], ""), (["front", "rear"], "), (")] {
        let club = Club::new();
        let (ada, ben) = club.members();
        let id = store::read(&ada).unwrap().garage.bays[0].machine.id.clone();
        for ((folder, shade), words) in [(&ada, 40), (&ben, 200)].into_iter().zip(words) {
            let opened = store::open(folder).unwrap();
            let file = store::keep_photo(folder, &id, &jpeg(shade), Kind::Jpeg).unwrap();
            let photo = PhotoRef { words: words.into(), ..PhotoRef::new(file) };
            let command = Command::PutPhoto(id.clone(), PhotoHome::Machine, photo);
            store::save(folder, &decide(&opened.garage, &opened.catalogue, command).unwrap()).unwrap();
        }
        assert!(club.after_work(&ada).0);
        let (ok, said) = club.after_work(&ben);
        assert!(!ok && said.contains("CONFLICT"), "the recipe says that these conflict: {said}");
        let record = ben.join(format!("machines/{id}/machine.ron"));
        let marked = std::fs::read_to_string(&record).unwrap();
        let mut mended = String::new();
        for line in marked.lines().filter(|l| !l.starts_with("<<<<<<<") && !l.starts_with(">>>>>>>")) {
            mended.push_str(if line.starts_with("=======") { between } else { line });
            mended.push('\n');
        }
        std::fs::write(&record, &mended).unwrap();
        let said = club.must(&ben, &block("Both sides kept"));
        assert!(said.contains("No problem found") && !said.contains("Note:"), "{said}");
        let photos = store::read(&ben).unwrap().garage.bay(&id).unwrap().machine.photos.clone();
        let of = |p: &PhotoRef| (store::photo_bytes(&ben, &id, &p.file).unwrap(), p.words.clone());
        let kept: Vec<_> = photos.iter().map(of).collect();
        let has = |shade, words: &str| kept.contains(&(jpeg(shade), words.to_owned()));
        assert!(kept.len() == 2 && has(40, words[0]) && has(200, words[1]), "{marked}\n{mended}");
    }
}

#[test]
fn the_recipe_for_a_class_keeps_the_key_and_the_sheets_at_home() {
    let club = Club::new();
    let ada = club.at("ada");
    store::copy_sample(&ada).unwrap();
    let second = block("printf");
    let begin: Vec<String> = block("git init\n").lines().map(ToOwned::to_owned).collect();
    assert!(begin[1].ends_with("> .gitignore") && second.trim_end().ends_with("> .gitignore"), "the second line");
    let lines: Vec<&str> =
        begin.iter().enumerate().map(|(at, l)| if at == 1 { second.trim_end() } else { l }).collect();
    club.must(&ada, &lines.join("\n"));
    let sent = club.must(&ada, "git ls-tree -r --name-only HEAD");
    assert!(sent.contains("exercises/autumn-class-6b3e/exercise.ron"), "{sent}");
    assert!(!sent.contains("key.ron") && !sent.contains("sheets/"), "{sent}");
}
