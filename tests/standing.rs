//! Where a machine stands: what is open stays open, a verdict lapses, and nothing unchecked counts as sound.
#![allow(clippy::unwrap_used, reason = "a test stops at the first surprise")]

use chrono::NaiveDate;
use stemclock::catalogue::Catalogue;
use stemclock::clock::{ClockTime, Side, Spot};
use stemclock::garage::Bay;
use stemclock::inspection::{
    Answer, CheckRef, CheckState, Closing, Conditions, Event, EventId, EventKind, Finding, FindingId, Inspection,
    InspectionId, Place, Subject, Zone,
};
use stemclock::machine::{Layout, Machine, MachineId, WheelPosition};
use stemclock::rules::{Decision, Standing, standing};
use stemclock::units::{Distance, Preferences};

fn day(text: &str) -> NaiveDate {
    text.parse().unwrap()
}

fn inspection(id: &str, date: &str, kind: &str) -> Inspection {
    Inspection {
        schema: 1,
        id: InspectionId(id.into()),
        kind: kind.into(),
        date: day(date),
        started: None,
        inspector: "M. Keller".into(),
        odometer: Some(Distance::km(1000.0)),
        conditions: Conditions::default(),
        answers: Default::default(),
        findings: Vec::new(),
        overrules: Default::default(),
        note: String::new(),
    }
}

/// Every check that the kind asks, answered as sound by hand and eye.
fn all_sound(bay: &Bay, mut inspection: Inspection) -> Inspection {
    let catalogue = Catalogue::builtin();
    let kind = catalogue.kind(&inspection.kind).unwrap();
    for (check, _) in catalogue.checks_for(&bay.machine, kind) {
        inspection.answers.insert(check, Answer { state: CheckState::Sound, ..Answer::default() });
    }
    inspection
}

fn cord(id: &str) -> Finding {
    Finding {
        id: FindingId(id.into()),
        check: CheckRef::new("tyre-look", Subject::Wheel(WheelPosition::Rear)),
        fault: "cord".into(),
        place: Place::Wheel {
            position: WheelPosition::Rear,
            zone: Zone::Centre,
            spot: Some(Spot::at(ClockTime::parse("4:30").unwrap(), Side::Right)),
        },
        size: None,
        note: String::new(),
        overrule: None,
        photos: Vec::new(),
    }
}

fn bay() -> Bay {
    Bay::new(Machine::new(MachineId("m".into()), "The tall one", Layout::Solo))
}

fn on<'a>(bay: &'a Bay, units: &'a Preferences, date: &str) -> Standing<'a> {
    standing(bay, Catalogue::builtin(), units, day(date))
}

#[test]
fn a_machine_nobody_looked_at_has_no_verdict() {
    let (bay, units) = (bay(), Preferences::default());
    assert!(on(&bay, &units, "2026-05-01").verdict.is_none());
}

#[test]
fn unchecked_never_counts_as_sound() {
    let (mut bay, units) = (bay(), Preferences::default());
    bay.inspections.push(inspection("a", "2026-05-01", "season"));
    let verdict = on(&bay, &units, "2026-05-01").verdict.unwrap();
    assert_eq!(verdict.decision, Decision::NotYetDecided);
    assert_eq!(verdict.looked_at, 0);
    assert!(verdict.asked > 0 && verdict.required_open.len() <= verdict.asked);
}

#[test]
fn a_dangerous_finding_stays_open_over_later_inspections_until_it_is_repaired_and_looked_at_again() {
    let (mut bay, units) = (bay(), Preferences::default());
    let mut first = inspection("a", "2026-04-01", "season");
    first.findings.push(cord("f1"));
    bay.inspections.push(first);
    let second = all_sound(&bay, inspection("b", "2026-05-01", "season"));
    bay.inspections.push(second);
    let verdict = on(&bay, &units, "2026-05-01").verdict.unwrap();
    assert_eq!(verdict.decision, Decision::DoNotRide);
    assert!(verdict.because[0].words.contains("open since 1 April 2026"), "{}", verdict.because[0].words);
    bay.events.push(Event {
        schema: 1,
        id: EventId("e1".into()),
        date: day("2026-05-02"),
        by: "M. Keller".into(),
        kind: EventKind::FindingClosed {
            inspection: InspectionId("a".into()),
            finding: FindingId("f1".into()),
            closing: Closing::Repaired { work: "new tyre".into(), second_look: "tread even, pressure holds".into() },
        },
    });
    let after = on(&bay, &units, "2026-05-02").verdict.unwrap();
    assert_ne!(after.decision, Decision::DoNotRide);
    assert!(after.because.iter().all(|b| b.finding != Some(FindingId("f1".into()))));
}

#[test]
fn a_verdict_lapses_by_a_fall_but_not_for_the_inspection_made_after_it() {
    let (mut bay, units) = (bay(), Preferences::default());
    bay.machine.region = "generic".into();
    let checked = all_sound(&bay, inspection("a", "2026-05-01", "season"));
    bay.inspections.push(checked);
    let before = on(&bay, &units, "2026-05-01").verdict.unwrap();
    bay.events.push(Event {
        schema: 1,
        id: EventId("e1".into()),
        date: day("2026-05-03"),
        by: String::new(),
        kind: EventKind::Fall { note: "slid off in the yard".into() },
    });
    let after = on(&bay, &units, "2026-05-03").verdict.unwrap();
    assert_eq!(after.decision, Decision::NotYetDecided, "before: {:?}", before.decision);
    assert!(after.sentence().contains("fell on 3 May 2026"), "{}", after.sentence());
    let Some(kind) = Catalogue::builtin().kind("fall") else { return };
    assert_eq!(kind.id, "fall");
    let looked = all_sound(&bay, inspection("b", "2026-05-03", "fall"));
    bay.inspections.push(looked);
    let again = on(&bay, &units, "2026-05-03").verdict.unwrap();
    assert_eq!(again.lapsed, None, "{}", again.sentence());
}

#[test]
fn a_verdict_lapses_by_age() {
    let (mut bay, units) = (bay(), Preferences::default());
    let checked = all_sound(&bay, inspection("a", "2024-05-01", "season"));
    bay.inspections.push(checked);
    let verdict = on(&bay, &units, "2026-05-01").verdict.unwrap();
    assert_eq!(verdict.decision, Decision::NotYetDecided);
    assert!(verdict.sentence().contains("days old"), "{}", verdict.sentence());
}
