//! What falls due: by date or distance, whichever is first; and readings that cannot be right.

use chrono::NaiveDate;
use stemclock::catalogue::Catalogue;
use stemclock::forecast::{Due, DueKind, Outlook, When, due_of, months_on, outlooks};
use stemclock::garage::{Bay, GarageInfo};
use stemclock::inspection::{
    Answer, CheckRef, Conditions, Event, EventId, EventKind, Fitting, Inspection, InspectionId, PartRef, Subject, Value,
};
use stemclock::machine::{
    FluidKind, Layout, LimitKind, LimitSource, Machine, MachineId, Quota, SCHEMA, Service, WheelPosition,
};
use stemclock::units::{Distance, Length};

const REAR: WheelPosition = WheelPosition::Rear;

fn day(text: &str) -> NaiveDate {
    text.parse().expect("a day")
}

fn bay() -> Bay {
    let mut machine = Machine::new(MachineId("m-1".into()), "M", Layout::Solo);
    machine.limits.push(stemclock::machine::Limit {
        kind: LimitKind::LiningMinimum(REAR),
        value: Quota::Length(Length::mm(2.0)),
        source: LimitSource::Stamped,
    });
    Bay::new(machine)
}

/// Adds an inspection with the rear lining measured.
fn measured(bay: &mut Bay, on: &str, km: Option<f64>, mm: Length) {
    add(bay, day(on), km, mm);
    bay.sort();
}

fn add(bay: &mut Bay, on: NaiveDate, km: Option<f64>, mm: Length) {
    let check = CheckRef::new("brake-lining", Subject::Wheel(REAR));
    let mut answer = Answer::default();
    answer.readings.insert("thickness".into(), Value::Length(mm));
    bay.inspections.push(Inspection {
        schema: SCHEMA,
        id: InspectionId(format!("{on}-season-{}", bay.inspections.len())),
        kind: "season".into(),
        date: on,
        started: None,
        inspector: String::new(),
        odometer: km.map(Distance::km),
        conditions: Conditions::default(),
        asks: Vec::new(),
        carried: Default::default(),
        answers: [(check, answer)].into(),
        findings: Vec::new(),
        overrules: Default::default(),
        note: String::new(),
    });
}

fn event(bay: &mut Bay, on: &str, kind: EventKind) {
    let id = EventId(format!("{on}-{}", bay.events.len()));
    bay.events.push(Event { schema: SCHEMA, id, date: day(on), by: String::new(), kind });
    bay.sort();
}

fn items(bay: &Bay, today: &str) -> Vec<Due> {
    due_of(bay, Catalogue::builtin(), &GarageInfo::default(), day(today))
}

fn lining(bay: &Bay, today: &str) -> Outlook {
    let info = GarageInfo::default();
    let mut all = outlooks(bay, Catalogue::builtin(), &info.units, info.off_road, day(today));
    let at = all.iter().position(|o| o.series.id == "lining-rear").expect("a series of the lining");
    all.swap_remove(at)
}

fn oil() -> Service {
    Service {
        fluid: Some(FluidKind::EngineOil),
        every_months: Some(12),
        every: Some(Distance::km(10_000.0)),
        last_on: Some(day("2025-05-01")),
        last_at: Some(Distance::km(31_200.0)),
        ..Service::new("Engine oil")
    }
}

#[test]
fn a_service_falls_due_by_date_or_distance_whichever_is_first() {
    // By hand: 10 000 km or 12 months, last at 31 200 km on 2025-05-01, now 36 000 km on
    // 2026-05-01: due by date, for 5200 km are left.
    let mut bay = bay();
    bay.machine.services.push(oil());
    event(&mut bay, "2025-05-01", EventKind::Odometer(Distance::km(31_200.0)));
    event(&mut bay, "2026-05-01", EventKind::Odometer(Distance::km(36_000.0)));
    let found = items(&bay, "2026-05-01");
    let oil = found.iter().find(|d| d.id == "service-engine-oil").expect("listed");
    assert_eq!((oil.date, oil.when), (Some(day("2026-05-01")), When::WithinAYear));
    assert!((oil.km.expect("a distance") - 5200.0).abs() < 1e-6);
    assert_eq!(items(&bay, "2026-05-02")[0].when, When::Overdue);
    // Ridden farther, the distance is first.
    event(&mut bay, "2026-05-02", EventKind::Odometer(Distance::km(41_300.0)));
    let oil = items(&bay, "2026-05-02").remove(0);
    assert!(oil.km.is_some_and(|km| km < 0.0) && oil.when == When::Overdue, "{oil:?}");
    // Fresh oil, taken down as a fitting, begins anew.
    let fitted =
        Fitting { odometer: Some(Distance::km(41_300.0)), ..Fitting::new(PartRef::Fluid(FluidKind::EngineOil)) };
    event(&mut bay, "2026-05-02", EventKind::PartFitted(Box::new(fitted)));
    let oil = items(&bay, "2026-05-03").remove(0);
    assert!(oil.date.is_some_and(|d| d <= day("2027-05-02")) && oil.when == When::WithinAYear, "{oil:?}");
}

#[test]
fn months_end_with_the_month() {
    // By hand: a day that a month does not have becomes its last.
    for (from, months, to) in [
        ("2024-02-29", 12, "2025-02-28"),
        ("2024-02-29", 48, "2028-02-29"),
        ("2025-08-31", 6, "2026-02-28"),
        ("2026-12-31", 2, "2027-02-28"),
        ("2024-03-01", 24, "2026-03-01"),
    ] {
        assert_eq!(months_on(day(from), months), Some(day(to)), "{from} and {months} months");
    }
}

#[test]
fn one_reading_gives_no_forecast_and_two_a_cautious_one() {
    let mut bay = bay();
    measured(&mut bay, "2025-04-01", Some(1000.0), Length::mm(5.0));
    let one = lining(&bay, "2026-11-25");
    assert!(one.ahead.is_empty() && one.rate(&GarageInfo::default().units).contains("One reading"));
    measured(&mut bay, "2026-04-01", Some(5000.0), Length::mm(4.0));
    let two = lining(&bay, "2026-11-25");
    let units = GarageInfo::default().units;
    // By hand: 1 mm in 4000 km, 2 mm left.
    assert!((two.ahead[0].km - 8000.0).abs() < 1e-6, "{:?}", two.ahead[0]);
    assert!(two.ahead[0].words(&two, &units).starts_with("Cautious figure"));
    assert!(two.ahead[0].date.is_some_and(|d| d > day("2027-01-01")), "{:?}", two.ahead[0].date);
}

#[test]
fn a_reading_that_goes_the_wrong_way_is_questioned_and_not_fitted() {
    let mut bay = bay();
    for (on, km, mm) in [
        ("2025-04-01", 1000.0, 5.0),
        ("2025-09-01", 3000.0, 4.5),
        ("2026-04-01", 5000.0, 7.5),
        ("2026-09-01", 7000.0, 3.5),
    ] {
        measured(&mut bay, on, Some(km), Length::mm(mm));
    }
    let outlook = lining(&bay, "2026-11-25");
    assert!(outlook.series.readings[2].is_questioned);
    assert!(outlook.series.notes[0].contains("7.5 mm on 2026-04-01"), "{:?}", outlook.series.notes);
    assert!((outlook.ahead[0].km - 6000.0).abs() < 500.0, "{:?}", outlook.ahead[0]);
    // New pads, taken down, make it right: the life begins there.
    let fitted = Fitting { odometer: Some(Distance::km(4900.0)), ..Fitting::new(PartRef::Lining(REAR, None)) };
    event(&mut bay, "2026-03-31", EventKind::PartFitted(Box::new(fitted)));
    let outlook = lining(&bay, "2026-11-25");
    assert_eq!(outlook.series.readings.len(), 2);
    assert!(outlook.series.notes.is_empty() && (outlook.series.readings[0].km - 100.0).abs() < 1e-6);
}

#[test]
fn a_newest_reading_that_goes_the_wrong_way_gives_no_forecast_and_asks_for_the_new_part() {
    let mut bay = bay();
    for (on, km, mm) in [
        ("2025-04-01", 1000.0, 4.0),
        ("2025-06-01", 3000.0, 3.4),
        ("2025-09-01", 5000.0, 2.8),
        ("2026-09-01", 7000.0, 5.0),
    ] {
        measured(&mut bay, on, Some(km), Length::mm(mm));
    }
    let outlook = lining(&bay, "2026-11-25");
    assert!(outlook.ahead.is_empty() && outlook.rate(&GarageInfo::default().units).contains("new part was fitted"));
    assert!(items(&bay, "2026-11-25").iter().all(|d| d.kind != DueKind::Wear));
}

#[test]
fn what_cannot_be_right_is_said_and_loses_nothing() {
    let mut bay = bay();
    measured(&mut bay, "2025-04-01", Some(1000.0), Length::mm(5.0));
    measured(&mut bay, "2025-09-01", Some(3000.0), Length::mm(4.5));
    measured(&mut bay, "2026-04-01", None, Length::mm(4.2));
    measured(&mut bay, "2026-09-01", Some(7000.0), Length::thirty_seconds(4.5));
    measured(&mut bay, "2027-09-01", Some(9000.0), Length::mm(3.0));
    let outlook = lining(&bay, "2026-11-25");
    let notes = outlook.series.notes.join("\n");
    assert!(notes.contains("up to today (2026-11-25), found 2027-09-01"), "{notes}");
    assert!(notes.contains("read in mm and in /32 in"), "{notes}");
    // The one without an odometer is placed between its neighbours.
    assert_eq!(outlook.series.readings.len(), 4);
    // A fitting later than the reading it is measured against.
    let fitted = Fitting { odometer: Some(Distance::km(8000.0)), ..Fitting::new(PartRef::Lining(REAR, None)) };
    event(&mut bay, "2026-08-01", EventKind::PartFitted(Box::new(fitted)));
    let notes = lining(&bay, "2026-11-25").series.notes.join("\n");
    assert!(notes.contains("expected an odometer of at least 8000 km, as read on 2026-08-01"), "{notes}");
}

#[test]
fn two_inspections_on_one_day_and_thousands_of_them_are_no_trouble() {
    let mut bay = bay();
    for i in 0..3000u32 {
        let on = day("2015-01-01") + chrono::Days::new(u64::from(i / 2));
        add(&mut bay, on, Some(f64::from(i) * 5.0), Length::mm(8.0 - f64::from(i) * 0.0015));
    }
    bay.sort();
    let outlook = lining(&bay, "2026-11-25");
    assert_eq!(outlook.series.readings.len(), 3000);
    // By hand: 0.3 mm in 1000 km; from 3.5 mm at 14 995 km 1.5 mm are left: 5000 km.
    assert!((outlook.ahead[0].km - 5000.0).abs() < 100.0, "{:?}", outlook.ahead[0]);
}
