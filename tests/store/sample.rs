//! The sample garage: copied whole and once, sound in every reference, and full enough that no screen is empty.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;

use chrono::Datelike;
use stemclock::rules::{Decision, standing};
use stemclock::store::{self, StoreError};

use super::fixture::*;

#[test]
fn the_sample_is_copied_whole_and_once() {
    let dir = tempfile::tempdir().unwrap();
    let to = dir.path().join("data/sample");
    store::copy_sample(&to).unwrap();
    let opened = store::open(&to).unwrap();
    assert_eq!(opened.unreadable, vec![]);
    let error = store::copy_sample(&to).unwrap_err();
    assert!(matches!(error, StoreError::AlreadyThere(_)), "{error}");
    assert_eq!(fs::read_dir(dir.path().join("data")).unwrap().count(), 1, "nothing half-copied stays beside it");
}

fn files(root: &Path) -> BTreeMap<String, Vec<u8>> {
    fn walk(root: &Path, at: &Path, into: &mut BTreeMap<String, Vec<u8>>) {
        for entry in fs::read_dir(at).unwrap().map(Result::unwrap) {
            let path = entry.path();
            if path.is_dir() {
                walk(root, &path, into);
            } else if !entry.file_name().to_string_lossy().starts_with('.') {
                let name = path.strip_prefix(root).unwrap().to_string_lossy().replace('\\', "/");
                into.insert(name, fs::read(&path).unwrap());
            }
        }
    }
    let mut found = BTreeMap::new();
    walk(root, root, &mut found);
    found
}

fn in_repository() -> std::path::PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("sample-garage")
}

#[test]
fn the_sample_in_the_program_is_the_one_in_the_folder() {
    let dir = tempfile::tempdir().unwrap();
    let to = dir.path().join("sample");
    store::copy_sample(&to).unwrap();
    let (copied, kept) = (files(&to), files(&in_repository()));
    let names = |files: &BTreeMap<String, Vec<u8>>| files.keys().cloned().collect::<Vec<_>>();
    // A new file is only carried once src/store/sample.rs is compiled again.
    assert_eq!(names(&copied), names(&kept), "touch src/store/sample.rs and build again");
    assert!(copied == kept, "touch src/store/sample.rs and build again");
}

#[test]
fn the_sample_has_no_problem() {
    let problems: Vec<String> = store::validate(&in_repository(), today()).iter().map(ToString::to_string).collect();
    assert_eq!(problems, Vec::<String>::new());
}

#[test]
fn the_sample_is_written_as_the_program_would_write_it() {
    let opened = store::read(&in_repository()).unwrap();
    let dir = tempfile::tempdir().unwrap();
    store::save_all(dir.path(), &opened.garage).unwrap();
    let kept = files(&in_repository());
    for (name, bytes) in files(dir.path()) {
        assert!(kept.get(&name) == Some(&bytes), "{name} would change when it is saved");
    }
}

#[test]
fn the_sample_shows_each_verdict_and_three_seasons() {
    let opened = store::read(&in_repository()).unwrap();
    let mut decisions = BTreeMap::new();
    for bay in &opened.garage.bays {
        let name = bay.machine.name.as_str();
        let years: BTreeSet<i32> = bay.inspections.iter().map(|i| i.date.year()).collect();
        assert_eq!(years, [2024, 2025, 2026].into(), "{name}");
        assert!(!bay.machine.limits.is_empty() && !bay.machine.torques.is_empty(), "{name}");
        assert!(bay.machine.wheels.iter().all(|w| w.tyre.is_some() && w.placard.is_some()), "{name}");
        assert!(!bay.events.is_empty(), "{name}");
        let standing = standing(bay, &opened.catalogue, &opened.garage.info.units, today());
        let verdict = standing.verdict.unwrap();
        assert_eq!(verdict.lapsed, None, "{name}");
        let draft = verdict.decision == Decision::NotYetDecided;
        assert_eq!(verdict.looked_at == verdict.asked, !draft, "{name}: {}", verdict.sentence());
        assert!(verdict.asked > 90, "{name}");
        decisions.insert(bay.machine.id.0.clone(), verdict.decision);
    }
    // As the sample was laid out: one of each but "fit to ride", which no honest look at an old machine gives.
    let expected = [
        ("moped-9d03", Decision::NotYetDecided),
        ("outfit-51ba", Decision::NotFitUntilRepaired),
        ("standard-4c1f", Decision::FitWithMinorDefects),
        ("tourer-b27e", Decision::DoNotRide),
    ];
    assert_eq!(decisions, expected.map(|(id, d)| (id.to_owned(), d)).into());
}

#[test]
fn the_photos_of_the_sample_are_small_and_tell_nothing_of_a_camera() {
    let photos: Vec<_> = files(&in_repository()).into_iter().filter(|(name, _)| name.ends_with(".jpg")).collect();
    assert_eq!(photos.len(), 2);
    for (name, bytes) in photos {
        assert!(bytes.starts_with(&[0xff, 0xd8]) && bytes.len() < 150_000, "{name}: {} bytes", bytes.len());
        // APP1 holds Exif and XMP, APP13 a caption.
        for marker in [[0xff, 0xe1], [0xff, 0xed]] {
            let head = &bytes[..bytes.len().min(1024)];
            assert!(!head.windows(2).any(|w| w == marker), "{name} carries metadata");
        }
    }
}
