//! A machine with an inspection for the record's tests, and the record's text.

use std::collections::BTreeMap;
use std::path::PathBuf;

use chrono::{DateTime, FixedOffset, NaiveDate};
use stemclock::catalogue::Catalogue;
use stemclock::clock::{ClockTime, Side, Spot};
use stemclock::garage::Bay;
use stemclock::inspection::{
    Answer, CheckRef, CheckState, Finding, FindingId, Inspection, InspectionId, Place, Station, Subject, TreadPoint,
    Value, Zone,
};
use stemclock::machine::{
    Brake, Layout, LimitSource, Machine, MachineId, Placard, RimKind, RollingArrow, Tyre, WheelPosition,
};
use stemclock::report::block::{DocumentSpec, Paper};
use stemclock::report::content::{Album, Options, RecordInput, record};
use stemclock::report::layout::{Layout as Pages, Placed, lay_out};
use stemclock::report::raster;
use stemclock::tyre::TyreMarking;
use stemclock::units::{Length, Preferences, Pressure};

pub fn at(time: &str) -> Spot {
    Spot::at(ClockTime::parse(time).unwrap(), Side::Right)
}

pub fn date(text: &str) -> NaiveDate {
    text.parse().unwrap()
}

pub fn machine() -> Machine {
    let mut machine = Machine::new(MachineId("heron-7k2m".into()), "Heron", Layout::Solo);
    machine.region = "gb".into();
    machine.capacity_cc = Some(599);
    machine.wheelbase = Some(Length::mm(1435.0));
    for (wheel, size, psi) in [(0, "120/70 ZR17 M/C 58W", 36.0), (1, "180/55 ZR17 M/C 73W", 42.0)] {
        machine.wheels[wheel].tyre = Some(Tyre {
            marking: TyreMarking::parse(size).unwrap(),
            tin: None,
            fitted_on: None,
            fitted_at: None,
            arrow: RollingArrow::One,
            sidewall_maximum: None,
            tube: false,
        });
        machine.wheels[wheel].placard =
            Some(Placard { solo: Pressure::psi(psi), loaded: None, source: LimitSource::Placard });
    }
    machine.wheels[0].brakes = vec![Brake::Disc(Side::Left), Brake::Disc(Side::Right)];
    machine.wheels[0].disc_diameter = Some(Length::mm(310.0));
    machine.wheels[1].brakes = vec![Brake::Disc(Side::Right)];
    machine.wheels[1].rim.kind = RimKind::WireSpoked { spokes: 40, first_flange: Some(Side::Left) };
    machine
}

pub fn inspection() -> Inspection {
    Inspection {
        schema: 1,
        id: InspectionId("2026-04-03-season-a1b2c3d4".into()),
        kind: "season".into(),
        date: date("2026-04-03"),
        started: None,
        inspector: String::new(),
        odometer: None,
        conditions: Default::default(),
        asks: Vec::new(),
        carried: Default::default(),
        answers: BTreeMap::new(),
        findings: Vec::new(),
        overrules: BTreeMap::new(),
        note: String::new(),
    }
}

pub fn on(check: &str, wheel: WheelPosition) -> CheckRef {
    CheckRef::new(check, Subject::Wheel(wheel))
}

pub fn finding(id: &str, check: CheckRef, fault: &str, place: Place) -> Finding {
    Finding {
        id: FindingId(id.into()),
        check,
        fault: fault.into(),
        place,
        size: None,
        note: String::new(),
        overrule: None,
        photos: Vec::new(),
    }
}

pub fn on_wheel(position: WheelPosition, zone: Zone, time: &str) -> Place {
    Place::Wheel { position, zone, spot: Some(at(time)) }
}

/// A reading of pressure, and one of the tread at eight places.
pub fn measured(inspection: &mut Inspection) {
    for (wheel, psi) in [(WheelPosition::Front, 33.5), (WheelPosition::Rear, 42.0)] {
        let answer = inspection.answers.entry(on("tyre-pressure", wheel)).or_default();
        answer.readings.insert("cold".into(), Value::Pressure(Pressure::psi(psi)));
    }
    let points = ["12:00", "1:30", "3:00", "4:30", "6:00", "7:30", "9:00", "10:30"]
        .iter()
        .enumerate()
        .map(|(i, time)| TreadPoint {
            spot: at(time),
            depths: Zone::TREAD
                .iter()
                .zip([2.4, 2.9, 3.1, 2.8, 2.2])
                .map(|(z, d)| (*z, Length::mm(d - 0.1 * (i % 3) as f64)))
                .collect(),
        })
        .collect();
    let answer = inspection.answers.entry(on("tyre-tread", WheelPosition::Front)).or_default();
    answer.readings.insert("depths".into(), Value::Tread(points));
    let look = inspection.answers.entry(on("tyre-look", WheelPosition::Rear)).or_default();
    look.state = CheckState::Sound;
    inspection.answers.insert(
        CheckRef::new("headlamp", Subject::Machine),
        Answer { state: CheckState::CouldNot("the battery was flat".into()), ..Answer::default() },
    );
}

/// Forty findings, on wheels where the catalogue allows it, else at the check's own station.
pub fn forty_findings(machine: &Machine) -> Vec<Finding> {
    let catalogue = Catalogue::builtin();
    let kind = catalogue.kind("periodic").unwrap();
    let asked: Vec<_> = catalogue.checks_for(machine, kind).into_iter().filter(|(_, c)| !c.faults.is_empty()).collect();
    // Every other one on a wheel, where a clock face goes with it.
    let (with_zones, others): (Vec<_>, Vec<_>) =
        asked.into_iter().partition(|(r, c)| r.subject.wheel().is_some() && !c.zones.is_empty());
    let mut findings = Vec::new();
    for n in 0..40 {
        let from = if n % 2 == 0 { &with_zones } else { &others };
        let (reference, check) = &from[n * from.len() / 40];
        let zones: Vec<Zone> = Zone::ALL.into_iter().filter(|z| check.covers(*z)).collect();
        let place = match reference.subject.wheel() {
            Some(position) if !zones.is_empty() => Place::Wheel {
                position,
                zone: zones[n % zones.len()],
                spot: Some(Spot::from_degrees(n as f64 * 8.5 + 3.0).unwrap()),
            },
            _ => Place::Part { station: Catalogue::station(check, reference), part: format!("part {n}") },
        };
        let mut found =
            finding(&format!("f{n:02}"), reference.clone(), &check.faults[n % check.faults.len()].id, place);
        found.note = format!("note {n}: seen in good light, to be looked at again when the wheel is out");
        findings.push(found);
    }
    findings
}

pub fn bay(machine: Machine, inspections: Vec<Inspection>) -> Bay {
    let mut bay = Bay::new(machine);
    bay.inspections = inspections;
    bay.sort();
    bay
}

pub fn spec_of(bay: &Bay, photos: &Album, paper: Paper, units: &Preferences) -> DocumentSpec {
    let now: DateTime<FixedOffset> = DateTime::parse_from_rfc3339("2026-04-03T18:30:00+02:00").unwrap();
    record(&RecordInput {
        bay,
        inspection: bay.latest().unwrap(),
        catalogue: Catalogue::builtin(),
        units,
        today: now.date_naive(),
        now,
        paper,
        photos,
        options: Options::default(),
        off_road: Default::default(),
    })
}

pub fn pages_of(bay: &Bay) -> Pages {
    lay_out(&spec_of(bay, &Album::default(), Paper::A4, &Preferences::default()))
}

/// The words on all pages without blanks, so that a line break is no difference.
pub fn text_of(pages: &Pages) -> String {
    let runs = pages.pages.iter().flat_map(|page| &page.items).filter_map(|item| match item {
        Placed::Text(run) => Some(run.text.as_str()),
        _ => None,
    });
    squeezed(&runs.collect::<Vec<_>>().join(" "))
}

pub fn squeezed(words: &str) -> String {
    words.split_whitespace().collect()
}

pub fn says(pages: &Pages, words: &str) -> bool {
    text_of(pages).contains(&squeezed(words))
}

/// A station that no wheel has, with a part.
pub fn part(station: Station, part: &str) -> Place {
    Place::Part { station, part: part.into() }
}

/// Writes the pages as PNG files into the build's temporary folder, to be looked at.
pub fn show(name: &str, pages: &Pages) {
    for index in 0..pages.pages.len() {
        let bitmap = raster::page(pages, index, 1.5).unwrap();
        let path = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(format!("{name}-{:02}.png", index + 1));
        image::save_buffer(&path, &bitmap.rgba, bitmap.width, bitmap.height, image::ColorType::Rgba8).unwrap();
    }
}
