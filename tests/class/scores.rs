//! What a sheet scores. The rules are the house's own (house rule 26); the figures are worked out by hand beside them.

use stemclock::catalogue::Catalogue;
use stemclock::class::{self, Outcome, PositionSlip, ReadingOutcome, Score};
use stemclock::clock::{ClockTime, Side, Spot};
use stemclock::exercise::{Key, ReadingMark, Sheet, ZoneRule};
use stemclock::inspection::{CheckRef, FindingId, Severity, Station, Subject, Value, Zone};
use stemclock::units::{Preferences, Pressure};

use crate::bench::{FRONT, exercise, inspection, key, machine, on_part, on_tyre, right, sheet, sound};

fn score(key: &Key, sheet: &Sheet) -> Score {
    class::score(&machine(), key, sheet, Catalogue::builtin(), &Preferences::default()).unwrap()
}

fn nail(id: &str, zone: Zone, spot: Option<Spot>) -> stemclock::inspection::Finding {
    on_tyre(id, "foreign-body", zone, spot)
}

const RIGHT_SHOULDER: Zone = Zone::Shoulder(Side::Right);

#[test]
fn the_key_handed_in_by_a_student_earns_all() {
    let key = key();
    let perfect = score(&key, &sheet("Ada", key.inspection.findings.clone()));
    assert_eq!((perfect.found(), perfect.missed.len(), perfect.alarms.len()), (2, 0, 0));
    // Two findings of weight one and the verdict of weight one.
    assert_eq!((perfect.earned, perfect.out_of), (3.0, 3.0));
    assert_eq!((perfect.recall(), perfect.precision()), (Some(1.0), Some(1.0)));
}

#[test]
fn a_position_is_near_enough_up_to_the_keys_minutes_and_is_told_in_millimetres() {
    // 120/70-17: 1884.3 mm round the crown. 5:00 is 30 minutes off, 15 degrees: 78.5 mm.
    let near = score(&key(), &sheet("Ada", vec![nail("a", RIGHT_SHOULDER, Some(right("5:00")))]));
    let pairing = &near.pairings[0];
    assert_eq!((pairing.outcome, pairing.nearness.minutes), (Outcome::Found, Some(30.0)));
    assert!((pairing.nearness.millimetres.unwrap() - 1884.3 * 15.0 / 360.0).abs() < 0.1);
    // 5:45 is 75 minutes off: too far.
    let far = score(&key(), &sheet("Ada", vec![nail("a", RIGHT_SHOULDER, Some(right("5:45")))]));
    assert_eq!(far.pairings[0].outcome, Outcome::Misplaced);
    assert_eq!(far.pairings[0].nearness.slips, [PositionSlip::Far]);
    // Half the weight is left for the wrong place.
    assert_eq!(far.pairings[0].earned, 0.5);
}

#[test]
fn a_clock_read_from_the_other_side_is_its_own_mistake() {
    // 4:30 from the right, written down as 4:30 from the left: 7:30 from the right.
    let slipped = Spot::at(ClockTime::parse("4:30").unwrap(), Side::Left);
    let mirrored = score(&key(), &sheet("Ada", vec![nail("a", RIGHT_SHOULDER, Some(slipped))]));
    assert_eq!(mirrored.pairings[0].nearness.slips, [PositionSlip::Mirrored]);
    assert_eq!(mirrored.pairings[0].outcome, Outcome::Misplaced);
    // And the machine's left for its right is another.
    let side = score(&key(), &sheet("Ada", vec![nail("a", Zone::Shoulder(Side::Left), Some(right("4:30")))]));
    assert_eq!(side.pairings[0].nearness.slips, [PositionSlip::OtherSide]);
}

#[test]
fn the_zone_beside_counts_unless_the_key_asks_for_the_same() {
    let beside = sheet("Ada", vec![nail("a", Zone::Intermediate(Side::Right), Some(right("4:30")))]);
    assert_eq!(score(&key(), &beside).pairings[0].outcome, Outcome::Found);
    let mut strict = key();
    strict
        .marks
        .insert(FindingId("k-nail".into()), stemclock::exercise::Mark { zone: ZoneRule::Same, ..Default::default() });
    assert_eq!(score(&strict, &beside).pairings[0].nearness.slips, [PositionSlip::OtherZone]);
}

#[test]
fn names_that_count_are_the_keys_to_say() {
    let puncture = sheet("Ada", vec![on_tyre("a", "puncture", RIGHT_SHOULDER, Some(right("4:30")))]);
    let other = score(&key(), &puncture);
    assert_eq!((other.pairings[0].outcome, other.pairings[0].earned), (Outcome::OtherName, 0.5));
    let mut open = key();
    open.marks.insert(
        FindingId("k-nail".into()),
        stemclock::exercise::Mark { also: vec!["tyre-look:puncture".into()], ..Default::default() },
    );
    assert_eq!(score(&open, &puncture).pairings[0].outcome, Outcome::Found);
}

#[test]
fn another_severity_costs_half_and_is_said() {
    let mut found = key().inspection.findings;
    found[0].overrule =
        Some(stemclock::inspection::Overrule { severity: Severity::Minor, reason: "small".into(), by: "Ada".into() });
    let scored = score(&key(), &sheet("Ada", found));
    let pairing = &scored.pairings[0];
    assert_eq!((pairing.key_severity, pairing.severity, pairing.earned), (Severity::Major, Severity::Minor, 0.5));
    assert_eq!(class::words::pairing_words(pairing), "found; minor instead of major");
}

#[test]
fn what_is_paired_is_best_as_a_whole_and_not_by_the_order_of_the_sheet() {
    // Two nails of the key, 4:30 and 6:00; the student's first lies at 5:15, near both, the second at 4:30.
    let mut key = key();
    key.inspection.findings =
        vec![nail("k-1", RIGHT_SHOULDER, Some(right("4:30"))), nail("k-2", RIGHT_SHOULDER, Some(right("6:00")))];
    let (between, exact) =
        (nail("a-between", RIGHT_SHOULDER, Some(right("5:15"))), nail("a-exact", RIGHT_SHOULDER, Some(right("4:30"))));
    for written in [vec![between.clone(), exact.clone()], vec![exact, between]] {
        let scored = score(&key, &sheet("Ada", written));
        let pairs: Vec<(&str, &str)> = scored.pairings.iter().map(|p| (p.key.0.as_str(), p.found.0.as_str())).collect();
        assert_eq!(pairs, [("k-1", "a-exact"), ("k-2", "a-between")]);
    }
}

#[test]
fn what_is_missed_and_what_is_invented_are_told_apart() {
    let mut student = sheet("Ada", vec![on_part("a", "horn", "silent", Station::Bars)]);
    student.inspection.answers.insert(CheckRef::new("tyre-look", Subject::Wheel(FRONT)), sound());
    let scored = score(&key(), &student);
    assert_eq!((scored.pairings.len(), scored.missed.len(), scored.alarms.len()), (0, 2, 1));
    assert!(scored.missed.iter().all(|m| m.called_sound));
    // The false alarm costs half a weight; nothing falls below zero.
    assert_eq!((scored.earned, scored.recall(), scored.precision()), (0.0, Some(0.0), Some(0.0)));
}

#[test]
fn readings_are_marked_within_the_keys_tolerance_whatever_the_unit() {
    let check = CheckRef::new("tyre-pressure", Subject::Wheel(FRONT));
    let read = |inspection: &mut stemclock::inspection::Inspection, value: Value| {
        let mut answer = sound();
        answer.readings.insert("cold".into(), value);
        inspection.answers.insert(check.clone(), answer);
    };
    let mut key = key();
    read(&mut key.inspection, Value::Pressure(Pressure::psi(33.0)));
    key.readings = vec![ReadingMark {
        check: check.clone(),
        field: "cold".into(),
        within: Some(Value::Pressure(Pressure::kpa(5.0))),
        weight: 2.0,
    }];
    // 33 psi are 227.5 kPa (1 psi = 6.894757 kPa, NIST SP 811): 230 kPa is 2.5 off, 235 kPa 7.5.
    for (kpa, right) in [(230.0, true), (235.0, false)] {
        let mut student = sheet("Ada", Vec::new());
        read(&mut student.inspection, Value::Pressure(Pressure::kpa(kpa)));
        let reading = score(&key, &student).readings.remove(0);
        assert_eq!((reading.outcome == ReadingOutcome::Right, reading.earned), (right, if right { 2.0 } else { 0.0 }));
    }
    assert_eq!(score(&key, &sheet("Ada", Vec::new())).readings[0].outcome, ReadingOutcome::NotRead);
}

#[test]
fn time_at_the_stations_is_the_time_up_to_each_answer() {
    let mut student = sheet("Ada", Vec::new());
    student.inspection.started = "09:00:00".parse().ok();
    for (check, subject, at) in [
        ("tyre-look", Subject::Wheel(FRONT), "09:02:30"),
        ("horn", Subject::Machine, "09:04:00"),
        ("tyre-pressure", Subject::Wheel(FRONT), "09:05:00"),
    ] {
        let answer = stemclock::inspection::Answer { at: at.parse().ok(), ..sound() };
        student.inspection.answers.insert(CheckRef::new(check, subject), answer);
    }
    let scored = score(&key(), &student);
    assert_eq!(scored.minutes, Some(5.0));
    assert_eq!(scored.stations.get(&Station::FrontWheel), Some(&3.5));
    assert_eq!(scored.stations.values().sum::<f64>(), 5.0);
}

#[test]
fn the_class_is_counted_and_its_most_missed_stands_first() {
    let key = key();
    let all = key.inspection.findings.clone();
    let sheets = [
        sheet("Ada", all.clone()),
        sheet("Bo", vec![all[0].clone()]),
        sheet("Cy", vec![all[0].clone(), on_part("x", "horn", "silent", Station::Bars)]),
    ];
    let scores: Vec<Score> = sheets.iter().map(|s| score(&key, s)).collect();
    let figures = class::class_figures(&key, &scores.iter().collect::<Vec<_>>());
    let (recall, precision) = (figures.recall.unwrap(), figures.precision.unwrap());
    assert_eq!((recall.part, recall.whole), (4, 6));
    assert_eq!((precision.part, precision.whole), (4, 5));
    assert_eq!(figures.findings[0].key.0, "k-cut");
    assert_eq!((figures.findings[0].missed, figures.findings[1].missed), (2, 0));
    // The key and Ada: a dangerous cut; Bo and Cy: nothing worse than major.
    assert_eq!(figures.verdicts_right, 1);
    // Of four pairs three are major by both, one dangerous by both: full agreement on two classes.
    assert_eq!(figures.severity.unwrap().value, 1.0);
}

#[test]
fn sheets_that_cannot_be_scored_are_named_and_the_rest_goes_on() {
    let good = sheet("Ada", Vec::new());
    let elsewhere = Sheet { exercise: stemclock::exercise::ExerciseId("other-1".into()), ..sheet("Bo", Vec::new()) };
    let mut edited = sheet("Cy", Vec::new());
    edited.machine.wheels[0].tyre = None;
    let mut twice = sheet("ada ", Vec::new());
    twice.id = stemclock::exercise::SheetId("ada-2".into());
    twice.inspection = inspection("2026-10-03-season-s2", Vec::new());
    twice.inspection.started = "10:00:00".parse().ok();
    let sheets = [good, elsewhere, edited, twice];
    let (kept, refused) = class::sort_sheets(&exercise(), &machine(), &sheets);
    assert_eq!(kept.iter().map(|s| s.id.0.as_str()).collect::<Vec<_>>(), ["ada-2"]);
    let why = |id: &str| refused.iter().find(|r| r.sheet.0 == id).map(|r| r.why.clone()).unwrap_or_default();
    assert!(why("bo-1").contains("found one of other-1"), "{refused:?}");
    assert!(why("cy-1").contains("found another value in wheels front "), "{refused:?}");
    assert!(why("ada-1").contains("the one begun last is scored"), "{refused:?}");
}
