//! The rules from outside: the published vectors through a whole inspection, and properties that must always hold.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops at the first surprise")]

use proptest::prelude::*;
use stemclock::catalogue::{Catalogue, Kind};
use stemclock::clock::{Side, Spot};
use stemclock::inspection::{
    Answer, CheckRef, CheckState, Finding, FindingId, Inspection, InspectionId, LevelReading, Mark, Overrule, Place,
    Severity, Station, TreadPoint, Value, Zone,
};
use stemclock::machine::{
    Brake, Category, Fluid, FluidKind, FluidState, Layout, Limit, LimitKind, LimitSource, Machine, MachineId, Placard,
    Quota, RollingArrow, Stance, Tyre, WheelPosition,
};
use stemclock::rules::{Assessment, Case, Decision, Outcome, RULES, Status, assess};
use stemclock::units::{Length, Mass, Preferences, Pressure, Speed, Voltage};

/// A machine whose data are complete, in a region.
fn machine(region: &str) -> Machine {
    let mut m = Machine::new(MachineId("m-1".into()), "Standard", Layout::Solo);
    m.region = region.into();
    m.capacity_cc = Some(650);
    m.maximum_mass = Some(Mass::kg(420.0));
    m.top_speed = Some(Speed::kmh(190.0));
    m.slack_stance = Some(Stance::SideStand);
    let own = |kind, mm| Limit { kind, value: Quota::Length(Length::mm(mm)), source: LimitSource::Stamped };
    m.limits = vec![
        own(LimitKind::LiningMinimum(WheelPosition::Front), 2.0),
        own(LimitKind::DiscMinimum(WheelPosition::Front, Side::Right), 4.5),
        own(LimitKind::DriveSlackMinimum, 25.0),
        own(LimitKind::DriveSlackMaximum, 35.0),
    ];
    for (wheel, marking) in m.wheels.iter_mut().zip(["120/70 ZR17 58W", "180/55 ZR17 73W"]) {
        wheel.brakes = vec![Brake::Disc(Side::Right)];
        wheel.placard = Some(Placard { solo: Pressure::psi(36.0), loaded: None, source: LimitSource::Placard });
        wheel.tyre = Some(Tyre {
            marking: stemclock::tyre::TyreMarking::parse(marking).unwrap(),
            tin: None,
            fitted_on: None,
            fitted_at: None,
            arrow: RollingArrow::None,
            sidewall_maximum: Some(Pressure::psi(42.0)),
            tube: false,
        });
    }
    m.fluids = [FluidKind::EngineOil, FluidKind::FrontBrakeFluid]
        .map(|kind| Fluid {
            kind,
            grade: "DOT 4".into(),
            stance: Stance::Upright,
            state: FluidState::Any,
            changed_on: None,
        })
        .to_vec();
    m
}

fn inspection() -> Inspection {
    Inspection {
        schema: 1,
        id: InspectionId("2026-11-25-season-1".into()),
        kind: "season".into(),
        date: "2026-11-25".parse().unwrap(),
        started: None,
        inspector: String::new(),
        odometer: None,
        conditions: Default::default(),
        asks: Vec::new(),
        carried: Default::default(),
        answers: Default::default(),
        findings: vec![],
        overrules: Default::default(),
        note: String::new(),
    }
}

fn assessed(machine: &Machine, inspection: &Inspection) -> Assessment {
    let units = Preferences::default();
    assess(&Case::new(machine, inspection, &[], Catalogue::builtin(), &units, inspection.date))
}

/// The class and the status of a check after these readings.
fn read(machine: &Machine, check: &str, readings: Vec<(&str, Value)>) -> (Option<Severity>, Status) {
    let check = CheckRef::try_from(check.to_owned()).unwrap();
    let mut inspection = inspection();
    let answer = inspection.answers.entry(check.clone()).or_default();
    answer.readings = readings.into_iter().map(|(field, value)| (field.to_owned(), value)).collect();
    let assessment = assessed(machine, &inspection);
    let result = assessment.result(&check).unwrap_or_else(|| panic!("{check} is not asked"));
    (result.severity, result.status.clone())
}

fn choice(id: &str) -> Value {
    Value::Choice(id.into())
}
fn mm(value: f64) -> Value {
    Value::Length(Length::mm(value))
}
fn psi(value: f64) -> Value {
    Value::Pressure(Pressure::psi(value))
}
fn level(mark: Mark) -> Value {
    Value::Level(LevelReading { mark, stance: Stance::Upright, state: FluidState::Any })
}
/// What it is by; machine; check; readings; class, none where the check is sound.
type Row<'a> = (&'a str, &'a Machine, &'a str, Vec<(&'a str, Value)>, Option<Severity>);

/// The same depth everywhere, at eight clock positions.
fn tread(depth: Length) -> Value {
    let at = |eighth: u32| TreadPoint {
        spot: Spot::from_degrees(45.0 * f64::from(eighth)).unwrap(),
        depths: Zone::TREAD.into_iter().map(|zone| (zone, depth)).collect(),
    };
    Value::Tread((0..8).map(at).collect())
}

#[test]
fn the_published_vectors_come_out_of_a_whole_inspection() {
    use Severity::{Dangerous, Major, Minor};
    let (gb, de, maryland, manitoba) = (machine("gb"), machine("de"), machine("us-md"), machine("ca-mb"));
    let light = Machine { capacity_cc: Some(125), ..machine("de") };
    let thirty_seconds = Length::thirty_seconds;
    // Document or house rule; machine; check; readings; class, none where the check is sound.
    let rows: Vec<Row<'_>> = vec![
        ("1.3 COMAR 11.14.03.05", &maryland, "tyre-tread@rear", vec![("depths", tread(thirty_seconds(1.0)))], None),
        ("1.5 StVZO 36(3)", &light, "tyre-tread@rear", vec![("depths", tread(Length::mm(1.2)))], None),
        ("StVZO 36(3), 650 cc", &de, "tyre-tread@rear", vec![("depths", tread(Length::mm(1.2)))], Some(Dangerous)),
        ("1.6 SI 1986/1078", &gb, "tyre-tread@rear", vec![("depths", tread(Length::mm(1.2)))], None),
        ("1.10 Manitoba", &manitoba, "tyre-tread@rear", vec![("depths", tread(Length::mm(0.8)))], None),
        ("1.10 Manitoba", &manitoba, "tyre-tread@rear", vec![("depths", tread(Length::mm(0.7)))], Some(Dangerous)),
        ("2014/45/EU 5.2.3 e", &de, "tyre-tread@rear", vec![("bars", choice("reached"))], Some(Major)),
        ("2.6 2014/45/EU 4.3.1", &de, "stop-lamp@machine", vec![("lit", choice("none"))], Some(Dangerous)),
        (
            "2.7 2014/45/EU 1.1.10 d",
            &de,
            "brake-fluid-level@front-brake-fluid",
            vec![("level", level(Mark::BelowMin))],
            Some(Minor),
        ),
        (
            "2014/45/EU 1.1.10",
            &de,
            "brake-fluid-level@front-brake-fluid",
            vec![("level", level(Mark::NoneVisible))],
            Some(Dangerous),
        ),
        ("a level between its marks", &de, "fluid-level@engine-oil", vec![("level", level(Mark::Between))], None),
        ("2.8 2014/45/EU 1.1.13", &de, "brake-lining@front", vec![("mark", choice("at"))], Some(Major)),
        ("2.8 2014/45/EU 1.1.13", &de, "brake-lining@front", vec![("mark", choice("gone"))], Some(Dangerous)),
        ("2014/45/EU 1.1.14", &de, "disc@front.right", vec![("thickness", mm(4.4))], Some(Dangerous)),
        ("2.9 2014/45/EU 6.2.11 c", &de, "side-stand@machine", vec![("spring", choice("hangs"))], Some(Dangerous)),
        ("house rule 4, 5.1.3", &de, "wheel-bearing@front", vec![("feel", choice("rock"))], Some(Dangerous)),
        ("house rule 4, 5.1.3", &de, "wheel-bearing@front", vec![("feel", choice("crunch"))], Some(Dangerous)),
        ("5.1.3", &de, "wheel-bearing@front", vec![("feel", choice("sound"))], None),
        ("house rule 1", &de, "tyre-pressure@front", vec![("cold", psi(36.0))], None),
        ("5.2.3 h", &de, "tyre-pressure@front", vec![("cold", psi(33.4))], Some(Minor)),
        ("house rule 4", &de, "tyre-pressure@front", vec![("cold", psi(26.0))], Some(Major)),
        ("house rule 4", &de, "tyre-pressure@front", vec![("cold", psi(0.0))], Some(Dangerous)),
        ("2014/45/EU 1.2.1", &de, "brake-front-alone@machine", vec![("hold", choice("none"))], Some(Dangerous)),
        ("2014/45/EU 1.2.1", &de, "brake-rear-alone@machine", vec![("hold", choice("holds"))], None),
        (
            "6.2 glass mat",
            &de,
            "battery-rest@machine",
            vec![("rest", Value::Voltage(Voltage::volts(12.45))), ("rested", choice("yes"))],
            Some(Minor),
        ),
        ("10.1 StVZO 54(1)", &de, "indicators@machine", vec![("rate", Value::Number(121.0))], Some(Minor)),
    ];
    for (source, machine, check, readings, expected) in rows {
        let (severity, status) = read(machine, check, readings);
        assert_eq!(severity, expected, "{source}: {check}");
        let wanted = if expected.is_some() { Status::HasFinding } else { Status::Sound };
        assert_eq!(status, wanted, "{source}: {check}");
    }
}

#[test]
fn what_is_no_reading_leaves_the_check_unchecked() {
    let m = machine("gb");
    let wrong = LevelReading { mark: Mark::Between, stance: Stance::SideStand, state: FluidState::Warm };
    for (check, readings) in [
        ("tyre-pressure@front", vec![("cold", psi(36.0)), ("hot", choice("yes"))]),
        ("fluid-level@engine-oil", vec![("level", Value::Level(wrong))]),
        ("battery-rest@machine", vec![("rest", Value::Voltage(Voltage::volts(12.8))), ("rested", choice("no"))]),
        ("drive-slack@machine", vec![("tightest", mm(30.0)), ("stance", choice("upright"))]),
        // A circumstance alone, a field of the wrong kind, an unknown choice, an unknown field.
        ("tyre-pressure@front", vec![("hot", choice("no"))]),
        ("tyre-pressure@front", vec![("cold", mm(36.0))]),
        ("wheel-bearing@front", vec![("feel", choice("fine"))]),
        ("tyre-pressure@front", vec![("cold", psi(36.0)), ("warm", choice("no"))]),
        ("indicators@machine", vec![("rate", Value::Number(f64::NAN))]),
        // One of two fields that decide together; a thick disc that nobody looked at for cracks.
        ("brake-pedal-feel@machine", vec![("feel", choice("firm"))]),
        ("disc@front.right", vec![("thickness", mm(5.0))]),
    ] {
        assert_eq!(read(&m, check, readings.clone()), (None, Status::Unchecked), "{check} {readings:?}");
    }
}

#[test]
fn a_refused_reading_outweighs_a_tick() {
    let m = machine("gb");
    let check = CheckRef::try_from("tyre-pressure@front".to_owned()).unwrap();
    let mut inspection = inspection();
    let readings = [("cold".to_owned(), psi(36.0)), ("hot".to_owned(), choice("yes"))].into();
    inspection.answers.insert(check.clone(), Answer { state: CheckState::Sound, readings, ..Answer::default() });
    assert_eq!(assessed(&m, &inspection).result(&check).unwrap().status, Status::Unchecked);
}

/// Every fault of every check, found on its first part of this machine.
fn every_finding(machine: &Machine) -> Vec<Finding> {
    let catalogue = Catalogue::builtin();
    let all = Kind { checks: stemclock::catalogue::Selection::All, ..catalogue.kinds[0].clone() };
    let mut findings = Vec::new();
    for (check, entry) in catalogue.checks_for(machine, &all) {
        for fault in &entry.faults {
            findings.push(Finding {
                id: FindingId(format!("f{}", findings.len())),
                check: check.clone(),
                fault: fault.id.clone(),
                place: Place::Part { station: Station::Bars, part: "here".into() },
                size: fault.sized.then(|| Length::mm(30.0)),
                note: String::new(),
                overrule: None,
                photos: vec![],
            });
        }
    }
    findings
}

/// Words that would make a record look like an official test, whole or as part of another word.
fn forbidden(text: &str) -> Option<&'static str> {
    let lower = text.to_lowercase();
    let words: Vec<&str> = lower.split(|c: char| !c.is_alphanumeric()).collect();
    ["pass", "passed", "passes", "fail", "failed", "fails", "failure", "advisory", "certificate", "roadworthy"]
        .into_iter()
        .find(|bad| words.contains(bad))
}

#[test]
fn every_fault_of_the_catalogue_is_judged_with_its_proof() {
    for region in ["generic", "gb", "de"] {
        let m = machine(region);
        let mut inspection = inspection();
        inspection.findings = every_finding(&m);
        assert!(inspection.findings.len() > 300, "only {} faults are asked of this machine", inspection.findings.len());
        let assessment = assessed(&m, &inspection);
        for finding in &inspection.findings {
            let result = assessment.result(&finding.check).unwrap();
            let mine: Vec<_> = result.judgements.iter().filter(|j| j.finding.as_ref() == Some(&finding.id)).collect();
            assert!(!mine.is_empty(), "{} {} is not judged", finding.check, finding.fault);
            for judgement in mine {
                assert!(!judgement.graded_by.is_empty(), "{} {} has no source", finding.check, finding.fault);
                assert!(judgement.sentence.ends_with('.'), "{}", judgement.sentence);
                assert_eq!(forbidden(&judgement.sentence), None, "{}", judgement.sentence);
                let law = judgement
                    .graded_by
                    .iter()
                    .all(|s| s.words().contains("not law here") || !s.words().contains("Directive"));
                assert!(region == "de" || law, "the directive is no law in {region}: {}", judgement.sentence);
            }
        }
    }
}

#[test]
fn the_words_of_rules_and_checks_do_not_look_like_an_official_test() {
    for rule in RULES {
        assert_eq!(forbidden(rule.explain()), None, "{}", rule.id());
        assert!(rule.explain().ends_with('.'), "{} explains itself in sentences", rule.id());
    }
    for check in &Catalogue::builtin().checks {
        for text in [&check.title, &check.why, &check.how, &check.signs, &check.tool] {
            assert_eq!(forbidden(text), None, "{}: {text}", check.id);
        }
        for fault in &check.faults {
            assert_eq!(forbidden(&fault.words).or(forbidden(&fault.advice)), None, "{} {}", check.id, fault.id);
        }
    }
}

/// Worse is greater. A reading that is refused or only noted has no class.
fn rank(severity: Option<Severity>) -> u8 {
    severity.map_or(0, |s| s as u8 + 1)
}

proptest! {
    #[test]
    fn raising_the_pressure_to_the_placard_never_makes_it_worse(low in 0.0f64..36.0, more in 0.0f64..36.0) {
        let m = machine("de");
        let high = (low + more).min(36.0);
        let class = |psi_value: f64| rank(read(&m, "tyre-pressure@front", vec![("cold", psi(psi_value))]).0);
        prop_assert!(class(high) <= class(low), "{low} to {high} psi");
    }

    #[test]
    fn deeper_tread_is_never_worse(region in 0usize..12, depths in prop::collection::vec(0.0f64..4.0, 40), place in 0usize..40, more in 0.0f64..4.0) {
        let m = machine(&Catalogue::builtin().regions[region].id);
        let survey = |depths: &[f64]| Value::Tread(
            depths.chunks(5).enumerate().map(|(i, zones)| TreadPoint {
                spot: Spot::from_degrees(45.0 * i as f64).unwrap(),
                depths: Zone::TREAD.into_iter().zip(zones.iter().map(|d| Length::mm(*d))).collect(),
            }).collect(),
        );
        let before = rank(read(&m, "tyre-tread@rear", vec![("depths", survey(&depths))]).0);
        let mut deeper = depths.clone();
        deeper[place] += more;
        prop_assert!(rank(read(&m, "tyre-tread@rear", vec![("depths", survey(&deeper))]).0) <= before);
    }

    #[test]
    fn thicker_linings_and_discs_are_never_worse(low in 0.1f64..8.0, more in 0.0f64..8.0) {
        for region in ["gb", "generic"] {
            let m = machine(region);
            for check in ["brake-lining@front", "brake-lining@rear", "disc@front.right"] {
                let class = |value: f64| rank(read(&m, check, vec![("thickness", mm(value))]).0);
                prop_assert!(class(low + more) <= class(low), "{check}: {low} and {more} more");
            }
        }
    }

    #[test]
    fn a_rested_battery_with_more_volts_is_never_worse(low in 10.0f64..13.2, more in 0.0f64..3.2) {
        let m = machine("de");
        let high = (low + more).min(13.2);
        let class = |volts: f64| rank(read(&m, "battery-rest@machine", vec![("rest", Value::Voltage(Voltage::volts(volts))), ("rested", choice("yes"))]).0);
        prop_assert!(class(high) <= class(low));
    }

    #[test]
    fn another_finding_never_improves_a_verdict(picks in prop::collection::vec(0usize..10_000, 0..6), one_more in 0usize..10_000, sound in any::<bool>()) {
        let m = machine("de");
        let all = every_finding(&m);
        let mut inspection = inspection();
        if sound {
            tick_everything(&m, &mut inspection);
        }
        inspection.findings = picks.iter().map(|i| all[i % all.len()].clone()).collect();
        let before = decision_rank(assessed(&m, &inspection).verdict.decision);
        inspection.findings.push(all[one_more % all.len()].clone());
        prop_assert!(decision_rank(assessed(&m, &inspection).verdict.decision) >= before);
    }

    #[test]
    fn a_dangerous_finding_is_sticky(pick in 0usize..10_000, lowered in 0usize..3, by_finding in any::<bool>(), sound in any::<bool>()) {
        // House rule 3: it clears only by repair and a second look, or by withdrawal; no overruling lowers it.
        let m = machine("de");
        let dangerous: Vec<Finding> = every_finding(&m)
            .into_iter()
            .filter(|f| {
                let fault = Catalogue::builtin().check(&f.check.check).unwrap().fault(&f.fault).unwrap();
                fault.severity == Severity::Dangerous
                    || fault.practice.as_ref().is_some_and(|(s, _)| *s == Severity::Dangerous)
            })
            .collect();
        let mut inspection = inspection();
        if sound {
            tick_everything(&m, &mut inspection);
        }
        let mut finding = dangerous[pick % dangerous.len()].clone();
        let overrule = Overrule { severity: Severity::ALL[lowered], reason: "it looks new".into(), by: "owner".into() };
        if by_finding {
            finding.overrule = Some(overrule);
        } else {
            inspection.overrules.insert(finding.check.clone(), overrule);
        }
        inspection.findings.push(finding);
        prop_assert_eq!(assessed(&m, &inspection).verdict.decision, Decision::DoNotRide);
    }
}

/// Greater is worse.
fn decision_rank(decision: Decision) -> u8 {
    match decision {
        Decision::FitToRide => 0,
        Decision::FitWithMinorDefects => 1,
        Decision::NotYetDecided => 2,
        Decision::NotFitUntilRepaired => 3,
        Decision::DoNotRide => 4,
    }
}

fn tick_everything(machine: &Machine, inspection: &mut Inspection) {
    let kind = Catalogue::builtin().kind(&inspection.kind).unwrap();
    for (check, _) in Catalogue::builtin().checks_for(machine, kind) {
        inspection.answers.insert(check, Answer { state: CheckState::Sound, ..Answer::default() });
    }
}

#[test]
fn a_dangerous_reading_cannot_be_lowered_and_a_minor_one_can_with_a_reason() {
    let m = machine("de");
    let check = CheckRef::try_from("tyre-pressure@front".to_owned()).unwrap();
    for (reading, reason, expected) in [
        (0.0, "gauge is old", Severity::Dangerous),
        (26.0, "gauge is old", Severity::Minor),
        (26.0, " ", Severity::Major),
    ] {
        let mut inspection = inspection();
        inspection.answers.entry(check.clone()).or_default().readings.insert("cold".into(), psi(reading));
        let overrule = Overrule { severity: Severity::Minor, reason: reason.into(), by: "owner".into() };
        inspection.overrules.insert(check.clone(), overrule);
        assert_eq!(assessed(&m, &inspection).result(&check).unwrap().severity, Some(expected), "{reading} {reason:?}");
    }
}

#[test]
fn every_sound_or_faulty_reading_names_its_source() {
    let mut m = machine("gb");
    m.category = Category::L3e;
    let mut inspection = inspection();
    let mut put = |check: &str, readings: Vec<(&str, Value)>| {
        let check = CheckRef::try_from(check.to_owned()).unwrap();
        inspection
            .answers
            .entry(check)
            .or_default()
            .readings
            .extend(readings.into_iter().map(|(f, v)| (f.to_owned(), v)));
    };
    put("tyre-pressure@front", vec![("cold", psi(36.0))]);
    put("tyre-tread@front", vec![("depths", tread(Length::mm(3.0))), ("bars", choice("clear"))]);
    put("brake-lining@front", vec![("thickness", mm(4.0)), ("mark", choice("above"))]);
    put("disc@front.right", vec![("thickness", mm(5.0))]);
    put("drive-slack@machine", vec![("tightest", mm(30.0)), ("stance", choice("side-stand"))]);
    put("fluid-level@engine-oil", vec![("level", level(Mark::Between))]);
    put("battery-charging@machine", vec![("running", Value::Voltage(Voltage::volts(14.2)))]);
    put("wheel-bearing@rear", vec![("feel", choice("sound"))]);
    let assessment = assessed(&m, &inspection);
    let judged: Vec<_> = assessment
        .results
        .iter()
        .flat_map(|r| &r.judgements)
        .filter(|j| matches!(j.outcome, Outcome::Sound | Outcome::Fault(_)))
        .collect();
    assert!(judged.len() >= 10, "only {} judgements", judged.len());
    for judgement in judged {
        assert!(!judgement.graded_by.is_empty(), "{}: {}", judgement.rule, judgement.sentence);
        assert!(judgement.limit.is_some() || judgement.rule == "choice", "{} has no limit", judgement.rule);
        assert!(!judgement.reading.is_empty(), "{} has no reading", judgement.rule);
        assert_eq!(forbidden(&judgement.sentence), None);
    }
}
