//! How an inspection begins: what is typed first, an empty place, a small window, the conditions.

use egui::{Theme, accesskit::Role};
use egui_kittest::kittest::Queryable as _;

use crate::bench::{Bench, begun, enter, front_pressure, open, press, told, window};

#[test]
fn an_inspection_begins_with_what_was_typed() {
    let mut window = open();
    enter(&mut window, "Odometer", "12 400");
    enter(&mut window, "Air", "18");
    press(&mut window, "Begin the inspection");
    let inspection = window.state().inspection();
    assert_eq!(inspection.inspector, "Ada");
    assert_eq!(inspection.odometer.map(|o| o.to_string()).as_deref(), Some("12400 km"));
    assert_eq!(inspection.conditions.ambient.map(|a| a.to_string()).as_deref(), Some("18 °C"));
    assert_eq!(inspection.date, crate::bench::today());
    assert!(window.state().state.check.is_some(), "the first open check is taken in hand");
}

#[test]
fn an_empty_place_says_what_to_do_first() {
    let mut bench = Bench::new();
    bench.state.machine = None;
    let mut none = window([1024.0, 700.0], Theme::Dark, bench);
    none.run();
    none.get_by_label("Choose a machine at the left");
    let mut first = open();
    first.get_by_label("None yet. The first one begins above.");
    first.run();
}

#[test]
fn in_a_small_window_the_parts_take_turns() {
    // 1024 by 700 at 200 per cent.
    let bench = std::mem::replace(begun().state_mut(), Bench::new());
    let mut window = window([512.0, 350.0], Theme::Dark, bench);
    window.run();
    assert_eq!(told(&window, "Clock face of the front wheel"), 0, "the first check is in hand and in front");
    assert!(told(&window, "Not yet decided") > 0, "the verdict takes one line");
    press(&mut window, "Wheel");
    assert_eq!(told(&window, "Clock face of the front wheel"), 1);
    press(&mut window, "Checks");
    front_pressure(&mut window);
    assert!(
        window.query_by_role_and_label(Role::TextInput, "Cold pressure").is_some(),
        "what is taken comes to the front"
    );
}

#[test]
fn conditions_are_changed_and_an_odd_one_is_refused_with_its_name() {
    let mut window = begun();
    press(&mut window, "Conditions");
    enter(&mut window, "Hours at rest", "-2");
    assert!(told(&window, "At rest: expected hours of zero or more") > 0);
    press(&mut window, "Leave them as they were");
    press(&mut window, "Conditions");
    enter(&mut window, "Hours at rest", "12");
    window.get_by_label_contains("With passenger or luggage").click();
    window.run();
    press(&mut window, "Keep these conditions");
    let conditions = &window.state().inspection().conditions;
    assert_eq!((conditions.standing_hours, conditions.loaded), (Some(12.0), true));
}
