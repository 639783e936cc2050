//! Assessing an inspection: every check that its kind asks, with its status and its judgements.

use std::borrow::Cow;

use super::after_work::is_second_look;
use super::together::{Together, together};
use super::verdict::{Because, Verdict};
use super::{Case, Judgement, Outcome, RULES, graded};
use crate::catalogue::{Catalogue, Check, Kind, Selection};
use crate::inspection::{
    CheckRef, CheckState, Finding, FindingId, Inspection, Place, Revisit, Seen, Severity, Station,
};

/// What is known of a check.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Status {
    /// Nobody has looked.
    Unchecked,
    /// Could not be checked, with the reason; counts as unchecked.
    CouldNot(String),
    /// The machine lacks the part.
    NotApplicable,
    /// Looked at and sound.
    Sound,
    /// Something was found, or a reading is outside its limit.
    HasFinding,
}

impl Status {
    /// Whether it leaves the check open.
    pub fn is_open(&self) -> bool {
        matches!(self, Self::Unchecked | Self::CouldNot(_))
    }
    /// In words.
    pub fn words(&self) -> String {
        match self {
            Self::Unchecked => "not yet checked".into(),
            Self::CouldNot(why) => format!("could not be checked: {why}"),
            Self::NotApplicable => "not applicable".into(),
            Self::Sound => "sound".into(),
            Self::HasFinding => "has a finding".into(),
        }
    }
}

/// A check of an inspection with its status and its proof.
#[derive(Clone, Debug)]
pub struct CheckResult {
    /// Which check on which part.
    pub check: CheckRef,
    /// Its title with the part: `Cold pressure, front`.
    pub title: String,
    /// Where one stands.
    pub station: Station,
    /// Whether there is no verdict without it.
    pub required: bool,
    /// What is known.
    pub status: Status,
    /// The judgements with their proofs.
    pub judgements: Vec<Judgement>,
    /// The class of its worst fault, after any overruling.
    pub severity: Option<Severity>,
}

/// A finding of an earlier day that the inspection asks about, as a check of its own.
#[derive(Clone, Debug)]
pub struct CarriedResult {
    /// The finding as it was noted, with the size measured now where it was.
    pub finding: Finding,
    /// Where it is and what it is: `Front wheel, 4:30 from the right: cut in the tread`.
    pub title: String,
    /// Where one stands.
    pub station: Station,
    /// What was seen of it.
    pub revisit: Revisit,
    /// Its class by the size it has now; none while nobody has looked, or where it was no longer to be seen.
    pub severity: Option<Severity>,
    /// The judgements that grade it.
    pub judgements: Vec<Judgement>,
}

/// An inspection assessed.
#[derive(Clone, Debug)]
pub struct Assessment {
    /// The checks in walking order.
    pub results: Vec<CheckResult>,
    /// The findings of earlier days that it asks about.
    pub carried: Vec<CarriedResult>,
    /// What they come to, for this inspection alone.
    pub verdict: Verdict,
    /// Faults of one area that a person may raise together.
    pub together: Vec<Together>,
}

impl Assessment {
    /// The result of a check.
    pub fn result(&self, check: &CheckRef) -> Option<&CheckResult> {
        self.results.iter().find(|r| &r.check == check)
    }
}

/// The class of a finding: the worst proposed by any rule, or what a person set, within house rule 3.
pub(super) fn finding_severity(judgements: &[Judgement], finding: &Finding) -> Option<Severity> {
    let proposed =
        judgements.iter().filter(|j| j.finding.as_ref() == Some(&finding.id)).filter_map(Judgement::severity).max()?;
    Some(finding.overrule.as_ref().map_or(proposed, |o| o.over(proposed)))
}

/// What an inspection asks.
pub(super) struct Asked<'a> {
    /// Its kind.
    pub kind: Cow<'a, Kind>,
    /// The checks in walking order.
    pub checks: Vec<(CheckRef, &'a Check)>,
}

/// What an inspection asks: the checks of its kind, what work has disturbed whatever the kind, and what was found or
/// answered outside the kind's checks. A kind that the catalogue does not know asks every check.
pub(super) fn asked<'a>(case: &Case<'a>) -> Asked<'a> {
    let inspection = case.inspection;
    let kind = case.catalogue.kind(&inspection.kind).map_or_else(|| Cow::Owned(everything(inspection)), Cow::Borrowed);
    let mut checks = case.catalogue.checks_for(case.machine, &kind);
    if is_second_look(inspection) {
        checks.retain(|(check, _)| inspection.asks.contains(check));
    }
    let besides = inspection.findings.iter().map(|f| &f.check).chain(inspection.answers.keys());
    for check in inspection.asks.iter().chain(besides) {
        if !checks.iter().any(|(c, _)| c == check)
            && let Some(entry) = case.catalogue.check(&check.check)
        {
            checks.push((check.clone(), entry));
        }
    }
    Asked { kind, checks }
}

/// A kind that nobody knows.
fn everything(inspection: &Inspection) -> Kind {
    Kind {
        id: inspection.kind.clone(),
        name: inspection.kind.clone(),
        replaces: false,
        origin: None,
        called: format!("an inspection of the kind \"{}\"", inspection.kind),
        in_order: false,
        checks: Selection::All,
        required: Selection::All,
        lapses_after_days: 0,
        lapses_after_km: 0,
    }
}

/// Assesses an inspection.
pub fn assess(case: &Case<'_>) -> Assessment {
    let Asked { kind, checks } = asked(case);
    let results: Vec<CheckResult> =
        checks.into_iter().map(|(reference, check)| result(case, &kind, reference, check)).collect();
    let carried = case.inspection.carried.iter().filter_map(|(id, revisit)| carried(case, id, revisit)).collect();
    let because = reasons(case, &results);
    let together = together(case, &because);
    let verdict = Verdict::of_inspection(case, &kind, &results, because);
    Assessment { results, carried, verdict, together }
}

/// A finding of an earlier day as a check of its own; none where it is not on record (any more).
pub(super) fn carried(case: &Case<'_>, id: &FindingId, revisit: &Revisit) -> Option<CarriedResult> {
    let mut finding = case.earlier.iter().flat_map(|i| &i.findings).find(|f| &f.id == id)?.clone();
    let entry = case.catalogue.check(&finding.check.check);
    finding.size = revisit.size.or(finding.size);
    let (station, words) = match entry {
        Some(check) => (Catalogue::station(check, &finding.check), titled(check, &finding.check)),
        None => (Station::LeftFlank, finding.check.to_string()),
    };
    let station = match &finding.place {
        Place::Wheel { position, .. } => Station::of_wheel(*position),
        Place::Part { station: seen_from, .. } if entry.is_none() => *seen_from,
        Place::Part { .. } => station,
    };
    let judgements = entry.map_or_else(Vec::new, |check| by_own(check, graded_all(case, &finding, check)));
    let is_there = matches!(revisit.seen, Seen::Still | Seen::Grown);
    let severity = finding_severity(&judgements, &finding).or(Some(Severity::Major)).filter(|_| is_there);
    let title = super::verdict::finding_words(case, &finding, &words);
    Some(CarriedResult { finding, title, station, revisit: revisit.clone(), severity, judgements })
}

/// The title of a check with its part: `Cold pressure, front`.
fn titled(check: &Check, reference: &CheckRef) -> String {
    let part = reference.subject.words();
    if part.is_empty() { check.title.clone() } else { format!("{}, {part}", check.title) }
}

/// The judgements of a check that the garage's own file has so, each with that file among its sources.
fn by_own(check: &crate::catalogue::Check, mut judgements: Vec<Judgement>) -> Vec<Judgement> {
    if let Some(words) = check.own_words() {
        let source = super::Source::Own(words);
        judgements.iter_mut().for_each(|judgement| judgement.graded_by.push(source.clone()));
    }
    judgements
}

/// Everything that grades a finding. A fault that this catalogue does not know is kept and taken for major until
/// someone grades it.
fn graded_all(case: &Case<'_>, finding: &Finding, check: &Check) -> Vec<Judgement> {
    let Some(fault) = check.fault(&finding.fault) else {
        let words =
            format!("The fault \"{}\" is not in this catalogue; it counts as major until it is graded.", finding.fault);
        let mut unknown = Judgement::new("unknown-fault", &finding.check, Outcome::Fault(Severity::Major), words);
        unknown.finding = Some(finding.id.clone());
        unknown.graded_by.push(super::Source::Practice("an unknown fault is not taken lightly".into()));
        return vec![unknown];
    };
    let mut judgements = vec![graded::judge(case, finding, fault)];
    judgements.extend(RULES.iter().filter_map(|rule| rule.judge_finding(case, finding, fault)));
    judgements
}

/// What an inspection says of one check that it asks.
pub(super) fn result(case: &Case<'_>, kind: &Kind, reference: CheckRef, check: &Check) -> CheckResult {
    let answer = case.inspection.answer(&reference);
    let mut judgements: Vec<Judgement> = RULES
        .iter()
        .filter(|rule| rule.judges(&reference.check))
        .flat_map(|rule| rule.judge(case, &reference, answer))
        .collect();
    let findings: Vec<&Finding> = case.inspection.findings_of(&reference).collect();
    judgements.extend(findings.iter().flat_map(|finding| graded_all(case, finding, check)));
    let judgements = by_own(check, judgements);
    let read = judgements
        .iter()
        .filter(|j| j.finding.is_none())
        .filter_map(Judgement::severity)
        .max()
        .map(|s| case.inspection.overrules.get(&reference).map_or(s, |o| o.over(s)));
    let found = findings.iter().filter_map(|f| finding_severity(&judgements, f)).max();
    let severity = read.max(found);
    let decided = decided_by_readings(check, &judgements);
    let refused = judgements.iter().any(|j| j.outcome == Outcome::Refused);
    let status = match answer.map(|a| &a.state) {
        _ if severity.is_some() => Status::HasFinding,
        Some(CheckState::CouldNot(why)) => Status::CouldNot(why.clone()),
        Some(CheckState::NotApplicable) if !applies(case.catalogue, case, &reference) => Status::NotApplicable,
        Some(CheckState::Sound) if !refused => Status::Sound,
        _ if decided && !refused => Status::Sound,
        _ => Status::Unchecked,
    };
    CheckResult {
        title: titled(check, &reference),
        station: Catalogue::station(check, &reference),
        required: (kind.required.holds(&reference.check) || case.inspection.asks.contains(&reference))
            && applies(case.catalogue, case, &reference),
        check: reference,
        status,
        judgements,
        severity,
    }
}

/// Whether the readings alone make a check sound: the catalogue names the fields that decide it, every one of them was
/// read, and each was judged sound. Where it names none, a sound reading is shown as such but the check stays open
/// until someone says that they looked: a thick disc may still be cracked.
fn decided_by_readings(check: &Check, judgements: &[Judgement]) -> bool {
    let sound =
        |field: &String| judgements.iter().any(|j| j.field.as_ref() == Some(field) && j.outcome == Outcome::Sound);
    !check.decided_by.is_empty() && check.decided_by.iter().all(sound)
}

/// Whether the machine has the part that a check is about.
fn applies(catalogue: &Catalogue, case: &Case<'_>, reference: &CheckRef) -> bool {
    catalogue.check(&reference.check).is_some_and(|check| {
        check.when.iter().all(|c| c.holds(case.machine)) && check.on.subjects(case.machine).contains(&reference.subject)
    })
}

/// What speaks against riding, worst first.
fn reasons(case: &Case<'_>, results: &[CheckResult]) -> Vec<Because> {
    let mut reasons = Vec::new();
    for result in results {
        for finding in case.inspection.findings_of(&result.check) {
            if let Some(severity) = finding_severity(&result.judgements, finding) {
                reasons.push(Because::finding(case, result, finding, severity));
            }
        }
        reasons.extend(reading_reason(case, result));
    }
    reasons.sort_by_key(|entry| std::cmp::Reverse(entry.severity));
    reasons
}

/// What the readings of a check say against riding, by the worst of them.
pub(super) fn reading_reason(case: &Case<'_>, result: &CheckResult) -> Option<Because> {
    let judgement = result.judgements.iter().filter(|j| j.finding.is_none()).max_by_key(|j| j.severity())?;
    let severity = judgement.severity()?;
    Some(Because {
        severity: case.inspection.overrules.get(&result.check).map_or(severity, |o| o.over(severity)),
        check: result.check.clone(),
        finding: None,
        rule: Some(judgement.rule),
        inspection: case.inspection.id.clone(),
        words: format!("{}: {}", result.title, judgement.sentence),
    })
}
