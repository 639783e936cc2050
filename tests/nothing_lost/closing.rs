//! The window is asked to close while something is on its way to disk, and a page ends the thread that makes it.

use std::path::PathBuf;
use std::sync::Arc;
use std::sync::atomic::Ordering;
use std::time::{Duration, Instant};

use egui::accesskit::Role;
use egui::{ViewportCommand, ViewportEvent, ViewportId};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;
use stemclock::app::Shell;
use stemclock::edit::Command;
use stemclock::store;
use stemclock::ui::{Action, Place};

use crate::commands::{garage, outfit};
use crate::slow::Slow;
use crate::support::{Bench, press, rest, window};

const SIZE: [f32; 2] = [1024.0, 700.0];

fn ready() -> (Bench, PathBuf, Slow) {
    let bench = Bench::new();
    let folder = bench.folder.path().join("garage-in-hand");
    store::save_all(&folder, &garage()).unwrap();
    (bench, folder, Slow::default())
}

/// As the user presses the cross. Gives whether the window closes.
fn closes(harness: &mut Harness<'_, Shell>) -> bool {
    let viewports = &mut harness.input_mut().viewports;
    viewports.entry(ViewportId::ROOT).or_default().events.push(ViewportEvent::Close);
    harness.step();
    let commands = &harness.output().viewport_output[&ViewportId::ROOT].commands;
    !commands.contains(&ViewportCommand::CancelClose)
}

fn details(harness: &Harness<'_, Shell>, summary: &str) -> Option<String> {
    harness.state().notes().iter().find(|note| note.summary.contains(summary)).map(|note| note.details.clone())
}

fn rename(harness: &mut Harness<'_, Shell>, name: &str) {
    let mut machine = harness.state().garage().bay(&outfit()).unwrap().machine.clone();
    machine.name = name.into();
    harness.state_mut().apply(Action::Edit(Command::EditMachine(machine)));
}

fn until(harness: &mut Harness<'_, Shell>, what: &str, is_so: impl Fn(&Harness<'_, Shell>) -> bool) {
    let end = Instant::now() + Duration::from_secs(30);
    while !is_so(harness) {
        assert!(Instant::now() < end, "waited in vain until {what}: {:?}", harness.state().notes());
        std::thread::sleep(Duration::from_millis(10));
        harness.run();
    }
}

/// Shows the report and has it written.
fn print(harness: &mut Harness<'_, Shell>, path: &std::path::Path) {
    harness.state_mut().state_mut().machine = Some(outfit());
    harness.key_press(egui::Key::F3);
    harness.run();
    rest(harness);
    harness.state_mut().apply(Action::SaveReport(path.to_owned()));
    harness.run();
}

#[test]
fn a_report_that_is_still_being_written_is_given_up_only_when_asked_twice() {
    let (bench, folder, disk) = ready();
    let mut harness = window(bench.shell_on(Some(&folder), Arc::new(disk.clone())), SIZE);
    let path = bench.folder.path().join("record.pdf");
    disk.paper.shut();
    print(&mut harness, &path);
    assert!(!closes(&mut harness), "it stays once");
    let said = details(&harness, "Something is still being written").expect("it is said");
    assert!(said.contains("record.pdf") && said.contains("close the window again"), "{said}");
    // The change that comes meanwhile does not wait for the page.
    rename(&mut harness, "Saved all the same");
    until(&mut harness, "the change is on disk", |_| {
        store::read(&folder).unwrap().garage.bay(&outfit()).unwrap().machine.name == "Saved all the same"
    });
    assert!(!path.exists());
    disk.paper.open();
    until(&mut harness, "the report is there", |h| details(h, "The report is in").is_some());
    harness.run();
    assert!(details(&harness, "Something is still being written").is_none(), "what is done is not warned of");
    assert!(closes(&mut harness));
}

#[test]
fn a_copy_that_is_still_being_written_is_given_up_only_when_asked_twice() {
    let (bench, folder, disk) = ready();
    let mut harness = window(bench.shell_on(Some(&folder), Arc::new(disk.clone())), SIZE);
    disk.copy.shut();
    harness.state_mut().apply(Action::SaveElsewhere(bench.folder.path().join("stick")));
    assert!(!closes(&mut harness), "it stays once");
    assert!(details(&harness, "Something is still being written").is_some_and(|said| said.contains("copy")));
    assert!(closes(&mut harness), "asked again, it closes");
    disk.copy.open();
}

#[test]
fn a_page_that_breaks_takes_no_change_with_it() {
    let (bench, folder, disk) = ready();
    let mut harness = window(bench.shell_on(Some(&folder), Arc::new(disk.clone())), SIZE);
    let path = bench.folder.path().join("record.pdf");
    disk.is_breaking.store(true, Ordering::SeqCst);
    print(&mut harness, &path);
    until(&mut harness, "it is said", |h| details(h, "The report could not be written to").is_some());
    rename(&mut harness, "After the fault");
    rest(&mut harness);
    assert!(harness.state().saved().is_ok(), "{:?}", harness.state().saved());
    assert_eq!(store::read(&folder).unwrap().garage.bay(&outfit()).unwrap().machine.name, "After the fault");
    // The next report is made as ever.
    disk.is_breaking.store(false, Ordering::SeqCst);
    harness.state_mut().apply(Action::SaveReport(path.clone()));
    rest(&mut harness);
    assert!(path.is_file());
}

#[test]
fn something_typed_and_not_written_down_is_said_once_before_it_is_given_up() {
    let (bench, folder, disk) = ready();
    let mut harness = window(bench.shell_on(Some(&folder), Arc::new(disk)), SIZE);
    harness.state_mut().state_mut().machine = Some(outfit());
    harness.state_mut().state_mut().place = Place::Repairs;
    rest(&mut harness);
    press(&mut harness, "Write down what happened");
    rest(&mut harness);
    harness.get_by_role_and_label(Role::TextInput, "Note on it").focus();
    harness.run();
    harness.event(egui::Event::Text("slid off the stand".into()));
    harness.run();
    harness.key_press(egui::Key::Tab);
    harness.run();
    assert!(!closes(&mut harness), "it stays open");
    let said = details(&harness, "Something typed is not written down yet").unwrap();
    assert!(said.contains("half written down under Repairs") && said.contains("close the window again"), "{said}");
    assert!(closes(&mut harness), "asked twice, it closes");
}

#[test]
fn with_nothing_typed_it_closes_at_once() {
    let (bench, folder, disk) = ready();
    let mut harness = window(bench.shell_on(Some(&folder), Arc::new(disk)), SIZE);
    harness.state_mut().state_mut().machine = Some(outfit());
    for place in [Place::Walk, Place::Repairs] {
        harness.state_mut().state_mut().place = place;
        rest(&mut harness);
    }
    assert!(closes(&mut harness));
}
