//! Others change the garage while the window has it open: a text editor, a second window, a version control system. What
//! they change is seen; what both have changed is shown side by side; nothing is written over without a word.

use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::{Duration, Instant};

use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;
use stemclock::app::{Disk, Shell};
use stemclock::edit::{Change, Command, Record, RecordKey};
use stemclock::garage::{Garage, GarageInfo};
use stemclock::inspection::{EventKind, InspectionId};
use stemclock::machine::{Layout, Machine, MachineId};
use stemclock::store::{self, Touched, Watch};
use stemclock::ui::Action;

use crate::commands::{garage, outfit};
use crate::fixture;
use crate::real_disk::real_disk;
use crate::slow::Slow;
use crate::support::{Bench, press, rest, window};

const SIZE: [f32; 2] = [1024.0, 700.0];
const MACHINE: &str = "machines/outfit-7c1e/machine.ron";
const INSPECTION: &str = "machines/outfit-7c1e/inspections/2026-09-01-season-bb.ron";

fn ready() -> (Bench, PathBuf) {
    let bench = Bench::new();
    let folder = bench.folder.path().join("shared");
    store::save_all(&folder, &garage()).unwrap();
    (bench, folder)
}

/// Lets the window draw until something is so, at most for a while.
fn until(harness: &mut Harness<'_, Shell>, what: &str, is_so: impl Fn(&Harness<'_, Shell>) -> bool) {
    let end = Instant::now() + Duration::from_secs(20);
    loop {
        harness.run();
        if is_so(harness) {
            return;
        }
        assert!(Instant::now() < end, "waited in vain until {what}: {:?}", harness.state().notes());
        std::thread::sleep(Duration::from_millis(20));
    }
}

fn is_shown(harness: &Harness<'_, Shell>, words: &str) -> bool {
    harness.query_all_by_label_contains(words).count() > 0
}

fn name(harness: &Harness<'_, Shell>) -> String {
    harness.state().garage().bay(&outfit()).unwrap().machine.name.clone()
}

/// As a text editor writes: straight into the file.
fn edit(folder: &Path, file: &str, from: &str, to: &str) {
    let text = fs::read_to_string(folder.join(file)).unwrap();
    assert!(text.contains(from), "{from} in {text}");
    fs::write(folder.join(file), text.replace(from, to)).unwrap();
}

fn save(folder: &Path, key: RecordKey, record: Record) {
    let before = store::read(folder).unwrap().garage.record(&key);
    store::save(folder, &Change { key, before, after: Some(record), label: String::new() }).unwrap();
}

fn rename(harness: &mut Harness<'_, Shell>, name: &str) {
    let mut machine = harness.state().garage().bay(&outfit()).unwrap().machine.clone();
    machine.name = name.into();
    harness.state_mut().apply(Action::Edit(Command::EditMachine(machine)));
    rest(harness);
}

#[test]
fn what_others_add_change_and_take_away_is_taken_in() {
    let (bench, folder) = ready();
    let mut harness = window(bench.shell(Some(&folder)), SIZE);
    // This window changes one record; all that others change are different ones.
    let info = GarageInfo { name: "Ours".into(), ..harness.state().garage().info.clone() };
    harness.state_mut().apply(Action::Edit(Command::SetGarage(info)));
    rest(&mut harness);
    let added = InspectionId("2026-11-20-ride-zz".into());
    let inspection = fixture::inspection(&added.0, "2026-11-20");
    save(&folder, RecordKey::Inspection(outfit(), added.clone()), Record::Inspection(Box::new(inspection)));
    let fall = fixture::event("e-x1", EventKind::Fall { note: "on gravel".into() });
    save(&folder, RecordKey::Event(outfit(), fall.id.clone()), Record::Event(Box::new(fall)));
    let guest = Machine::new(MachineId("guest-11aa".into()), "A guest", Layout::Solo);
    save(&folder, RecordKey::Machine(guest.id.clone()), Record::Machine(Box::new(guest)));
    edit(&folder, "machines/moped-2b7d/machine.ron", "Moped", "The old moped");
    fs::remove_file(folder.join("machines/outfit-7c1e/events/e-5.ron")).unwrap();
    let same_as_disk = |harness: &Harness<'_, Shell>| harness.state().garage() == &store::read(&folder).unwrap().garage;
    until(&mut harness, "the window has all of it", same_as_disk);
    assert!(is_shown(&harness, "Changed on disk and taken in") && is_shown(&harness, "A guest"));
    assert!(harness.state().garage().bays.len() == 3 && harness.state().garage().info.name == "Ours");
    assert!(!is_shown(&harness, "Look at both"), "there is nothing to choose");

    // A machine's whole folder goes and comes back, as with a version control system that changes branches.
    let (at, aside) = (folder.join("machines/outfit-7c1e"), bench.folder.path().join("aside"));
    fs::rename(&at, &aside).unwrap();
    until(&mut harness, "the machine is gone", |h| h.state().garage().bay(&outfit()).is_none());
    fs::rename(&aside, &at).unwrap();
    until(&mut harness, "it is back with all its records", same_as_disk);
    assert_eq!(harness.state().garage().bay(&outfit()).unwrap().inspections.len(), 3);

    // A kind of the garage's own.
    let own = "(id: \"stand-up\", name: \"stand-up\", called: \"a stand-up look\", checks: These([\"horn\"]), required: All, \
               lapses_after_days: 1, lapses_after_km: 10)";
    fs::write(folder.join("kinds/stand-up.ron"), own).unwrap();
    until(&mut harness, "the kind is known", |h| h.state().garage().own.contains_key("stand-up"));
    fs::remove_file(folder.join("kinds/stand-up.ron")).unwrap();
    until(&mut harness, "the kind is gone", |h| !h.state().garage().own.contains_key("stand-up"));
    assert!(same_as_disk(&harness));

    // Nothing of all this was written back, and what this window writes is no news to it.
    rename(&mut harness, "Ours, renamed");
    assert_eq!(store::read(&folder).unwrap().garage.bay(&outfit()).unwrap().machine.name, "Ours, renamed");
    std::thread::sleep(Duration::from_millis(700));
    harness.run();
    assert!(!is_shown(&harness, "Look at both") && is_shown(&harness, "Saved"));
}

#[test]
fn what_both_have_changed_is_shown_side_by_side_and_the_user_chooses() {
    for choice in ["Keep mine", "Take what is on disk", "Later"] {
        let (bench, folder) = ready();
        let mut harness = window(bench.shell(Some(&folder)), SIZE);
        rename(&mut harness, "By the window");
        edit(&folder, MACHINE, "By the window", "By the editor");
        until(&mut harness, "it is said", |h| is_shown(h, "was changed here and on disk"));
        assert_eq!(name(&harness), "By the window", "what this window has stays");
        assert!(fs::read_to_string(folder.join(MACHINE)).unwrap().contains("By the editor"), "what is on disk too");
        assert!(is_shown(&harness, "Not saved"));
        // Trying again is no choice.
        press(&mut harness, "Try again");
        rest(&mut harness);
        assert!(fs::read_to_string(folder.join(MACHINE)).unwrap().contains("By the editor"));
        press(&mut harness, "Look at both versions of the machine By the window");
        assert!(is_shown(&harness, "name: \"By the window\"") && is_shown(&harness, "name: \"By the editor\""));
        let left = harness.get_by_label_contains("name: \"By the window\"").rect();
        let right = harness.get_by_label_contains("name: \"By the editor\"").rect();
        assert!(left.right() < right.left() && left.top() == right.top(), "side by side: {left:?} {right:?}");
        press(&mut harness, choice);
        rest(&mut harness);
        let on_disk = || store::read(&folder).unwrap().garage.bay(&outfit()).unwrap().machine.name.clone();
        match choice {
            "Keep mine" => assert_eq!((name(&harness), on_disk()), ("By the window".into(), "By the window".into())),
            "Take what is on disk" => {
                assert_eq!((name(&harness), on_disk()), ("By the editor".into(), "By the editor".into()));
                // Mine is one undo away.
                harness.state_mut().apply(Action::Undo);
                rest(&mut harness);
                assert_eq!((name(&harness), on_disk()), ("By the window".into(), "By the window".into()));
            }
            _ => {
                assert_eq!((name(&harness), on_disk()), ("By the window".into(), "By the editor".into()));
                assert!(is_shown(&harness, "was changed here and on disk"), "it waits");
                // The person settles it in the editor: what stands there is what this window has.
                edit(&folder, MACHINE, "By the editor", "By the window");
                until(&mut harness, "it is settled", |h| is_shown(h, "Saved"));
            }
        }
        assert!(!is_shown(&harness, "was changed here and on disk") && is_shown(&harness, "Saved"), "{choice}");
    }
}

#[test]
fn two_versions_of_an_inspection_can_both_be_kept_and_a_removed_one_comes_back() {
    let (bench, folder) = ready();
    let mut harness = window(bench.shell(Some(&folder)), SIZE);
    let id = InspectionId("2026-09-01-season-bb".into());
    let note = |words: &str| {
        let inspection = fixture::inspection(&id.0, "2026-09-01");
        Action::Edit(Command::SetConditions {
            machine: outfit(),
            inspection: id.clone(),
            inspector: inspection.inspector,
            odometer: inspection.odometer,
            conditions: inspection.conditions,
            note: words.into(),
        })
    };
    harness.state_mut().apply(note("by the window"));
    rest(&mut harness);
    edit(&folder, INSPECTION, "by the window", "by the editor");
    until(&mut harness, "it is said", |h| is_shown(h, "was changed here and on disk"));
    press(&mut harness, "Look at both versions of the inspection of 1 September 2026 of The outfit");
    press(&mut harness, "Keep both");
    rest(&mut harness);
    let notes = |garage: &Garage| {
        let mut notes: Vec<_> = garage
            .bay(&outfit())
            .unwrap()
            .inspections
            .iter()
            .map(|i| i.note.clone())
            .filter(|n| !n.is_empty())
            .collect();
        notes.sort();
        notes
    };
    assert_eq!(notes(harness.state().garage()), ["by the editor", "by the window"]);
    let opened = store::read(&folder).unwrap();
    assert_eq!(notes(&opened.garage), ["by the editor", "by the window"]);
    let ids: Vec<_> = opened.garage.bays.iter().flat_map(|b| &b.inspections).flat_map(|i| &i.findings).collect();
    let unique: std::collections::BTreeSet<_> = ids.iter().map(|f| &f.id).collect();
    assert_eq!(unique.len(), ids.len(), "no finding has the id of another");

    // Somebody removes what was changed here.
    harness.state_mut().apply(note("again by the window"));
    rest(&mut harness);
    fs::remove_file(folder.join(INSPECTION)).unwrap();
    until(&mut harness, "it is said", |h| is_shown(h, "was changed here and removed on disk"));
    press(&mut harness, "Look at both versions of the inspection of 1 September 2026 of The outfit");
    press(&mut harness, "Keep mine");
    rest(&mut harness);
    assert!(fs::read_to_string(folder.join(INSPECTION)).unwrap().contains("again by the window"));
    assert!(is_shown(&harness, "Saved"));
}

#[test]
fn a_half_written_file_is_waited_out_or_named_and_goes_when_it_is_mended() {
    let (bench, folder) = ready();
    let mut harness = window(bench.shell(Some(&folder)), SIZE);
    let path = folder.join(MACHINE);
    let whole = fs::read_to_string(&path).unwrap().replace("The outfit", "Written slowly");
    // An editor that takes its time.
    for share in [4, 2] {
        fs::write(&path, &whole[..whole.len() / share]).unwrap();
        let end = Instant::now() + Duration::from_millis(450);
        while Instant::now() < end {
            harness.run();
            assert!(!is_shown(&harness, "cannot be read"), "a file that is being written is waited for");
            std::thread::sleep(Duration::from_millis(20));
        }
    }
    fs::write(&path, &whole).unwrap();
    until(&mut harness, "the whole file is taken in", |h| name(h) == "Written slowly");
    // One that stays half is named, what was read before stays, and nothing is called fit.
    fs::write(&path, &whole[..whole.len() / 2]).unwrap();
    until(&mut harness, "it is named", |h| is_shown(h, "cannot be read") && is_shown(h, MACHINE));
    assert_eq!(name(&harness), "Written slowly");
    assert_eq!(harness.state().garage().bay(&outfit()).unwrap().unread, [MACHINE]);
    // A change of this window does not write over it either.
    rename(&mut harness, "By the window");
    assert_eq!(fs::read_to_string(&path).unwrap(), whole[..whole.len() / 2]);
    assert!(is_shown(&harness, "its file on disk cannot be read"));
    // The editor ends: what stands there is what this window had read, so its change goes through.
    fs::write(&path, &whole).unwrap();
    until(&mut harness, "the change is saved", |h| is_shown(h, "Saved"));
    assert!(fs::read_to_string(&path).unwrap().contains("By the window"));
    assert!(
        harness.state().garage().bay(&outfit()).unwrap().unread.is_empty() && !is_shown(&harness, "cannot be read")
    );
}

#[test]
fn at_rest_nothing_wakes_the_window_but_a_record_that_others_change() {
    let (bench, folder) = ready();
    fs::create_dir_all(folder.join(".git")).unwrap();
    fs::create_dir_all(folder.join("machines/outfit-7c1e/photos")).unwrap();
    let mut harness = window(bench.shell(Some(&folder)), SIZE);
    std::thread::sleep(Duration::from_millis(600));
    rest(&mut harness);
    harness.run();
    let is_awake = |harness: &Harness<'_, Shell>| harness.ctx.has_requested_repaint();
    assert!(!is_awake(&harness));
    for other in
        [".git/index", "machines/outfit-7c1e/photos/p.jpg", "machines/outfit-7c1e/.machine.ron.swp", "letter.txt"]
    {
        fs::write(folder.join(other), "x").unwrap();
    }
    fs::read(folder.join(MACHINE)).unwrap();
    std::thread::sleep(Duration::from_millis(900));
    assert!(!is_awake(&harness), "what is no record wakes nobody");
    edit(&folder, MACHINE, "The outfit", "By the editor");
    let end = Instant::now() + Duration::from_secs(20);
    while !is_awake(&harness) {
        assert!(Instant::now() < end, "the window is woken");
        std::thread::sleep(Duration::from_millis(10));
    }
    harness.run();
    assert_eq!(name(&harness), "By the editor");
}

#[test]
fn a_window_that_looks_only_sees_what_the_other_one_writes() {
    let (bench, folder) = ready();
    let mut first = window(bench.shell(Some(&folder)), SIZE);
    let mut second = window(bench.shell(Some(&folder)), SIZE);
    assert!(is_shown(&second, "open to look at only"));
    rename(&mut first, "By the first");
    until(&mut second, "the second has it", |h| name(h) == "By the first");
    // What the second holds back meets what the first writes.
    rename(&mut second, "By the second");
    rename(&mut first, "By the first again");
    until(&mut second, "it is said", |h| is_shown(h, "was changed here and on disk"));
    assert_eq!(name(&second), "By the second");
    press(&mut second, "Look at both versions of the machine By the second");
    press(&mut second, "Take what is on disk");
    rest(&mut second);
    assert_eq!(name(&second), "By the first again");
    assert_eq!(store::read(&folder).unwrap().garage.bay(&outfit()).unwrap().machine.name, "By the first again");
}

#[test]
fn a_window_that_looked_only_writes_once_the_other_one_is_closed() {
    let (bench, folder) = ready();
    let first = window(bench.shell(Some(&folder)), SIZE);
    let mut second = window(bench.shell(Some(&folder)), SIZE);
    rename(&mut second, "By the second");
    press(&mut second, "Try again");
    rest(&mut second);
    assert!(is_shown(&second, "cannot be written from this window yet") && is_shown(&second, "Not saved"));
    drop(first);
    press(&mut second, "Try again");
    rest(&mut second);
    assert!(is_shown(&second, "Saved") && !is_shown(&second, "Not saved"));
    assert!(!is_shown(&second, "open to look at only") && !is_shown(&second, "cannot be written from this window"));
    assert_eq!(store::read(&folder).unwrap().garage.bay(&outfit()).unwrap().machine.name, "By the second");
    // And it holds the garage now.
    let third = window(bench.shell(Some(&folder)), SIZE);
    assert!(is_shown(&third, "open to look at only"));
}

#[test]
fn what_was_saved_in_one_clone_is_news_in_another() {
    let (bench, ours) = ready();
    let theirs = bench.folder.path().join("clone");
    store::save_all(&theirs, &garage()).unwrap();
    let mut harness = window(bench.shell(Some(&ours)), SIZE);
    rename(&mut harness, "By us");
    harness.state_mut().apply(Action::OpenGarage(theirs.clone()));
    rest(&mut harness);
    assert_eq!((harness.state().folder(), name(&harness)), (Some(theirs.as_path()), "The outfit".to_owned()));
    // The clone is brought up to date, and holds to the letter what this window saved in the first.
    fs::copy(ours.join(MACHINE), theirs.join(MACHINE)).unwrap();
    until(&mut harness, "it is seen", |h| name(h) == "By us");
}

#[test]
fn a_disk_that_is_slow_to_be_watched_keeps_nobody_waiting_and_what_changes_meanwhile_is_seen() {
    let (bench, folder) = ready();
    let disk = Slow::default();
    disk.watch.shut();
    let mut harness = window(bench.shell_on(Some(&folder), Arc::new(disk.clone())), SIZE);
    assert_eq!(*disk.order.lock().unwrap(), ["read"]);
    edit(&folder, MACHINE, "The outfit", "Before it was heard");
    disk.watch.open();
    until(&mut harness, "it is seen", |h| name(h) == "Before it was heard");
}

/// The real disk of a system that lets nothing more be watched.
struct Unwatched;

impl Disk for Unwatched {
    fn watch(&self, folder: &Path, _told: Box<dyn Fn(Touched) + Send>) -> Result<Watch, String> {
        let reason = "the system lets no more folders be watched".to_owned();
        Err(store::StoreError::Unwatched { folder: folder.to_path_buf(), reason }.to_string())
    }
    real_disk!(
        open,
        create,
        save,
        save_unless_met,
        save_elsewhere,
        copy_sample,
        photo,
        make_folder,
        write_file,
        read_text
    );
}

#[test]
fn where_nothing_can_be_watched_it_is_said_and_saving_still_takes_care() {
    let (bench, folder) = ready();
    let mut harness = window(bench.shell_on(Some(&folder), Arc::new(Unwatched)), SIZE);
    until(&mut harness, "it is said", |h| is_shown(h, "is not seen by itself"));
    assert!(is_shown(&harness, "Read it again"), "with the way out");
    edit(&folder, MACHINE, "The outfit", "By the editor");
    edit(&folder, "machines/moped-2b7d/machine.ron", "Moped", "The old moped");
    rename(&mut harness, "By the window");
    assert!(is_shown(&harness, "was changed here and on disk"));
    assert!(fs::read_to_string(folder.join(MACHINE)).unwrap().contains("By the editor"));
    // A record that waits holds up no other.
    let info = GarageInfo { name: "Saved all the same".into(), ..harness.state().garage().info.clone() };
    harness.state_mut().apply(Action::Edit(Command::SetGarage(info)));
    rest(&mut harness);
    assert_eq!(store::read(&folder).unwrap().garage.info.name, "Saved all the same");
    press(&mut harness, "Look at both versions of the machine By the window");
    press(&mut harness, "Take what is on disk");
    rest(&mut harness);
    assert_eq!(name(&harness), "By the editor");
    harness.state_mut().apply(Action::OpenGarage(folder.clone()));
    rest(&mut harness);
    assert!(harness.state().garage() == &store::read(&folder).unwrap().garage, "read again by hand");
}

#[test]
fn what_is_gone_from_the_disk_is_named_and_undo_puts_it_back() {
    let (bench, folder) = ready();
    let mut harness = window(bench.shell(Some(&folder)), SIZE);
    rest(&mut harness);
    let before = harness.state().garage().bay(&outfit()).unwrap().clone();
    let last = before.inspections.last().unwrap().clone();
    let file = folder.join(format!("machines/outfit-7c1e/inspections/{}.ron", last.id));
    fs::remove_file(&file).unwrap();
    until(&mut harness, "it is gone", |h| h.state().garage().bay(&outfit()).unwrap().inspection(&last.id).is_none());
    let day = last.date.format("%-d %B %Y").to_string();
    assert!(is_shown(&harness, "Gone from the disk"));
    assert!(is_shown(&harness, &format!("inspection of {day} of {}, with", before.machine.name)));
    harness.state_mut().apply(Action::Undo);
    rest(&mut harness);
    assert_eq!(harness.state().garage().bay(&outfit()), Some(&before));
    assert!(file.is_file(), "and it is on disk again");
}

#[test]
fn a_record_beside_one_that_was_changed_here_is_taken_in_without_a_choice() {
    let (bench, folder) = ready();
    let mut harness = window(bench.shell(Some(&folder)), SIZE);
    let inspection = harness.state().garage().bay(&outfit()).unwrap().inspections.last().unwrap().clone();
    let finding = inspection.findings[0].id.clone();
    harness.state_mut().apply(Action::Edit(Command::RemoveFinding(outfit(), inspection.id, finding)));
    rest(&mut harness);
    edit(&folder, MACHINE, "The outfit", "By the editor");
    until(&mut harness, "it is taken in", |h| name(h) == "By the editor");
    assert!(!is_shown(&harness, "changed here and on disk") && is_shown(&harness, "Saved"));
}

#[test]
fn under_a_machine_that_cannot_be_read_nothing_is_told_as_taken_in() {
    let (bench, folder) = ready();
    fs::write(folder.join(MACHINE), "half a rec").unwrap();
    let mut harness = window(bench.shell(Some(&folder)), SIZE);
    rest(&mut harness);
    assert!(harness.state().garage().bay(&outfit()).is_none());
    for entry in fs::read_dir(folder.join("machines/outfit-7c1e/events")).unwrap() {
        let path = entry.unwrap().path();
        let text = fs::read(&path).unwrap();
        fs::write(&path, text).unwrap();
    }
    edit(&folder, "machines/moped-2b7d/machine.ron", "Moped", "The old moped");
    let moped = MachineId("moped-2b7d".into());
    until(&mut harness, "the other is taken in", |h| {
        h.state().garage().bay(&moped).unwrap().machine.name == "The old moped"
    });
    std::thread::sleep(Duration::from_millis(500));
    harness.run();
    assert!(!is_shown(&harness, "what happened to outfit-7c1e"));
}

#[test]
fn what_was_changed_since_a_moment_is_found_by_the_times_of_files_and_folders() {
    let (_bench, folder) = ready();
    // Everything was written a day ago.
    let old = store::moment() - Duration::from_secs(86_400);
    let age = |path: &Path| fs::File::open(path).unwrap().set_modified(old).unwrap();
    fn all(folder: &Path, into: &mut Vec<PathBuf>) {
        for entry in fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                all(&path, into);
            }
            into.push(path);
        }
    }
    let mut paths = Vec::new();
    all(&folder, &mut paths);
    paths.iter().for_each(|path| age(path));
    age(&folder);
    let since = store::moment();
    assert!(store::changed_since(&folder, since).unwrap().is_empty());
    edit(&folder, MACHINE, "The outfit", "By the editor");
    let touched = store::changed_since(&folder, since).unwrap();
    assert_eq!(touched.files.iter().map(String::as_str).collect::<Vec<_>>(), [MACHINE]);
    assert!(touched.folders.is_empty() && !touched.additions, "{touched:?}");
    fs::remove_file(folder.join("machines/outfit-7c1e/events/e-5.ron")).unwrap();
    fs::write(folder.join("kinds/mine.ron"), "(kinds: [])").unwrap();
    fs::write(folder.join("notes.txt"), "nobody's record").unwrap();
    let touched = store::changed_since(&folder, since).unwrap();
    assert!(touched.folders.contains("machines/outfit-7c1e/events") && touched.additions, "{touched:?}");
    assert!(touched.files.iter().all(|f| f == MACHINE || f.starts_with("kinds/")), "{touched:?}");
}
