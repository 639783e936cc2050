//! A finding of an earlier day in the guided mode: it is a step beside its check, answered by keyboard alone, and where
//! it is gone it is closed there.

use egui::{Key, Theme, accesskit::Role};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;
use stemclock::inspection::{Closing, EventKind, FindingId, Revisit, Seen, Severity};
use stemclock::ui::panels::walk::{Kept, KeptWalk, Phase};

use crate::bench::{Bench, window};
use crate::keys::{key, type_in};

type Window = Harness<'static, Bench>;

fn told(window: &Window, words: &str) -> bool {
    window.query_all_by_label_contains(words).count() > 0
}

fn walk(window: &Window) -> KeptWalk {
    Kept::of(&window.state().state).walks.last().cloned().expect("a walk was begun")
}

fn in_hand(window: &Window) -> String {
    walk(window).leg().map(|l| l.key()).expect("a step in hand")
}

fn seen(window: &Window) -> Revisit {
    window.state().inspection().carried.get(&FindingId("f-spring".into())).cloned().expect("it was carried over")
}

/// An inspection before a ride of the machine with a finding of spring, guided and with its plan before it.
fn planned() -> Window {
    let mut window = window([1600.0, 1000.0], Theme::Dark, Bench::with_spring());
    window.run();
    for label in ["before a ride", "Begin the inspection"] {
        window.get_by_role_and_label(Role::Button, label).click_accesskit();
        window.run();
    }
    key(&mut window, Key::G);
    key(&mut window, Key::Enter);
    assert_eq!(walk(&window).phase, Phase::Ready);
    window
}

/// The same with the finding in hand.
fn at_finding() -> Window {
    let mut window = planned();
    key(&mut window, Key::Enter);
    for _ in 0..200 {
        if in_hand(&window) == "again f-spring" {
            return window;
        }
        key(&mut window, Key::K);
    }
    panic!("the walk leads past the finding of spring");
}

#[test]
fn it_is_a_step_of_its_own_beside_its_check_with_its_words_place_and_class() {
    assert!(told(&planned(), "1 finding to look at again"), "the plan says so");
    let mut window = at_finding();
    let legs = walk(&window).legs;
    let at = legs.iter().position(|l| l.key() == "again f-spring").expect("a step");
    assert_eq!(legs[at + 1].key(), "tyre-look@front", "it stands before the check that found it");
    let fault = stemclock::catalogue::Catalogue::builtin().check("tyre-look").and_then(|c| c.fault("cut").cloned());
    let fault = fault.expect("a fault");
    assert!(told(&window, &fault.words), "what it is");
    // House rule 12: 2:00 from the left is 10:00 from the right.
    assert!(told(&window, "10:00 from the right"), "where it is");
    assert!(told(&window, "Seen on 2 April 2026 by Grace"));
    let class = [Severity::Minor, Severity::Major, Severity::Dangerous].into_iter().find(|s| *s == fault.severity);
    let word = class.expect("a class").word();
    assert!(told(&window, &format!("{}{}", word[..1].to_uppercase(), &word[1..])), "how bad it was");
    key(&mut window, Key::Enter);
    assert!(told(&window, "Nothing is said of this finding yet"));
    assert_eq!(in_hand(&window), "again f-spring");
}

#[test]
fn still_there_and_grown_are_a_key_each_and_a_figure_is_its_size() {
    let mut window = at_finding();
    key(&mut window, Key::S);
    assert_eq!(seen(&window).seen, Seen::Still);
    key(&mut window, Key::G);
    assert_eq!(seen(&window).seen, Seen::Grown);
    type_in(&mut window, "12");
    key(&mut window, Key::Enter);
    assert_eq!(seen(&window).size.map(|s| s.to_string()).as_deref(), Some("12 mm"));
    assert_eq!(in_hand(&window), "again f-spring", "its class is read before going on");
    key(&mut window, Key::Enter);
    assert_eq!(in_hand(&window), "tyre-look@front");
    key(&mut window, Key::B);
    assert_eq!(in_hand(&window), "again f-spring");
}

#[test]
fn what_is_gone_is_closed_by_who_and_what_evidence_without_a_mouse() {
    let mut window = at_finding();
    key(&mut window, Key::X);
    assert_eq!(seen(&window).seen, Seen::Gone);
    assert!(told(&window, "Gone closes nothing by itself"));
    assert!(window.state().garage.bays[0].events.is_empty());
    key(&mut window, Key::R);
    type_in(&mut window, "new tyre");
    key(&mut window, Key::Enter);
    type_in(&mut window, "no cut, holds its pressure");
    key(&mut window, Key::Enter);
    // The name of who looks stands there already; Enter goes on to the button.
    key(&mut window, Key::Enter);
    key(&mut window, Key::Enter);
    let bay = &window.state().garage.bays[0];
    let event = bay.closing(&FindingId("f-spring".into())).expect("closed");
    assert_eq!(event.by, "Ada");
    let EventKind::FindingClosed { closing: Closing::Repaired { work, second_look }, .. } = &event.kind else {
        panic!("repaired: {event:?}")
    };
    assert_eq!((work.as_str(), second_look.as_str()), ("new tyre", "no cut, holds its pressure"));
    assert!(told(&window, "Closed on"));
    key(&mut window, Key::Enter);
    assert_ne!(in_hand(&window), "again f-spring", "and the walk goes on");
    assert!(window.state().told.is_empty(), "{:?}", window.state().told);
}

#[test]
fn what_could_not_be_looked_at_stays_open_to_the_end() {
    let mut window = at_finding();
    key(&mut window, Key::C);
    type_in(&mut window, "wheel is out");
    key(&mut window, Key::Enter);
    assert_eq!(seen(&window).seen, Seen::CouldNot("wheel is out".into()));
    while walk(&window).phase == Phase::Walk {
        key(&mut window, Key::K);
    }
    let title = walk(&window).legs.iter().find(|l| l.again.is_some()).map(|l| l.title.clone()).expect("a step");
    window.get_by_role_and_label(Role::Button, &title).click_accesskit();
    window.run();
    assert_eq!(in_hand(&window), "again f-spring", "it is among what is open at the end");
}

#[test]
fn it_comes_behind_the_rows_of_a_sheet() {
    let mut window = planned();
    key(&mut window, Key::T);
    window.get_by_role_and_label(Role::Button, "Without a number").click_accesskit();
    window.run();
    assert_eq!(walk(&window).legs.last().map(|l| l.key()).as_deref(), Some("again f-spring"));
    for _ in 1..walk(&window).legs.len() {
        key(&mut window, Key::Enter);
    }
    key(&mut window, Key::S);
    assert_eq!(seen(&window).seen, Seen::Still);
}
