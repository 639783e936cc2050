//! A club shares a garage by git: two clones, work on both through the library, one merge without a conflict.

use std::path::Path;
use std::process::Command as Process;

use stemclock::clock::{ClockTime, Side, Spot};
use stemclock::edit::{Command, PhotoHome, decide};
use stemclock::inspection::*;
use stemclock::machine::{MachineId, SCHEMA, WheelPosition};
use stemclock::photo::{Kind, PhotoRef};
use stemclock::store;

use crate::fixture::{day, today};

/// Runs git as a person who has set nothing up but a name.
fn git(folder: &Path, words: &[&str]) -> (bool, String) {
    let output = Process::new("git")
        .args(["-c", "user.name=A. Member", "-c", "user.email=member@example.org", "-c", "init.defaultBranch=main"])
        .args(words)
        .current_dir(folder)
        .env("GIT_CONFIG_GLOBAL", "/dev/null")
        .env("GIT_CONFIG_SYSTEM", "/dev/null")
        .output()
        .expect("these tests need git");
    let said = [output.stdout, output.stderr].concat();
    (output.status.success(), String::from_utf8_lossy(&said).into_owned())
}

fn must(folder: &Path, words: &[&str]) -> String {
    let (ok, said) = git(folder, words);
    assert!(ok, "git {words:?}: {said}");
    said
}

/// What the README tells a club to write into `.gitignore`.
fn ignore() -> String {
    let readme = std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("README.md")).unwrap();
    let line = readme.lines().find(|l| l.contains("> .gitignore")).expect("the README says what to leave out");
    line.split('\'').nth(1).unwrap().to_owned()
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

fn two_clones() -> (tempfile::TempDir, std::path::PathBuf, std::path::PathBuf) {
    let dir = tempfile::tempdir().unwrap();
    let (club, ada, ben) = (dir.path().join("club"), dir.path().join("ada"), dir.path().join("ben"));
    store::copy_sample(&ada).unwrap();
    std::fs::write(ada.join(".gitignore"), format!("{}\n", ignore())).unwrap();
    must(dir.path(), &["init", "--bare", "--quiet", "club"]);
    must(&ada, &["init", "--quiet"]);
    must(&ada, &["add", "--all"]);
    must(&ada, &["commit", "--quiet", "-m", "The garage"]);
    must(&ada, &["push", "--quiet", club.to_str().unwrap(), "HEAD:main"]);
    must(dir.path(), &["clone", "--quiet", "--branch", "main", "club", "ben"]);
    must(&ada, &["remote", "add", "origin", club.to_str().unwrap()]);
    (dir, ada, ben)
}

fn commit(folder: &Path, words: &str) {
    must(folder, &["add", "--all"]);
    must(folder, &["commit", "--quiet", "-m", words]);
}

#[test]
fn two_members_work_apart_and_merge_without_a_conflict() {
    let (_dir, ada, ben) = two_clones();
    let before = store::read(&ada).unwrap().garage;
    for (folder, member, shade) in [(&ada, "ada", 40), (&ben, "ben", 200)] {
        work(folder, member, shade);
        let changed = must(folder, &["status", "--porcelain", "--untracked-files=all"]);
        assert!(changed.lines().all(|l| l.starts_with("??")), "records are added, none is written over: {changed}");
        assert!(!changed.contains(".stemclock"), "the lock stays at home: {changed}");
        commit(folder, &format!("What {member} found"));
    }
    must(&ada, &["push", "--quiet", "origin", "HEAD:main"]);
    let (ok, said) = git(&ben, &["pull", "--no-rebase", "--no-edit", "--quiet"]);
    assert!(ok && !said.contains("CONFLICT"), "{said}");
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
    must(&ben, &["push", "--quiet", "origin", "HEAD:main"]);
    must(&ada, &["pull", "--quiet", "--ff-only", "origin", "main"]);
    assert!(crate::files(&ada) == crate::files(&ben));
    // And opening and saving what is there changes no byte, so that git has nothing to tell.
    let opened = store::open(&ada).unwrap();
    let machine = opened.garage.bays[0].machine.clone();
    let change = decide(&opened.garage, &opened.catalogue, Command::EditMachine(machine)).unwrap();
    store::save(&ada, &change).unwrap();
    assert_eq!(must(&ada, &["status", "--porcelain"]), "");
}

#[test]
fn a_conflict_is_named_with_its_line_and_goes_when_one_side_is_kept() {
    let (_dir, ada, ben) = two_clones();
    for (folder, name) in [(&ada, "By Ada"), (&ben, "By Ben")] {
        let opened = store::open(folder).unwrap();
        let mut machine = opened.garage.bays[0].machine.clone();
        assert!(machine.wheel(WheelPosition::Front).is_some());
        machine.name = name.into();
        let change = decide(&opened.garage, &opened.catalogue, Command::EditMachine(machine)).unwrap();
        store::save(folder, &change).unwrap();
        drop(opened);
        commit(folder, name);
    }
    must(&ada, &["push", "--quiet", "origin", "HEAD:main"]);
    let (ok, _) = git(&ben, &["pull", "--no-rebase", "--no-edit", "--quiet"]);
    assert!(!ok, "both have named one machine");
    let problems = store::validate(&ben, today());
    assert!(
        problems.iter().any(|p| p.line.is_some() && p.message.contains("merge that was not settled")),
        "{problems:?}"
    );
    assert!(store::read(&ben).unwrap().garage.bays.len() >= 3, "the rest opens");
    must(&ben, &["checkout", "--theirs", "--", "machines"]);
    assert_eq!(store::validate(&ben, today()), vec![]);
    assert!(store::read(&ben).unwrap().garage.bays.iter().any(|b| b.machine.name == "By Ada"));
}
