//! What follows for the machine: one key an answer, the verdict, undo, classes raised and lowered, a closing.

use egui::{Key, accesskit::Role};
use egui_kittest::kittest::Queryable as _;
use stemclock::inspection::{CheckRef, CheckState, Severity, Subject};

use crate::bench::{CUT, Window, begun, enter, enter_focused, front_pressure, press, told};

#[test]
fn nobody_is_sent_on_the_road_with_something_major_open() {
    let mut window = begun();
    front_pressure(&mut window);
    window.key_press(Key::F);
    window.run();
    press(&mut window, "Tyre flat");
    let check = CheckRef::new("brake-front-alone", Subject::Machine);
    window.state_mut().state.finding = None;
    window.state_mut().state.check = Some(check);
    window.run();
    assert!(told(&window, "Not now: something major or dangerous is open.") > 0);
}

#[test]
fn sound_could_not_and_finding_are_one_key_each() {
    let mut window = begun();
    front_pressure(&mut window);
    window.key_press(Key::C);
    window.run();
    enter_focused(&mut window, "no gauge at hand");
    let state = |window: &Window, check: &str| {
        let answers = &window.state().inspection().answers;
        answers.iter().find(|(c, _)| c.to_string() == check).map(|(_, a)| a.state.clone())
    };
    assert_eq!(state(&window, "tyre-pressure@front"), Some(CheckState::CouldNot("no gauge at hand".into())));
    front_pressure(&mut window);
    window.key_press(Key::S);
    window.run();
    assert_eq!(state(&window, "tyre-pressure@front"), Some(CheckState::Sound));
    assert_ne!(
        window.state().state.check.as_ref().map(ToString::to_string).as_deref(),
        Some("tyre-pressure@front"),
        "sound goes on to the next open check"
    );
    window.key_press(Key::F);
    window.run();
    window.get_by_label("What is seen here?");
}

#[test]
fn the_verdict_names_its_findings_and_undo_takes_them_back() {
    let mut window = begun();
    let sentence = |window: &Window| window.state().derived.rows[0].verdict.as_ref().expect("a verdict").sentence();
    assert!(sentence(&window).starts_with("Not yet decided"), "unchecked never counts as sound");
    front_pressure(&mut window);
    // A flat tyre is dangerous by practice (house rule 4).
    window.key_press(Key::F);
    window.run();
    press(&mut window, "Tyre flat");
    let verdict = sentence(&window);
    assert!(verdict.starts_with("Do not ride"), "{verdict}");
    assert!(told(&window, &verdict) > 0, "the bar says the sentence");
    press(&mut window, "dangerous: Cold pressure, front: tyre flat");
    assert!(window.state().state.finding.is_some());
    window.state_mut().undo();
    window.run();
    assert!(window.state().inspection().findings.is_empty());
    assert!(sentence(&window).starts_with("Not yet decided"));
}

#[test]
fn a_dangerous_is_never_offered_to_be_lowered_and_closes_by_a_second_look() {
    let mut window = begun();
    front_pressure(&mut window);
    window.key_press(Key::F);
    window.run();
    press(&mut window, "Tyre flat");
    assert!(window.query_by_label("Set another class").is_none(), "a dangerous is not lowered");
    window.get_by_label("Close it").click();
    window.run();
    enter(&mut window, "What was done", "new tube");
    enter(&mut window, "What the second look showed", "holds 36 psi since yesterday");
    press(&mut window, "Close the finding");
    assert_eq!(window.state().garage.bays[0].events.len(), 1, "{:?}", window.state().told);
    // A closing is never taken out: a further event says that it was wrong.
    window.get_by_label("Open it again").click();
    window.run();
    enter(&mut window, "What was wrong with the closing", "flat again this morning");
    press(&mut window, "Open the finding again");
    let bay = &window.state().garage.bays[0];
    assert_eq!(bay.events.len(), 2, "{:?}", window.state().told);
    let finding = &bay.inspections[0].findings[0].id;
    assert!(bay.closing(finding).is_none(), "the finding is open again");
}

#[test]
fn a_major_is_lowered_with_a_reason_and_both_are_kept() {
    let mut window = begun();
    enter(&mut window, "Place, from the right", "4:30");
    press(&mut window, CUT);
    window.get_by_label("Set another class").click();
    window.run();
    press(&mut window, "minor");
    assert!(window.state().last_finding().overrule.is_none(), "not without a reason");
    enter(&mut window, "Reason for it", "2 mm deep, in the outer rubber only");
    press(&mut window, "Set this class");
    let set = window.state().last_finding().overrule.clone().expect("set");
    assert_eq!((set.severity, set.by.as_str()), (Severity::Minor, "Ada"));
    assert!(told(&window, "Ada set minor instead of major") > 0);
    press(&mut window, "Take the proposed class again");
    assert!(window.state().last_finding().overrule.is_none());
}

/// Notes a finding at a station by a word of its fault.
fn note(window: &mut Window, station: &str, narrow: &str, fault: &str) {
    press(window, station);
    press(window, "Note a finding here…");
    let field = window.get_by_role_and_label(Role::TextInput, "Narrow by a word");
    field.focus();
    field.type_text(narrow);
    window.run();
    press(window, fault);
}

#[test]
fn two_minor_faults_of_one_area_are_proposed_as_major_and_a_person_says_yes() {
    // Directive 2014/45/EU article 7(3): mirrors (3.3) and view (3.1) are one area.
    let mut window = begun();
    note(&mut window, "station: at the bars", "mirror slightly", "Slightly damaged or loose");
    assert_eq!(told(&window, "Taken together"), 0, "one fault is not several");
    note(&mut window, "station: at the bars", "view slightly", "View slightly obstructed");
    assert!(told(&window, "2 minor faults in one area, the rider's view") > 0);
    assert!(told(&window, "together: 2 minor of the rider's view may count as major") > 0, "beside the verdict too");
    press(&mut window, "Yes, they count as major");
    let raised: Vec<_> = window.state().inspection().findings.iter().filter_map(|f| f.overrule.clone()).collect();
    assert_eq!(raised.len(), 1);
    assert_eq!((raised[0].severity, raised[0].by.as_str()), (Severity::Major, "Ada"));
    assert_eq!(raised[0].reason, "2 minor faults of the rider's view taken together");
    assert_eq!(told(&window, "Yes, they count as major"), 0, "it has been answered");
    let verdict = window.state().derived.rows[0].verdict.as_ref().expect("a verdict").sentence();
    assert!(verdict.starts_with("Not fit until repaired"), "{verdict}");
}
