//! The catalogue as data: what every check must say, the classes of Directive 2014/45/EU annex I, the tread laws, and
//! that every machine of every kind gets something to do. Expected values are typed from the published documents.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops at the first surprise")]

mod annex;
mod directive;

use std::collections::BTreeSet;

use chrono::NaiveDate;
use stemclock::catalogue::{Catalogue, Check, Condition, Engine, Kind, TreadGeometry};
use stemclock::inspection::Station;
use stemclock::machine::{
    BatteryKind, Brake, BrakeActuation, Category, FinalDrive, Fluid, FluidKind, FluidState, Layout, Machine, MachineId,
    Power, Stance,
};

fn catalogue() -> &'static Catalogue {
    Catalogue::builtin()
}

fn machine(layout: Layout, drive: FinalDrive, power: Power) -> Machine {
    let mut machine = Machine::new(MachineId("bench-1".into()), "Bench", layout);
    machine.final_drive = drive;
    machine.power = power;
    machine
}

/// A chain-driven solo with a disc at each wheel and the fluids that go with it.
fn standard() -> Machine {
    let mut machine = machine(Layout::Solo, FinalDrive::Chain, Power::Combustion);
    for wheel in &mut machine.wheels {
        wheel.brakes = vec![Brake::Disc(stemclock::clock::Side::Right)];
    }
    machine.fluids = [FluidKind::EngineOil, FluidKind::FrontBrakeFluid, FluidKind::RearBrakeFluid]
        .into_iter()
        .map(|kind| Fluid {
            kind,
            grade: String::new(),
            stance: Stance::Upright,
            state: FluidState::Any,
            changed_on: None,
        })
        .collect();
    machine
}

/// Every word of a check that a person reads.
fn words_of(check: &Check) -> Vec<&str> {
    let mut words: Vec<&str> = vec![&check.title, &check.why, &check.how, &check.tool, &check.signs];
    for field in &check.fields {
        words.extend([field.label.as_str(), field.hint.as_str()]);
    }
    for fault in &check.faults {
        words.extend([fault.words.as_str(), fault.advice.as_str()]);
        words.extend(fault.practice.iter().map(|(_, reason)| reason.as_str()));
    }
    words
}

#[test]
fn ids_are_used_once() {
    let twice = |ids: Vec<&String>| {
        let mut seen = BTreeSet::new();
        ids.into_iter().filter(|id| !seen.insert((*id).clone())).cloned().collect::<Vec<_>>()
    };
    let c = catalogue();
    assert_eq!(twice(c.checks.iter().map(|x| &x.id).collect()), Vec::<String>::new());
    assert_eq!(twice(c.kinds.iter().map(|x| &x.id).collect()), Vec::<String>::new());
    assert_eq!(twice(c.regions.iter().map(|x| &x.id).collect()), Vec::<String>::new());
    assert_eq!(twice(c.cautions.iter().map(|x| &x.id).collect()), Vec::<String>::new());
    for check in &c.checks {
        assert_eq!(twice(check.fields.iter().map(|f| &f.id).collect()), Vec::<String>::new(), "{}", check.id);
    }
}

#[test]
fn every_check_says_why_and_how_and_what_can_be_found() {
    for check in &catalogue().checks {
        let id = &check.id;
        assert!(!check.title.trim().is_empty(), "{id} has no title");
        assert!(check.why.len() > 20, "{id} does not say why");
        assert!(check.how.len() > 20, "{id} does not say how");
        assert!(check.minutes > 0.0 && check.minutes <= 15.0, "{id} takes {} minutes", check.minutes);
        assert!(!check.faults.is_empty(), "{id} can find nothing");
        for fault in &check.faults {
            assert!(!fault.words.trim().is_empty(), "{id}/{} has no words", fault.id);
        }
    }
    for caution in &catalogue().cautions {
        assert!(!caution.text.is_empty() && !caution.source.is_empty(), "{} has no text or source", caution.id);
    }
}

#[test]
fn no_word_makes_the_record_look_like_an_official_test() {
    let banned = ["pass", "passes", "passed", "fail", "fails", "failed", "advisory", "certificate", "roadworthy"];
    for check in &catalogue().checks {
        for text in words_of(check) {
            let found = text.split(|c: char| !c.is_alphabetic()).find(|w| banned.contains(&w.to_lowercase().as_str()));
            assert_eq!(found, None, "{}: {text}", check.id);
        }
    }
}

#[test]
fn every_machine_has_something_to_look_at_in_every_kind() {
    for layout in Layout::ALL {
        for drive in FinalDrive::ALL {
            for power in [Power::Combustion, Power::Electric] {
                let machine = machine(layout, drive, power);
                for kind in &catalogue().kinds {
                    let asked = catalogue().checks_for(&machine, kind);
                    let required = asked.iter().filter(|(r, _)| kind.required.holds(&r.check)).count();
                    assert!(required > 0, "{} asks nothing of {} {drive:?} {power:?}", kind.id, layout.word());
                }
            }
        }
    }
}

fn asks(machine: &Machine, kind: &str, check: &str) -> bool {
    let kind = catalogue().kind(kind).unwrap();
    catalogue().checks_for(machine, kind).iter().any(|(r, _)| r.check == check)
}

#[test]
fn a_machine_is_not_asked_about_what_it_lacks() {
    let mut electric = machine(Layout::Solo, FinalDrive::Belt, Power::Electric);
    electric.clutch_lever = false;
    for check in ["fuel-leaks", "exhaust", "start-and-idle", "cooling", "clutch-lever", "sidecar-connections"] {
        assert!(!asks(&electric, "periodic", check), "an electric solo is asked about {check}");
    }
    assert!(asks(&electric, "periodic", "traction-battery"));

    let outfit = machine(Layout::Sidecar(stemclock::clock::Side::Right), FinalDrive::Shaft, Power::Combustion);
    assert!(asks(&outfit, "season", "sidecar-connections"));
    assert!(!asks(&outfit, "season", "drive-slack"));
    assert!(!asks(&outfit, "season", "traction-battery"));

    let mut three = machine(Layout::TwoFront, FinalDrive::Chain, Power::Combustion);
    assert!(asks(&three, "season", "steering-linkage"));
    assert!(!asks(&three, "season", "centre-stand"));
    three.stands.centre = true;
    three.stands.side = false;
    three.battery = BatteryKind::None;
    assert!(asks(&three, "season", "centre-stand"));
    assert!(!asks(&three, "season", "side-stand"));
    assert!(!asks(&three, "season", "battery-rest"));
}

#[test]
fn a_hydraulic_brake_is_asked_for_its_fluid_though_nobody_entered_it() {
    let mut bare = machine(Layout::Solo, FinalDrive::Chain, Power::Combustion);
    bare.fluids.clear();
    (bare.front_brake, bare.rear_brake) = (BrakeActuation::Hydraulic, BrakeActuation::Hydraulic);
    let kind = catalogue().kind("ride").unwrap();
    let asked = |machine: &Machine| -> Vec<(String, Station)> {
        let checks = catalogue().checks_for(machine, kind).into_iter();
        let levels = checks.filter(|(r, _)| r.check == "brake-fluid-level");
        levels.map(|(r, c)| (r.subject.words(), Catalogue::station(c, &r))).collect()
    };
    // The levers are at the bars and the pedal with its reservoir at the right: common practice.
    assert_eq!(
        asked(&bare),
        [("front brake fluid".to_owned(), Station::Bars), ("rear brake fluid".to_owned(), Station::RightFlank)]
    );
    bare.rear_brake = BrakeActuation::Rod;
    assert_eq!(asked(&bare).len(), 1, "a rod or cable has no fluid");
}

fn minutes(machine: &Machine, kind: &Kind) -> f32 {
    catalogue().checks_for(machine, kind).iter().map(|(_, check)| check.minutes).sum()
}

#[test]
fn the_nine_kinds_grow_from_a_look_to_the_whole_machine() {
    let ids: Vec<_> = catalogue().kinds.iter().map(|k| k.id.as_str()).collect();
    assert_eq!(ids, ["ride", "season", "periodic", "purchase", "sale", "fall", "trip", "storage", "work"]);
    let takes = |kind: &str| minutes(&standard(), catalogue().kind(kind).unwrap());
    let (ride, season, periodic) = (takes("ride"), takes("season"), takes("periodic"));
    assert!(ride <= 30.0, "the before-ride look takes {ride} minutes");
    assert!(ride < season && season < periodic, "{ride}, {season}, {periodic} minutes");
    for kind in &catalogue().kinds {
        assert!(kind.lapses_after_days > 0 && kind.lapses_after_km > 0, "{} never holds", kind.id);
        assert!(kind.called.starts_with("a ") || kind.called.starts_with("an "), "{}: {}", kind.id, kind.called);
    }
}

#[test]
fn papers_and_keys_are_for_buying_and_selling() {
    for kind in ["purchase", "sale"] {
        for check in ["vin-papers", "recall", "keys"] {
            assert!(asks(&standard(), kind, check), "{kind} does not ask {check}");
        }
    }
    assert!(!asks(&standard(), "season", "keys"));
    assert!(asks(&standard(), "work", "fasteners-after-work"));
    assert!(!asks(&standard(), "season", "fasteners-after-work"));
}

/// Section 17 of the trade's facts: dust at linings (EPA 2007), gas with a running engine, acid and hydrogen at a
/// battery, firm stands under a lifted machine.
#[test]
fn cautions_stand_where_the_danger_is() {
    for check in &catalogue().checks {
        let has = |caution: &str| check.cautions.iter().any(|c| c == caution);
        let id = check.id.as_str();
        let electric = check.when.contains(&Condition::Power(Power::Electric));
        if check.engine == Engine::Running && !electric {
            assert!(has("carbon-monoxide"), "{id} runs the engine without a word on gas");
        }
        if matches!(check.stance, Stance::FrontRaised | Stance::RearRaised) {
            assert!(has("raised-machine"), "{id} lifts the machine without a word on stands");
        }
        if id.starts_with("battery-") {
            assert!(has("battery"), "{id} says nothing of acid and hydrogen");
        }
        if matches!(id, "brake-lining" | "disc" | "drum") {
            assert!(has("brake-dust"), "{id} says nothing of dust");
        }
        if check.engine == Engine::Ridden {
            assert!(has("road-trial"), "{id} is ridden without a word on the trial");
        }
    }
    assert!(catalogue().caution("general").is_some());
}

fn law(region: &str, category: Category, cc: Option<u32>) -> (f64, TreadGeometry, bool) {
    let mut machine = standard();
    machine.category = category;
    machine.capacity_cc = cc;
    let day = NaiveDate::from_ymd_opt(2026, 11, 25).unwrap();
    let region = catalogue().region(region).unwrap();
    let law = region.tread.iter().find(|l| l.is_about(&machine, day)).unwrap();
    ((law.minimum.base() * 1e5).round() / 1e5, law.geometry, law.binds)
}

#[test]
fn tread_laws_are_those_of_the_documents() {
    use TreadGeometry::{ContinuousBand, FourPoints, MainGrooves, ThinnestGroove};
    // StVZO § 36(3): 1.6 mm, but 1.0 mm for mopeds and for Leichtkrafträder up to 125 cm³.
    assert_eq!(law("de", Category::L3e, Some(650)), (1.6, MainGrooves(75.0), true));
    assert_eq!(law("de", Category::L3e, Some(126)), (1.6, MainGrooves(75.0), true));
    assert_eq!(law("de", Category::L3e, Some(125)), (1.0, MainGrooves(75.0), true));
    assert_eq!(law("de", Category::L1e, None), (1.0, MainGrooves(75.0), true));
    assert_eq!(
        law("de", Category::L3e, None),
        (1.6, MainGrooves(75.0), true),
        "an unknown capacity takes the general rule"
    );
    // SI 1986/1078 regulation 27; up to 50 cm³ the pattern counts, not the depth.
    assert_eq!(law("gb", Category::L3e, Some(650)), (1.0, ContinuousBand(75.0), true));
    assert!(!law("gb", Category::L1e, Some(50)).2);
    assert!(law("gb", Category::L1e, None).2);
    // French order JORFARTI000038987859: at most one of four points below 1 mm.
    assert_eq!(law("fr", Category::L3e, Some(650)), (1.0, FourPoints { may_be_below: 1 }, true));
    // COMAR 11.14.03.05 A, any groove; 1/32 in = 0.79375 mm exactly. No federal figure binds.
    assert_eq!(law("us-md", Category::L3e, None), (0.79375, ThinnestGroove, true));
    assert!(!law("us", Category::L3e, None).2);
    // No figure for category L in 89/459/EEC or RD 2822/1998.
    assert!(!law("eu", Category::L3e, None).2);
    assert!(!law("es", Category::L3e, None).2);
    assert!(!law("generic", Category::L3e, None).2);
    assert_eq!(law("au", Category::L3e, None).0, 1.5);
    assert_eq!(law("ca-mb", Category::L3e, None).0, 0.79375, "0.8 mm in print is 1/32 in");
    assert_eq!(law("ca-qc", Category::L3e, None).0, 1.6);
}

#[test]
fn every_region_has_a_rule_for_every_machine_and_says_where_it_comes_from() {
    let day = NaiveDate::from_ymd_opt(2026, 11, 25).unwrap();
    for region in &catalogue().regions {
        for category in Category::ALL {
            for cc in [None, Some(50), Some(125), Some(650)] {
                let mut machine = standard();
                machine.category = category;
                machine.capacity_cc = cc;
                assert!(region.tread.iter().any(|l| l.is_about(&machine, day)), "{} {category:?} {cc:?}", region.id);
            }
        }
        for law in &region.tread {
            assert!(law.citation.len() > 10, "{} cites nothing", region.id);
        }
    }
    // Article 23: applied from 20 May 2018 (from memory).
    let day_before = NaiveDate::from_ymd_opt(2018, 5, 19).unwrap();
    assert!(
        catalogue().region("de").unwrap().directive_binds(day)
            && !catalogue().region("de").unwrap().directive_binds(day_before)
    );
    let in_force: Vec<_> = catalogue().regions.iter().filter(|r| r.directive_in_force).map(|r| r.id.as_str()).collect();
    assert_eq!(in_force, ["eu", "de", "fr", "es"], "the directive is law in the States of the Union alone");
}

#[test]
fn a_garage_may_bring_a_region_of_its_own() {
    let mut own = catalogue().clone();
    let count = own.regions.len();
    let text = r#"(id: "island", name: "The island", replaces: false, directive_in_force: false, tread: [
        (categories: [L1e], minimum: "0.5 mm", geometry: ThinnestGroove, binds: true, citation: "Island act 1", until: "2026-12-31"),
        (minimum: "2 mm", geometry: ContinuousBand(100.0), binds: true, citation: "Island act 2", from: "2020-01-01"),
    ])"#;
    own.add_region("regions/island.ron", text).unwrap();
    assert_eq!(own.regions.len(), count + 1);
    let island = own.region(" Island ").expect("case and spaces are forgiven");
    let mut moped = standard();
    moped.category = Category::L1e;
    let about = |year: i32| {
        let day = NaiveDate::from_ymd_opt(year, 6, 1).unwrap();
        island.tread.iter().find(|l| l.is_about(&moped, day)).map(|l| l.citation.clone())
    };
    assert_eq!(about(2026).as_deref(), Some("Island act 1"));
    assert_eq!(about(2027).as_deref(), Some("Island act 2"));

    let other = text.replace("The island", "The other island");
    let error = own.add_region("regions/other.ron", &other).unwrap_err().to_string();
    assert!(error.starts_with("regions/other.ron:1:6: expected an id that no region has yet"), "{error}");
    own.add_region("regions/other.ron", &other.replace("replaces: false", "replaces: true")).unwrap();
    assert_eq!(own.regions.len(), count + 1, "one id, one region");
    assert_eq!(own.region("island").unwrap().name, "The other island");

    let error = own.add_region("regions/island.ron", "(id: \"island\",\n  nmae: \"x\")").unwrap_err().to_string();
    assert!(error.starts_with("regions/island.ron:2:"), "{error}");
    assert_eq!(own.region("island").unwrap().name, "The other island", "what cannot be read changes nothing");
}

/// Adds one file of the folder `kinds` and gives what is wrong with it.
fn add_kind(own: &mut Catalogue, file: &str, text: &str) -> Vec<String> {
    own.add_kinds(&[(file.to_owned(), text.to_owned())]).iter().map(ToString::to_string).collect()
}

#[test]
fn a_garage_may_bring_a_kind_of_its_own_that_names_known_checks() {
    let mut own = catalogue().clone();
    let text = r#"(id: "rain", name: "after rain", called: "a look after rain", checks: These(["tyre-look", "horn"]),
        required: These(["tyre-look"]), lapses_after_days: 2, lapses_after_km: 200)"#;
    assert_eq!(add_kind(&mut own, "kinds/rain.ron", text), [""; 0]);
    let asked: Vec<_> =
        own.checks_for(&standard(), own.kind("rain").unwrap()).into_iter().map(|(r, _)| r.to_string()).collect();
    assert_eq!(asked, ["tyre-look@front", "horn@machine", "tyre-look@rear"], "front wheel, bars, rear wheel");

    let errors = add_kind(&mut own, "kinds/wet.ron", &text.replace("horn", "hron").replace("rain", "wet"));
    assert!(errors.len() == 1 && errors[0].contains("hron"), "{errors:?}");
    assert!(own.kind("wet").is_none(), "a kind that asks for what is not there is not taken in half");
}

#[test]
fn a_machine_with_nothing_entered_is_asked_about_its_brakes() {
    let catalogue = Catalogue::builtin();
    for layout in Layout::ALL {
        let machine = Machine::new(MachineId("new".into()), "new", layout);
        let asked = catalogue.checks_for(&machine, catalogue.kind("ride").unwrap());
        for check in ["brake-front-alone", "brake-rear-alone"] {
            assert!(asked.iter().any(|(c, _)| c.check == check), "{layout:?} is not asked about {check}");
        }
    }
}
