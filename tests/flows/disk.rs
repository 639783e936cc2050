//! What a disk refuses, what another window or program does meanwhile.

use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use egui_kittest::kittest::Queryable as _;
use stemclock::app::{Disk, RealDisk};
use stemclock::edit::Change;
use stemclock::store::Outcome;
use stemclock::ui::Action;

use super::support::{Bench, fill, press, rest, window};
use super::{SMALL, add_machine, names_in};
use crate::real_disk::real_disk;

/// A disk that is full until told otherwise, and slow with everything that is no record.
struct FullDisk(Arc<AtomicBool>);

impl FullDisk {
    fn has_room(&self) -> Result<(), String> {
        if self.0.load(Ordering::SeqCst) {
            return Err("expected room on the disk, found it full: free some space".into());
        }
        Ok(())
    }
}

impl Disk for FullDisk {
    fn save(&self, folder: &Path, change: &Change) -> Result<Option<PathBuf>, String> {
        self.has_room()?;
        RealDisk.save(folder, change)
    }
    fn save_unless_met(&self, folder: &Path, change: &Change) -> Result<Outcome, String> {
        self.has_room()?;
        RealDisk.save_unless_met(folder, change)
    }
    fn write_file(&self, path: &Path, bytes: &[u8]) -> Result<(), String> {
        std::thread::sleep(std::time::Duration::from_millis(200));
        RealDisk.write_file(path, bytes)
    }
    real_disk!(open, create, save_elsewhere, copy_sample, photo, make_folder, read_text);
}

#[test]
fn what_a_full_disk_refuses_is_kept_and_written_when_there_is_room() {
    let bench = Bench::new();
    let is_full = Arc::new(AtomicBool::new(true));
    let mut harness = window(bench.shell_on(Some(&bench.garage()), Arc::new(FullDisk(is_full.clone()))), SMALL);
    add_machine(&mut harness, "First");
    add_machine(&mut harness, "Second");
    harness.state_mut().settle();
    harness.run();
    assert!(harness.query_by_label("Not saved").is_some());
    assert!(harness.query_by_label_contains("free some space").is_some());
    assert_eq!(harness.state().garage().bays.len(), 2, "both stay in the window");
    assert!(names_in(&bench.garage()).is_empty());
    is_full.store(false, Ordering::SeqCst);
    press(&mut harness, "Try again");
    harness.state_mut().settle();
    harness.run();
    assert!(harness.query_by_label("Saved").is_some());
    assert_eq!(names_in(&bench.garage()).len(), 2);
}

#[test]
fn what_a_full_disk_refuses_can_be_written_elsewhere() {
    let bench = Bench::new();
    let disk = Arc::new(FullDisk(Arc::new(AtomicBool::new(true))));
    let mut harness = window(bench.shell_on(Some(&bench.garage()), disk), SMALL);
    add_machine(&mut harness, "First");
    harness.state_mut().settle();
    harness.run();
    let elsewhere = bench.folder.path().join("elsewhere");
    harness.get_by_label("or write everything to this folder").focus();
    harness.run();
    harness.get_by_label("or write everything to this folder").type_text(&elsewhere.display().to_string());
    harness.run();
    press(&mut harness, "Save there");
    harness.state_mut().settle();
    harness.run();
    assert_eq!(harness.state().folder(), Some(elsewhere.as_path()));
    assert_eq!(names_in(&elsewhere), ["First"]);
}

#[test]
fn a_second_window_on_the_same_garage_looks_and_does_not_write() {
    let bench = Bench::new();
    let first = window(bench.shell(Some(&bench.garage())), SMALL);
    let mut second = window(bench.shell(Some(&bench.garage())), SMALL);
    assert!(second.query_by_label("This garage is open to look at only").is_some());
    add_machine(&mut second, "Not for this disk");
    second.state_mut().settle();
    second.run();
    assert!(second.query_by_label("Not saved").is_some());
    assert!(names_in(&bench.garage()).is_empty());
    drop(first);
}

#[test]
fn what_a_second_window_holds_back_is_not_let_go_by_a_report() {
    let bench = Bench::new();
    let first = window(bench.sample(), SMALL);
    let folder = bench.homes().sample_garage();
    let names = names_in(&folder);
    let mut second = window(bench.shell(Some(&folder)), SMALL);
    add_machine(&mut second, "Not for this disk");
    let other = second.state().garage().bays[0].machine.name.clone();
    second.get_by(|n| n.label().is_some_and(|l| l.starts_with(&format!("{other}: ")))).click();
    second.run();
    second.key_press(egui::Key::F3);
    second.run();
    let path = bench.folder.path().join("record.pdf");
    fill(&mut second, "or type a path", &path.display().to_string());
    second.state_mut().settle();
    second.run();
    second.state_mut().settle();
    assert!(path.is_file(), "the report itself is written");
    assert_eq!(names_in(&folder), names);
    drop(first);
}

#[test]
fn what_an_editor_wrote_meanwhile_is_kept_and_a_mended_garage_is_read_again() {
    let bench = Bench::new();
    let mut harness = window(bench.shell(Some(&bench.garage())), SMALL);
    add_machine(&mut harness, "Tourer");
    harness.state_mut().settle();
    let folder = bench.garage().join("machines").join(&harness.state().garage().bays[0].machine.id.0);
    let path = folder.join("machine.ron");
    let text = std::fs::read_to_string(&path).expect("written");
    std::fs::write(&path, text.replace("Tourer", "By the editor")).expect("an editor writes");
    fill(&mut harness, "Name", "By the window");
    harness.state_mut().settle();
    harness.run();
    assert!(harness.query_by_label_contains("was changed here and on disk").is_some(), "it is said");
    assert_eq!(names_in(&bench.garage()), ["By the editor"], "nothing is written over");
    press(&mut harness, "Look at both versions of the machine By the window");
    press(&mut harness, "Keep mine");
    rest(&mut harness);
    assert_eq!(names_in(&bench.garage()), ["By the window"]);
    let kept = text.replace("Tourer", "By the editor");
    // The person settles it in the editor; the window reads the garage again without being closed.
    std::fs::write(&path, &kept).expect("an editor writes");
    harness.key_press(egui::Key::F4);
    harness.run();
    press(&mut harness, "Read it again");
    assert_eq!(harness.state().garage().bays[0].machine.name, "By the editor");
    assert!(harness.query_by_label("This garage is open to look at only").is_none());
}

#[test]
fn the_end_waits_for_a_report_that_is_being_written() {
    let bench = Bench::new();
    let disk = Arc::new(FullDisk(Arc::new(AtomicBool::new(false))));
    let mut harness = window(bench.shell_on(None, disk), SMALL);
    harness.key_press(egui::Key::F3);
    harness.run();
    let machine = harness.state().garage().bays[0].machine.id.clone();
    let path = bench.folder.path().join("record.pdf");
    // A change is on its way to disk when the report is asked for.
    harness.state_mut().apply(Action::Edit(stemclock::edit::Command::Archive(machine, true)));
    harness.state_mut().apply(Action::SaveReport(path.clone()));
    harness.state_mut().settle();
    assert!(path.is_file());
}

#[test]
fn what_is_changed_while_the_garage_is_written_elsewhere_goes_after_it() {
    let bench = Bench::new();
    let is_full = Arc::new(AtomicBool::new(true));
    let mut harness = window(bench.shell_on(Some(&bench.garage()), Arc::new(FullDisk(is_full.clone()))), SMALL);
    add_machine(&mut harness, "First");
    harness.state_mut().settle();
    let elsewhere = bench.folder.path().join("elsewhere");
    harness.state_mut().apply(Action::SaveElsewhere(elsewhere.clone()));
    let late = stemclock::machine::Machine::new(
        stemclock::machine::MachineId("late-0001".into()),
        "Late",
        stemclock::machine::Layout::Solo,
    );
    harness.state_mut().apply(Action::Edit(stemclock::edit::Command::AddMachine(late)));
    is_full.store(false, Ordering::SeqCst);
    harness.state_mut().settle();
    assert_eq!(harness.state().folder(), Some(elsewhere.as_path()));
    let mut names = names_in(&elsewhere);
    names.sort();
    assert_eq!(names, ["First", "Late"]);
    assert_eq!(harness.state().garage().bays.len(), 2);
}

#[test]
fn a_damaged_file_is_named_and_the_rest_opens() {
    let bench = Bench::new();
    let mut harness = window(bench.shell(Some(&bench.garage())), SMALL);
    add_machine(&mut harness, "Sound one");
    add_machine(&mut harness, "Damaged one");
    harness.state_mut().settle();
    let machine = harness.state().garage().bays.iter().find(|b| b.machine.name == "Damaged one").expect("added");
    let path = bench.garage().join("machines").join(&machine.machine.id.0).join("machine.ron");
    drop(harness);
    let text = std::fs::read_to_string(&path).expect("written");
    std::fs::write(&path, text.replacen("name:", "nmae:", 1)).expect("damaged");
    let mut again = window(bench.shell(Some(&bench.garage())), SMALL);
    assert!(again.query_by_label_contains("Sound one:").is_some());
    assert!(again.query_by_label_contains("machine.ron").is_some(), "the file is named on the screen");
    again.key_press(egui::Key::F4);
    again.run();
    assert!(again.query_by_label("Files that need you").is_some());
}
