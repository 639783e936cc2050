//! The rows of a sheet whose check has several fields: figures, a grid of places, a choice; by keyboard, and no figure is
//! written over.

use egui::{Key, Theme, accesskit::Role};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use stemclock::inspection::{Answer, Value};
use stemclock::ui::panels::walk::{Kept, Phase};

use crate::bench::{Bench, window};
use crate::keys::{key, type_in};

type Window = Harness<'static, Bench>;

/// Types a figure and enters it.
fn enter(window: &mut Window, text: &str) {
    type_in(window, text);
    key(window, Key::Enter);
}

fn in_hand(window: &Window) -> String {
    let walk = Kept::of(&window.state().state).walks.last().cloned().expect("a sheet is typed in");
    walk.leg().map(|l| l.key()).expect("a row in hand")
}

fn answer(window: &Window, check: &str) -> Answer {
    let answers = &window.state().inspection().answers;
    answers.iter().find(|(c, _)| c.to_string() == check).map(|(_, a)| a.clone()).unwrap_or_default()
}

/// A reading as it is kept.
fn reading(window: &Window, check: &str, field: &str) -> String {
    answer(window, check).readings.get(field).map_or_else(String::new, |value| match value {
        Value::Length(length) => length.to_string(),
        Value::Pressure(pressure) => pressure.to_string(),
        Value::Choice(choice) => choice.clone(),
        other => format!("{other:?}"),
    })
}

/// The rows of a sheet with a check in hand.
fn at_row(check: &str) -> Window {
    let mut window = window([1600.0, 1000.0], Theme::Dark, Bench::new());
    window.run();
    window.get_by_role_and_label(Role::Button, "season opening").click_accesskit();
    window.run();
    window.get_by_role_and_label(Role::Button, "Begin the inspection").click_accesskit();
    window.run();
    key(&mut window, Key::G);
    window.get_by_role_and_label(Role::Button, "Type in a paper sheet").click_accesskit();
    window.run();
    window.get_by_role_and_label(Role::Button, "Without a number").click_accesskit();
    window.run();
    assert_eq!(Kept::of(&window.state().state).walks.last().map(|w| w.phase), Some(Phase::Entry));
    for _ in 0..200 {
        if in_hand(&window) == check {
            return window;
        }
        key(&mut window, Key::Enter);
    }
    panic!("{check} is no row of the sheet");
}

fn places(window: &Window, label: &str) -> usize {
    let is_it = |n: &egui_kittest::Node<'_>| n.accesskit_node().label().is_some_and(|l| l.starts_with(label));
    window.query_all_by_role(Role::TextInput).filter(is_it).count()
}

#[test]
fn a_figure_in_a_grid_goes_to_its_cell_and_the_grid_stays_as_it_is() {
    let row = "drive-slack@machine";
    let mut window = at_row(row);
    enter(&mut window, "28");
    enter(&mut window, "34");
    assert_eq!(places(&window, "Reading at"), 8);
    for mm in ["29", "30", "31", "32", "33", "32", "31"] {
        enter(&mut window, mm);
        assert_eq!(places(&window, "Reading at"), 8, "the grid keeps its places");
        assert_eq!(in_hand(&window), row);
    }
    enter(&mut window, "30");
    let first = (reading(&window, row, "tightest"), reading(&window, row, "loosest"));
    assert_eq!(first, ("28 mm".into(), "34 mm".into()), "nothing is written over");
    let round = reading(&window, row, "round");
    for mm in [29.0, 30.0, 31.0, 32.0, 33.0] {
        assert!(round.contains(&format!("{mm:?}")) || round.contains(&format!("{mm}")), "{mm} in {round}");
    }
}

#[test]
fn a_figure_typed_into_no_field_finds_the_next_empty_one() {
    let row = "drive-slack@machine";
    let mut window = at_row(row);
    enter(&mut window, "28");
    enter(&mut window, "34");
    key(&mut window, Key::Escape);
    enter(&mut window, "29");
    assert_eq!((reading(&window, row, "tightest"), reading(&window, row, "loosest")), ("28 mm".into(), "34 mm".into()));
    assert!(reading(&window, row, "round").contains("29"));
}

#[test]
fn the_grid_of_a_tread_is_filled_by_keyboard_alone() {
    let row = "tyre-tread@front";
    let mut window = at_row(row);
    for cell in 0..5 {
        enter(&mut window, &format!("4.{cell}"));
        assert_eq!(places(&window, "Depth at"), 40);
    }
    let read = reading(&window, row, "tread");
    let read = if read.is_empty() { format!("{:?}", answer(&window, row).readings) } else { read };
    for cell in 0..5 {
        assert!(read.contains(&format!("4.{cell}")), "4.{cell} in {read}");
    }
    assert_eq!(in_hand(&window), row);
}

#[test]
fn after_the_figure_the_choice_is_asked_and_digits_choose_there() {
    let row = "throttle@machine";
    let mut window = at_row(row);
    enter(&mut window, "12 mm");
    assert_eq!(in_hand(&window), row, "the row is not left with its question unasked");
    type_in(&mut window, "2");
    assert_eq!((reading(&window, row, "play"), reading(&window, row, "return")), ("12 mm".into(), "slow".into()));
    type_in(&mut window, "9");
    assert!(window.query_all_by_label_contains("There are 3 choices here").count() > 0);
    assert_eq!(reading(&window, row, "play"), "12 mm", "the figure stays");
    key(&mut window, Key::Enter);
    assert_ne!(in_hand(&window), row);
}

#[test]
fn a_pressure_that_no_tyre_is_set_to_is_asked_about_before_it_is_written() {
    let row = "tyre-pressure@front";
    let mut window = at_row(row);
    enter(&mut window, "12 bar");
    assert_eq!(reading(&window, row, "cold"), "", "nothing is written yet");
    // Sidewalls of motorcycle tyres give up to 3.5 bar (common practice).
    assert!(window.query_all_by_label_contains("12 bar is more than any motorcycle tyre is set to").count() > 0);
    window.run();
    assert_eq!(reading(&window, row, "cold"), "");
    key(&mut window, Key::Enter);
    assert_eq!(reading(&window, row, "cold"), "12 bar", "a second Enter takes it");
}

#[test]
fn a_doubted_pressure_that_is_left_is_kept_as_typed_and_not_written() {
    let row = "tyre-pressure@front";
    let mut window = at_row(row);
    enter(&mut window, "12 bar");
    key(&mut window, Key::Tab);
    window.run();
    assert_eq!(reading(&window, row, "cold"), "");
}
