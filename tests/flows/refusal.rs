//! What could not be read is said where it can be seen whole, in a small window too.

use egui::accesskit::Role;
use egui_kittest::kittest::Queryable as _;

use super::SMALL;
use super::support::{Bench, fill, rest, window};

#[test]
fn why_a_typed_place_is_refused_is_not_cut_off_in_a_small_window() {
    let bench = Bench::new();
    let mut harness = window(bench.sample(), SMALL);
    rest(&mut harness);
    fill(&mut harness, "Place, from the right", "13:00");
    rest(&mut harness);
    let why = harness.get_by_label_contains("0:00 to 12:00").rect();
    let field = harness.get_by_role_and_label(Role::TextInput, "Place, from the right").rect();
    assert!(why.top() >= field.bottom(), "below the field");
    let verdict = harness.query_all_by_label_contains("Stemclock never says").map(|n| n.rect().top());
    let bar = verdict.filter(|top| *top > field.bottom()).fold(SMALL[1], f32::min);
    assert!(why.bottom() <= bar, "{why:?} is cut off at {bar}");
    assert!(why.right() <= SMALL[0]);
}
