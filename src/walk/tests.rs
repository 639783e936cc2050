//! What every plan keeps, whatever the machine, the kind, the minutes and the state it begins in.

use std::collections::BTreeSet;

use chrono::NaiveDate;
use proptest::prelude::*;

use super::{EngineNow, Now, Plan, Reason, Request, Setup, Stop, plan};
use crate::catalogue::{Catalogue, Engine};
use crate::garage::Bay;
use crate::inspection::{CheckRef, Severity, Station, Subject};
use crate::machine::{
    BrakeActuation, FinalDrive, Fluid, FluidKind, FluidState, Layout, Machine, MachineId, Power, Stance, Stands,
};
use crate::units::Preferences;

fn day() -> NaiveDate {
    NaiveDate::from_ymd_opt(2026, 11, 25).unwrap()
}

fn fluid(kind: FluidKind, stance: Stance, state: FluidState) -> Fluid {
    Fluid { kind, grade: String::new(), stance, state, changed_on: None }
}

/// Machines of every layout and drive, with fluids read in all states.
fn machines() -> impl Strategy<Value = Machine> {
    let layouts = prop::sample::select(vec![
        Layout::Solo,
        Layout::Sidecar(crate::clock::Side::Right),
        Layout::Trike,
        Layout::TwoFront,
    ]);
    let drives = prop::sample::select(FinalDrive::ALL.to_vec());
    let states = prop::sample::select(FluidState::ALL.to_vec());
    let stances = prop::sample::select(Stance::ALL.to_vec());
    (layouts, drives, states, stances, any::<[bool; 5]>()).prop_map(|(layout, drive, state, stance, bits)| {
        let mut machine = Machine::new(MachineId("bench-1".into()), "Bench", layout);
        let [side, centre, is_electric, is_rod, has_abs] = bits;
        machine.final_drive = drive;
        machine.stands = Stands { side, centre };
        machine.power = if is_electric { Power::Electric } else { Power::Combustion };
        machine.rear_brake = if is_rod { BrakeActuation::Rod } else { BrakeActuation::Hydraulic };
        machine.abs = has_abs;
        machine.fluids = vec![
            fluid(FluidKind::EngineOil, stance, state),
            fluid(FluidKind::Coolant, Stance::SideStand, FluidState::Cold),
        ];
        machine
    })
}

/// Where each check of the plan stands in it.
fn place(plan: &Plan, id: &str) -> Vec<usize> {
    (0..plan.steps.len()).filter(|&i| plan.steps[i].check.check == id).collect()
}

/// Asserts everything that holds for every plan.
fn holds(plan: &Plan, request: &Request<'_>) {
    let catalogue = request.catalogue;
    let mut setup = plan.from.setup;
    let mut station = plan.from.station;
    let mut has_run = setup.engine != EngineNow::Cold;
    let mut clock = 0;
    assert!(!setup.ignition || place(plan, "battery-rest").is_empty(), "the ignition is on and no battery rests");
    for step in &plan.steps {
        let check = catalogue.check(&step.check.check).unwrap();
        let to = step.setup.engine;
        assert!(!(to == EngineNow::Cold && has_run), "{} asks for a cold engine that has run", step.title);
        if check.engine == Engine::Cold {
            assert_eq!(to, EngineNow::Cold, "{}", step.title);
        }
        has_run |= to != EngineNow::Cold;
        let raises = step.changes.iter().filter(|c| matches!(c, super::Change::Pose { .. })).count();
        assert_eq!(raises, usize::from(setup.pose != step.setup.pose), "{} raises what is raised", step.title);
        assert_eq!(setup.changes_to(&step.setup), step.changes);
        assert_eq!(setup.seconds_to(&step.setup), Some(step.change_seconds), "{}", step.title);
        assert_eq!(super::walk_seconds(station, step.station), step.walk_seconds);
        assert!(to != EngineNow::OnTheRoad || !step.setup.covers_off && step.setup.pose == super::Pose::Aboard);
        clock += step.change_seconds + step.walk_seconds;
        assert_eq!(step.begins, clock, "{} begins when all before it is done", step.title);
        clock += step.seconds;
        (setup, station) = (step.setup, step.station);
    }
    assert_eq!(plan.seconds, clock, "the minutes add up");
    match (plan.given, plan.missing) {
        (Some(given), Some(missing)) => assert_eq!(given + missing, plan.seconds),
        (Some(given), None) => assert!(plan.seconds <= given),
        (None, missing) => assert_eq!(missing, None),
    }
    // Everything asked is a step, is left out with a reason, or is done; nothing twice.
    let asked: BTreeSet<CheckRef> =
        catalogue.checks_for(&request.bay.machine, request.kind).into_iter().map(|(r, _)| r).collect();
    let steps: BTreeSet<CheckRef> = plan.steps.iter().map(|s| s.check.clone()).collect();
    assert_eq!(steps.len(), plan.steps.len(), "a check is asked twice");
    let out: BTreeSet<CheckRef> =
        plan.left_out.iter().filter(|l| l.reason != Reason::NotApplicable).map(|l| l.check.clone()).collect();
    assert!(steps.is_disjoint(&out));
    let told: BTreeSet<CheckRef> = steps.union(&out).chain(&request.done).cloned().collect();
    assert!(asked.is_subset(&told), "{:?} is neither in the plan nor said to be out", asked.difference(&told));
    // No required check is out for want of time, unless a part was asked for.
    for left in plan.left_out.iter().filter(|l| l.required) {
        let by_time = matches!(left.reason, Reason::NoTime | Reason::LeastRisk | Reason::NoOrder);
        assert!(request.part || !by_time, "{} is required and dropped: {}", left.title, left.words());
        assert!(left.words().contains("required"));
    }
    // Precedence.
    for (i, step) in plan.steps.iter().enumerate() {
        let check = catalogue.check(&step.check.check).unwrap();
        for other in check.after.iter().chain(&check.needs) {
            assert!(place(plan, other).iter().all(|&at| at < i), "{other} comes before {}", step.title);
        }
        let is_asked = |id: &str| asked.iter().any(|r| r.check == id && !request.done.contains(r));
        for need in check.needs.iter().filter(|n| is_asked(n)) {
            assert!(!place(plan, need).is_empty(), "{} needs {need}", step.title);
        }
        let is_loaded = step.setup.ignition || !step.setup.engine.is_at_rest();
        assert!(
            !is_loaded || place(plan, "battery-rest").iter().all(|&at| at < i),
            "the battery has not rested: {} comes before its reading",
            step.title
        );
        if step.setup.engine == EngineNow::OnTheRoad && is_asked("tyre-pressure") {
            assert!(place(plan, "tyre-pressure").iter().any(|&at| at < i), "ridden before the pressure was read");
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 4, ..ProptestConfig::default() })]
    #[test]
    fn every_plan_keeps_to_what_cannot_be_undone(
        machine in machines(), kind in 0..9usize, minutes in prop::option::of(0..200u32), part: bool, helper: bool,
        short in 1..90u32,
    ) {
        let catalogue = Catalogue::builtin();
        let bay = Bay::new(machine);
        let units = Preferences::default();
        let kind = &catalogue.kinds[kind % catalogue.kinds.len()];
        let mut request = Request::new(&bay, catalogue, &units, kind, day());
        request.seconds = minutes.map(|m| m * 60);
        (request.part, request.helper) = (part, helper);
        let first = plan(&request);
        holds(&first, &request);
        prop_assert_eq!(&first, &plan(&request), "the same question has the same answer");
        // A little less than what everything takes, where the plan has the least room.
        let near = Request { seconds: Some(first.seconds.saturating_sub(short)), ..request.clone() };
        holds(&plan(&near), &near);
        // Half-way on, something dangerous is found and the rest is planned anew from there, as the window does it.
        let half = first.steps.len() / 2;
        let passed: BTreeSet<CheckRef> = first.steps[..half].iter().map(|s| s.check.clone()).collect();
        let now = first.steps[..half].last().map_or(first.from, |s| Now { setup: s.setup, station: s.station });
        let stop = Stop::of([(&CheckRef::new("handlebar", Subject::Machine), Severity::Dangerous)]);
        let spent = first.steps[..half].last().map_or(0, |s| s.begins + s.seconds);
        let remaining = request.seconds.map(|s| s.saturating_sub(spent));
        let again = Request { stop, ..request.clone() }.from_here(now, passed, remaining);
        let rest = plan(&again);
        holds(&rest, &again);
        let rides = |s: &&super::Step| s.setup.engine == EngineNow::OnTheRoad;
        let on_the_road = now.setup.engine == EngineNow::OnTheRoad;
        prop_assert!(on_the_road || !rest.steps.iter().any(|s| rides(&s)));
    }
}

#[test]
fn a_fuel_leak_leaves_nothing_with_the_engine_running() {
    let catalogue = Catalogue::builtin();
    let bay = Bay::new(Machine::new(MachineId("bench-1".into()), "Bench", Layout::Solo));
    let units = Preferences::default();
    let request = Request::new(&bay, catalogue, &units, catalogue.kind("season").unwrap(), day());
    let stop = Stop::of([(&CheckRef::new("fuel-leaks", Subject::Machine), Severity::Dangerous)]);
    let plan = plan(&Request { stop, ..request });
    assert!(plan.steps.iter().all(|s| s.setup.engine == EngineNow::Cold), "the engine stays as it is");
    assert!(plan.left_out.iter().any(|l| l.words().starts_with("the engine is not started: a fuel leak is open")));
}

#[test]
fn a_look_before_a_ride_begins_cold_and_ends_on_the_road() {
    let catalogue = Catalogue::builtin();
    let bay = Bay::new(Machine::new(MachineId("bench-1".into()), "Bench", Layout::Solo));
    let units = Preferences::default();
    let request = Request::new(&bay, catalogue, &units, catalogue.kind("ride").unwrap(), day());
    let whole = plan(&request);
    assert!(whole.proof.is_best() && whole.seconds <= whole.proof.no_less_than);
    assert_eq!(whole.steps.last().unwrap().station, Station::OnTheRoad);
    // In half the time the required checks cannot fit, and the plan says by how much.
    let short = plan(&request.clone().within_minutes(5));
    assert_eq!(short.missing, Some(whole.seconds - 300));
    // A part of it takes what it can, and no ride without the pressure.
    let part = plan(&Request { part: true, ..request.within_minutes(5) });
    assert!(part.missing.is_none() && part.seconds <= 300 && !part.steps.is_empty());
    assert!(part.left_out.iter().any(|l| l.reason == Reason::NoTime));
}

#[test]
fn a_setup_says_what_is_done_to_reach_it() {
    let cold = Now::found(&Machine::new(MachineId("bench-1".into()), "Bench", Layout::Solo)).setup;
    let raised = Setup { pose: super::Pose::FrontRaised, ..cold };
    let words: Vec<String> = raised.changes_to(&cold).iter().map(|c| c.words()).collect();
    assert_eq!(words, ["let it down, then put it on the side stand"]);
    let running = Setup { engine: EngineNow::Running, ignition: true, ..cold };
    assert_eq!(running.seconds_to(&cold), None, "nothing leads back to cold");
    assert_eq!(cold.changes_to(&running).iter().map(|c| c.words()).collect::<Vec<_>>(), ["start the engine"]);
}

#[test]
fn what_falls_due_weighs_more() {
    // Brake fluid is changed every two years (common practice): three years old is overdue, a month old is not.
    let catalogue = Catalogue::builtin();
    let units = Preferences::default();
    let due = |changed: &str| {
        let mut machine = Machine::new(MachineId("bench-1".into()), "Bench", Layout::Solo);
        let mut brake = fluid(FluidKind::FrontBrakeFluid, Stance::Upright, FluidState::Any);
        brake.changed_on = changed.parse().ok();
        machine.fluids = vec![brake];
        let bay = Bay::new(machine);
        let request = Request::new(&bay, catalogue, &units, catalogue.kind("season").unwrap(), day());
        let made = plan(&request);
        let step =
            made.steps.iter().find(|s| s.check.to_string() == "brake-fluid-age@front-brake-fluid").unwrap().clone();
        (request.due.contains(&step.check), step.points)
    };
    let ((is_due, more), (is_not, less)) = (due("2023-11-01"), due("2026-10-25"));
    assert!(is_due && !is_not);
    assert!(more > less, "{more} against {less}");
}

#[test]
fn a_battery_is_read_at_rest_before_the_ignition_and_fuel_is_looked_at_with_the_pump_on() {
    let catalogue = Catalogue::builtin();
    let bay = Bay::new(Machine::new(MachineId("bench-1".into()), "Bench", Layout::Solo));
    let units = Preferences::default();
    let request = Request::new(&bay, catalogue, &units, catalogue.kind("season").unwrap(), day());
    let plan = plan(&request);
    let [rest, fuel] = ["battery-rest", "fuel-leaks"].map(|id| place(&plan, id)[0]);
    assert!(rest < fuel);
    assert!(plan.steps[..=rest].iter().all(|s| !s.setup.ignition && s.setup.engine == EngineNow::Cold));
    assert!(plan.steps[fuel].setup.ignition && plan.steps[fuel].setup.engine == EngineNow::Cold);
}
