//! The one write path: what a command may do, what it may not, and that undo and redo lose nothing.
#![allow(clippy::unwrap_used, reason = "a test stops at the first surprise")]

use proptest::prelude::*;
use stemclock::catalogue::Catalogue;
use stemclock::edit::{Command, History, decide};
use stemclock::garage::{Garage, GarageInfo};
use stemclock::inspection::{
    Answer, CheckRef, CheckState, Closing, Conditions, Event, EventId, EventKind, Finding, FindingId, Inspection,
    InspectionId, Overrule, Place, Severity, Station, Subject, Value, Zone,
};
use stemclock::machine::{Layout, Machine, MachineId, WheelPosition};
use stemclock::units::Pressure;

fn machine(n: u8) -> Machine {
    Machine::new(MachineId(format!("m{n}")), format!("Machine {n}"), Layout::Solo)
}

fn inspection(n: u8) -> Inspection {
    Inspection {
        schema: 1,
        id: InspectionId(format!("2026-05-0{}-ride-x{n}", n % 9 + 1)),
        kind: "ride".into(),
        date: format!("2026-05-0{}", n % 9 + 1).parse().unwrap(),
        started: None,
        inspector: String::new(),
        odometer: None,
        conditions: Conditions::default(),
        asks: Vec::new(),
        carried: Default::default(),
        answers: Default::default(),
        findings: Vec::new(),
        overrules: Default::default(),
        note: String::new(),
    }
}

fn finding(n: u8) -> Finding {
    Finding {
        id: FindingId(format!("f{n}")),
        check: CheckRef::new("tyre-look", Subject::Wheel(WheelPosition::Front)),
        fault: "cut".into(),
        place: Place::Wheel { position: WheelPosition::Front, zone: Zone::Centre, spot: None },
        size: None,
        note: String::new(),
        overrule: None,
        photos: Vec::new(),
    }
}

fn answer(kpa: f64) -> Answer {
    let mut answer = Answer { state: CheckState::Sound, ..Answer::default() };
    answer.readings.insert("cold".into(), Value::Pressure(Pressure::kpa(kpa)));
    answer
}

fn any_command() -> impl Strategy<Value = Command> {
    let m = || (0u8..3).prop_map(|n| MachineId(format!("m{n}")));
    let i = || (0u8..4).prop_map(|n| inspection(n).id);
    prop_oneof![
        (0u8..3).prop_map(|n| Command::AddMachine(machine(n))),
        (0u8..3, "[a-z ]{0,12}").prop_map(|(n, notes)| Command::EditMachine(Machine { notes, ..machine(n) })),
        (m(), any::<bool>()).prop_map(|(m, a)| Command::Archive(m, a)),
        (m(), 0u8..4).prop_map(|(m, n)| Command::StartInspection(m, inspection(n))),
        (m(), i()).prop_map(|(m, i)| Command::RemoveInspection(m, i)),
        (m(), i(), 100.0..300.0f64).prop_map(|(machine, inspection, kpa)| Command::SetAnswer {
            machine,
            inspection,
            check: CheckRef::new("tyre-pressure", Subject::Wheel(WheelPosition::Front)),
            answer: answer(kpa),
        }),
        (m(), i(), 0u8..3).prop_map(|(m, i, n)| Command::PutFinding(m, i, finding(n))),
        (m(), i(), 0u8..3).prop_map(|(m, i, n)| Command::RemoveFinding(m, i, FindingId(format!("f{n}")))),
        "[a-z]{1,8}".prop_map(|name| Command::SetGarage(GarageInfo { name, ..GarageInfo::default() })),
        (m(), 0u8..3).prop_map(|(m, n)| Command::Record(
            m,
            Event {
                schema: 1,
                id: EventId(format!("e{n}")),
                date: "2026-05-09".parse().unwrap(),
                by: String::new(),
                kind: EventKind::Fall { note: "in the yard".into() },
            }
        )),
    ]
}

proptest! {
    #[test]
    fn undoing_everything_gives_back_the_first_garage_and_redoing_the_last(commands in prop::collection::vec(any_command(), 1..40)) {
        let first = Garage::default();
        let mut garage = first.clone();
        let mut history = History::default();
        for command in commands {
            let before = garage.clone();
            match decide(&garage, Catalogue::builtin(), command) {
                Ok(change) => {
                    garage.evolve(&change);
                    history.push(change);
                }
                Err(_) => prop_assert_eq!(&before, &garage, "a rejected command changes nothing"),
            }
        }
        let last = garage.clone();
        while let Some(change) = history.undo() {
            garage.evolve(&change);
        }
        prop_assert_eq!(&garage, &first);
        while let Some(change) = history.redo() {
            garage.evolve(&change);
        }
        prop_assert_eq!(&garage, &last);
    }
}

/// A garage with one machine and one inspection that holds one finding.
fn small() -> Garage {
    let mut garage = Garage::default();
    for command in [
        Command::AddMachine(machine(0)),
        Command::StartInspection(MachineId("m0".into()), inspection(0)),
        Command::PutFinding(MachineId("m0".into()), inspection(0).id, finding(0)),
    ] {
        let change = decide(&garage, Catalogue::builtin(), command).unwrap();
        garage.evolve(&change);
    }
    garage
}

fn rejected(command: Command) -> String {
    decide(&small(), Catalogue::builtin(), command).expect_err("this must be rejected").to_string()
}

fn m() -> MachineId {
    MachineId("m0".into())
}

#[test]
fn not_applicable_is_only_for_parts_the_machine_lacks() {
    // house rule 5.
    let set = |check: CheckRef| Command::SetAnswer {
        machine: m(),
        inspection: inspection(0).id,
        check,
        answer: Answer { state: CheckState::NotApplicable, ..Answer::default() },
    };
    let has = rejected(set(CheckRef::new("tyre-pressure", Subject::Wheel(WheelPosition::Front))));
    assert!(has.contains("has the part"), "{has}");
    let lacks = set(CheckRef::new("tyre-pressure", Subject::Wheel(WheelPosition::Sidecar)));
    assert!(decide(&small(), Catalogue::builtin(), lacks).is_ok());
}

#[test]
fn what_could_not_be_checked_says_why() {
    let message = rejected(Command::SetAnswer {
        machine: m(),
        inspection: inspection(0).id,
        check: CheckRef::new("tyre-pressure", Subject::Wheel(WheelPosition::Front)),
        answer: Answer { state: CheckState::CouldNot("  ".into()), ..Answer::default() },
    });
    assert!(message.contains("reason"), "{message}");
}

#[test]
fn overruling_needs_a_reason() {
    let overrule = Overrule { severity: Severity::Minor, reason: String::new(), by: "M. Keller".into() };
    let with = Finding { overrule: Some(overrule), ..finding(0) };
    assert!(rejected(Command::PutFinding(m(), inspection(0).id, with)).contains("reason"));
}

#[test]
fn a_dangerous_finding_is_never_lowered() {
    // house rule 3; a cord in sight is dangerous by item 5.2.3 d of Directive 2014/45/EU.
    let overrule = Overrule { severity: Severity::Major, reason: "hardly seen".into(), by: "M. Keller".into() };
    let lowered = Finding { fault: "cord".into(), overrule: Some(overrule.clone()), ..finding(0) };
    let message = rejected(Command::PutFinding(m(), inspection(0).id, lowered));
    assert!(message.contains("repair and a second look"), "{message}");
    let raised = Finding { overrule: Some(Overrule { severity: Severity::Dangerous, ..overrule }), ..finding(0) };
    assert!(decide(&small(), Catalogue::builtin(), Command::PutFinding(m(), inspection(0).id, raised)).is_ok());
}

#[test]
fn a_finding_that_a_later_inspection_stands_on_is_closed_and_not_taken_back() {
    // house rule 3.
    let mut garage = small();
    let later = Inspection { date: "2026-06-01".parse().unwrap(), ..inspection(1) };
    let change = decide(&garage, Catalogue::builtin(), Command::StartInspection(m(), later)).unwrap();
    garage.evolve(&change);
    for command in [
        Command::RemoveFinding(m(), inspection(0).id, FindingId("f0".into())),
        Command::RemoveInspection(m(), inspection(0).id),
        Command::PutFinding(m(), inspection(0).id, Finding { fault: "nick".into(), ..finding(0) }),
    ] {
        let message = decide(&garage, Catalogue::builtin(), command).expect_err("it stays").to_string();
        assert!(message.contains("recorded by mistake"), "{message}");
    }
    let noted = Finding { note: "seen again".into(), ..finding(0) };
    assert!(decide(&garage, Catalogue::builtin(), Command::PutFinding(m(), inspection(0).id, noted)).is_ok());
}

#[test]
fn closing_needs_the_work_and_a_second_look_and_withdrawing_a_reason_and_a_name() {
    let close = |by: &str, closing: Closing| {
        Command::Record(
            m(),
            Event {
                schema: 1,
                id: EventId("e".into()),
                date: "2026-05-09".parse().unwrap(),
                by: by.into(),
                kind: EventKind::FindingClosed {
                    inspection: inspection(0).id,
                    finding: FindingId("f0".into()),
                    closing,
                },
            },
        )
    };
    let repaired = |work: &str, look: &str| Closing::Repaired { work: work.into(), second_look: look.into() };
    assert!(rejected(close("A", repaired("", "sound"))).contains("what was done"));
    assert!(rejected(close("A", repaired("new tyre", " "))).contains("second look"));
    assert!(rejected(close("A", Closing::Withdrawn { reason: String::new() })).contains("why"));
    assert!(rejected(close("", Closing::Withdrawn { reason: "a mould line".into() })).contains("name"));
    let mut garage = small();
    let change = decide(&garage, Catalogue::builtin(), close("A", repaired("new tyre", "sound"))).unwrap();
    garage.evolve(&change);
    let gone = Command::RemoveFinding(m(), inspection(0).id, FindingId("f0".into()));
    let message = decide(&garage, Catalogue::builtin(), gone).expect_err("a closed finding stays").to_string();
    assert!(message.contains("closed"), "{message}");
}

#[test]
fn a_finding_is_put_only_on_a_wheel_the_machine_has() {
    let elsewhere = Finding {
        place: Place::Wheel { position: WheelPosition::Sidecar, zone: Zone::Centre, spot: None },
        ..finding(9)
    };
    assert!(rejected(Command::PutFinding(m(), inspection(0).id, elsewhere)).contains("sidecar"));
    let part = Finding { place: Place::Part { station: Station::Tail, part: "plate bracket".into() }, ..finding(9) };
    assert!(decide(&small(), Catalogue::builtin(), Command::PutFinding(m(), inspection(0).id, part)).is_ok());
}

#[test]
fn a_machine_needs_a_name_and_the_wheels_of_its_layout() {
    assert!(rejected(Command::EditMachine(Machine { name: " ".into(), ..machine(0) })).contains("name"));
    assert!(rejected(Command::EditMachine(Machine { layout: Layout::Trike, ..machine(0) })).contains("wheels"));
    assert!(rejected(Command::AddMachine(machine(0))).contains("already"));
    assert!(rejected(Command::EditMachine(machine(7))).contains("m7"));
}
