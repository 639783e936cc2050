//! Garages opened, made and chosen.

use egui_kittest::kittest::Queryable as _;
use stemclock::app::Question;
use stemclock::garage::GarageInfo;
use stemclock::ui::Action;

use super::support::{Bench, fill, press, value, window};
use super::{SMALL, add_machine};

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
