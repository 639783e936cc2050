//! The history and the list of what falls due, driven by label.

use egui_kittest::kittest::Queryable as _;
use stemclock::ui::Action;
use stemclock::ui::panels::PLACES;

use crate::support::{Bench, fill, press, window};

/// The window on the sample garage with a machine in hand.
fn on<'a>(bench: &Bench, name: &str, size: [f32; 2]) -> egui_kittest::Harness<'a, stemclock::app::Shell> {
    let mut harness = window(bench.sample(), size);
    harness.state_mut().apply(Action::Dismiss(0));
    let machine = harness.state().garage().bays.iter().find(|b| b.machine.name == name);
    let id = machine.expect("in the sample").machine.id.clone();
    harness.state_mut().state_mut().machine = Some(id);
    harness.state_mut().state_mut().inspection = None;
    harness.run();
    harness
}

fn open(harness: &mut egui_kittest::Harness<'_, stemclock::app::Shell>, name: &str) {
    let entry = PLACES.iter().find(|p| p.name == name).expect("a place of that name");
    harness.key_press(entry.key);
    harness.run();
}

#[test]
fn the_history_shows_what_happened_the_wear_and_a_comparison_at_every_size() {
    for size in [[1024.0, 700.0], [1600.0, 1000.0], [512.0, 350.0]] {
        let bench = Bench::new();
        let mut harness = on(&bench, "Belt tourer", size);
        open(&mut harness, "History");
        harness.get_by_label("History of Belt tourer");
        harness.get_by_label("What happened, newest first");
        press(&mut harness, "Wear and what is left");
        harness.get_by_label_contains("On the line");
        harness.get_by_label_contains("in 1000 km");
        harness.get_by_label_contains("Taken for granted");
        press(&mut harness, "Compare two");
        harness.get_by_label("Check");
        // At rest nothing asks for another frame.
        harness.run();
        assert!(!harness.ctx.has_requested_repaint(), "a frame is asked for at rest at {size:?}");
    }
}

#[test]
fn what_falls_due_is_listed_and_saved_to_a_typed_path() {
    let bench = Bench::new();
    // Tall, so that the item that is pressed is in view however long the list grows.
    let mut harness = on(&bench, "Green outfit", [1024.0, 2000.0]);
    open(&mut harness, "Due");
    harness.get_by_label("What falls due");
    harness.get_by_label("March 2027");
    let out = bench.folder.path().join("mine");
    fill(&mut harness, "or type a path", out.to_str().expect("a path"));
    harness.run();
    let written = std::fs::read_to_string(bench.folder.path().join("mine.ics")).expect("the calendar");
    assert!(written.starts_with("BEGIN:VCALENDAR\r\n") && written.ends_with("END:VCALENDAR\r\n"));
    // A second time it is not written over unasked.
    fill(&mut harness, "or type a path", bench.folder.path().join("mine.ics").to_str().expect("a path"));
    harness.get_by_label_contains("There is a file of that name already");
    // An item leads to its machine.
    harness.get_by_label("Green outfit: Change the front brake fluid").click();
    harness.run();
    assert_eq!(harness.state().state().place, stemclock::ui::Place::Machine);
}

#[test]
fn a_service_is_entered_and_falls_due() {
    let bench = Bench::new();
    // Tall, so that everything on the page can be pressed without scrolling.
    let mut harness = on(&bench, "Blue standard", [1024.0, 3000.0]);
    open(&mut harness, "Machine");
    press(&mut harness, "Services and dates");
    press(&mut harness, "Fuel hose");
    fill(&mut harness, "Last done on", "2020-02-29");
    fill(&mut harness, "Insured until", "2027-01-31");
    open(&mut harness, "Due");
    // 60 months after 29 February 2020 is 28 February 2025: by hand.
    harness.get_by_label("overdue since 28 February 2025");
    harness.get_by_label("Blue standard: Insurance");
    let machine = harness.state().garage().bays.iter().find(|b| b.machine.name == "Blue standard").expect("there");
    assert_eq!(machine.machine.services.len(), 1);
}
