//! A bench for the tests of the rules: one machine, one inspection, and the built-in catalogue.

use chrono::NaiveDate;

use super::{Assessment, Case, Judgement, Outcome, Rule, assess};
use crate::catalogue::Catalogue;
use crate::inspection::{CheckRef, Inspection, InspectionId, Severity, Value};
use crate::machine::{Layout, Limit, LimitKind, LimitSource, Machine, MachineId, Quota, Tyre};
use crate::units::{Length, Preferences};

/// What a rule is tried on.
pub(crate) struct Bench {
    pub machine: Machine,
    pub inspection: Inspection,
    pub earlier: Vec<Inspection>,
    pub units: Preferences,
}

impl Bench {
    /// A solo machine in a region, inspected on 25 November 2026.
    pub fn new(region: &str) -> Self {
        let mut machine = Machine::new(MachineId("bench-1".into()), "Bench", Layout::Solo);
        machine.region = region.into();
        let inspection = Inspection {
            schema: 1,
            id: InspectionId("2026-11-25-season-1".into()),
            kind: "season".into(),
            date: NaiveDate::from_ymd_opt(2026, 11, 25).expect("a day"),
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
        };
        Self { machine, inspection, earlier: vec![], units: Preferences::default() }
    }
    /// Puts a tyre on a wheel.
    pub fn fit_tyre(&mut self, wheel: usize, marking: &str) {
        self.machine.wheels[wheel].tyre = Some(Tyre::new(crate::tyre::TyreMarking::parse(marking).expect("a marking")));
    }
    /// Gives the machine a length limit from its manual.
    pub fn limit(&mut self, kind: LimitKind, mm: f64) {
        let source = LimitSource::Manual("page 7".into());
        self.machine.limits.push(Limit { kind, value: Quota::Length(Length::mm(mm)), source });
    }
    /// Records a reading.
    pub fn read(&mut self, check: &CheckRef, field: &str, value: Value) {
        self.inspection.answers.entry(check.clone()).or_default().readings.insert(field.into(), value);
    }
    pub fn case(&self) -> Case<'_> {
        Case::new(
            &self.machine,
            &self.inspection,
            &self.earlier,
            Catalogue::builtin(),
            &self.units,
            self.inspection.date,
        )
    }
    /// What one rule says of a check.
    pub fn judgements(&self, rule: &dyn Rule, check: &CheckRef) -> Vec<Judgement> {
        rule.judge(&self.case(), check, self.inspection.answer(check))
    }
    pub fn assess(&self) -> Assessment {
        assess(&self.case())
    }
}

/// The class of a judgement; none where it is sound. Anything else is no verdict and fails the test that asks.
pub(crate) fn outcome_of(judgement: &Judgement) -> Option<Severity> {
    match judgement.outcome {
        Outcome::Sound => None,
        Outcome::Fault(severity) => Some(severity),
        Outcome::Noted | Outcome::Refused => {
            assert_eq!(judgement.outcome, Outcome::Sound, "{}", judgement.sentence);
            None
        }
    }
}
