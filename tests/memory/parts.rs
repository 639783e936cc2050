//! Parts have lives: one ends where the next begins, and a reading belongs to the part that was in.

use stemclock::clock::Side;
use stemclock::edit::after_fitting;
use stemclock::garage::Bay;
use stemclock::history::{Lives, OdometerLog};
use stemclock::inspection::{Answer, CheckRef, Condition, EventKind, Fitting, PartRef, Subject, Value};
use stemclock::machine::{Brake, FinalDrive, Tyre, WheelPosition};
use stemclock::tyre::{TinDate, TyreMarking};
use stemclock::units::{Distance, Length};

use super::bench::*;

fn fitted(part: PartRef, km: f64) -> EventKind {
    EventKind::PartFitted(Box::new(Fitting { odometer: Some(Distance::km(km)), ..Fitting::new(part) }))
}

fn lives(bay: &Bay) -> Lives {
    let today = day("2027-01-01");
    Lives::of(bay, &OdometerLog::of(bay, today), today)
}

#[test]
fn replacing_a_part_closes_its_life_and_starts_a_new_one() {
    let mut bay = bay();
    let chain = || PartRef::Chain;
    for (id, date, km) in [("e1", "2024-05-01", 10_000.0), ("e2", "2026-05-01", 31_500.0)] {
        record(&mut bay, event(id, date, fitted(chain(), km))).unwrap();
    }
    record(&mut bay, event("e3", "2026-09-01", EventKind::Odometer(Distance::km(33_000.0)))).unwrap();
    let lives = lives(&bay);
    let own: Vec<_> = lives.of_part(&chain()).collect();
    assert_eq!(own.len(), 3, "what was there before, and two that were fitted");
    assert_eq!(own[1].run_km(None), Some(21_500.0));
    assert_eq!(own[1].ended_on, Some(day("2026-05-01")));
    assert_eq!(own[2].run_km(Some(33_000.0)), Some(1500.0));
    // A reading belongs to the chain that was in; on the day itself to the old one, unless it is a look after work.
    let of = |date: &str, kind: &str| lives.seen_in(&chain(), &look("x", date, kind)).unwrap().fitted_on;
    assert_eq!(of("2026-04-30", "season"), Some(day("2024-05-01")));
    assert_eq!(of("2026-05-01", "season"), Some(day("2024-05-01")));
    assert_eq!(of("2026-05-01", "work"), Some(day("2026-05-01")));
    assert_eq!(of("2020-01-01", "season"), None);
    assert_eq!(PartRef::read_by(&CheckRef::new("drive-wear", Subject::Machine), FinalDrive::Chain), Some(chain()));
}

#[test]
fn pads_of_one_side_do_not_begin_a_new_set() {
    let mut bay = bay();
    bay.machine.wheels[0].brakes = vec![Brake::Disc(Side::Left), Brake::Disc(Side::Right)];
    let set = PartRef::Lining(WheelPosition::Front, None);
    let side = |side| fitted(PartRef::Lining(WheelPosition::Front, Some(side)), 5000.0);
    record(&mut bay, event("e1", "2026-01-01", side(Side::Left))).unwrap();
    assert_eq!(lives(&bay).current(&set).unwrap().fitted_on, None, "the thinnest pad is still the old one");
    assert!(lives(&bay).notes.iter().any(|n| n.message.contains("only one side")));
    record(&mut bay, event("e2", "2026-02-01", side(Side::Right))).unwrap();
    assert_eq!(lives(&bay).current(&set).unwrap().fitted_on, Some(day("2026-02-01")));
}

#[test]
fn the_machines_own_record_of_a_tyre_counts_until_an_event_says_more() {
    let mut bay = bay();
    let rear = PartRef::Tyre(WheelPosition::Rear);
    bay.machine.wheels[1].tyre.as_mut().unwrap().fitted_on = Some(day("2025-03-01"));
    assert_eq!(lives(&bay).current(&rear).unwrap().fitted_on, Some(day("2025-03-01")));
    let mut tyre = Tyre::new(TyreMarking::parse("120/70-17").unwrap());
    tyre.tin = Some(TinDate::parse("1026").unwrap());
    let fitting = Fitting {
        tyre: Some(Box::new(tyre)),
        condition: Condition::Used(None),
        odometer: Some(Distance::km(9000.0)),
        ..Fitting::new(rear.clone())
    };
    let event = event("e1", "2026-05-01", EventKind::PartFitted(Box::new(fitting)));
    // The machine's data follow, so that age and marking are judged of the tyre that is on.
    let machine = after_fitting(&bay.machine, &event).unwrap();
    let on = machine.wheels[1].tyre.as_ref().unwrap();
    assert_eq!((on.fitted_on, on.tin.as_ref().map(|t| t.week())), (Some(day("2026-05-01")), Some(10)));
    record(&mut bay, event).unwrap();
    bay.machine = machine;
    assert_eq!(lives(&bay).of_part(&rear).count(), 2, "told twice, lived once");
}

#[test]
fn a_part_fitted_after_it_was_measured_or_made_is_said() {
    let mut bay = bay();
    let mut first = look("a", "2026-04-01", "season");
    first.odometer = Some(Distance::km(8000.0));
    let lining = CheckRef::new("brake-lining", Subject::Wheel(WheelPosition::Front));
    let readings = [("thickness".to_owned(), Value::Length(Length::mm(3.0)))].into();
    first.answers.insert(lining, Answer { readings, ..Answer::default() });
    bay.inspections.push(first);
    let pads = PartRef::Lining(WheelPosition::Front, None);
    record(&mut bay, event("e1", "2026-05-01", fitted(pads.clone(), 8100.0))).unwrap();
    let notes = lives(&bay).notes;
    assert!(
        notes.iter().any(|n| !n.is_problem && n.message.contains("that reading is of the one before")),
        "{notes:?}"
    );
    // Fitted at an odometer that was reached only later.
    record(&mut bay, event("e2", "2026-06-01", fitted(PartRef::Chain, 12_000.0))).unwrap();
    record(&mut bay, event("e3", "2026-07-01", EventKind::Odometer(Distance::km(9000.0)))).unwrap();
    record(&mut bay, event("e4", "2026-08-01", EventKind::Odometer(Distance::km(9500.0)))).unwrap();
    let notes = lives(&bay).notes;
    let wrong = notes.iter().find(|n| n.is_problem).unwrap();
    assert!(wrong.message.contains("found 12000 km on 2026-06-01"), "{}", wrong.message);
    // Made after it was fitted.
    let mut tyre = Tyre::new(TyreMarking::parse("120/70-17").unwrap());
    tyre.tin = Some(TinDate::parse("4026").unwrap());
    let rear = PartRef::Tyre(WheelPosition::Rear);
    let fitting = Fitting { tyre: Some(Box::new(tyre)), ..Fitting::new(rear) };
    record(&mut bay, event("e5", "2026-05-01", EventKind::PartFitted(Box::new(fitting)))).unwrap();
    assert!(lives(&bay).notes.iter().any(|n| n.is_problem && n.message.contains("made before it was fitted")));
}
