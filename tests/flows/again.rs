//! A finding of an earlier day is answered in the walk-around: still there, grown, gone.

use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;
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

/// The row of the finding, with what it says was seen.
fn row<'h>(harness: &'h Harness<'_, Shell>, said: &'h str) -> egui_kittest::Node<'h> {
    harness.get_by(|n| n.label().is_some_and(|l| l.starts_with("Again: ") && l.ends_with(&format!(": {said}"))))
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
    let bay = bays.iter().find(|b| open_defects(b).len() == 1).expect("a machine with one open finding");
    let machine = bay.machine.id.clone();
    let finding = open_defects(bay)[0].findings.last().map(|(_, f)| f.id.clone()).expect("a finding");
    let shell = harness.state_mut().state_mut();
    shell.machine = Some(machine);
    shell.inspection = None;
    shell.walk.begin("season", "Ada");
    rest(&mut harness);
    press(&mut harness, "Begin the inspection");
    press(&mut harness, "All checks");
    rest(&mut harness);
    row(&harness, "look again").scroll_to_me();
    harness.run();
    row(&harness, "look again").click();
    rest(&mut harness);
    assert!(harness.query_by_label("Is it still there?").is_some(), "it is asked");
    assert_eq!(seen(&harness, &finding), Seen::NotYet);
    press_seen(&mut harness, "gone");
    assert_eq!(seen(&harness, &finding), Seen::Gone);
    row(&harness, "gone");
    press_seen(&mut harness, "still there");
    assert_eq!(seen(&harness, &finding), Seen::Still);
    row(&harness, "still there");
}
