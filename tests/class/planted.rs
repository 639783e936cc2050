//! Defects planted on a real machine for a class: it is not ridden until each was ticked out.

use stemclock::catalogue::Catalogue;
use stemclock::edit::{Command, decide};
use stemclock::garage::{Bay, Garage};
use stemclock::inspection::{Event, EventId, EventKind};
use stemclock::machine::SCHEMA;
use stemclock::rules::{Decision, standing};

use crate::bench::{exercise, inspection, machine};

fn event(id: &str, date: &str, by: &str, kind: EventKind) -> Event {
    Event { schema: SCHEMA, id: EventId(id.into()), date: date.parse().unwrap(), by: by.into(), kind }
}

fn plant(id: &str, what: &str) -> Event {
    let kind = EventKind::Planted {
        exercise: exercise().id.0,
        what: what.into(),
        remove: "pull it off, wipe the place".into(),
    };
    event(id, "2026-10-03", "M. Fenwick", kind)
}

fn out(id: &str, planted: &str, look: &str, by: &str, date: &str) -> Event {
    event(id, date, by, EventKind::Unplanted { planted: EventId(planted.into()), look: look.into() })
}

fn garage(is_inspected: bool) -> Garage {
    let mut bay = Bay::new(machine());
    if is_inspected {
        bay.inspections = vec![inspection("2026-10-01-season-a1", Vec::new())];
    }
    Garage { bays: vec![bay], ..Garage::default() }
}

fn record(garage: &mut Garage, event: Event) -> Result<(), String> {
    let command = Command::Record(machine().id, event);
    let change = decide(garage, Catalogue::builtin(), command).map_err(|e| e.to_string())?;
    garage.evolve(&change);
    Ok(())
}

fn reads(garage: &Garage, day: &str) -> Option<(Decision, String)> {
    let stands = standing(&garage.bays[0], Catalogue::builtin(), &garage.info.units, day.parse().unwrap());
    stands.verdict.map(|v| (v.decision, v.words()))
}

#[test]
fn it_reads_do_not_ride_class_exercise_until_each_is_ticked_out() {
    for is_inspected in [true, false] {
        let mut garage = garage(is_inspected);
        let before = reads(&garage, "2026-10-04");
        record(&mut garage, plant("2026-10-03-p1", "screw head glued to the front tyre")).unwrap();
        record(&mut garage, plant("2026-10-03-p2", "fuse of the stop lamp taken out")).unwrap();
        let planted = Some((Decision::DoNotRide, "do not ride, class exercise".to_owned()));
        assert_eq!(reads(&garage, "2026-10-04"), planted);
        record(&mut garage, out("2026-10-04-o1", "2026-10-03-p1", "clean, holds its pressure", "Kim", "2026-10-04"))
            .unwrap();
        assert_eq!(reads(&garage, "2026-10-04"), planted, "one is still in");
        record(&mut garage, out("2026-10-05-o2", "2026-10-03-p2", "lamp lights by both controls", "Kim", "2026-10-05"))
            .unwrap();
        assert_eq!(reads(&garage, "2026-10-04"), planted, "on the day before, one was still in");
        assert_eq!(reads(&garage, "2026-10-05"), before, "and then it stands as it stood");
        assert_eq!(garage.bays[0].events.len(), 4, "one event each, none changed");
    }
}

#[test]
fn a_tick_says_who_looked_and_what_was_seen_and_counts_once() {
    let mut garage = garage(true);
    let nothing = record(&mut garage, plant("2026-10-03-p0", " ")).unwrap_err();
    assert!(nothing.contains("what was planted"), "{nothing}");
    record(&mut garage, plant("2026-10-03-p1", "screw head glued to the front tyre")).unwrap();
    for (event, expected) in [
        (out("2026-10-04-a", "2026-10-03-p1", " ", "Kim", "2026-10-04"), "second look"),
        (out("2026-10-04-b", "2026-10-03-p1", "clean", " ", "2026-10-04"), "name of the person"),
        (out("2026-10-04-c", "2026-10-03-zz", "clean", "Kim", "2026-10-04"), "found none"),
        (out("2026-10-02-d", "2026-10-03-p1", "clean", "Kim", "2026-10-02"), "on or after 2026-10-03"),
    ] {
        let refused = record(&mut garage, event).unwrap_err();
        assert!(refused.contains(expected), "{expected}: {refused}");
    }
    record(&mut garage, out("2026-10-04-e", "2026-10-03-p1", "clean", "Kim", "2026-10-04")).unwrap();
    let twice = record(&mut garage, out("2026-10-04-f", "2026-10-03-p1", "clean", "Kim", "2026-10-04")).unwrap_err();
    assert!(twice.contains("still in"), "{twice}");
    // A tick that was wrong is taken back by a further event, and the defect counts again.
    let back = EventKind::TakenBack { event: EventId("2026-10-04-e".into()), reason: "the other wheel".into() };
    record(&mut garage, event("2026-10-05-g", "2026-10-05", "Kim", back)).unwrap();
    assert_eq!(reads(&garage, "2026-10-05").map(|(d, _)| d), Some(Decision::DoNotRide));
    // A tick that a hand wrote without a look counts for nothing.
    garage.bays[0].events.push(out("2026-10-06-h", "2026-10-03-p1", "", "Kim", "2026-10-06"));
    assert_eq!(reads(&garage, "2026-10-06").map(|(d, _)| d), Some(Decision::DoNotRide));
}
