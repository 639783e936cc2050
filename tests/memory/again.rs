//! Defects seen again: matched by nearness as a whole, linked by a person, counted once.

use stemclock::catalogue::Catalogue;
use stemclock::clock::Side;
use stemclock::garage::Bay;
use stemclock::history::{Lives, OdometerLog, seen_again};
use stemclock::inspection::{Closing, EventKind, FindingId, InspectionId, Revisit, Seen, Zone};
use stemclock::machine::WheelPosition::{Front, Rear};
use stemclock::rules::{Decision, carry_over};
use stemclock::units::Length;

use super::bench::*;

fn pairs(bay: &Bay) -> Vec<(String, String)> {
    let log = OdometerLog::of(bay, day("2027-01-01"));
    let lives = Lives::of(bay, &log, day("2027-01-01"));
    let found = seen_again(bay, bay.latest().unwrap(), &lives);
    found.into_iter().map(|a| (a.earlier.finding.0, a.later.finding.0)).collect()
}

fn pair(a: &str, b: &str) -> (String, String) {
    (a.into(), b.into())
}

/// Two looks: what was found in each.
fn two(first: Vec<stemclock::inspection::Finding>, second: Vec<stemclock::inspection::Finding>) -> Bay {
    let mut bay = bay();
    for (id, date, findings) in [("a", "2026-04-01", first), ("b", "2026-08-01", second)] {
        let mut look = look(id, date, "season");
        look.findings = findings;
        bay.inspections.push(look);
    }
    bay
}

#[test]
fn a_cut_near_the_old_one_is_proposed_and_one_across_the_wheel_is_not() {
    let old = on_tyre("old", "cut", Rear, "4:30", Zone::Centre, Some(8.0));
    // 4:40 is 5 degrees on: 26 mm on a crown of 1885 mm.
    let near = on_tyre("near", "cut", Rear, "4:40", Zone::Centre, Some(12.0));
    let far = on_tyre("far", "cut", Rear, "10:00", Zone::Centre, Some(12.0));
    let bay = two(vec![old.clone()], vec![near, far]);
    assert_eq!(pairs(&bay), [pair("old", "near")]);
    let log = OdometerLog::of(&bay, day("2027-01-01"));
    let lives = Lives::of(&bay, &log, day("2027-01-01"));
    let again = &seen_again(&bay, bay.latest().unwrap(), &lives)[0];
    assert!((again.apart_mm.unwrap() - 26.2).abs() < 0.1, "{again:?}");
    assert_eq!(again.sizes, Some((Length::mm(8.0), Length::mm(12.0))));
    let other_wheel = on_tyre("other", "cut", Front, "4:30", Zone::Centre, None);
    assert_eq!(pairs(&two(vec![old.clone()], vec![other_wheel])), []);
    let other_part = on_tyre("rim", "cut", Rear, "4:30", Zone::RimFlange(Side::Left), None);
    assert_eq!(pairs(&two(vec![old], vec![other_part])), []);
}

#[test]
fn the_pairs_are_best_together_and_not_nearest_first() {
    // Cracks at 3:00 and 3:20, seen again at 3:12 and 3:32. Nearest first takes 3:20 with 3:12 (8 minutes, 4 degrees)
    // and leaves 3:00 with 3:32, 16 degrees apart and too far. In order both pairs lie 6 degrees apart.
    let crack = |id: &str, time: &str| on_tyre(id, "crack", Rear, time, Zone::Sidewall(Side::Left), None);
    let bay = two(vec![crack("a1", "3:00"), crack("a2", "3:20")], vec![crack("b1", "3:12"), crack("b2", "3:32")]);
    assert_eq!(pairs(&bay), [pair("a1", "b1"), pair("a2", "b2")]);
}

#[test]
fn nothing_is_matched_across_mountings_and_a_rim_is_not_a_tyre() {
    // House rule 16.
    let cut = |id: &str| on_tyre(id, "cut", Rear, "4:30", Zone::Centre, None);
    let mut bay = two(vec![cut("old")], vec![cut("new")]);
    assert_eq!(pairs(&bay).len(), 1);
    let tyre = stemclock::inspection::Fitting::new(stemclock::inspection::PartRef::Tyre(Rear));
    bay.events.push(event("e1", "2026-06-01", EventKind::PartFitted(Box::new(tyre))));
    assert_eq!(pairs(&bay), []);
    let same = EventKind::SameDefect { earlier: of("a", "old"), later: of("b", "new") };
    let refused = record(&mut bay, event("e2", "2026-08-01", same)).unwrap_err().to_string();
    assert!(refused.contains("another one was mounted between"), "{refused}");
    let mut rims = two(vec![cut("old")], vec![cut("new")]);
    for inspection in &mut rims.inspections {
        for finding in &mut inspection.findings {
            finding.check.check = "rim-look".into();
            finding.fault = "bent".into();
            if let stemclock::inspection::Place::Wheel { zone, .. } = &mut finding.place {
                *zone = Zone::RimFlange(Side::Right);
            }
        }
    }
    rims.events.extend(bay.events);
    assert_eq!(pairs(&rims), [pair("old", "new")], "the rim stays when the tyre goes");
}

#[test]
fn a_confirmed_match_is_one_open_defect_with_its_growth_and_the_worse_class() {
    let cut = |id: &str, mm: f64| on_tyre(id, "cut", Rear, "4:30", Zone::Centre, Some(mm));
    let mut bay = two(vec![cut("old", 8.0)], vec![cut("new", 12.0)]);
    let open = |bay: &Bay| stands(bay, "2026-08-01").open.len();
    assert_eq!(open(&bay), 2);
    let same = EventKind::SameDefect { earlier: of("a", "old"), later: of("b", "new") };
    record(&mut bay, event("e1", "2026-08-01", same)).unwrap();
    assert_eq!(open(&bay), 1);
    let verdict = stands(&bay, "2026-08-01").verdict.unwrap();
    assert_eq!(verdict.because.iter().filter(|b| b.finding.is_some()).count(), 1);
    let words = &verdict.because.iter().find(|b| b.finding.is_some()).unwrap().words;
    assert!(words.contains("open since 1 April 2026") && words.contains("grown from 8.0 mm to 12.0 mm"), "{words}");
    assert_eq!(pairs(&bay), [], "what is linked is not proposed again");
    // Split again by a further event: two defects, and no proposal.
    let apart = EventKind::Apart { earlier: of("a", "old"), later: of("b", "new") };
    record(&mut bay, event("e2", "2026-08-02", apart)).unwrap();
    assert_eq!(open(&bay), 2);
    assert_eq!(pairs(&bay), []);
    let back = EventKind::TakenBack { event: stemclock::inspection::EventId("e2".into()), reason: "slip".into() };
    record(&mut bay, event("e3", "2026-08-02", back)).unwrap();
    assert_eq!(open(&bay), 1);
    // Closing the later closes the defect whole.
    let closing = Closing::Repaired { work: "new tyre".into(), second_look: "holds".into() };
    let kind =
        EventKind::FindingClosed { inspection: InspectionId("b".into()), finding: FindingId("new".into()), closing };
    record(&mut bay, event("e4", "2026-08-03", kind)).unwrap();
    assert_eq!(open(&bay), 0);
}

#[test]
fn what_is_seen_again_after_it_was_closed_is_open() {
    let weeps = |id: &str| elsewhere(id, "fork", "weeps", "left leg");
    let mut bay = two(vec![weeps("old")], vec![weeps("new")]);
    let closing = Closing::Repaired { work: "new seals".into(), second_look: "dry".into() };
    let kind =
        EventKind::FindingClosed { inspection: InspectionId("a".into()), finding: FindingId("old".into()), closing };
    record(&mut bay, event("e1", "2026-05-01", kind)).unwrap();
    let same = EventKind::SameDefect { earlier: of("a", "old"), later: of("b", "new") };
    record(&mut bay, event("e2", "2026-08-01", same)).unwrap();
    assert_eq!(stands(&bay, "2026-08-01").open.len(), 1, "the seals weep again");
}

#[test]
fn a_new_inspection_begins_with_the_open_findings_as_checks_of_their_own() {
    let mut bay = two(vec![on_tyre("f1", "nick", Rear, "4:30", Zone::Centre, Some(4.0))], Vec::new());
    bay.inspections.pop();
    let mut second = look("b", "2026-08-01", "season");
    carry_over(&stands(&bay, "2026-08-01"), &bay.machine, Catalogue::builtin(), &mut second);
    let f1 = FindingId("f1".into());
    assert_eq!(second.carried.keys().collect::<Vec<_>>(), [&f1]);
    let second = all_sound(&bay, second);
    bay.inspections.push(second);
    let verdict = stands(&bay, "2026-08-01").verdict.unwrap();
    assert_eq!(verdict.decision, Decision::NotYetDecided, "nobody has looked whether it has grown");
    assert!(verdict.sentence().contains("1 open finding is not looked at again"), "{}", verdict.sentence());
    let grown = Revisit { seen: Seen::Grown, size: Some(Length::mm(40.0)), note: String::new() };
    bay.inspections[1].carried.insert(f1.clone(), grown);
    let stood = stands(&bay, "2026-08-01");
    assert_eq!(stood.open.len(), 1);
    let words = &stood.verdict.as_ref().unwrap().because[0].words;
    assert!(words.contains("grown from 4.0 mm to 40.0 mm"), "{words}");
    // Gone closes nothing (house rule 3): someone closes it.
    bay.inspections[1].carried.insert(f1, Revisit { seen: Seen::Gone, ..Revisit::default() });
    let stood = stands(&bay, "2026-08-01");
    assert_eq!(stood.open.len(), 1);
    assert_eq!(stood.verdict.as_ref().unwrap().decision, Decision::FitWithMinorDefects);
    assert!(stood.verdict.unwrap().because[0].words.contains("no longer to be seen"));
}
