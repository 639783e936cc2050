//! Tread judged on machines in their regions. The document stands beside each.

use super::*;
use crate::clock::{Side, Spot};
use crate::inspection::{Subject, TreadPoint, Value, Zone};
use crate::machine::{Category, WheelPosition};
use crate::rules::fixture::{Bench, outcome_of};

fn rear() -> CheckRef {
    CheckRef::new("tyre-tread", Subject::Wheel(WheelPosition::Rear))
}

fn points(positions: u32, depth: &str) -> Value {
    let depth: Length = depth.parse().expect("a depth");
    Value::Tread(
        (0..positions)
            .map(|i| TreadPoint {
                spot: Spot::from_degrees(360.0 / f64::from(positions) * f64::from(i)).expect("finite"),
                depths: Zone::TREAD.into_iter().map(|z| (z, depth)).collect(),
            })
            .collect(),
    )
}

fn judged(bench: &mut Bench, depth: &str) -> Judgement {
    bench.read(&rear(), "depths", points(8, depth));
    bench.judgements(&TreadDepth, &rear()).remove(0)
}

#[test]
fn the_law_of_the_place_decides_and_below_it_is_dangerous() {
    use Severity::Dangerous;
    for (region, cc, depth, expected, source) in [
        ("us-md", 650, "1/32", None, "COMAR 11.14.03.05"),
        ("us-md", 650, "0.7 mm", Some(Dangerous), "COMAR 11.14.03.05"),
        ("de", 125, "1.2 mm", None, "StVZO"),
        ("de", 650, "1.2 mm", Some(Dangerous), "StVZO"),
        ("gb", 650, "1.2 mm", None, "SI 1986/1078"),
        ("gb", 650, "0.9 mm", Some(Dangerous), "SI 1986/1078"),
        ("fr", 650, "1.0 mm", None, "JORFARTI000038987859"),
        ("fr", 650, "0.9 mm", Some(Dangerous), "JORFARTI000038987859"),
        ("au", 650, "1.4 mm", Some(Dangerous), "South Australian"),
        ("ca-mb", 650, "0.8 mm", None, "Manitoba"),
        ("ca-mb", 650, "1/32", None, "Manitoba"),
        ("ca-mb", 650, "0.7 mm", Some(Dangerous), "Manitoba"),
    ] {
        let mut bench = Bench::new(region);
        bench.machine.capacity_cc = Some(cc);
        let judgement = judged(&mut bench, depth);
        assert_eq!(outcome_of(&judgement), expected, "{region} {depth}: {}", judgement.sentence);
        let limit = judgement.limit.expect("a limit");
        assert!(matches!(&limit.source, Source::Law(c) if c.contains(source)), "{region}: {:?}", limit.source);
        assert!(judgement.graded_by[0].words().contains("5.2.3 e"));
    }
    // StVZO § 36(3) sentence 5: the light motorcycle is named in the proof, and the general rule stands beside it.
    let mut light = Bench::new("de");
    light.machine.capacity_cc = Some(125);
    let judgement = judged(&mut light, "1.2 mm");
    assert!(judgement.limit.expect("limit").source.words().contains("Leichtkrafträder"));
    assert!(judgement.others.iter().any(|o| o.value.contains("1.6 mm") && o.value.contains("the general rule")));
    light.machine.capacity_cc = None;
    let unknown = judged(&mut light, "1.2 mm");
    assert!(unknown.sentence.contains("goes by the engine's capacity"), "{}", unknown.sentence);
    let mut moped = Bench::new("de");
    moped.machine.category = Category::L1e;
    assert_eq!(judged(&mut moped, "1.2 mm").outcome, Outcome::Sound, "StVZO section 36(3) sentence 5");
}

#[test]
fn where_no_law_binds_the_wear_bar_counts_and_the_sentence_says_so() {
    use Severity::{Dangerous, Major, Minor};
    // 49 CFR 571.119 S6.4: the moulded bar stands at 1/32 in; no federal figure binds an owner (house rule 7).
    for (region, depth, expected) in [
        ("us", "1/32", None),
        ("us", "0.7 mm", Some(Major)),
        ("generic", "1.6 mm", None),
        ("generic", "1.2 mm", Some(Minor)),
        ("generic", "0.7 mm", Some(Major)),
        ("generic", "0 mm", Some(Dangerous)),
    ] {
        let judgement = judged(&mut Bench::new(region), depth);
        assert_eq!(outcome_of(&judgement), expected, "{region} {depth}: {}", judgement.sentence);
        assert!(judgement.sentence.contains("no law binds you to a figure here"), "{}", judgement.sentence);
        assert!(!matches!(judgement.limit.expect("limit").source, Source::Law(_)));
    }
}

#[test]
fn a_law_is_said_in_its_own_unit_beside_the_riders() {
    // 1.6 mm is no whole number of thirty-seconds: 1.6 / 0.793 75 = 2.016, by hand. 2/32 in is 1.5875 mm, below it.
    let mut bench = Bench::new("de");
    bench.units.depth = "/32 in".into();
    bench.machine.capacity_cc = Some(650);
    let judgement = judged(&mut bench, "2/32 in");
    assert_eq!(outcome_of(&judgement), Some(Severity::Dangerous));
    assert!(judgement.sentence.contains("at least 1.6 mm (2.02/32 in)"), "{}", judgement.sentence);
    assert_eq!(judgement.margin, "0.01 mm below");
}

#[test]
fn the_stricter_of_machine_and_law_wins_and_both_are_shown() {
    let mut bench = Bench::new("gb");
    bench.limit(LimitKind::TreadMinimum(WheelPosition::Rear), 2.0);
    let judgement = judged(&mut bench, "1.5 mm");
    assert_eq!(outcome_of(&judgement), Some(Severity::Major));
    assert!(matches!(judgement.limit.as_ref().expect("limit").source, Source::Machine(_)));
    assert!(judgement.others.iter().any(|o| matches!(o.source, Source::Law(_))), "the law is shown too");
    let judgement = judged(&mut bench, "0.8 mm");
    assert_eq!(outcome_of(&judgement), Some(Severity::Dangerous), "the law is broken too, and that is worse");
    let judgement = judged(&mut bench, "3 mm");
    assert_eq!(judgement.outcome, Outcome::Sound);
    assert!(judgement.limit.expect("limit").value.contains("2.0 mm"), "of two sound figures the stricter is named");
}

#[test]
fn fewer_places_are_never_called_all_round() {
    let mut bench = Bench::new("gb");
    bench.read(&rear(), "depths", points(3, "2.0 mm"));
    let judgement = bench.judgements(&TreadDepth, &rear()).remove(0);
    assert_eq!(judgement.outcome, Outcome::Sound);
    assert!(judgement.sentence.contains("at the 3 places measured, not all round"), "{}", judgement.sentence);
    let all = judged(&mut bench, "2.0 mm");
    assert!(all.sentence.contains("all round") && !all.sentence.contains("not all round"), "{}", all.sentence);
}

#[test]
fn what_cannot_be_a_depth_is_refused() {
    let mut bench = Bench::new("gb");
    for depth in ["-1 mm", "31 mm"] {
        assert_eq!(judged(&mut bench, depth).outcome, Outcome::Refused, "{depth}");
    }
    bench.read(&rear(), "depths", Value::Tread(vec![]));
    assert!(bench.judgements(&TreadDepth, &rear()).is_empty());
}

#[test]
fn the_reading_names_the_figure_that_the_margin_is_taken_from() {
    // StVZO § 36(3): 1.6 mm in the main grooves, those of the middle three quarters of the breadth. A shoulder of 2.2 mm
    // is let be, so 2.7 mm less 1.6 mm are left.
    let mut bench = Bench::new("de");
    bench.machine.capacity_cc = Some(650);
    let Value::Tread(mut read) = points(8, "2.7 mm") else { panic!("a tread") };
    for (zone, depth) in read[3].depths.iter_mut().filter(|(zone, _)| *zone == Zone::Shoulder(Side::Right)) {
        (*zone, *depth) = (Zone::Shoulder(Side::Right), Length::mm(2.2));
    }
    bench.read(&rear(), "depths", Value::Tread(read));
    let judgement = bench.judgements(&TreadDepth, &rear()).remove(0);
    let reading = &judgement.reading;
    assert!(reading.starts_with("2.7 mm at ") && reading.contains(" counts; least 2.2 mm at 4:30"), "{reading}");
    assert!(reading.ends_with("which this law lets be"), "{reading}");
    assert!(judgement.margin.starts_with("1.1 mm"), "{}", judgement.margin);
    // Where the least reading is the one that counts it stands alone.
    assert!(judged(&mut bench, "2.7 mm").reading.starts_with("least 2.7 mm at "));
}
