//! A garage with one record of every kind, and one command of every kind that changes it.

use std::collections::BTreeSet;

use stemclock::catalogue::{Check, OwnKinds, Selection};
use stemclock::edit::{Command, PhotoHome};
use stemclock::exercise::{Exercise, ExerciseId, Key, Marking, Sheet, SheetId};
use stemclock::garage::{Course, Garage};
use stemclock::inspection::*;
use stemclock::machine::*;
use stemclock::photo::PhotoRef;
use stemclock::units::{Distance, Length};

use crate::fixture;

/// The name of each kind of command. A new kind does not compile before it has its name here, and the tests do not run
/// before it has its example below.
fn name_of(command: &Command) -> &'static str {
    match command {
        Command::SetGarage(_) => "set the garage",
        Command::PutOwn(..) => "put a kind",
        Command::RemoveOwn(_) => "remove a kind",
        Command::AddMachine(_) => "add a machine",
        Command::EditMachine(_) => "edit a machine",
        Command::Archive(..) => "put away",
        Command::StartInspection(..) => "start an inspection",
        Command::RemoveInspection(..) => "remove an inspection",
        Command::SetConditions { .. } => "set the conditions",
        Command::SetAnswer { .. } => "answer a check",
        Command::PutFinding(..) => "put a finding",
        Command::RemoveFinding(..) => "remove a finding",
        Command::PutPhoto(..) => "put a photo",
        Command::RemovePhoto(..) => "remove a photo",
        Command::Overrule(..) => "overrule",
        Command::Record(..) => "record an event",
        Command::PutExercise(_) => "put an exercise",
        Command::RemoveExercise(_) => "remove an exercise",
        Command::PutKey(_) => "put a key",
        Command::TakeInSheet(_) => "take a sheet in",
        Command::RemoveSheet(..) => "remove a sheet",
        Command::Revisit { .. } => "look again",
    }
}

/// How many kinds of command there are.
const KINDS: usize = 22;

pub fn outfit() -> MachineId {
    MachineId("outfit-7c1e".into())
}

fn latest() -> InspectionId {
    InspectionId("2026-09-01-season-bb".into())
}

fn own() -> OwnKinds {
    let check = Check::of_ones_own("bungs-a1", "Crash bungs", Station::LeftFlank, "One turns.", "Rock it.", 1.0);
    OwnKinds {
        id: Some("track-day".into()),
        name: Some("before a track day".into()),
        called: Some("a track-day look".into()),
        checks: Some(Selection::These(vec!["horn".into(), "bungs-a1".into()])),
        required: Some(Selection::These(vec!["horn".into()])),
        lapses_after_days: Some(1),
        lapses_after_km: Some(300),
        own_checks: vec![check],
        ..OwnKinds::default()
    }
}

fn exercise(id: &str) -> Exercise {
    Exercise {
        schema: SCHEMA,
        id: ExerciseId(id.into()),
        title: "Walk round the outfit".into(),
        machine: outfit(),
        kind: "season".into(),
        date: fixture::day("2026-10-03"),
        minutes: None,
        task: "Find what is wrong.".into(),
    }
}

fn key(id: &str, inspection: &str) -> Key {
    Key {
        schema: SCHEMA,
        exercise: ExerciseId(id.into()),
        inspection: fixture::inspection(inspection, "2026-10-03"),
        marks: Default::default(),
        readings: Vec::new(),
        marking: Marking::default(),
    }
}

fn sheet(id: &str) -> Sheet {
    Sheet {
        schema: SCHEMA,
        id: SheetId(id.into()),
        exercise: ExerciseId("walk-round-19ab".into()),
        student: "Ada".into(),
        machine: fixture::machine(),
        inspection: fixture::inspection("2026-10-03-season-s1", "2026-10-03"),
    }
}

/// A garage with at least one record of every kind.
pub fn garage() -> Garage {
    let mut garage = fixture::garage();
    garage.own.insert("club-day".into(), OwnKinds { id: Some("club-day".into()), ..own() });
    garage.own.get_mut("club-day").unwrap().own_checks[0].id = "bungs-b2".into();
    garage.own.get_mut("club-day").unwrap().checks = Some(Selection::These(vec!["horn".into(), "bungs-b2".into()]));
    garage.bays[0].machine.photos.push(PhotoRef::new("left.jpg"));
    let bare = Machine::new(MachineId("moped-2b7d".into()), "Moped", Layout::Solo);
    garage.bays.push(stemclock::garage::Bay::new(bare));
    garage.bays.sort_by(|a, b| a.machine.id.cmp(&b.machine.id));
    let last = garage.bays.iter_mut().find(|b| b.machine.id == outfit()).unwrap().inspections.last_mut().unwrap();
    last.findings[0].id = FindingId("f-9z9z".into());
    last.carried.insert(FindingId("f-1a2b".into()), Revisit::default());
    let mut course = Course::new(exercise("walk-round-19ab"));
    course.key = Some(key("walk-round-19ab", "2026-10-03-season-k1"));
    course.sheets.push(sheet("ada-1"));
    garage.courses = vec![Course::new(exercise("second-look-77cd")), course];
    garage
}

/// One command of every kind, with its name.
pub fn every_command() -> Vec<(&'static str, Command)> {
    let garage = garage();
    let bay = garage.bay(&outfit()).unwrap();
    let last = bay.inspection(&latest()).unwrap();
    let horn = CheckRef::new("horn", Subject::Machine);
    let mut machine = bay.machine.clone();
    machine.name = "The old outfit".into();
    let mut finding = last.findings[0].clone();
    finding.note = "slower".into();
    let photo = PhotoRef { words: "from the left".into(), ..PhotoRef::new("right.jpg") };
    let overrule = Overrule { severity: Severity::Major, reason: "seen twice".into(), by: "M. Fenwick".into() };
    let commands = vec![
        Command::SetGarage(stemclock::garage::GarageInfo { name: "Bay & Daughter".into(), ..garage.info.clone() }),
        Command::PutOwn("track-day".into(), own()),
        Command::RemoveOwn("club-day".into()),
        Command::AddMachine(Machine::new(MachineId("standard-0a1b".into()), "Standard", Layout::Solo)),
        Command::EditMachine(machine),
        Command::Archive(outfit(), true),
        Command::StartInspection(outfit(), fixture::inspection("2026-11-25-ride-cc", "2026-11-25")),
        Command::RemoveInspection(outfit(), latest()),
        Command::SetConditions {
            machine: outfit(),
            inspection: latest(),
            inspector: "A. Other".into(),
            odometer: Some(Distance::miles(41_350.0)),
            conditions: Conditions::default(),
            note: "by lamp".into(),
        },
        Command::SetAnswer {
            machine: outfit(),
            inspection: latest(),
            check: horn.clone(),
            answer: Answer { state: CheckState::Sound, ..Answer::default() },
        },
        Command::PutFinding(outfit(), latest(), finding),
        Command::RemoveFinding(outfit(), latest(), FindingId("f-9z9z".into())),
        Command::PutPhoto(outfit(), PhotoHome::Finding(latest(), FindingId("f-9z9z".into())), photo),
        Command::RemovePhoto(outfit(), PhotoHome::Machine, "left.jpg".into()),
        Command::Overrule(outfit(), latest(), horn, Some(overrule)),
        Command::Record(outfit(), fixture::event("e-9", EventKind::Fall { note: "at a kerb".into() })),
        Command::PutExercise(exercise("third-look-55ef")),
        Command::RemoveExercise(ExerciseId("second-look-77cd".into())),
        Command::PutKey(key("second-look-77cd", "2026-10-03-season-k2")),
        Command::TakeInSheet(Box::new(sheet("ada-2"))),
        Command::RemoveSheet(ExerciseId("walk-round-19ab".into()), SheetId("ada-1".into())),
        Command::Revisit {
            machine: outfit(),
            inspection: latest(),
            finding: FindingId("f-1a2b".into()),
            revisit: Revisit { seen: Seen::Grown, size: Some(Length::mm(14.0)), ..Revisit::default() },
        },
    ];
    let named: Vec<_> = commands.into_iter().map(|c| (name_of(&c), c)).collect();
    assert_eq!(named.iter().map(|(name, _)| name).collect::<BTreeSet<_>>().len(), KINDS);
    named
}
