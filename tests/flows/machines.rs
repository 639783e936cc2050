//! Machines added, changed, put away and repaired.

use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use stemclock::app::Shell;
use stemclock::ui::Place;

use super::support::{Bench, fill, press, value, window};
use super::{SMALL, add_machine, size_on_disk};

#[test]
fn a_machine_is_added_its_tyre_typed_wrong_then_right_undone_redone_and_found_again() {
    let bench = Bench::new();
    let mut harness = window(bench.shell(Some(&bench.garage())), SMALL);
    assert!(harness.query_by_label("No machine yet").is_some(), "an empty place says what to do first");
    add_machine(&mut harness, "Tourer");
    assert_eq!(harness.state().state().place, Place::Machine, "the form of the new machine opens");

    // A figure that cannot be read stays as typed, and the way out stands beside it.
    fill(&mut harness, "Size on the sidewall", "120/70 wide");
    assert_eq!(value(&harness, "Size on the sidewall"), "120/70 wide");
    assert!(harness.query_by_label_contains("expected").is_some(), "what was expected is said");
    harness.state_mut().settle();
    assert_eq!(size_on_disk(&bench), None, "nothing unreadable reaches the disk");

    fill(&mut harness, "Size on the sidewall", "120/70zr17 m/c 58w");
    // The normal form by the order of the marks in ISO 5751-1: width/aspect, code, rim, M/C, service description.
    assert_eq!(value(&harness, "Size on the sidewall"), "120/70 ZR17 M/C 58W");
    assert!(harness.query_by_label_contains("load index 58: 236 kg").is_some(), "the load index says its load");
    harness.state_mut().settle();
    assert_eq!(size_on_disk(&bench).as_deref(), Some("120/70 ZR17 M/C 58W"));

    press(&mut harness, "Undo: edit the machine");
    harness.state_mut().settle();
    assert_eq!(value(&harness, "Size on the sidewall"), "");
    assert_eq!(size_on_disk(&bench), None, "undo reaches the disk too");
    press(&mut harness, "Redo: edit the machine");
    harness.state_mut().settle();
    assert_eq!(size_on_disk(&bench).as_deref(), Some("120/70 ZR17 M/C 58W"));
    drop(harness);

    // The last garage is remembered: no folder is named this time.
    let mut again = window(bench.shell(None), SMALL);
    assert!(again.query_by_label_contains("Tourer: not yet looked at").is_some());
    again.key_press(egui::Key::F2);
    again.run();
    assert_eq!(value(&again, "Size on the sidewall"), "120/70 ZR17 M/C 58W");
}

#[test]
fn figures_are_taken_in_the_liked_unit_and_kept_in_the_typed_one() {
    let bench = Bench::new();
    let mut harness = window(bench.shell(Some(&bench.garage())), SMALL);
    add_machine(&mut harness, "Standard");
    fill(&mut harness, "Rider alone", "36 psi");
    assert_eq!(value(&harness, "Rider alone"), "36 psi");
    // 36 psi × 6.894757 kPa (NIST SP 811) = 248.2 kPa = 2.48 bar.
    assert!(harness.query_by_label("2.48 bar").is_some(), "the same in the unit the owner likes");
    fill(&mut harness, "Rider alone", "2,5");
    assert_eq!(value(&harness, "Rider alone"), "2.5 bar");
    for (typed, words) in [("-2 bar", "zero or more"), ("NaN", "finite"), ("2.5 mm", "mm"), ("900 bar", "900 bar")] {
        fill(&mut harness, "Rider alone", typed);
        assert_eq!(value(&harness, "Rider alone"), typed, "what was typed stays");
        let trouble = harness.get_by_label_contains("expected").value().unwrap_or_default();
        assert!(trouble.contains(words), "{typed} is told with {words}: {trouble}");
    }
    // Escape takes the typing back.
    harness.get_by_label("Rider alone").focus();
    harness.run();
    harness.key_press(egui::Key::Escape);
    harness.run();
    assert_eq!(value(&harness, "Rider alone"), "2.5 bar");
    let placard = harness.state().garage().bays[0].machine.wheels[0].placard.clone().expect("a placard");
    assert_eq!(placard.solo.to_string(), "2.5 bar");
}

#[test]
fn a_field_that_is_left_by_a_key_is_read_before_the_place_changes() {
    let bench = Bench::new();
    let mut harness = window(bench.shell(Some(&bench.garage())), SMALL);
    add_machine(&mut harness, "Standard");
    harness.get_by_label("Wheelbase").focus();
    harness.run();
    harness.get_by_label("Wheelbase").type_text("1430 mm");
    harness.run();
    harness.key_press(egui::Key::F4);
    harness.run();
    assert_eq!(harness.state().state().place, Place::Garage);
    let wheelbase = harness.state().garage().bays[0].machine.wheelbase.expect("read on leaving");
    assert_eq!(wheelbase.to_string(), "1430 mm");
}

#[test]
fn a_machine_is_put_away_and_taken_out_again() {
    let bench = Bench::new();
    let mut harness = window(bench.shell(Some(&bench.garage())), SMALL);
    add_machine(&mut harness, "Moped");
    press(&mut harness, "Put away");
    assert!(harness.state().garage().bays[0].machine.archived);
    assert!(harness.query_by_label("Put away").is_some(), "it is listed under its own heading");
    press(&mut harness, "Take out again");
    assert!(!harness.state().garage().bays[0].machine.archived);
}

/// Fields of the machine form that take any words.
const WORDS: &[&str] = &[
    "Name",
    "Grade",
    "Registration",
    "Frame number (VIN)",
    "Fastener",
    "New fastener",
    "Page of the manual",
    "What else is to be known",
];

#[test]
fn what_a_machine_was_built_without_is_ticked_and_taken_back() {
    use stemclock::machine::Equipment;
    let bench = Bench::new();
    let mut harness = window(bench.sample(), [1024.0, 3000.0]);
    harness.key_press(egui::Key::F2);
    harness.run();
    press(&mut harness, "Equipment");
    let lacks = |harness: &Harness<'_, Shell>| {
        harness.state().garage().bays.iter().any(|b| b.machine.built_without.contains(&Equipment::Indicators))
    };
    harness.get_by_role_and_label(egui::accesskit::Role::CheckBox, "indicators").click();
    harness.run();
    assert!(lacks(&harness));
    press(&mut harness, "Undo: edit the machine");
    assert!(!lacks(&harness));
}

#[test]
fn no_figure_of_the_machine_form_takes_nonsense() {
    let bench = Bench::new();
    let mut harness = window(bench.sample(), [1024.0, 6000.0]);
    harness.key_press(egui::Key::F2);
    harness.run();
    for part in ["Drive, brakes and battery", "Fluids", "Service limits", "Torque figures", "Papers", "Notes"] {
        press(&mut harness, part);
    }
    let before = format!("{:?}", harness.state().garage());
    let mut labels: Vec<String> = harness
        .get_all_by_role(egui::accesskit::Role::TextInput)
        .filter_map(|n| n.accesskit_node().label())
        .filter(|l| !WORDS.contains(&l.as_str()))
        .collect();
    labels.sort();
    labels.dedup();
    assert!(labels.len() > 15, "the fields were found: {labels:?}");
    let troubles = |harness: &Harness<'_, Shell>| harness.query_all_by_label_contains("expected").count();
    for (index, label) in labels.iter().enumerate() {
        // Each kind of nonsense in turn, since every field reads by the same few functions.
        let nonsense = ["-1e400 parsec", "NaN", "99999999999999999999", "4/0"][index % 4];
        // Several fields share a name, as each fluid has its day: the first of them is tried.
        let field = |h: &Harness<'_, Shell>, act: &dyn Fn(egui_kittest::Node<'_>)| {
            let mut found = h.get_all_by_role_and_label(egui::accesskit::Role::TextInput, label);
            act(found.next().expect("as many as before"));
        };
        let quiet = troubles(&harness);
        field(&harness, &|n| n.focus());
        harness.run();
        harness.key_press_modifiers(egui::Modifiers::COMMAND, egui::Key::A);
        harness.run();
        field(&harness, &|n| n.type_text(nonsense));
        harness.run();
        harness.key_press(egui::Key::Enter);
        harness.run();
        assert!(troubles(&harness) > quiet, "{label} takes {nonsense} without a word");
    }
    assert_eq!(format!("{:?}", harness.state().garage()), before);
}

#[test]
fn an_empty_figure_is_not_taken_back_without_a_word() {
    let bench = Bench::new();
    let mut harness = window(bench.shell(Some(&bench.garage())), [1024.0, 2400.0]);
    add_machine(&mut harness, "Standard");
    press(&mut harness, "Torque figures");
    fill(&mut harness, "New fastener", "rear axle nut");
    fill(&mut harness, "Its torque", "48 lbf·ft");
    assert_eq!(value(&harness, "Torque"), "48 lbf·ft");
    harness.get_by_role_and_label(egui::accesskit::Role::TextInput, "Torque").focus();
    harness.run();
    harness.key_press_modifiers(egui::Modifiers::COMMAND, egui::Key::A);
    harness.run();
    harness.key_press(egui::Key::Delete);
    harness.run();
    harness.key_press(egui::Key::Enter);
    harness.run();
    assert!(harness.query_by_label_contains("press Remove this figure").is_some());
    assert_eq!(harness.state().garage().bays[0].machine.torques.len(), 1, "the figure is kept");
}

#[test]
fn a_repair_is_ticked_written_down_and_asks_again_only_what_it_touched() {
    let bench = Bench::new();
    let mut harness = window(bench.sample(), [1600.0, 1000.0]);
    harness.get_by_label_contains("Belt tourer:").click();
    harness.run();
    harness.key_press(egui::Key::F8);
    harness.run();
    assert!(
        harness.query_by_label("Wheel out and in, front").is_some(),
        "the scored disc and its pads share a strip-down"
    );
    assert!(harness.query_by_label_contains("One strip-down serves 2 of these").is_some());
    harness.get_all_by_label_contains("steps ticked").next().unwrap().click();
    harness.run();
    let step = "Lever and pedal pumped until firm before the machine moves at all";
    harness.get_by_label(step).scroll_to_me();
    harness.run();
    harness.get_by_label(step).click();
    harness.run();
    assert!(harness.query_by_label_contains("How: 1 of").is_some());
    assert!(harness.query_by_label_contains("front caliper bolts: 58 N·m").is_some(), "43 lbf·ft, SP 811: 58.30 N·m");
    harness.get_all_by_label("Write the work down").next().unwrap().scroll_to_me();
    harness.run();
    harness.get_all_by_label("Write the work down").next().unwrap().click();
    harness.run();
    assert!(harness.query_by_label("Write what was done.").is_some(), "what is missing is said");
    fill(&mut harness, "What was done", "disc and pads replaced");
    fill(&mut harness, "Who did it", "M. Fenwick");
    fill(&mut harness, "Odometer", "soon");
    assert!(harness.query_by_label_contains("Odometer: expected").is_some(), "what cannot be read stays and is said");
    fill(&mut harness, "Odometer", "39770 mi");
    harness.get_by_label("Write it down as done").scroll_to_me();
    harness.run();
    press(&mut harness, "Write it down as done");
    let bay = |harness: &Harness<'_, Shell>| {
        harness.state().garage().bays.iter().find(|b| b.machine.id.0 == "tourer-b27e").unwrap().clone()
    };
    let event = bay(&harness).events.last().unwrap().clone();
    let stemclock::inspection::EventKind::Job(job) = event.kind else { unreachable!("a job was written down") };
    assert_eq!((job.findings.len(), job.steps.as_slice()), (2, &[step.to_owned()][..]));
    assert!(harness.query_by_label("Repaired, the second look is to come").is_some());
    press(&mut harness, "Begin the second look");
    assert_eq!(harness.state().state().place, Place::Walk);
    press(&mut harness, "Begin the inspection");
    let second = bay(&harness).latest().unwrap().clone();
    assert_eq!(second.kind, "work");
    let asked: Vec<String> = second.asks.iter().map(ToString::to_string).collect();
    assert!(asked.iter().any(|c| c == "disc@front.left") && !asked.iter().any(|c| c == "horn@machine"), "{asked:?}");
    assert_eq!(second.carried.len(), 4, "the open findings are checks of their own");
}
