//! Fewer minutes than the required checks take: all of them, or only what fits, and what that means for the verdict.

use egui::{Key, Theme, accesskit::Role};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;
use stemclock::ui::panels::walk::{Kept, KeptWalk, Phase};

use crate::bench::{Bench, window};
use crate::keys::{key, type_in};

type Window = Harness<'static, Bench>;

fn told(window: &Window, words: &str) -> bool {
    window.query_all_by_label_contains(words).count() > 0
}

fn offers(window: &Window, words: &str) -> bool {
    window.query_by_role_and_label(Role::Button, words).is_some()
}

fn walk(window: &Window) -> KeptWalk {
    Kept::of(&window.state().state).walks.last().cloned().expect("a walk was begun")
}

const PART: &str = "Only what fits, most risk first";
const ALL: &str = "All required checks";

#[test]
fn twenty_minutes_for_a_periodic_look_are_a_choice_of_two_keys() {
    let mut window = window([1600.0, 1000.0], Theme::Dark, Bench::new());
    window.run();
    for label in ["periodic, the whole machine", "Begin the inspection"] {
        window.get_by_role_and_label(Role::Button, label).click_accesskit();
        window.run();
    }
    key(&mut window, Key::G);
    type_in(&mut window, "20");
    key(&mut window, Key::Enter);
    let all = walk(&window);
    assert!(!all.part && all.missing.is_some() && all.still() > 20 * 60);
    assert!(offers(&window, ALL) && offers(&window, PART));
    assert!(told(&window, "the rest stays unchecked, and the verdict will be \"not yet decided\""));
    key(&mut window, Key::F);
    let part = walk(&window);
    assert!(part.part && part.missing.is_none() && part.still() <= 20 * 60, "{} s", part.still());
    assert!(part.legs.len() > 3 && part.legs.len() < all.legs.len());
    assert!(told(&window, &format!("{} required checks are left out and stay unchecked", part.unchecked)));
    key(&mut window, Key::A);
    assert_eq!(walk(&window).legs, all.legs, "and back");
    key(&mut window, Key::F);
    key(&mut window, Key::Enter);
    assert_eq!(walk(&window).phase, Phase::Walk);
    while walk(&window).phase == Phase::Walk {
        key(&mut window, Key::K);
    }
    assert!(told(&window, "stay unchecked: the verdict will be \"not yet decided\""), "said at the end too");
}

#[test]
fn where_the_time_is_enough_nothing_is_asked() {
    let mut window = window([1600.0, 1000.0], Theme::Dark, Bench::new());
    window.run();
    for label in ["before a ride", "Begin the inspection"] {
        window.get_by_role_and_label(Role::Button, label).click_accesskit();
        window.run();
    }
    key(&mut window, Key::G);
    type_in(&mut window, "240");
    key(&mut window, Key::Enter);
    assert!(!offers(&window, ALL) && !offers(&window, PART) && offers(&window, "Begin"));
}
