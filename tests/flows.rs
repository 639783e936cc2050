//! What a person does in the window, found by the names that a screen reader hears. No graphics card is needed.

#![allow(clippy::unwrap_used, reason = "a test stops at the first surprise")]

mod support;

use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use stemclock::app::{Disk, Found, Question, RealDisk, Shell};
use stemclock::edit::Change;
use stemclock::garage::{Garage, GarageInfo};
use stemclock::ui::{Action, Place};
use support::{Bench, fill, press, rest, value, window};

const SMALL: [f32; 2] = [1024.0, 700.0];

fn add_machine(harness: &mut Harness<'_, Shell>, name: &str) {
    press(harness, "Add a machine");
    fill(harness, "What do you call it?", name);
}

fn size_on_disk(bench: &Bench) -> Option<String> {
    let opened = stemclock::store::read(&bench.garage()).expect("the garage opens");
    let bay = opened.garage.bays.first()?;
    Some(bay.machine.wheels[0].tyre.as_ref()?.marking.to_string())
}

#[test]
fn a_machine_is_added_its_tyre_typed_wrong_then_right_undone_redone_and_found_again() {
    let bench = Bench::new();
    let mut harness = window(bench.shell(Some(&bench.garage())), SMALL);
    assert!(harness.query_by_label("No machine yet").is_some(), "an empty place says what to do first");
    add_machine(&mut harness, "Tourer");
    assert_eq!(harness.state().state().place, Place::Machine, "the form of the new machine opens");

    // A figure that cannot be read stays as typed, and the way out stands beside it.
    fill(&mut harness, "Size on the sidewall", "120/70 wide");
    assert_eq!(value(&harness, "Size on the sidewall"), "120/70 wide");
    assert!(harness.query_by_label_contains("expected").is_some(), "what was expected is said");
    harness.state_mut().settle();
    assert_eq!(size_on_disk(&bench), None, "nothing unreadable reaches the disk");

    fill(&mut harness, "Size on the sidewall", "120/70zr17 m/c 58w");
    // The normal form by the order of the marks in ISO 5751-1: width/aspect, code, rim, M/C, service description.
    assert_eq!(value(&harness, "Size on the sidewall"), "120/70 ZR17 M/C 58W");
    assert!(harness.query_by_label_contains("load index 58: 236 kg").is_some(), "the load index says its load");
    harness.state_mut().settle();
    assert_eq!(size_on_disk(&bench).as_deref(), Some("120/70 ZR17 M/C 58W"));

    press(&mut harness, "Undo: edit the machine");
    harness.state_mut().settle();
    assert_eq!(value(&harness, "Size on the sidewall"), "");
    assert_eq!(size_on_disk(&bench), None, "undo reaches the disk too");
    press(&mut harness, "Redo: edit the machine");
    harness.state_mut().settle();
    assert_eq!(size_on_disk(&bench).as_deref(), Some("120/70 ZR17 M/C 58W"));
    drop(harness);

    // The last garage is remembered: no folder is named this time.
    let mut again = window(bench.shell(None), SMALL);
    assert!(again.query_by_label_contains("Tourer: not yet looked at").is_some());
    again.key_press(egui::Key::F2);
    again.run();
    assert_eq!(value(&again, "Size on the sidewall"), "120/70 ZR17 M/C 58W");
}

#[test]
fn figures_are_taken_in_the_liked_unit_and_kept_in_the_typed_one() {
    let bench = Bench::new();
    let mut harness = window(bench.shell(Some(&bench.garage())), SMALL);
    add_machine(&mut harness, "Standard");
    fill(&mut harness, "Rider alone", "36 psi");
    assert_eq!(value(&harness, "Rider alone"), "36 psi");
    // 36 psi × 6.894757 kPa (NIST SP 811) = 248.2 kPa = 2.48 bar.
    assert!(harness.query_by_label("2.48 bar").is_some(), "the same in the unit the owner likes");
    fill(&mut harness, "Rider alone", "2,5");
    assert_eq!(value(&harness, "Rider alone"), "2.5 bar");
    for (typed, words) in [("-2 bar", "zero or more"), ("NaN", "finite"), ("2.5 mm", "mm"), ("900 bar", "900 bar")] {
        fill(&mut harness, "Rider alone", typed);
        assert_eq!(value(&harness, "Rider alone"), typed, "what was typed stays");
        let trouble = harness.get_by_label_contains("expected").value().unwrap_or_default();
        assert!(trouble.contains(words), "{typed} is told with {words}: {trouble}");
    }
    // Escape takes the typing back.
    harness.get_by_label("Rider alone").focus();
    harness.run();
    harness.key_press(egui::Key::Escape);
    harness.run();
    assert_eq!(value(&harness, "Rider alone"), "2.5 bar");
    let placard = harness.state().garage().bays[0].machine.wheels[0].placard.clone().expect("a placard");
    assert_eq!(placard.solo.to_string(), "2.5 bar");
}

#[test]
fn a_field_that_is_left_by_a_key_is_read_before_the_place_changes() {
    let bench = Bench::new();
    let mut harness = window(bench.shell(Some(&bench.garage())), SMALL);
    add_machine(&mut harness, "Standard");
    harness.get_by_label("Wheelbase").focus();
    harness.run();
    harness.get_by_label("Wheelbase").type_text("1430 mm");
    harness.run();
    harness.key_press(egui::Key::F4);
    harness.run();
    assert_eq!(harness.state().state().place, Place::Garage);
    let wheelbase = harness.state().garage().bays[0].machine.wheelbase.expect("read on leaving");
    assert_eq!(wheelbase.to_string(), "1430 mm");
}

#[test]
fn a_machine_is_put_away_and_taken_out_again() {
    let bench = Bench::new();
    let mut harness = window(bench.shell(Some(&bench.garage())), SMALL);
    add_machine(&mut harness, "Moped");
    press(&mut harness, "Put away");
    assert!(harness.state().garage().bays[0].machine.archived);
    assert!(harness.query_by_label("Put away").is_some(), "it is listed under its own heading");
    press(&mut harness, "Take out again");
    assert!(!harness.state().garage().bays[0].machine.archived);
}

#[test]
fn every_place_is_a_key_and_a_press_away() {
    let bench = Bench::new();
    let mut harness = window(bench.shell(Some(&bench.garage())), SMALL);
    add_machine(&mut harness, "Standard");
    for entry in stemclock::ui::panels::PLACES {
        harness.key_press(entry.key);
        harness.run();
        assert_eq!(harness.state().state().place, entry.place, "{}", entry.name);
    }
    for entry in stemclock::ui::panels::PLACES {
        harness.get_by_role_and_label(egui::accesskit::Role::Button, entry.name).click();
        harness.run();
        assert_eq!(harness.state().state().place, entry.place, "{}", entry.name);
    }
}

#[test]
fn everything_keeps_its_place_in_a_small_window_and_when_it_is_twice_as_large() {
    for (size, zoom) in [(SMALL, 1.0), ([1600.0, 1000.0], 1.0), ([800.0, 500.0], 2.0)] {
        let bench = Bench::new();
        // The window keeps its pixels and holds fewer points when it is zoomed.
        let mut harness = window(bench.shell(Some(&bench.garage())), size.map(|points| points * zoom));
        harness.set_pixels_per_point(zoom);
        harness.run();
        assert_eq!(harness.ctx.content_rect().size(), size.into());
        add_machine(&mut harness, "A tourer with a rather long name to be cut");
        for entry in stemclock::ui::panels::PLACES {
            harness.key_press(entry.key);
            harness.run();
            let whole = egui::Rect::from_min_size(egui::Pos2::ZERO, size.into());
            for name in stemclock::ui::panels::PLACES.iter().map(|p| p.name).chain(["Light or dark", "Add a machine"]) {
                let rect = harness.get_by_role_and_label(egui::accesskit::Role::Button, name).rect();
                assert!(whole.contains_rect(rect), "{name} at {rect:?} in {size:?} with {} open", entry.name);
            }
        }
    }
}

#[test]
fn a_narrow_window_gives_the_list_of_machines_a_place_of_its_own() {
    // 1024 by 700 at twice the size.
    let bench = Bench::new();
    let size = [512.0, 350.0];
    let mut harness = window(bench.sample(), size);
    let whole = egui::Rect::from_min_size(egui::Pos2::ZERO, size.into());
    assert!(harness.query_by_label("Add a machine").is_none(), "the list stands back");
    press(&mut harness, "Machines");
    let rect = harness.get_by_label("Add a machine").rect();
    assert!(whole.contains_rect(rect), "{rect:?}");
    let other = harness.state().garage().bays[1].machine.clone();
    harness.get_by(|n| n.label().is_some_and(|l| l.starts_with(&format!("{}: ", other.name)))).click();
    harness.run();
    assert_eq!(harness.state().state().machine.as_ref(), Some(&other.id));
    assert!(harness.query_by_label("Add a machine").is_none(), "the place comes back with the machine chosen");
}

#[test]
fn the_keyboard_goes_on_in_the_place_that_a_key_opened() {
    let bench = Bench::new();
    let mut harness = window(bench.shell(Some(&bench.garage())), SMALL);
    add_machine(&mut harness, "Tourer");
    for (key, first) in
        [(egui::Key::F2, "front wheel"), (egui::Key::F4, "Read it again"), (egui::Key::F2, "front wheel")]
    {
        harness.key_press(key);
        harness.run();
        harness.key_press(egui::Key::Tab);
        harness.run();
        assert!(harness.get_by_label(first).is_focused(), "Tab after {key:?} comes to {first}");
    }
}

/// Fields of the machine form that take any words.
const WORDS: &[&str] = &[
    "Name",
    "Grade",
    "Registration",
    "Frame number (VIN)",
    "Fastener",
    "New fastener",
    "Page of the manual",
    "What else is to be known",
];

#[test]
fn what_a_machine_was_built_without_is_ticked_and_taken_back() {
    use stemclock::machine::Equipment;
    let bench = Bench::new();
    let mut harness = window(bench.sample(), [1024.0, 3000.0]);
    harness.key_press(egui::Key::F2);
    harness.run();
    press(&mut harness, "Equipment");
    let lacks = |harness: &Harness<'_, Shell>| {
        harness.state().garage().bays.iter().any(|b| b.machine.built_without.contains(&Equipment::Indicators))
    };
    harness.get_by_role_and_label(egui::accesskit::Role::CheckBox, "indicators").click();
    harness.run();
    assert!(lacks(&harness));
    press(&mut harness, "Undo: edit the machine");
    assert!(!lacks(&harness));
}

#[test]
fn no_figure_of_the_machine_form_takes_nonsense() {
    let bench = Bench::new();
    let mut harness = window(bench.sample(), [1024.0, 6000.0]);
    harness.key_press(egui::Key::F2);
    harness.run();
    for part in ["Drive, brakes and battery", "Fluids", "Service limits", "Torque figures", "Papers", "Notes"] {
        press(&mut harness, part);
    }
    let before = format!("{:?}", harness.state().garage());
    let mut labels: Vec<String> = harness
        .get_all_by_role(egui::accesskit::Role::TextInput)
        .filter_map(|n| n.accesskit_node().label())
        .filter(|l| !WORDS.contains(&l.as_str()))
        .collect();
    labels.sort();
    labels.dedup();
    assert!(labels.len() > 15, "the fields were found: {labels:?}");
    let troubles = |harness: &Harness<'_, Shell>| harness.query_all_by_label_contains("expected").count();
    for (index, label) in labels.iter().enumerate() {
        // Each kind of nonsense in turn, since every field reads by the same few functions.
        let nonsense = ["-1e400 parsec", "NaN", "99999999999999999999", "4/0"][index % 4];
        // Several fields share a name, as each fluid has its day: the first of them is tried.
        let field = |h: &Harness<'_, Shell>, act: &dyn Fn(egui_kittest::Node<'_>)| {
            let mut found = h.get_all_by_role_and_label(egui::accesskit::Role::TextInput, label);
            act(found.next().expect("as many as before"));
        };
        let quiet = troubles(&harness);
        field(&harness, &|n| n.focus());
        harness.run();
        harness.key_press_modifiers(egui::Modifiers::COMMAND, egui::Key::A);
        harness.run();
        field(&harness, &|n| n.type_text(nonsense));
        harness.run();
        harness.key_press(egui::Key::Enter);
        harness.run();
        assert!(troubles(&harness) > quiet, "{label} takes {nonsense} without a word");
    }
    assert_eq!(format!("{:?}", harness.state().garage()), before);
}

#[test]
fn at_rest_nothing_is_drawn() {
    let bench = Bench::new();
    let mut harness = window(bench.sample(), SMALL);
    let asks = |harness: &Harness<'_, Shell>| {
        let output = &harness.output().viewport_output[&egui::ViewportId::ROOT];
        (output.repaint_delay != std::time::Duration::MAX).then_some(output.repaint_delay)
    };
    for entry in stemclock::ui::panels::PLACES {
        harness.key_press(entry.key);
        harness.run();
        // Photos come from a thread, which wakes the window for each; then the pages from another.
        rest(&mut harness);
        rest(&mut harness);
        assert_eq!(asks(&harness), None, "{} asks for another frame", entry.name);
    }
    // Nor while a field waits for what is typed.
    harness.key_press(egui::Key::F4);
    harness.run();
    harness.get_by_label("Name of the garage").focus();
    harness.run();
    harness.run();
    assert_eq!(asks(&harness), None, "a field in hand asks for another frame");
}

#[test]
fn a_report_is_never_written_over_a_file_that_the_user_has_not_named_twice() {
    let bench = Bench::new();
    let mut harness = window(bench.sample(), SMALL);
    harness.key_press(egui::Key::F3);
    harness.run();
    let path = bench.folder.path().join("thesis.pdf");
    std::fs::write(&path, "years of work").expect("a file of the user's");
    let typed = path.display().to_string();
    fill(&mut harness, "or type a path", &typed);
    harness.state_mut().settle();
    harness.run();
    assert!(harness.query_by_label_contains("save to the same path again").is_some(), "the way out is said");
    assert_eq!(std::fs::read_to_string(&path).expect("still there"), "years of work");
    fill(&mut harness, "or type a path", &typed);
    harness.state_mut().settle();
    assert!(std::fs::read(&path).expect("written").starts_with(b"%PDF-"), "asked again, it is written");

    // A point in a name is no ending, a folder takes the name that is offered, and a folder that is not there is said.
    let dotted = bench.folder.path().join("bike v1.2");
    fill(&mut harness, "or type a path", &dotted.display().to_string());
    let offered = harness.state().state().report.file_name();
    fill(&mut harness, "or type a path", &bench.folder.path().display().to_string());
    fill(&mut harness, "or type a path", &bench.folder.path().join("none/record").display().to_string());
    harness.state_mut().settle();
    harness.run();
    assert!(bench.folder.path().join("bike v1.2.pdf").is_file());
    assert!(bench.folder.path().join(&offered).is_file(), "{offered}");
    assert!(harness.query_by_label_contains("Expected a folder to write into").is_some());
}

#[test]
fn an_empty_figure_is_not_taken_back_without_a_word() {
    let bench = Bench::new();
    let mut harness = window(bench.shell(Some(&bench.garage())), [1024.0, 2400.0]);
    add_machine(&mut harness, "Standard");
    press(&mut harness, "Torque figures");
    fill(&mut harness, "New fastener", "rear axle nut");
    fill(&mut harness, "Its torque", "48 lbf·ft");
    assert_eq!(value(&harness, "Torque"), "48 lbf·ft");
    harness.get_by_role_and_label(egui::accesskit::Role::TextInput, "Torque").focus();
    harness.run();
    harness.key_press_modifiers(egui::Modifiers::COMMAND, egui::Key::A);
    harness.run();
    harness.key_press(egui::Key::Delete);
    harness.run();
    harness.key_press(egui::Key::Enter);
    harness.run();
    assert!(harness.query_by_label_contains("press Remove this figure").is_some());
    assert_eq!(harness.state().garage().bays[0].machine.torques.len(), 1, "the figure is kept");
}

#[test]
fn the_garage_that_is_open_opens_again_by_another_spelling_and_the_sample_is_a_press_away() {
    let bench = Bench::new();
    let mut harness = window(bench.shell(Some(&bench.garage())), SMALL);
    add_machine(&mut harness, "Tourer");
    harness.state_mut().settle();
    harness.key_press(egui::Key::F4);
    harness.run();
    // With a detour, and by its file: a person copies what the file manager shows.
    let detour = bench.garage().join("machines").join("..").join("garage.ron");
    fill(&mut harness, "or type its path", &format!("\"{}\"", detour.display()));
    assert!(harness.query_by_label("This garage is open to look at only").is_none(), "it is not its own other window");
    assert_eq!(harness.state().garage().bays.len(), 1);
    press(&mut harness, "Open the sample garage");
    harness.run();
    assert_eq!(harness.state().folder(), Some(bench.homes().sample_garage().as_path()));
}

#[test]
fn a_folder_that_is_no_garage_is_said_and_another_can_be_made() {
    let bench = Bench::new();
    let empty = bench.folder.path().join("nothing here");
    let mut harness = window(bench.shell(Some(&empty)), SMALL);
    assert!(harness.query_by_label("No garage is open").is_some());
    assert!(harness.query_by_label_contains("found nothing at").is_some(), "the reason is on the screen");
    let fresh = bench.folder.path().join("fresh");
    fill(&mut harness, "Make a new one in", &fresh.display().to_string());
    assert_eq!(harness.state().folder(), Some(fresh.as_path()));
    assert!(fresh.join("garage.ron").is_file());
}

#[test]
fn a_garage_is_chosen_by_the_dialog() {
    let bench = Bench::new();
    let other = bench.folder.path().join("other");
    stemclock::store::create(&other, &GarageInfo { name: "The other one".into(), ..GarageInfo::default() })
        .expect("a second garage");
    let mut harness = window(bench.shell(Some(&bench.garage())), SMALL);
    harness.key_press(egui::Key::F4);
    harness.run();
    *bench.answers.answer.lock().expect("no panic while locked") = Some(Action::OpenGarage(other.clone()));
    press(&mut harness, "Open a folder…");
    harness.run();
    assert!(matches!(bench.answers.asked.lock().expect("no panic")[..], [Question::GarageFolder { .. }]));
    assert_eq!(harness.state().folder(), Some(other.as_path()));
    assert_eq!(value(&harness, "Name of the garage"), "The other one");
}

#[test]
fn the_record_of_the_sample_is_read_aloud_and_saved_as_a_pdf() {
    let bench = Bench::new();
    let mut harness = window(bench.sample(), SMALL);
    harness.key_press(egui::Key::F3);
    harness.run();
    rest(&mut harness);
    rest(&mut harness);
    harness.run();
    let name = harness.state().garage().bays[0].machine.name.clone();
    let page =
        harness.query_by(|n| n.label().is_some_and(|l| l.starts_with("Page 1 of ") && l.contains(&name))).is_some();
    assert!(page, "the first page can be heard, and names the machine");
    let path = bench.folder.path().join("record");
    fill(&mut harness, "or type a path", &path.display().to_string());
    harness.state_mut().settle();
    harness.run();
    assert!(harness.query_by_label_contains("The report is in").is_some());
    let bytes = std::fs::read(path.with_extension("pdf")).expect("the ending is added");
    assert!(bytes.starts_with(b"%PDF-"), "it is a PDF");
}

#[test]
fn the_sample_is_copied_once_and_what_was_changed_in_it_stays() {
    let bench = Bench::new();
    let mut harness = window(bench.sample(), SMALL);
    let count = harness.state().garage().bays.len();
    assert!(count >= 4, "the sample has machines of every kind");
    assert_eq!(harness.state().folder(), Some(bench.homes().sample_garage().as_path()));
    add_machine(&mut harness, "My own");
    harness.state_mut().settle();
    drop(harness);
    // Even when the settings are lost.
    std::fs::remove_file(bench.homes().settings_file()).expect("settings were written");
    let again = window(bench.sample(), SMALL);
    assert_eq!(again.state().garage().bays.len(), count + 1);
}

/// A disk that is full until told otherwise, and slow with everything that is no record.
struct FullDisk(Arc<AtomicBool>);

impl Disk for FullDisk {
    fn open(&self, folder: &Path) -> Result<Found, String> {
        RealDisk.open(folder)
    }
    fn create(&self, folder: &Path, info: &GarageInfo) -> Result<(), String> {
        RealDisk.create(folder, info)
    }
    fn save(&self, folder: &Path, change: &Change) -> Result<Option<PathBuf>, String> {
        if self.0.load(Ordering::SeqCst) {
            return Err("expected room on the disk, found it full: free some space".into());
        }
        RealDisk.save(folder, change)
    }
    fn save_all(&self, folder: &Path, garage: &Garage) -> Result<(), String> {
        RealDisk.save_all(folder, garage)
    }
    fn copy_sample(&self, to: &Path) -> Result<(), String> {
        RealDisk.copy_sample(to)
    }
    fn copy_attachments(&self, from: &Path, to: &Path) -> Result<(), String> {
        RealDisk.copy_attachments(from, to)
    }
    fn photo(&self, folder: &Path, machine: &stemclock::machine::MachineId, name: &str) -> Result<Vec<u8>, String> {
        RealDisk.photo(folder, machine, name)
    }
    fn make_folder(&self, folder: &Path) -> Result<(), String> {
        RealDisk.make_folder(folder)
    }
    fn write_file(&self, path: &Path, bytes: &[u8]) -> Result<(), String> {
        std::thread::sleep(std::time::Duration::from_millis(200));
        RealDisk.write_file(path, bytes)
    }
    fn read_text(&self, path: &Path) -> Result<Option<String>, String> {
        RealDisk.read_text(path)
    }
}

fn names_in(folder: &Path) -> Vec<String> {
    let opened = stemclock::store::read(folder).expect("the garage opens");
    opened.garage.bays.iter().map(|b| b.machine.name.clone()).collect()
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

#[test]
fn every_kind_of_report_is_shown_saved_as_pictures_and_copied() {
    use stemclock::report::content::KINDS;
    let bench = Bench::new();
    let mut harness = window(bench.sample(), [1280.0, 1400.0]);
    harness.key_press(egui::Key::F3);
    harness.run();
    for kind in KINDS {
        rest(&mut harness);
        harness.run();
        if harness.query_by_label(kind.title).is_none() {
            harness.get_by_role_and_label(egui::accesskit::Role::ComboBox, "Report").click();
            harness.run();
            harness.get_by_label(kind.title).click();
            harness.run();
        }
        rest(&mut harness);
        rest(&mut harness);
        harness.run();
        let offered = harness.state().state().report.file_name();
        assert!(offered.ends_with(&format!("-{}.pdf", kind.id)), "{offered}");
        assert!(harness.state().state().report.layout().is_some(), "{} has no pages", kind.id);
    }
    let folder = bench.folder.path().join("pictures");
    fill(&mut harness, "or type a path", "");
    harness.state_mut().apply(Action::SavePicturesAt(folder.display().to_string()));
    rest(&mut harness);
    let pictures = std::fs::read_dir(&folder).expect("made").count();
    assert!(pictures > 0);
    assert!(harness.query_by_label_contains("The report is in").is_some());
    press(&mut harness, "Copy the words");
    assert!(harness.query_by_label_contains("on the clipboard").is_some());
}

#[test]
fn a_repair_is_ticked_written_down_and_asks_again_only_what_it_touched() {
    let bench = Bench::new();
    let mut harness = window(bench.sample(), [1600.0, 1000.0]);
    harness.get_by_label_contains("Belt tourer:").click();
    harness.run();
    harness.key_press(egui::Key::F8);
    harness.run();
    assert!(
        harness.query_by_label("Wheel out and in, front").is_some(),
        "the scored disc and its pads share a strip-down"
    );
    assert!(harness.query_by_label_contains("One strip-down serves 2 of these").is_some());
    harness.get_all_by_label_contains("steps ticked").next().unwrap().click();
    harness.run();
    let step = "Lever and pedal pumped until firm before the machine moves at all";
    harness.get_by_label(step).scroll_to_me();
    harness.run();
    harness.get_by_label(step).click();
    harness.run();
    assert!(harness.query_by_label_contains("How: 1 of").is_some());
    assert!(harness.query_by_label_contains("front caliper bolts: 58 N·m").is_some(), "43 lbf·ft, SP 811: 58.30 N·m");
    harness.get_all_by_label("Write the work down").next().unwrap().scroll_to_me();
    harness.run();
    harness.get_all_by_label("Write the work down").next().unwrap().click();
    harness.run();
    assert!(harness.query_by_label("Write what was done.").is_some(), "what is missing is said");
    fill(&mut harness, "What was done", "disc and pads replaced");
    fill(&mut harness, "Who did it", "M. Fenwick");
    fill(&mut harness, "Odometer", "soon");
    assert!(harness.query_by_label_contains("Odometer: expected").is_some(), "what cannot be read stays and is said");
    fill(&mut harness, "Odometer", "39770 mi");
    harness.get_by_label("Write it down as done").scroll_to_me();
    harness.run();
    press(&mut harness, "Write it down as done");
    let bay = |harness: &Harness<'_, Shell>| {
        harness.state().garage().bays.iter().find(|b| b.machine.id.0 == "tourer-b27e").unwrap().clone()
    };
    let event = bay(&harness).events.last().unwrap().clone();
    let stemclock::inspection::EventKind::Job(job) = event.kind else { unreachable!("a job was written down") };
    assert_eq!((job.findings.len(), job.steps.as_slice()), (2, &[step.to_owned()][..]));
    assert!(harness.query_by_label("Repaired, the second look is to come").is_some());
    press(&mut harness, "Begin the second look");
    assert_eq!(harness.state().state().place, Place::Walk);
    press(&mut harness, "Begin the inspection");
    let second = bay(&harness).latest().unwrap().clone();
    assert_eq!(second.kind, "work");
    let asked: Vec<String> = second.asks.iter().map(ToString::to_string).collect();
    assert!(asked.iter().any(|c| c == "disc@front.left") && !asked.iter().any(|c| c == "horn@machine"), "{asked:?}");
    assert_eq!(second.carried.len(), 4, "the open findings are checks of their own");
}
