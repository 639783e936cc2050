//! The inspections of a machine, judged only as far as they still count: the last one and its second looks whole, of the
//! earlier ones what no later look has answered. Gives what judging all of them would give, which a test holds.

use std::collections::{BTreeMap, BTreeSet};
use std::rc::Rc;

use chrono::NaiveDate;

use super::after_work::is_second_look;
use super::assess::{Asked, asked, carried, finding_severity, reading_reason, result};
use super::{Assessment, Because, Case, CheckResult, Judgement, Outcome, RULES, Status, assess};
use crate::catalogue::Catalogue;
use crate::garage::Bay;
use crate::inspection::{CheckRef, Finding, FindingId, Inspection, InspectionId, Severity};
use crate::units::Preferences;

/// The inspections of a bay, oldest first, by their index.
pub(super) struct Past<'a> {
    bay: &'a Bay,
    catalogue: &'a Catalogue,
    units: &'a Preferences,
    today: NaiveDate,
    /// Those that are assessed whole.
    whole: BTreeMap<usize, Assessment>,
    /// Of the others, what was asked and what has been judged so far.
    asked: BTreeMap<usize, Rc<Asked<'a>>>,
    results: BTreeMap<(usize, CheckRef), Option<Rc<CheckResult>>>,
    by_id: BTreeMap<&'a InspectionId, usize>,
}

/// What later inspections have answered of a check.
#[derive(Default)]
struct Answered {
    /// Somebody has looked.
    is_closed: bool,
    /// The machine was found not to have the part.
    is_without: bool,
    /// The rules that judged a reading.
    measured: BTreeSet<&'static str>,
}

impl Answered {
    fn take_in(&mut self, result: &CheckResult) {
        if result.status.is_open() {
            return;
        }
        self.is_closed = true;
        self.is_without |= result.status == Status::NotApplicable;
        self.measured.extend(result.judgements.iter().filter(|j| is_measured(j)).map(|j| j.rule));
    }
}

fn is_measured(judgement: &Judgement) -> bool {
    judgement.finding.is_none() && matches!(judgement.outcome, Outcome::Sound | Outcome::Fault(_))
}

/// Whether a later look answers a reading that was outside its limit: the same check is no longer open. What was
/// dangerous is answered only by a reading judged by the same rule, since "looks sound" is no second measurement
/// (house rule 3).
fn answers(later: Option<&CheckResult>, because: &Because) -> bool {
    let Some(result) = later.filter(|r| !r.status.is_open()) else { return false };
    because.severity < Severity::Dangerous
        || result.status == Status::NotApplicable
        || result.judgements.iter().any(|j| is_measured(j) && Some(j.rule) == because.rule)
}

impl<'a> Past<'a> {
    /// Assesses the inspection that a verdict stands on, the last that was more than a second look, and those after it.
    pub(super) fn new(bay: &'a Bay, catalogue: &'a Catalogue, units: &'a Preferences, today: NaiveDate) -> Self {
        let mut past = Self {
            bay,
            catalogue,
            units,
            today,
            whole: BTreeMap::new(),
            asked: BTreeMap::new(),
            results: BTreeMap::new(),
            by_id: bay.inspections.iter().enumerate().map(|(at, i)| (&i.id, at)).collect(),
        };
        past.assess_from(past.base().unwrap_or(0));
        past
    }

    fn assess_from(&mut self, first: usize) {
        for at in first..self.bay.inspections.len() {
            self.whole.insert(at, assess(&self.case(at)));
        }
    }

    /// The inspection that a verdict stands on; none where there is none.
    pub(super) fn base(&self) -> Option<usize> {
        let all = &self.bay.inspections;
        all.iter().rposition(|i| !is_second_look(i)).or(all.len().checked_sub(1))
    }

    /// An inspection that was assessed whole, and those after it.
    pub(super) fn whole_from(&self, first: usize) -> Vec<(&'a Inspection, &Assessment)> {
        self.whole.range(first..).map(|(at, assessment)| (&self.bay.inspections[*at], assessment)).collect()
    }

    fn case(&self, at: usize) -> Case<'a> {
        let all = &self.bay.inspections;
        Case::new(&self.bay.machine, &all[at], &all[..at], self.catalogue, self.units, self.today)
    }

    fn asked(&mut self, at: usize) -> Rc<Asked<'a>> {
        let case = self.case(at);
        self.asked.entry(at).or_insert_with(|| Rc::new(asked(&case))).clone()
    }

    /// What an inspection says of a check; none where it did not ask it.
    pub(super) fn result(&mut self, at: usize, check: &CheckRef) -> Option<Rc<CheckResult>> {
        if let Some(known) = self.results.get(&(at, check.clone())) {
            return known.clone();
        }
        let found = match self.whole.get(&at) {
            Some(assessment) => assessment.result(check).cloned(),
            None => {
                let (case, asked) = (self.case(at), self.asked(at));
                let entry = asked.checks.iter().find(|(c, _)| c == check);
                entry.map(|(check, entry)| result(&case, &asked.kind, check.clone(), entry))
            }
        };
        let found = found.map(Rc::new);
        self.results.insert((at, check.clone()), found.clone());
        found
    }

    /// The class of a finding and the reason that it is, by the inspection that holds it; none where nothing is known of
    /// its check.
    pub(super) fn found(&mut self, inspection: &Inspection, finding: &Finding) -> Option<(Severity, Because)> {
        let at = *self.by_id.get(&inspection.id)?;
        let result = self.result(at, &finding.check)?;
        let severity = finding_severity(&result.judgements, finding)?;
        Some((severity, Because::finding(&self.case(at), &result, finding, severity)))
    }

    /// The class that a later look gave to a finding of an earlier day, where it is one of those that `holds` names.
    pub(super) fn looked_again(&self, inspection: &Inspection, holds: impl Fn(&FindingId) -> bool) -> Option<Severity> {
        let case = self.case(*self.by_id.get(&inspection.id)?);
        let mut seen = case.inspection.carried.iter().filter(|(id, _)| holds(id));
        seen.find_map(|(id, revisit)| carried(&case, id, revisit))?.severity
    }

    /// The readings outside their limits that no later look has answered, oldest first, each with its inspection.
    pub(super) fn unanswered(&mut self) -> Vec<(&'a Inspection, Because)> {
        let mut later: BTreeMap<CheckRef, Answered> = BTreeMap::new();
        let mut found = Vec::new();
        for at in (0..self.bay.inspections.len()).rev() {
            let mut here = Vec::new();
            for (check, _) in &self.asked(at).checks {
                if later.get(check).is_some_and(|answered| !self.may_be_left(at, check, answered)) {
                    continue;
                }
                let Some(result) = self.result(at, check) else { continue };
                here.extend(reading_reason(&self.case(at), &result).filter(|b| !self.is_answered(at, b)));
                later.entry(check.clone()).or_default().take_in(&result);
            }
            here.sort_by_key(|because| std::cmp::Reverse(because.severity));
            found.push(here.into_iter().map(move |because| (at, because)));
        }
        found.into_iter().rev().flatten().map(|(at, because)| (&self.bay.inspections[at], because)).collect()
    }

    /// Whether something of a check may be left, though somebody has looked since: something dangerous by a rule that has
    /// judged no later reading, or by the word of a person. Only those rules are asked.
    fn may_be_left(&self, at: usize, check: &CheckRef, later: &Answered) -> bool {
        if !later.is_closed {
            return true;
        }
        if later.is_without {
            return false;
        }
        let case = self.case(at);
        if case.inspection.overrules.contains_key(check) {
            return true;
        }
        let answer = case.inspection.answer(check);
        let rules = RULES.iter().filter(|r| r.judges(&check.check) && !later.measured.contains(r.id()));
        rules.flat_map(|rule| rule.judge(&case, check, answer)).any(|j| j.severity() == Some(Severity::Dangerous))
    }

    fn is_answered(&mut self, at: usize, because: &Because) -> bool {
        (at + 1..self.bay.inspections.len())
            .any(|later| answers(self.result(later, &because.check).as_deref(), because))
    }
}
