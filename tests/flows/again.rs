//! A finding of an earlier day is answered in the walk-around: still there, grown, gone.

use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use stemclock::app::Shell;
use stemclock::history::open_defects;
use stemclock::inspection::Seen;

use super::support::{Bench, press, rest, window};

/// What was seen of a finding with which the inspection in hand began.
fn seen(harness: &Harness<'_, Shell>, finding: &stemclock::inspection::FindingId) -> Seen {
    let state = harness.state().state();
    let bay = state.machine.as_ref().and_then(|id| harness.state().garage().bay(id)).expect("a machine in hand");
    let inspection = state.inspection.as_ref().and_then(|id| bay.inspection(id)).expect("an inspection in hand");
    inspection.carried.get(finding).expect("it was carried over").seen.clone()
}

/// The first row of a finding of an earlier day: its words, and what it says was seen.
fn first_row(harness: &Harness<'_, Shell>) -> (String, String) {
    let label = |n: &egui_kittest::Node<'_>| n.accesskit_node().label().unwrap_or_default();
    let rows = harness.query_all_by_label_contains("Again: ").map(|n| label(&n));
    let row = rows.into_iter().next().expect("a row");
    let (words, said) = row.rsplit_once(": ").expect("what was seen stands behind");
    (words.to_owned(), said.to_owned())
}

fn press_seen(harness: &mut Harness<'_, Shell>, words: &str) {
    rest(harness);
    harness.get_by_role_and_label(egui::accesskit::Role::Button, words).click();
    harness.run();
}

#[test]
fn a_press_on_a_finding_of_an_earlier_day_asks_whether_it_is_still_there() {
    let bench = Bench::new();
    let mut harness = window(bench.sample(), [1600.0, 1000.0]);
    let bays = &harness.state().garage().bays;
    let bay = bays.iter().find(|b| !open_defects(b).is_empty()).expect("a machine with an open finding");
    let machine = bay.machine.id.clone();
    let shell = harness.state_mut().state_mut();
    shell.machine = Some(machine);
    shell.inspection = None;
    shell.walk.begin("season", "Ada");
    rest(&mut harness);
    press(&mut harness, "Begin the inspection");
    press(&mut harness, "All checks");
    rest(&mut harness);
    assert_eq!(first_row(&harness).1, "look again");
    harness.query_all_by_label_contains("Again: ").next().expect("a row").scroll_to_me();
    harness.run();
    harness.query_all_by_label_contains("Again: ").next().expect("a row").click();
    rest(&mut harness);
    assert!(harness.query_by_label("Is it still there?").is_some(), "it is asked");
    let finding = harness.state().state().finding.clone().expect("it is in hand");
    assert_eq!(seen(&harness, &finding), Seen::NotYet);
    press_seen(&mut harness, "gone");
    assert_eq!(seen(&harness, &finding), Seen::Gone);
    assert_eq!(first_row(&harness).1, "gone");
    press_seen(&mut harness, "still there");
    assert_eq!(seen(&harness, &finding), Seen::Still);
    assert_eq!(first_row(&harness).1, "still there");
}
