//! Readings typed at a check: judged beside their field, refused with the reason, never lost.

use egui::{Theme, accesskit::Role};
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use stemclock::clock::Side;
use stemclock::inspection::{CheckRef, Severity, Value, Zone};
use stemclock::machine::{Fluid, FluidKind, FluidState, LimitSource, Stance, TorqueFigure};
use stemclock::units::{Length, Torque};

use crate::bench::{Bench, Window, begun, enter, enter_focused, front_pressure, in_hand, open, press, told, window};

#[test]
fn a_pressure_is_judged_beside_its_field() {
    let mut window = begun();
    front_pressure(&mut window);
    enter(&mut window, "Cold pressure", "33");
    let answer = window.state().inspection().answers.iter().find(|(c, _)| c.to_string() == "tyre-pressure@front");
    let (_, answer) = answer.expect("an answer");
    assert!(answer.readings.values().any(|v| format!("{v:?}").contains("33")), "{answer:?}");
    // 33 of 36 psi is 8 % low: minor by the directive's item and common practice (house rule 4 keeps major for 25 %).
    let result = window.state().derived.assessment.as_ref().expect("assessed");
    let front = result.results.iter().find(|r| r.check.to_string() == "tyre-pressure@front").expect("asked");
    assert_eq!(front.severity, Some(Severity::Minor));
    // Enter does not go past a judgement that nobody has read yet.
    assert_eq!(in_hand(&window).as_deref(), Some("tyre-pressure@front"));
    assert!(told(&window, "Minor · ") > 0, "the judgement stands in the pane of the check");
}

#[test]
fn enter_after_a_sound_reading_goes_on_to_the_next_open_check() {
    let mut window = begun();
    front_pressure(&mut window);
    enter(&mut window, "Cold pressure", "36");
    assert_ne!(in_hand(&window).as_deref(), Some("tyre-pressure@front"));
    assert!(in_hand(&window).is_some());
}

#[test]
fn what_cannot_be_read_stays_with_its_reason_and_enter_does_not_move_on() {
    let mut window = begun();
    front_pressure(&mut window);
    enter(&mut window, "Cold pressure", "36 mm");
    assert!(told(&window, "expected a pressure") > 0);
    assert!(window.state().inspection().answers.is_empty());
    assert_eq!(window.get_by_role_and_label(Role::TextInput, "Cold pressure").value().as_deref(), Some("36 mm"));
    assert_eq!(window.state().state.check.as_ref().map(ToString::to_string).as_deref(), Some("tyre-pressure@front"));
}

fn check(window: &mut Window, row: &str) {
    let row = |n: &egui_kittest::Node<'_>| n.accesskit_node().label().is_some_and(|l| l.starts_with(row));
    window.get_all_by_role(Role::Button).find(row).expect("the row of the check").click();
    window.run();
}

#[test]
fn a_tread_grid_is_filled_from_the_keyboard_and_a_reading_left_behind_is_not_lost() {
    let mut window = open();
    press(&mut window, "season opening");
    press(&mut window, "Begin the inspection");
    check(&mut window, "Tread depth, front:");
    enter(&mut window, "Depth at 12:00, centre of the tread", "2.5");
    // Enter goes on to the next cell, which has the keyboard now.
    enter_focused(&mut window, "3.1");
    let tread = |window: &Window| {
        let answers = &window.state().inspection().answers;
        let answer = answers.iter().find(|(c, _)| c.to_string() == "tyre-tread@front").map(|(_, a)| a.clone());
        let Some(Value::Tread(points)) = answer.expect("answered").readings.get("depths").cloned() else {
            panic!("tread")
        };
        points
    };
    let points = tread(&window);
    assert_eq!(points.len(), 1);
    assert_eq!(points[0].depths, [(Zone::Centre, Length::mm(2.5)), (Zone::Intermediate(Side::Right), Length::mm(3.1))]);
    // A pressure typed and not yet entered goes into the record when another check is taken in hand by a key.
    check(&mut window, "Cold pressure, front:");
    window.get_by_role_and_label(Role::TextInput, "Cold pressure").focus();
    window.run();
    window.get_by_role_and_label(Role::TextInput, "Cold pressure").type_text("36");
    window.run();
    check(&mut window, "Age of the tyre, front:");
    let answers = &window.state().inspection().answers;
    assert!(answers.keys().any(|c| c.to_string() == "tyre-pressure@front"), "{:?}", answers.keys());
}

#[test]
fn a_level_is_taken_only_whole() {
    let mut bench = Bench::new();
    let oil = Fluid {
        kind: FluidKind::EngineOil,
        grade: "10W-40".into(),
        stance: Stance::Upright,
        state: FluidState::Warm,
        changed_on: None,
    };
    bench.garage.bays[0].machine.fluids.push(oil);
    let mut window = window([1600.0, 1000.0], Theme::Light, bench);
    window.run();
    press(&mut window, "season opening");
    press(&mut window, "Begin the inspection");
    let level = window.state().derived.assessment.as_ref().and_then(|a| {
        a.results
            .iter()
            .find(|r| r.check.to_string().ends_with("@engine-oil") && r.title.to_lowercase().contains("level"))
            .map(|r| r.check.clone())
    });
    window.state_mut().state.check = Some(level.clone().expect("the level of the engine oil is asked"));
    window.run();
    press(&mut window, "below the lower mark");
    press(&mut window, "upright");
    assert!(window.state().inspection().answers.is_empty(), "without the temperature it is no reading");
    press(&mut window, "warm");
    let answers = &window.state().inspection().answers;
    assert!(answers.get(&level.expect("asked")).is_some_and(|a| a.readings.len() == 1), "{:?}", window.state().told);
}

#[test]
fn a_torque_is_typed_beside_the_fastener_it_belongs_to() {
    let mut bench = Bench::new();
    for (fastener, nm) in [("Rear axle nut", 100.0), ("Caliper bolts", 35.0)] {
        bench.garage.bays[0].machine.torques.push(TorqueFigure {
            fastener: fastener.into(),
            torque: Torque::newton_metres(nm),
            source: LimitSource::Manual("page 3".into()),
        });
    }
    let mut window = window([1600.0, 1000.0], Theme::Light, bench);
    window.run();
    press(&mut window, "season opening");
    press(&mut window, "Begin the inspection");
    window.state_mut().state.check = CheckRef::try_from("fasteners@machine".to_owned()).ok();
    window.run();
    enter(&mut window, "Caliper bolts, 35 N·m by the manual", "20");
    let answers = &window.state().inspection().answers;
    let list = answers.values().find_map(|a| match a.readings.get("torques") {
        Some(Value::Torques(list)) => Some(list.clone()),
        _ => None,
    });
    let list = list.expect("a torque was recorded");
    assert_eq!((list.len(), list[0].fastener.as_str()), (1, "Caliper bolts"));
    assert!(told(&window, "below 35 N·m, it is loose") > 0, "and judged at once");
}

#[test]
fn what_was_read_last_time_and_what_is_still_open_are_shown() {
    let mut window = window([1600.0, 1000.0], Theme::Light, Bench::with_spring());
    window.run();
    assert!(told(&window, "2 April 2026 · season opening") > 0, "the history lists it");
    press(&mut window, "Begin the inspection");
    front_pressure(&mut window);
    assert!(told(&window, "Last time, 2 April 2026: 35.0 psi") > 0);
    // The cut of spring is open here, read from the side in view: 2:00 from the left is 10:00 from the right.
    let open = "Serious cut, front · 10:00 from the right · left sidewall, since 2 April 2026";
    press(&mut window, open);
    assert!(told(&window, "Seen on 2 April 2026 and still open") > 0);
    assert_eq!(window.state().state.side, Some(Side::Left), "a spot on the left sidewall is looked at from the left");
    press(&mut window, "Open the inspection of 2 April 2026");
    assert_eq!(window.state().inspection().inspector, "Grace");
}
