//! What a user may try that cannot be: each is refused with what was expected and the way out, and nothing changes.

use stemclock::clock::Side;
use stemclock::inspection::{EventId, EventKind, Fitting, PartRef, Subject, Until, Zone};
use stemclock::machine::WheelPosition::{Front, Rear, Sidecar};
use stemclock::rules::Decision;
use stemclock::units::{Distance, Length};

use super::bench::*;

fn found() -> stemclock::garage::Bay {
    let mut bay = bay();
    let mut first = all_sound(&bay, look("a", "2026-04-01", "season"));
    first.findings = vec![
        on_tyre("minor", "nick", Rear, "4:30", Zone::Centre, None),
        on_tyre("grave", "cord", Rear, "9:00", Zone::Centre, None),
    ];
    bay.inspections.push(first);
    bay
}

fn watch(finding: &str, until: Until) -> EventKind {
    EventKind::Watched { of: of("a", finding), until, reason: String::new() }
}

#[test]
fn only_a_minor_finding_may_be_watched_and_it_still_counts() {
    let mut bay = found();
    let may = Until { date: Some(day("2026-06-01")), odometer: Some(Distance::km(3000.0)) };
    let refuse = |bay: &mut stemclock::garage::Bay, kind: EventKind| {
        record(bay, event("x", "2026-04-02", kind)).unwrap_err().to_string()
    };
    assert!(refuse(&mut bay, watch("grave", may)).contains("only a minor one may be watched"));
    assert!(refuse(&mut bay, watch("minor", Until::default())).contains("found neither"));
    let over = Until { date: Some(day("2026-04-01")), odometer: None };
    assert!(refuse(&mut bay, watch("minor", over)).contains("a day after"));
    assert!(refuse(&mut bay, watch("nobody", may)).contains("the finding nobody"));
    record(&mut bay, event("e1", "2026-04-02", watch("minor", may))).unwrap();
    let words = |bay: &stemclock::garage::Bay, date: &str| {
        let because = stands(bay, date).verdict.unwrap().because;
        because.into_iter().find(|b| b.finding.as_ref().is_some_and(|f| f.0 == "minor")).unwrap().words
    };
    assert!(words(&bay, "2026-06-01").ends_with("(watched)"), "{}", words(&bay, "2026-06-01"));
    assert!(words(&bay, "2026-06-02").contains("the time is over"));
    record(&mut bay, event("e2", "2026-05-01", EventKind::Odometer(Distance::km(3001.0)))).unwrap();
    assert!(words(&bay, "2026-05-01").contains("the time is over"), "by distance before the day");
    assert_eq!(stands(&bay, "2026-05-01").verdict.unwrap().decision, Decision::DoNotRide);
}

#[test]
fn an_event_that_points_nowhere_is_refused() {
    let mut bay = found();
    let before = bay.clone();
    let bad = [
        (EventKind::TakenBack { event: EventId("none".into()), reason: "x".into() }, "the event none"),
        (job(&[("no-such-job", Subject::Machine)], &[]), "the job no-such-job"),
        (job(&[("tyre-change", Subject::Wheel(Sidecar))], &[]), "expected a part of this machine"),
        (job(&[], &[of("a", "nobody")]), "the finding nobody"),
        (EventKind::PartFitted(Box::new(Fitting::new(PartRef::Tyre(Sidecar)))), "found the sidecar tyre"),
        (EventKind::PartFitted(Box::new(Fitting::new(PartRef::Belt))), "found the drive belt"),
        (EventKind::PartFitted(Box::new(Fitting::new(PartRef::Other(" ".into())))), "which part was fitted"),
        (
            EventKind::PartFitted(Box::new(Fitting::new(PartRef::Disc(Front, Side::Right)))),
            "found the front disc, right",
        ),
        (
            EventKind::PartFitted(Box::new(Fitting {
                measured: Some(Length::mm(0.0)),
                ..Fitting::new(PartRef::Lining(Front, None))
            })),
            "above zero",
        ),
        (EventKind::SameDefect { earlier: of("a", "minor"), later: of("a", "grave") }, "findings of two inspections"),
    ];
    for (kind, words) in bad {
        let refused = record(&mut bay, event("x", "2026-04-02", kind.clone())).unwrap_err().to_string();
        assert!(refused.contains(words), "{kind:?}: {refused}");
    }
    assert_eq!(bay, before);
}

#[test]
fn taking_back_needs_a_reason_and_a_name_and_can_be_taken_back() {
    let mut bay = found();
    record(&mut bay, event("fall", "2026-04-02", EventKind::Fall { note: "in the yard".into() })).unwrap();
    let back = |of: &str, reason: &str| EventKind::TakenBack { event: EventId(of.into()), reason: reason.into() };
    assert!(record(&mut bay, event("x", "2026-04-03", back("fall", " "))).is_err());
    let mut nameless = event("x", "2026-04-03", back("fall", "the other machine fell"));
    nameless.by.clear();
    assert!(record(&mut bay, nameless.clone()).unwrap_err().to_string().contains("the name"));
    // Written by hand without a name, it counts for nothing.
    bay.events.push(nameless);
    assert!(bay.taken_back(&EventId("fall".into())).is_none());
    bay.events.pop();
    record(&mut bay, event("b1", "2026-04-03", back("fall", "the other machine fell"))).unwrap();
    assert_eq!(bay.in_force().count(), 1);
    assert!(record(&mut bay, event("b2", "2026-04-03", back("fall", "again"))).is_err());
    record(&mut bay, event("b2", "2026-04-04", back("b1", "it was this one after all"))).unwrap();
    assert!(bay.taken_back(&EventId("fall".into())).is_none());
    assert_eq!(bay.events.len(), 3, "nothing is lost");
    // Two that take each other back, as a hand may write them, end and do not hang.
    let mut ring = found();
    ring.events.push(event("r1", "2026-04-03", back("r2", "x")));
    ring.events.push(event("r2", "2026-04-03", back("r1", "x")));
    let _ = ring.in_force().count();
}
