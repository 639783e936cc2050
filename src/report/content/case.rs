//! What every part of a record needs: the inspection assessed as on its own day, so that a record printed later says
//! what was true then.

use super::RecordInput;
use super::sources::Sources;
use crate::garage::Bay;
use crate::inspection::{Finding, FindingId, Severity, Station};
use crate::machine::Machine;
use crate::rules::{Assessment, Because, Case, CheckResult, Judgement, Verdict, assess, standing};

/// An earlier finding that was still open on the day of the inspection.
#[derive(Clone, Debug)]
pub(super) struct Earlier {
    pub severity: Severity,
    pub words: String,
    pub note: String,
    pub closed: Option<String>,
}

/// An inspection ready to be written down.
#[derive(Debug)]
pub(super) struct RecordCase<'a> {
    /// What came in.
    pub input: &'a RecordInput<'a>,
    /// The inspection by itself, as on its day.
    pub assessment: Assessment,
    /// The verdict of that day, with what was open from earlier inspections.
    pub verdict: Verdict,
    /// What was open from earlier inspections.
    pub earlier: Vec<Earlier>,
    /// The name of the region whose rules were applied, and what it says of itself.
    pub region: (String, String),
    /// The sources that the parts have cited so far.
    pub sources: Sources,
}

impl<'a> RecordCase<'a> {
    pub fn new(input: &'a RecordInput<'a>) -> Self {
        let (bay, inspection) = (input.bay, input.inspection);
        let day = inspection.date;
        let index = bay.inspections.iter().position(|i| i.id == inspection.id);
        let before = &bay.inspections[..index.unwrap_or(bay.inspections.len())];
        let case = Case::new(&bay.machine, inspection, before, input.catalogue, input.units, day);
        let region = (case.region.shown(), case.region.remark.clone());
        let assessment = assess(&case);
        // The bay as it stood on that day.
        let then = Bay {
            machine: bay.machine.clone(),
            inspections: before.iter().chain([inspection]).cloned().collect(),
            events: bay.events.iter().filter(|e| e.date <= day).cloned().collect(),
            unread: bay.unread.clone(),
        };
        let stood = standing(&then, input.catalogue, input.units, day);
        let earlier = stood
            .open
            .iter()
            .filter(|open| open.inspection.id != inspection.id)
            .map(|open| Earlier {
                severity: open.severity,
                words: format!("{}, found on {}", open.because.words, super::words::day(open.inspection.date)),
                note: open.finding.note.clone(),
                closed: super::history::closed_words(bay, &open.finding.id),
            })
            .collect();
        let verdict = stood.verdict.unwrap_or_else(|| assessment.verdict.clone());
        Self { input, assessment, verdict, earlier, region, sources: Sources::default() }
    }

    /// The machine.
    pub fn machine(&self) -> &'a Machine {
        &self.input.bay.machine
    }

    /// The kind as the catalogue names it: `season opening`.
    pub fn kind_name(&self) -> String {
        let kind = &self.input.inspection.kind;
        self.input.catalogue.kind(kind).map_or_else(|| kind.clone(), |k| k.name.clone())
    }

    /// The result of the check that a finding belongs to.
    pub fn result_of(&self, finding: &Finding) -> Option<&CheckResult> {
        self.assessment.result(&finding.check)
    }

    /// The judgements that grade a finding.
    pub fn judgements_of(&self, id: &FindingId) -> impl Iterator<Item = &Judgement> {
        let id = id.clone();
        self.assessment
            .results
            .iter()
            .flat_map(|r| &r.judgements)
            .filter(move |judgement| judgement.finding.as_ref() == Some(&id))
    }

    /// The class of a finding after any overruling; one whose check no catalogue knows is taken for major, as the
    /// standing of the machine takes it.
    pub fn class_of(&self, id: &FindingId) -> Severity {
        let because = |b: &&Because| b.finding.as_ref() == Some(id);
        self.assessment.verdict.because.iter().find(because).map_or(Severity::Major, |b| b.severity)
    }

    /// The findings with their numbers, worst first, in the order in which they were found within a class.
    pub fn numbered(&self) -> Vec<(usize, &'a Finding)> {
        let mut findings: Vec<&Finding> = self.input.inspection.findings.iter().collect();
        findings.sort_by_key(|f| std::cmp::Reverse(self.class_of(&f.id)));
        findings.into_iter().enumerate().map(|(i, f)| (i + 1, f)).collect()
    }

    /// The results of a station, in order.
    pub fn at(&self, station: Station) -> impl Iterator<Item = &CheckResult> {
        self.assessment.results.iter().filter(move |r| r.station == station)
    }
}
