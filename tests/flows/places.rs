//! Places, keys, sizes of the window, and rest.

use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;
use stemclock::app::Shell;

use super::support::{Bench, press, rest, window};
use super::{SMALL, add_machine};

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
fn the_guided_mode_has_enter_at_once_after_the_place_was_opened_by_its_key() {
    let bench = Bench::new();
    let mut harness = window(bench.sample(), SMALL);
    harness.key_press(egui::Key::F1);
    harness.run();
    harness.key_press(egui::Key::G);
    harness.run();
    assert!(harness.query_all_by_label_contains("Begin an inspection of today?").count() > 0);
    harness.key_press(egui::Key::Enter);
    harness.run();
    harness.run();
    assert!(harness.query_all_by_label_contains("How many minutes have you?").count() > 0, "Enter begins one of today");
}
