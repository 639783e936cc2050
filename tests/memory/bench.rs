//! Machines, inspections and events made by hand, in as few words as may be.

use chrono::NaiveDate;
use stemclock::catalogue::Catalogue;
use stemclock::clock::{ClockTime, Side, Spot};
use stemclock::edit::{Command, Rejected, decide};
use stemclock::garage::{Bay, Garage};
use stemclock::inspection::{
    Answer, CheckRef, CheckState, Event, EventId, EventKind, Finding, FindingId, FindingRef, Inspection, InspectionId,
    Job, JobRef, Place, Station, Subject, Zone,
};
use stemclock::machine::{FinalDrive, Layout, Machine, MachineId, Tyre, WheelPosition};
use stemclock::rules::{Standing, standing};
use stemclock::tyre::TyreMarking;
use stemclock::units::{Distance, Length, Preferences};

pub fn day(text: &str) -> NaiveDate {
    text.parse().unwrap()
}

pub fn units() -> &'static Preferences {
    static UNITS: std::sync::OnceLock<Preferences> = std::sync::OnceLock::new();
    UNITS.get_or_init(Preferences::default)
}

/// A chain machine with 120/70-17 tyres, whose crown is 1885 mm round (house rule 12).
pub fn bay() -> Bay {
    let mut machine = Machine::new(MachineId("m".into()), "The tall one", Layout::Solo);
    machine.final_drive = FinalDrive::Chain;
    for wheel in &mut machine.wheels {
        wheel.tyre = Some(Tyre::new(TyreMarking::parse("120/70-17").unwrap()));
    }
    Bay::new(machine)
}

pub fn look(id: &str, date: &str, kind: &str) -> Inspection {
    let mut look = Inspection::new(InspectionId(id.into()), kind, day(date));
    look.odometer = Some(Distance::km(1000.0));
    look
}

/// Every check that the inspection asks, answered as sound by hand and eye.
pub fn all_sound(bay: &Bay, mut inspection: Inspection) -> Inspection {
    let catalogue = Catalogue::builtin();
    let kind = catalogue.kind(&inspection.kind).unwrap();
    let own = catalogue.checks_for(&bay.machine, kind).into_iter().map(|(c, _)| c);
    let asked: Vec<CheckRef> = if inspection.kind == "work" && !inspection.asks.is_empty() {
        inspection.asks.clone()
    } else {
        own.chain(inspection.asks.clone()).collect()
    };
    for check in asked {
        inspection.answers.insert(check, Answer { state: CheckState::Sound, ..Answer::default() });
    }
    inspection
}

pub fn on_tyre(id: &str, fault: &str, wheel: WheelPosition, time: &str, zone: Zone, mm: Option<f64>) -> Finding {
    Finding {
        id: FindingId(id.into()),
        check: CheckRef::new("tyre-look", Subject::Wheel(wheel)),
        fault: fault.into(),
        place: Place::Wheel {
            position: wheel,
            zone,
            spot: Some(Spot::at(ClockTime::parse(time).unwrap(), Side::Right)),
        },
        size: mm.map(Length::mm),
        note: String::new(),
        overrule: None,
        photos: Vec::new(),
    }
}

pub fn elsewhere(id: &str, check: &str, fault: &str, part: &str) -> Finding {
    Finding {
        check: CheckRef::new(check, Subject::Machine),
        place: Place::Part { station: Station::Bars, part: part.into() },
        ..on_tyre(id, fault, WheelPosition::Front, "12:00", Zone::Centre, None)
    }
}

pub fn of(inspection: &str, finding: &str) -> FindingRef {
    FindingRef { inspection: InspectionId(inspection.into()), finding: FindingId(finding.into()) }
}

pub fn event(id: &str, date: &str, kind: EventKind) -> Event {
    Event { schema: 1, id: EventId(id.into()), date: day(date), by: "A. Person".into(), kind }
}

pub fn job(jobs: &[(&str, Subject)], findings: &[FindingRef]) -> EventKind {
    EventKind::Job(Box::new(Job {
        jobs: jobs.iter().map(|(job, at)| JobRef::new(*job, *at)).collect(),
        findings: findings.to_vec(),
        work: "put right".into(),
        ..Job::default()
    }))
}

pub fn stands<'a>(bay: &'a Bay, date: &str) -> Standing<'a> {
    standing(bay, Catalogue::builtin(), units(), day(date))
}

/// Records an event by the one write path.
pub fn record(bay: &mut Bay, event: Event) -> Result<(), Rejected> {
    let mut garage = Garage { bays: vec![bay.clone()], ..Garage::default() };
    let command = Command::Record(bay.machine.id.clone(), event);
    let change = decide(&garage, Catalogue::builtin(), command)?;
    garage.evolve(&change);
    *bay = garage.bays.remove(0);
    Ok(())
}
