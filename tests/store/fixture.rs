//! A garage with one value of every kind, and small functions.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

use chrono::{NaiveDate, NaiveTime};
use stemclock::clock::{Side, Spot};
use stemclock::edit::{Change, Record, RecordKey};
use stemclock::garage::{Bay, Garage, GarageInfo};
use stemclock::inspection::*;
use stemclock::machine::*;
use stemclock::store;
use stemclock::units::{Distance, Length, Preferences, Pressure, Temperature, Torque, Voltage};

pub fn day(text: &str) -> NaiveDate {
    text.parse().unwrap()
}

pub fn today() -> NaiveDate {
    day("2026-11-25")
}

pub fn machine() -> Machine {
    let mut m = Machine::new(MachineId("outfit-7c1e".into()), "The outfit", Layout::Sidecar(Side::Left));
    m.capacity_cc = Some(649);
    m.first_use = Some(day("1998-05-02"));
    m.odometer = Some(Distance::miles(41_250.0));
    m.wheelbase = Some(Length::mm(1485.0));
    m.nominal_voltage = Some(12);
    m.slack_stance = Some(Stance::CentreStand);
    m.vin = Some("None".into());
    m.wheels[0].rim =
        Rim { kind: RimKind::WireSpoked { spokes: 40, first_flange: Some(Side::Right) }, material: RimMaterial::Steel };
    m.wheels[0].brakes = vec![Brake::Disc(Side::Left), Brake::Disc(Side::Right)];
    m.wheels[0].tyre = Some(Tyre {
        marking: stemclock::tyre::TyreMarking::parse("3.25-19").unwrap(),
        tin: Some(stemclock::tyre::TinDate::parse("0123").unwrap()),
        fitted_on: Some(day("2023-04-01")),
        fitted_at: Some(Distance::km(60_000.0)),
        arrow: RollingArrow::FrontAndRear,
        sidewall_maximum: Some(Pressure::psi(41.0)),
        tube: true,
    });
    m.wheels[0].placard =
        Some(Placard { solo: Pressure::psi(28.0), loaded: None, source: LimitSource::Manual("page 4".into()) });
    m.fluids.push(Fluid {
        kind: FluidKind::EngineOil,
        grade: "20W-50".into(),
        stance: Stance::CentreStand,
        state: FluidState::Warm,
        changed_on: None,
    });
    m.limits.push(Limit {
        kind: LimitKind::DiscMinimum(WheelPosition::Front, Side::Left),
        value: Quota::Length(Length::mm(4.5)),
        source: LimitSource::Stamped,
    });
    m.torques.push(TorqueFigure {
        fastener: "front axle".into(),
        torque: Torque::newton_metres(65.0),
        source: LimitSource::CommonPractice,
    });
    m.notes = "Two lines,\nwith \"quotes\" and a \\.".into();
    m
}

/// One value of every kind.
pub fn inspection(id: &str, on: &str) -> Inspection {
    let points = |first: f64| TreadPoint {
        spot: Spot::from_degrees(135.0).unwrap(),
        depths: vec![(Zone::Centre, Length::mm(first)), (Zone::Shoulder(Side::Left), Length::thirty_seconds(4.0))],
    };
    let readings: BTreeMap<String, Value> = [
        ("pressure", Value::Pressure(Pressure::psi(36.0))),
        ("length", Value::Length(Length::mm(0.1 + 0.2))),
        ("temperature", Value::Temperature(Temperature::celsius(-4.5))),
        ("voltage", Value::Voltage(Voltage::from_base(12.68))),
        ("torque", Value::Torque(Torque::newton_metres(65.0))),
        ("distance", Value::Distance(Distance::miles(3.0))),
        ("number", Value::Number(2.0)),
        ("date", Value::Date(day("2025-02-28"))),
        ("choice", Value::Choice("no".into())),
        ("level", Value::Level(LevelReading { mark: Mark::Between, stance: Stance::Upright, state: FluidState::Cold })),
        ("tread", Value::Tread(vec![points(3.2), points(3.4)])),
        ("dial", Value::Dial(Side::Left, vec![DialPoint { spot: Spot::VALVE, reading: Length::mm(-0.05) }])),
    ]
    .map(|(k, v)| (k.to_owned(), v))
    .into();
    let pressure = CheckRef::new("tyre-pressure", Subject::Wheel(WheelPosition::Front));
    let answer = |state, readings| Answer { state, readings, note: "a note".into(), at: None };
    Inspection {
        schema: 1,
        id: InspectionId(id.into()),
        kind: "season".into(),
        date: day(on),
        started: NaiveTime::from_hms_opt(9, 30, 0),
        inspector: "M. Fenwick".into(),
        odometer: Some(Distance::miles(41_300.0)),
        conditions: Conditions {
            place: "workshop".into(),
            ambient: Some(Temperature::celsius(11.0)),
            standing_hours: Some(12.0),
            loaded: true,
        },
        asks: Vec::new(),
        carried: Default::default(),
        answers: [
            (pressure.clone(), answer(CheckState::Sound, readings)),
            (
                CheckRef::new("disc", Subject::Disc(WheelPosition::Front, Side::Left)),
                answer(CheckState::CouldNot("the wheel was covered".into()), BTreeMap::new()),
            ),
            (
                CheckRef::new("level", Subject::Fluid(FluidKind::EngineOil)),
                answer(CheckState::NotApplicable, BTreeMap::new()),
            ),
        ]
        .into(),
        findings: vec![Finding {
            id: FindingId("f-1a2b".into()),
            check: pressure.clone(),
            fault: "low".into(),
            place: Place::Wheel {
                position: WheelPosition::Front,
                zone: Zone::Shoulder(Side::Right),
                spot: Spot::from_degrees(135.0),
            },
            size: Some(Length::mm(12.0)),
            note: "slow".into(),
            overrule: Some(Overrule { severity: Severity::Major, reason: "twice".into(), by: "M. Fenwick".into() }),
            photos: Vec::new(),
        }],
        overrules: [(pressure, Overrule { severity: Severity::Major, reason: "x".into(), by: "y".into() })].into(),
        note: String::new(),
    }
}

pub fn event(id: &str, kind: EventKind) -> Event {
    Event { schema: 1, id: EventId(id.into()), date: day("2026-03-02"), by: "M. Fenwick".into(), kind }
}

pub fn every_event() -> Vec<Event> {
    let closed = |closing| EventKind::FindingClosed {
        inspection: InspectionId("2026-03-01-season-aa".into()),
        finding: FindingId("f-1a2b".into()),
        closing,
    };
    vec![
        event("e-1", closed(Closing::Repaired { work: "new valve".into(), second_look: "holds 24 h".into() })),
        event("e-2", closed(Closing::Withdrawn { reason: "wrong wheel".into() })),
        event("e-3", EventKind::Fall { note: "at a stand".into() }),
        event("e-4", EventKind::Work { note: "new cables".into() }),
        event("e-5", EventKind::Odometer(Distance::miles(41_400.0))),
    ]
}

pub fn garage() -> Garage {
    let mut bay = Bay::new(machine());
    bay.inspections =
        vec![inspection("2026-03-01-season-aa", "2026-03-01"), inspection("2026-09-01-season-bb", "2026-09-01")];
    bay.events = every_event();
    bay.sort();
    let info =
        GarageInfo { schema: 1, name: "Bay & Son".into(), units: Preferences::default(), ..GarageInfo::default() };
    Garage { info, bays: vec![bay], ..Garage::default() }
}

/// A garage in a fresh folder.
pub fn on_disk() -> (tempfile::TempDir, PathBuf) {
    let dir = tempfile::tempdir().unwrap();
    let folder = dir.path().join("garage");
    store::save_all(&folder, &garage()).unwrap();
    (dir, folder)
}

pub const MACHINE: &str = "machines/outfit-7c1e/machine.ron";
pub const FIRST: &str = "machines/outfit-7c1e/inspections/2026-03-01-season-aa.ron";

pub fn edit(folder: &Path, file: &str, from: &str, to: &str) {
    let path = folder.join(file);
    let text = fs::read_to_string(&path).unwrap();
    assert!(text.contains(from), "{from:?} is not in {text}");
    fs::write(&path, text.replacen(from, to, 1)).unwrap();
}

/// The one problem of a garage, printed.
pub fn only_problem(folder: &Path) -> String {
    let opened = store::open(folder).unwrap();
    assert_eq!(opened.unreadable.len(), 1, "{:?}", opened.unreadable);
    opened.unreadable[0].to_string()
}

pub fn rename_change(garage: &Garage, name: &str) -> Change {
    let before = garage.bays[0].machine.clone();
    let mut after = before.clone();
    after.name = name.into();
    Change {
        key: RecordKey::Machine(before.id.clone()),
        before: Some(Record::Machine(Box::new(before))),
        after: Some(Record::Machine(Box::new(after))),
        label: "rename".into(),
    }
}
