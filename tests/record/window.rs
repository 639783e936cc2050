//! The report pane: pages are painted while the window goes on, bookmarks and links show their place, and an address
//! outside is shown and never opened.

use egui::accesskit::Role;
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;
use stemclock::app::Shell;

use crate::support::{Bench, rest, window};

/// The report pane on the machine with the gravest finding.
fn opened<'a>(bench: &Bench) -> Harness<'a, Shell> {
    let mut harness = window(bench.sample(), [1280.0, 1000.0]);
    let machine = harness.state().garage().bays.iter().find(|b| b.machine.name == "Belt tourer").unwrap();
    let id = machine.machine.id.clone();
    harness.state_mut().state_mut().machine = Some(id);
    harness.state_mut().state_mut().inspection = None;
    harness.run();
    harness.key_press(egui::Key::F3);
    harness.run();
    for _ in 0..3 {
        rest(&mut harness);
    }
    harness
}

/// How far up the page stands, in points from the window's top.
fn top_of(harness: &Harness<'_, Shell>, page: usize) -> f32 {
    let begins = format!("Page {page} of ");
    harness.get_by(|node| node.label().is_some_and(|l| l.starts_with(&begins))).rect().top()
}

#[test]
fn a_page_comes_without_the_frame_waiting_for_it() {
    let bench = Bench::new();
    let mut harness = opened(&bench);
    // After the pages were laid out and before any was painted the window says so and goes on.
    harness.get_by_label("double").click();
    harness.run();
    rest(&mut harness);
    rest(&mut harness);
    assert!(harness.query_all_by_label("painting this page").next().is_none(), "all pages in view are painted");
    assert!(harness.state().state().report.layout().is_some());
}

#[test]
fn a_bookmark_shows_its_place() {
    let bench = Bench::new();
    let mut harness = opened(&bench);
    let before = top_of(&harness, 1);
    let layout = harness.state().state().report.layout().unwrap();
    let last = layout.outline.last().unwrap().clone();
    assert!(last.page > 2, "the sample's record is longer than two pages");
    harness.get_by_role_and_label(Role::Button, &last.text).scroll_to_me();
    harness.run();
    harness.get_by_role_and_label(Role::Button, &last.text).click();
    harness.run();
    rest(&mut harness);
    assert!(top_of(&harness, 1) < before - 1000.0, "the pages were rolled up");
    let shown = top_of(&harness, last.page + 1);
    assert!(shown < 1000.0, "the page of the bookmark is in view: {shown}");
}

#[test]
fn a_link_on_a_page_leads_to_its_finding() {
    let bench = Bench::new();
    let mut harness = opened(&bench);
    let before = top_of(&harness, 1);
    let link = harness.get_all_by_role(Role::Link).next().expect("the verdict leads to its findings");
    link.click();
    harness.run();
    rest(&mut harness);
    assert!(top_of(&harness, 1) < before - 100.0, "the finding's place is shown");
}
