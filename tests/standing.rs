//! Where a machine stands: what is open stays open, a verdict lapses, and nothing unchecked counts as sound.
#![allow(clippy::unwrap_used, reason = "a test stops at the first surprise")]

use chrono::NaiveDate;
use stemclock::catalogue::Catalogue;
use stemclock::clock::{ClockTime, Side, Spot};
use stemclock::garage::Bay;
use stemclock::inspection::{
    Answer, CheckRef, CheckState, Closing, Conditions, Event, EventId, EventKind, Finding, FindingId, Inspection,
    InspectionId, Place, Subject, TreadPoint, Value, Zone,
};
use stemclock::machine::{Layout, Machine, MachineId, WheelPosition};
use stemclock::rules::{Decision, Standing, standing};
use stemclock::units::{Distance, Length, Preferences};

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
        asks: Vec::new(),
        carried: Default::default(),
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
    let looked = all_sound(&bay, inspection("b", "2026-05-03", "fall"));
    bay.inspections.push(looked);
    let again = on(&bay, &units, "2026-05-03").verdict.unwrap();
    assert_eq!(again.lapsed, None, "{}", again.sentence());
}

/// Tread depths in mm of one clock position, centre and both intermediate zones.
fn read_tread(inspection: &mut Inspection, mm: f64) {
    let zones = [Zone::Intermediate(Side::Left), Zone::Centre, Zone::Intermediate(Side::Right)];
    let point = TreadPoint { spot: Spot::VALVE, depths: zones.into_iter().map(|z| (z, Length::mm(mm))).collect() };
    let answer = inspection.answers.entry(tread()).or_default();
    answer.readings.insert("depths".into(), Value::Tread(vec![point]));
}

fn tread() -> CheckRef {
    CheckRef::new("tyre-tread", Subject::Wheel(WheelPosition::Rear))
}

#[test]
fn a_dangerous_reading_is_answered_by_a_new_reading_and_not_by_a_look() {
    // SI 1986/1078 regulation 27 asks for 1.0 mm; below the law is dangerous by item 5.2.3. House rule 3: it
    // clears only by repair plus a second look.
    let (mut bay, units) = (bay(), Preferences::default());
    bay.machine.region = "gb".into();
    let mut first = inspection("a", "2026-04-01", "season");
    read_tread(&mut first, 0.8);
    bay.inspections.push(first);
    let second = all_sound(&bay, inspection("b", "2026-04-02", "season"));
    bay.inspections.push(second);
    let verdict = on(&bay, &units, "2026-04-02").verdict.unwrap();
    assert_eq!(verdict.decision, Decision::DoNotRide, "someone said that it looks sound, and measured nothing");
    read_tread(&mut bay.inspections[1], 4.0);
    let verdict = on(&bay, &units, "2026-04-02").verdict.unwrap();
    assert!(verdict.because.iter().all(|b| b.check != tread()), "{:?}", verdict.because);
}

#[test]
fn a_closing_that_says_nothing_closes_nothing() {
    let (mut bay, units) = (bay(), Preferences::default());
    let mut first = inspection("a", "2026-04-01", "season");
    first.findings.push(cord("f1"));
    bay.inspections.push(first);
    let (inspection, finding) = (InspectionId("a".into()), FindingId("f1".into()));
    let closing = Closing::Repaired { work: "new tyre".into(), second_look: " ".into() };
    bay.events.push(Event {
        schema: 1,
        id: EventId("e1".into()),
        date: day("2026-05-02"),
        by: "M. Keller".into(),
        kind: EventKind::FindingClosed { inspection, finding, closing },
    });
    assert_eq!(on(&bay, &units, "2026-05-02").verdict.unwrap().decision, Decision::DoNotRide);
}

#[test]
fn a_record_that_cannot_be_read_leaves_nothing_decided() {
    let (mut bay, units) = (bay(), Preferences::default());
    let checked = all_sound(&bay, inspection("a", "2026-05-01", "ride"));
    bay.inspections.push(checked);
    bay.unread.push("machines/m/inspections/2026-05-01-ride-b.ron".into());
    let verdict = on(&bay, &units, "2026-05-01").verdict.unwrap();
    assert_eq!(verdict.decision, Decision::NotYetDecided);
    assert!(verdict.sentence().contains("2026-05-01-ride-b.ron"), "{}", verdict.sentence());
}

#[test]
fn two_looks_of_one_day_stand_in_the_order_in_which_they_began() {
    let mut bay = bay();
    for (id, hour) in [("2026-05-01-work-a", 16), ("2026-05-01-ride-b", 9)] {
        let mut look = inspection(id, "2026-05-01", "ride");
        look.started = chrono::NaiveTime::from_hms_opt(hour, 0, 0);
        bay.inspections.push(look);
    }
    bay.sort();
    assert_eq!(bay.latest().unwrap().id.0, "2026-05-01-work-a");
}

#[test]
fn a_verdict_lapses_by_distance_in_the_units_of_the_owner() {
    let mut bay = bay();
    let units = Preferences { distance: "mi".into(), ..Preferences::default() };
    let checked = all_sound(&bay, inspection("a", "2026-05-01", "season"));
    bay.inspections.push(checked);
    bay.events.push(Event {
        schema: 1,
        id: EventId("e1".into()),
        date: day("2026-05-20"),
        by: String::new(),
        kind: EventKind::Odometer(Distance::km(1000.0 + 6000.0)),
    });
    // A season opening holds for 5000 km; 6000 km are 3728 miles and 5000 km are 3107.
    let verdict = on(&bay, &units, "2026-05-20").verdict.unwrap();
    assert_eq!(verdict.decision, Decision::NotYetDecided);
    assert!(
        verdict.sentence().contains("3728 mi were ridden since, and the verdict held for 3107 mi"),
        "{}",
        verdict.sentence()
    );
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
