//! The odometer log against logs made by hand.
#![allow(clippy::unwrap_used, reason = "a test stops at the first surprise")]

use super::*;
use crate::inspection::{Event, Inspection};
use crate::machine::{Layout, Machine, MachineId};

fn day(text: &str) -> NaiveDate {
    text.parse().expect("a day")
}

fn bay(events: &[(&str, EventKind)]) -> Bay {
    let mut bay = Bay::new(Machine::new(MachineId("m".into()), "M", Layout::Solo));
    for (index, (date, kind)) in events.iter().enumerate() {
        bay.events.push(Event {
            schema: 1,
            id: EventId(format!("e{index:02}")),
            date: day(date),
            by: "A. Person".into(),
            kind: kind.clone(),
        });
    }
    bay
}

fn read(date: &'static str, km: f64) -> (&'static str, EventKind) {
    (date, EventKind::Odometer(Distance::km(km)))
}

fn log(events: &[(&str, EventKind)]) -> OdometerLog {
    OdometerLog::of(&bay(events), day("2027-01-01"))
}

fn runs(log: &OdometerLog) -> Vec<Option<i64>> {
    log.entries.iter().map(|e| e.run_km.map(|km| km.round() as i64)).collect()
}

fn doubts(log: &OdometerLog) -> Vec<Doubt> {
    log.notes.iter().map(|n| n.doubt).collect()
}

#[test]
fn one_slip_is_said_and_the_rest_is_believed() {
    let slip = [
        read("2025-01-01", 1000.0),
        read("2025-02-01", 20_000.0),
        read("2025-03-01", 3000.0),
        read("2025-04-01", 4000.0),
    ];
    let log = log(&slip);
    assert_eq!(runs(&log), [Some(1000), None, Some(3000), Some(4000)]);
    assert_eq!(doubts(&log), [Doubt::GoesBack]);
    let message = &log.notes[0].message;
    assert!(message.contains("at most 3000 km, as read later on 2025-03-01, found 20000 km"), "{message}");
}

#[test]
fn of_two_readings_that_contradict_each_other_the_higher_counts_and_both_are_named() {
    let log = log(&[read("2025-01-01", 5000.0), read("2025-02-01", 4000.0)]);
    assert_eq!(runs(&log), [Some(5000), None]);
    assert!(log.notes[0].message.contains("at least 5000 km, as read on 2025-01-01, found 4000 km on 2025-02-01"));
}

#[test]
fn an_odometer_runs_round_past_its_last_figure() {
    let log = log(&[read("2025-01-01", 99_400.0), read("2025-06-01", 650.0), read("2025-09-01", 2000.0)]);
    assert_eq!(runs(&log), [Some(99_400), Some(100_650), Some(102_000)]);
    assert_eq!(doubts(&log), [Doubt::RolledOver]);
    assert_eq!(log.run_at(day("2025-07-01"), Distance::km(800.0)).round(), 100_800.0);
    // In miles too: 100 000 mi are 160 934.4 km.
    let mut miles = bay(&[]);
    for (index, (date, mi)) in [("2025-01-01", 99_900.0), ("2025-02-01", 100.0)].into_iter().enumerate() {
        let mut look = Inspection::new(InspectionId(format!("i{index}")), "ride", day(date));
        look.odometer = Some(Distance::miles(mi));
        miles.inspections.push(look);
    }
    let log = OdometerLog::of(&miles, day("2027-01-01"));
    assert_eq!(runs(&log)[1], Some((100_100.0_f64 * 1.609344).round() as i64));
}

#[test]
fn a_replaced_odometer_goes_on_where_the_old_one_ended() {
    let replaced = |last: Option<f64>| EventKind::OdometerReplaced {
        last: last.map(Distance::km),
        first: Distance::km(10.0),
        note: String::new(),
    };
    let events = |last| {
        [
            read("2025-01-01", 40_000.0),
            ("2025-03-01", replaced(last)),
            read("2025-03-01", 12.0),
            read("2025-05-01", 1010.0),
        ]
    };
    let known = log(&events(Some(41_000.0)));
    assert_eq!(runs(&known), [Some(40_000), Some(41_002), Some(42_000)]);
    assert_eq!(doubts(&known), []);
    let unknown = log(&events(None));
    assert_eq!(runs(&unknown), [Some(40_000), Some(40_002), Some(41_000)], "no farther than anyone has read");
    let wrong = log(&events(Some(39_000.0)));
    assert_eq!(doubts(&wrong), [Doubt::GoesBack], "the old one had shown more already");
    assert_eq!(runs(&wrong)[2], Some(41_000));
}

#[test]
fn a_fall_that_stays_is_taken_for_a_replacement_and_said() {
    let log = log(&[
        read("2025-01-01", 40_000.0),
        read("2025-02-01", 41_000.0),
        read("2025-03-01", 12.0),
        read("2025-05-01", 900.0),
    ]);
    assert_eq!(runs(&log), [Some(40_000), Some(41_000), Some(41_000), Some(41_888)]);
    assert_eq!(doubts(&log), [Doubt::LooksReplaced]);
}

#[test]
fn two_on_one_day_a_day_to_come_and_mixed_units_are_said_and_nothing_is_lost() {
    let mut bay = bay(&[
        read("2025-02-01", 200.0),
        read("2025-02-01", 150.0),
        read("2027-02-01", 900.0),
        ("2025-03-01", EventKind::Odometer(Distance::miles(300.0))),
    ]);
    bay.sort();
    let log = OdometerLog::of(&bay, day("2027-01-01"));
    assert_eq!(log.entries.len(), 4);
    assert_eq!(runs(&log), [Some(150), Some(200), Some(483), None]);
    let mut found = doubts(&log);
    found.sort_by_key(|d| format!("{d:?}"));
    assert_eq!(found, [Doubt::MixedUnits, Doubt::SameDay, Doubt::ToCome]);
    assert_eq!(log.problems().count(), 1);
}

#[test]
fn a_figure_in_the_wrong_unit_is_asked_about() {
    let miles = |date: &'static str, mi: f64| (date, EventKind::Odometer(Distance::miles(mi)));
    let log = log(&[miles("2025-01-01", 40_000.0), read("2025-02-01", 40_500.0), miles("2025-03-01", 41_000.0)]);
    assert_eq!(runs(&log)[1], None);
    assert!(log.notes[0].message.contains("in the other unit"), "{}", log.notes[0].message);
}

#[test]
fn a_reading_taken_back_does_not_count() {
    let mut bay = bay(&[read("2025-01-01", 5000.0), read("2025-01-02", 50_000.0)]);
    bay.events.push(Event {
        schema: 1,
        id: EventId("e99".into()),
        date: day("2025-01-03"),
        by: "A. Person".into(),
        kind: EventKind::TakenBack { event: EventId("e01".into()), reason: "a nought too many".into() },
    });
    let log = OdometerLog::of(&bay, day("2027-01-01"));
    assert_eq!(runs(&log), [Some(5000)]);
}

#[test]
fn thousands_of_readings_are_believed_one_by_one() {
    let events: Vec<_> = (0..5000)
        .map(|n| {
            let date = day("2010-01-01") + chrono::Days::new(n);
            (date.to_string(), EventKind::Odometer(Distance::km(10.0 * n as f64)))
        })
        .collect();
    let events: Vec<(&str, EventKind)> = events.iter().map(|(d, k)| (d.as_str(), k.clone())).collect();
    let log = OdometerLog::of(&bay(&events), day("2027-01-01"));
    assert_eq!(log.sound().count(), 5000);
    assert_eq!(log.run_between(day("2010-01-02")), Some(10.0));
    assert_eq!(log.run_on(day("2009-12-31")), None);
}

#[test]
fn a_reading_about_to_be_taken_down_is_told_what_the_log_would_say_of_it() {
    let bay = bay(&[read("2025-01-01", 63_000.0), read("2025-06-01", 63_988.0)]);
    let doubt = |date: &str, km: f64| doubt_of(&bay, (day(date), Distance::km(km)), None, day("2027-01-01"));
    let told = doubt("2026-01-01", 12.0).expect("it goes back");
    let mut after = bay.clone();
    let kind = EventKind::Odometer(Distance::km(12.0));
    after.events.push(Event { schema: 1, id: EventId("e99".into()), date: day("2026-01-01"), by: String::new(), kind });
    let log = OdometerLog::of(&after, day("2027-01-01"));
    assert_eq!(log.problems().map(|n| n.message.as_str()).collect::<Vec<_>>(), [told.as_str()], "the log's own words");
    assert!(doubt("2026-01-01", 64_500.0).is_none());
    assert!(doubt("2025-06-02", 90_000.0).is_some_and(|told| told.contains("2500 km a day")));
}
