//! A machine, a key and sheets for the tests of a class.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use stemclock::clock::{ClockTime, Side, Spot};
use stemclock::exercise::{Exercise, ExerciseId, Key, Marking, Sheet, SheetId};
use stemclock::inspection::{
    Answer, CheckRef, CheckState, Finding, FindingId, Inspection, InspectionId, Place, Station, Subject, Zone,
};
use stemclock::machine::{Layout, Machine, MachineId, RollingArrow, SCHEMA, Tyre, WheelPosition};
use stemclock::tyre::TyreMarking;

pub const FRONT: WheelPosition = WheelPosition::Front;

pub fn machine() -> Machine {
    let mut machine = Machine::new(MachineId("heron-7k2m".into()), "Heron", Layout::Solo);
    machine.wheels[0].tyre = Some(Tyre {
        marking: TyreMarking::parse("120/70 ZR17 M/C 58W").unwrap(),
        tin: None,
        fitted_on: None,
        fitted_at: None,
        arrow: RollingArrow::One,
        sidewall_maximum: None,
        tube: false,
    });
    machine.notes = "bought from a neighbour".into();
    machine.vin = Some("1M8GDM9AXKP042788".into());
    machine
}

pub fn day() -> NaiveDate {
    "2026-10-03".parse().unwrap()
}

pub fn right(time: &str) -> Spot {
    Spot::at(ClockTime::parse(time).unwrap(), Side::Right)
}

pub fn on_tyre(id: &str, fault: &str, zone: Zone, spot: Option<Spot>) -> Finding {
    finding(id, "tyre-look", Subject::Wheel(FRONT), fault, Place::Wheel { position: FRONT, zone, spot })
}

pub fn on_part(id: &str, check: &str, fault: &str, station: Station) -> Finding {
    finding(id, check, Subject::Machine, fault, Place::Part { station, part: String::new() })
}

fn finding(id: &str, check: &str, subject: Subject, fault: &str, place: Place) -> Finding {
    Finding {
        id: FindingId(id.into()),
        check: CheckRef::new(check, subject),
        fault: fault.into(),
        place,
        size: None,
        note: String::new(),
        overrule: None,
        photos: Vec::new(),
    }
}

pub fn inspection(id: &str, findings: Vec<Finding>) -> Inspection {
    let mut inspection = Inspection::new(InspectionId(id.into()), "season", day());
    inspection.findings = findings;
    inspection
}

pub fn exercise() -> Exercise {
    Exercise {
        schema: SCHEMA,
        id: ExerciseId("walk-round-19ab".into()),
        title: "Walk round the Heron".into(),
        machine: machine().id,
        kind: "season".into(),
        date: day(),
        minutes: Some(40),
        task: "Find what is wrong and say where.".into(),
    }
}

/// A key: a nail at 4:30 from the right in the right shoulder (major), a cut to the cord at 9:00 (dangerous).
pub fn key() -> Key {
    Key {
        schema: SCHEMA,
        exercise: exercise().id,
        inspection: inspection(
            "2026-10-03-season-k1",
            vec![
                on_tyre("k-nail", "foreign-body", Zone::Shoulder(Side::Right), Some(right("4:30"))),
                on_tyre("k-cut", "cut-cord", Zone::Sidewall(Side::Left), Some(right("9:00"))),
            ],
        ),
        marks: BTreeMap::new(),
        readings: Vec::new(),
        marking: Marking::default(),
    }
}

pub fn sheet(student: &str, findings: Vec<Finding>) -> Sheet {
    Sheet {
        schema: SCHEMA,
        id: SheetId(format!("{}-1", student.to_lowercase())),
        exercise: exercise().id,
        student: student.into(),
        machine: stemclock::class::for_students(&machine()),
        inspection: inspection("2026-10-03-season-s1", findings),
    }
}

pub fn sound() -> Answer {
    Answer { state: CheckState::Sound, ..Answer::default() }
}
