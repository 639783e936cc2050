//! Work lapses what it touched and nothing else, and a finding closes by the work and the second look.

use std::collections::BTreeSet;

use stemclock::catalogue::{Catalogue, part_of};
use stemclock::clock::Side;
use stemclock::inspection::{Closing, EventId, EventKind, FindingId, Fitting, InspectionId, PartRef, Subject, Zone};
use stemclock::machine::{FinalDrive, FluidKind, Layout, Machine, MachineId, WheelPosition};
use stemclock::rules::{Decision, carry_over};

use super::bench::*;

fn asked(bay: &stemclock::garage::Bay, date: &str) -> BTreeSet<String> {
    stands(bay, date).asked_again.iter().map(|a| a.check.to_string()).collect()
}

fn holds(asked: &BTreeSet<String>, ids: &[&str]) -> bool {
    ids.iter().all(|id| asked.contains(*id))
}

#[test]
fn a_chain_change_asks_about_the_chain_and_the_rear_wheel_and_not_about_the_front() {
    let mut bay = bay();
    let checked = all_sound(&bay, look("a", "2026-04-01", "season"));
    bay.inspections.push(checked);
    assert_eq!(asked(&bay, "2026-04-02").len(), 0);
    record(&mut bay, event("e1", "2026-04-03", job(&[("chain", Subject::Machine)], &[]))).unwrap();
    let again = asked(&bay, "2026-04-04");
    // House rule 21; which checks a wheel that was out disturbs is common practice.
    let rear = [
        "drive-slack@machine",
        "chain-alignment@machine",
        "wheel-fixing@rear",
        "tyre-pressure@rear",
        "disc@rear.right",
    ];
    assert!(holds(&again, &rear), "{again:?}");
    assert!(holds(&again, &["brake-pedal-feel@machine", "brake-rear-alone@machine", "fasteners-after-work@machine"]));
    for not in [
        "wheel-fixing@front",
        "disc@front.left",
        "brake-front-alone@machine",
        "brake-lever-feel@machine",
        "horn@machine",
        "fluid-level@engine-oil",
    ] {
        assert!(!again.contains(not), "{not} was not touched");
    }
    let verdict = stands(&bay, "2026-04-04").verdict.unwrap();
    assert_eq!(verdict.decision, Decision::NotYetDecided);
    assert_eq!(verdict.lapsed, None, "the season's verdict still holds for the rest");
    let n = again.len();
    assert!(verdict.sentence().contains(&format!("{n} checks are asked again after work")), "{}", verdict.sentence());
}

#[test]
fn a_second_look_at_what_the_work_touched_gives_the_verdict_of_the_season_back() {
    let mut bay = bay();
    let checked = all_sound(&bay, look("a", "2026-04-01", "season"));
    bay.inspections.push(checked);
    let before = stands(&bay, "2026-04-02").verdict.unwrap();
    record(&mut bay, event("e1", "2026-04-03", job(&[("chain", Subject::Machine)], &[]))).unwrap();
    let mut second = look("b", "2026-04-03", "work");
    carry_over(&stands(&bay, "2026-04-03"), &bay.machine, Catalogue::builtin(), &mut second);
    assert_eq!(second.asks.len(), asked(&bay, "2026-04-03").len());
    // Half done: what is left is still asked.
    let mut half = all_sound(&bay, second.clone());
    let first = half.asks[0].clone();
    half.answers.remove(&first);
    bay.inspections.push(half);
    assert_eq!(asked(&bay, "2026-04-04"), [first.to_string()].into());
    bay.inspections.pop();
    let whole = all_sound(&bay, second);
    bay.inspections.push(whole);
    let after = stands(&bay, "2026-04-04").verdict.unwrap();
    assert_eq!((after.decision, after.asked), (before.decision, before.asked), "{}", after.sentence());
    assert!(after.sentence().contains("season-opening inspection"), "{}", after.sentence());
    assert!(after.sentence().contains("with a second look after work at"), "{}", after.sentence());
}

#[test]
fn work_of_which_only_a_note_is_kept_lapses_everything() {
    let mut bay = bay();
    let checked = all_sound(&bay, look("a", "2026-04-01", "season"));
    bay.inspections.push(checked);
    bay.events.push(event("e1", "2026-04-03", job(&[], &[])));
    let verdict = stands(&bay, "2026-04-04").verdict.unwrap();
    assert!(verdict.lapsed.is_some_and(|l| l.contains("work was done")), "a job that names no part could be anything");
}

#[test]
fn fitting_pads_at_one_wheel_asks_about_that_brake_alone() {
    let mut bay = bay();
    let checked = all_sound(&bay, look("a", "2026-04-01", "season"));
    bay.inspections.push(checked);
    let pads = Fitting::new(PartRef::Lining(WheelPosition::Front, None));
    record(&mut bay, event("e1", "2026-04-03", EventKind::PartFitted(Box::new(pads)))).unwrap();
    let again = asked(&bay, "2026-04-04");
    let front = [
        "brake-lining@front",
        "caliper@front.left",
        "brake-lever-feel@machine",
        "brake-front-alone@machine",
        "brake-fluid-level@front-brake-fluid",
    ];
    assert!(holds(&again, &front), "{again:?}");
    for not in ["brake-lining@rear", "brake-pedal-feel@machine", "tyre-pressure@front", "wheel-fixing@front"] {
        assert!(!again.contains(not), "{not} was not touched");
    }
}

#[test]
fn a_finding_closes_in_two_steps_by_the_work_and_a_later_look() {
    let mut bay = bay();
    let mut first = look("a", "2026-04-01", "season");
    first.findings.push(on_tyre("f1", "cord", WheelPosition::Rear, "4:30", Zone::Centre, None));
    bay.inspections.push(first);
    let closing = |job: &str| EventKind::FindingClosed {
        inspection: InspectionId("a".into()),
        finding: FindingId("f1".into()),
        closing: Closing::LookedAgain {
            job: EventId(job.into()),
            inspection: None,
            second_look: "tread even, pressure holds".into(),
        },
    };
    let refused = record(&mut bay, event("e2", "2026-04-05", closing("e1"))).unwrap_err().to_string();
    assert!(refused.contains("record what was done first"), "{refused}");
    let done = job(&[("tyre-change", Subject::Wheel(WheelPosition::Rear))], &[of("a", "f1")]);
    record(&mut bay, event("e1", "2026-04-03", done)).unwrap();
    let open = stands(&bay, "2026-04-04");
    assert_eq!(open.verdict.as_ref().unwrap().decision, Decision::DoNotRide, "repaired is not yet looked at");
    assert!(open.open[0].waits_for_second_look());
    assert!(open.verdict.unwrap().because[0].words.contains("the second look is to come"));
    record(&mut bay, event("e2", "2026-04-05", closing("e1"))).unwrap();
    assert!(stands(&bay, "2026-04-05").open.is_empty());
    // The job taken back: its second look closes nothing.
    let back = EventKind::TakenBack { event: EventId("e1".into()), reason: "that was the other machine".into() };
    record(&mut bay, event("e3", "2026-04-06", back)).unwrap();
    assert_eq!(stands(&bay, "2026-04-06").open.len(), 1);
}

#[test]
fn every_fault_of_the_catalogue_has_a_job_on_the_machines_that_have_the_part() {
    let catalogue = Catalogue::builtin();
    let everything = stemclock::catalogue::Kind {
        checks: stemclock::catalogue::Selection::All,
        ..catalogue.kind("season").unwrap().clone()
    };
    let mut lacking = BTreeSet::new();
    for layout in [Layout::Solo, Layout::Sidecar(Side::Right), Layout::Trike] {
        for drive in [FinalDrive::Chain, FinalDrive::Belt, FinalDrive::Shaft] {
            let mut machine = Machine::new(MachineId("m".into()), "M", layout);
            machine.final_drive = drive;
            machine.abs = true;
            machine.wheels[1].brakes = vec![stemclock::machine::Brake::Drum];
            machine.rear_brake = stemclock::machine::BrakeActuation::Rod;
            for (check, entry) in catalogue.checks_for(&machine, &everything) {
                for fault in &entry.faults {
                    if catalogue.job_for(&machine, &check, &fault.id, check.subject).is_none() {
                        lacking.insert(check.check.clone());
                    }
                }
            }
        }
    }
    assert!(lacking.is_empty(), "no job in assets/catalogue/jobs.ron serves {lacking:?}");
}

#[test]
fn a_job_by_name_goes_before_the_job_for_the_check_and_fluids_go_to_their_own_end() {
    let catalogue = Catalogue::builtin();
    let bay = bay();
    let job = |finding: &stemclock::inspection::Finding| {
        let jobs = catalogue.job_for(&bay.machine, &finding.check, &finding.fault, part_of(finding)).unwrap();
        jobs.iter().map(ToString::to_string).collect::<Vec<_>>()
    };
    let nail = on_tyre("n", "foreign-body", WheelPosition::Rear, "3:00", Zone::Centre, None);
    let cut = on_tyre("c", "cut-cord", WheelPosition::Rear, "3:00", Zone::Centre, None);
    assert_eq!((job(&nail), job(&cut)), (vec!["tyre-repair@rear".into()], vec!["tyre-change@rear".into()]));
    let fluid = stemclock::inspection::CheckRef::new("brake-fluid-level", Subject::Fluid(FluidKind::RearBrakeFluid));
    let rear = catalogue.job_for(&bay.machine, &fluid, "below-min", fluid.subject).unwrap();
    let disturbed = catalogue.disturbed(&bay.machine, &rear[0]);
    let names: BTreeSet<String> = disturbed.iter().map(ToString::to_string).collect();
    assert!(names.contains("brake-rear-alone@machine") && !names.contains("brake-front-alone@machine"), "{names:?}");
}
