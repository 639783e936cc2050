//! An odometer that goes back is said while it is typed and taken when it is asked for again.

use egui::accesskit::Role;
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;
use stemclock::app::Shell;
use stemclock::garage::Bay;
use stemclock::inspection::EventKind;

use super::support::{Bench, fill, press, rest, window};

const GOES_BACK: &str = "expected an odometer of at least";

fn bay(harness: &Harness<'_, Shell>) -> Bay {
    let machine = harness.state().state().machine.clone().expect("a machine in hand");
    harness.state().garage().bay(&machine).expect("it is there").clone()
}

fn told(harness: &Harness<'_, Shell>, words: &str) -> bool {
    harness.query_all_by_label_contains(words).count() > 0
}

/// Types into a field and does not leave it.
fn type_into(harness: &mut Harness<'_, Shell>, label: &str, text: &str) {
    rest(harness);
    harness.get_by_role_and_label(Role::TextInput, label).focus();
    harness.run();
    harness.get_by_role_and_label(Role::TextInput, label).type_text(text);
    harness.run();
}

#[test]
fn an_inspection_does_not_begin_on_it_without_a_word() {
    let bench = Bench::new();
    let mut harness = window(bench.sample(), [1600.0, 1000.0]);
    harness.state_mut().state_mut().walk.begin("ride", "Ada");
    rest(&mut harness);
    let before = bay(&harness).inspections.len();
    type_into(&mut harness, "Odometer", "12 km");
    assert!(told(&harness, GOES_BACK), "while it is typed");
    press(&mut harness, "Begin the inspection");
    assert_eq!(bay(&harness).inspections.len(), before);
    assert!(told(&harness, "Once more takes it as it stands"));
    press(&mut harness, "Begin the inspection");
    assert_eq!(bay(&harness).inspections.len(), before + 1);
    let read = bay(&harness).latest().and_then(|i| i.odometer).expect("it was taken");
    assert_eq!(read.to_string(), "12 km");
}

#[test]
fn nor_is_it_written_down_between_two_inspections() {
    let bench = Bench::new();
    let mut harness = window(bench.sample(), [1600.0, 1000.0]);
    harness.key_press(egui::Key::F8);
    rest(&mut harness);
    harness.get_by_label("Write down what happened").scroll_to_me();
    press(&mut harness, "Write down what happened");
    harness.get_by_label("the odometer was read").scroll_to_me();
    press(&mut harness, "the odometer was read");
    harness.get_by_label("Write it down").scroll_to_me();
    harness.run();
    fill(&mut harness, "Odometer on that day", "10 km");
    assert!(told(&harness, GOES_BACK));
    let before = bay(&harness).events.len();
    press(&mut harness, "Write it down");
    assert_eq!(bay(&harness).events.len(), before);
    press(&mut harness, "Write it down");
    let after = bay(&harness).events;
    assert_eq!(after.len(), before + 1);
    assert!(matches!(after.last().map(|e| &e.kind), Some(EventKind::Odometer(_))), "{:?}", after.last());
}
