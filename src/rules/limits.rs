//! The limits of a check before anything is read: what the guided walk and the carry sheet print beside an empty field.
//!
//! No limit is written down a second time. Each rule is given trial readings, far below and far above anything sound,
//! and the limits that it would hold against them are taken from its judgements.

use std::collections::BTreeMap;

use super::{Case, Judgement, Outcome, RULES, Source};
use crate::catalogue::{Check, Field, FieldKind};
use crate::clock::{Side, Spot};
use crate::inspection::{
    Answer, CheckRef, Conditions, DialPoint, Inspection, LevelReading, Mark, Subject, TreadPoint, Value, Zone,
};
use crate::machine::{FluidState, Stance};
use crate::units::{Distance, Length, Pressure, Temperature, Torque, Voltage};

/// A limit that a reading of a check will be held against.
#[derive(Clone, Debug, PartialEq)]
pub struct Expected {
    /// The field by its id; none where the judgement is about the check as a whole.
    pub field: Option<String>,
    /// The figure in words and in the user's units: `at least 1.6 mm`.
    pub value: String,
    /// Where it comes from.
    pub source: Source,
    /// Whether it binds; else it is shown for comparison.
    pub binds: bool,
}

/// The limits of a check on a part of this machine, those that bind first; empty where nothing is measured, or where
/// neither the machine's data nor a law nor practice gives a figure.
pub fn expected(case: &Case<'_>, check: &CheckRef) -> Vec<Expected> {
    let Some(entry) = case.catalogue.check(&check.check) else { return Vec::new() };
    // A trial machine has stood long enough, and has nothing of today's answers.
    let conditions = Conditions { standing_hours: None, ..case.inspection.conditions.clone() };
    let trial = Inspection { conditions, answers: BTreeMap::new(), findings: Vec::new(), ..case.inspection.clone() };
    let case = Case { inspection: &trial, earlier: &[], ..*case };
    let mut found = Vec::new();
    // The circumstances are left open first; only where that is refused are they said.
    for with in [None, Some(false), Some(true)] {
        for size in [Size::Low, Size::High] {
            collect(&case, check, &answer(&case, check, entry, size, with), &mut found);
        }
        if !found.is_empty() {
            break;
        }
    }
    found.sort_by_key(|e| !e.binds);
    found
}

/// On which side of anything sound a trial reading lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Size {
    Low,
    High,
}

fn collect(case: &Case<'_>, check: &CheckRef, answer: &Answer, found: &mut Vec<Expected>) {
    let rules = RULES.iter().filter(|rule| rule.judges(&check.check));
    let judged: Vec<Judgement> = rules.flat_map(|rule| rule.judge(case, check, Some(answer))).collect();
    for judgement in judged.into_iter().filter(|j| j.outcome != Outcome::Refused) {
        let main = judgement.limit.into_iter().map(|l| (l, true));
        let noted = judgement.outcome == Outcome::Noted;
        for (limit, binds) in main.chain(judgement.others.into_iter().map(|l| (l, !noted))) {
            if found.iter().all(|e| e.value != limit.value) {
                let field = judgement.field.clone();
                found.push(Expected { field, value: limit.value, source: limit.source, binds });
            }
        }
    }
}

fn answer(case: &Case<'_>, check: &CheckRef, entry: &Check, size: Size, choices: Option<bool>) -> Answer {
    let mut answer = Answer::default();
    for field in &entry.fields {
        if let Some(value) = value(case, check, field, size, choices) {
            answer.readings.insert(field.id.clone(), value);
        }
    }
    answer
}

fn value(case: &Case<'_>, check: &CheckRef, field: &Field, size: Size, choices: Option<bool>) -> Option<Value> {
    let of = |low: f64, high: f64| if size == Size::Low { low } else { high };
    let nominal = f64::from(case.machine.nominal_voltage.unwrap_or(12));
    let spots = || (0..8).filter_map(|i| Spot::from_degrees(f64::from(i) * 45.0));
    Some(match &field.kind {
        FieldKind::Pressure => Value::Pressure(Pressure::kpa(of(30.0, 900.0))),
        FieldKind::Depth => Value::Length(Length::mm(of(0.1, 400.0))),
        FieldKind::Length => Value::Length(Length::mm(of(1.0, 5000.0))),
        FieldKind::Temperature => Value::Temperature(Temperature::celsius(of(60.0, 290.0))),
        FieldKind::Voltage => Value::Voltage(Voltage::volts(nominal * of(0.7, 1.4))),
        FieldKind::Torque => Value::Torque(Torque::newton_metres(of(1.0, 400.0))),
        FieldKind::Distance => Value::Distance(Distance::km(of(1.0, 100_000.0))),
        FieldKind::Number => Value::Number(of(20.0, 400.0)),
        FieldKind::Date => Value::Date(case.inspection.date),
        FieldKind::Level => Value::Level(level(case, check)),
        FieldKind::TreadGrid => {
            let depths: Vec<_> = Zone::TREAD.into_iter().map(|z| (z, Length::mm(of(0.2, 9.0)))).collect();
            Value::Tread(spots().map(|spot| TreadPoint { spot, depths: depths.clone() }).collect())
        }
        FieldKind::DialSurvey => {
            let reading = |spot: Spot| Length::mm(if spot == Spot::VALVE { of(0.02, 9.0) } else { 0.0 });
            let points = spots().map(|spot| DialPoint { spot, reading: reading(spot) }).collect();
            Value::Dial(Side::Right, points)
        }
        FieldKind::RoundDepth => {
            let points = spots().map(|spot| DialPoint { spot, reading: Length::mm(of(0.1, 400.0)) }).collect();
            Value::Round(points)
        }
        // The scale of a spoke meter is its own: no figure is known before it is read.
        FieldKind::RoundNumber => return None,
        // Each fastener has its own figure, which stands beside its own field.
        FieldKind::Fasteners => return None,
        FieldKind::Choice(all) => {
            let stance = case.machine.slack_stance.map(stance_id);
            let of_manual = all.iter().find(|c| Some(c.id.as_str()) == stance);
            let mut sound = all.iter().filter(|c| c.fault.is_none());
            let chosen = match choices {
                _ if of_manual.is_some() => of_manual,
                None => None,
                Some(false) => sound.next(),
                Some(true) => sound.next_back(),
            };
            Value::Choice(chosen?.id.clone())
        }
    })
}

/// A level read as the manual of this machine reads it.
fn level(case: &Case<'_>, check: &CheckRef) -> LevelReading {
    let fluid = match check.subject {
        Subject::Fluid(kind) => case.machine.fluid(kind),
        _ => None,
    };
    LevelReading {
        mark: Mark::Between,
        stance: fluid.map_or(Stance::Upright, |f| f.stance),
        state: fluid.map_or(FluidState::Any, |f| f.state),
    }
}

/// The stance as the choices of a slack reading name it.
fn stance_id(stance: Stance) -> &'static str {
    match stance {
        Stance::SideStand => "side-stand",
        Stance::Upright => "upright",
        Stance::CentreStand => "centre-stand",
        Stance::FrontRaised => "front-raised",
        Stance::RearRaised => "rear-raised",
        Stance::RiderAboard => "rider-aboard",
    }
}

#[cfg(test)]
mod tests {
    use super::super::fixture::Bench;
    use super::*;
    use crate::machine::{LimitKind, LimitSource, Placard};

    fn words(bench: &Bench, check: &str) -> Vec<String> {
        let check = CheckRef::try_from(check.to_owned()).expect("a check");
        expected(&bench.case(), &check).into_iter().map(|e| e.value).collect()
    }

    #[test]
    fn a_pressure_shows_the_placard_before_anything_is_read() {
        let mut bench = Bench::new("GB");
        bench.units.pressure = "psi".into();
        bench.machine.wheels[0].placard =
            Some(Placard { solo: Pressure::psi(36.0), loaded: None, source: LimitSource::Placard });
        // A machine that has just been ridden has the same placard.
        bench.inspection.conditions.standing_hours = Some(0.5);
        let found = words(&bench, "tyre-pressure@front");
        assert!(found.iter().any(|w| w.starts_with("36.0 psi") || w.starts_with("36 psi")), "{found:?}");
    }

    #[test]
    fn tread_shows_the_law_and_slack_both_ends_of_the_manuals_range() {
        let mut bench = Bench::new("GB");
        // SI 1986/1078 regulation 27(1)(g): 1 mm over three quarters of the breadth.
        let found = words(&bench, "tyre-tread@front");
        assert!(found.iter().any(|w| w.starts_with("at least 1.0 mm")), "{found:?}");
        bench.machine.slack_stance = Some(Stance::SideStand);
        for (kind, mm) in [(LimitKind::DriveSlackMinimum, 30.0), (LimitKind::DriveSlackMaximum, 40.0)] {
            bench.limit(kind, mm);
        }
        let found = words(&bench, "drive-slack@machine");
        assert!(found.iter().any(|w| w.contains("30")) && found.iter().any(|w| w.contains("40")), "{found:?}");
    }

    #[test]
    fn what_nothing_gives_a_figure_for_has_none() {
        let bench = Bench::new("generic");
        assert!(words(&bench, "horn@machine").is_empty());
        assert!(words(&bench, "not-a-check@machine").is_empty());
    }
}
