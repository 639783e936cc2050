//! One student's sheet against the key: what was found, misplaced, misnamed, missed or invented, the readings, the
//! verdict, and the time at each station. Must not know the other students.

use std::collections::BTreeMap;

use super::nearness::{Nearness, nearness};
use super::readings::{self, ReadingOutcome, ReadingScore};
use super::stations;
use crate::catalogue::Catalogue;
use crate::exercise::{Key, Marking, Sheet, SheetId};
use crate::inspection::{CheckRef, CheckState, Finding, FindingId, Inspection, Severity, Station};
use crate::machine::Machine;
use crate::rules::{Assessment, Case, Decision, assess};
use crate::stats::{AssignmentError, pair_up};
use crate::units::Preferences;

/// What leaving a finding of the key, or of the student, without a partner costs: a pair is made where it costs less
/// than leaving both alone. A house rule.
const ALONE: f64 = 0.75;

/// What became of a finding of the key that was paired.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Outcome {
    /// Named and placed as the key asks.
    Found,
    /// Named, but not in the right place.
    Misplaced,
    /// In the right place under a name that does not count.
    OtherName,
}

impl Outcome {
    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Found => "found",
            Self::Misplaced => "misplaced",
            Self::OtherName => "found, named otherwise",
        }
    }
}

/// A finding of the key with the student's that answers it.
#[derive(Clone, Debug, PartialEq)]
pub struct Pairing {
    /// The key's finding.
    pub key: FindingId,
    /// The student's.
    pub found: FindingId,
    /// How near they are.
    pub nearness: Nearness,
    /// What it amounts to.
    pub outcome: Outcome,
    /// The class by the key.
    pub key_severity: Severity,
    /// The class by the student.
    pub severity: Severity,
    /// What it earns, in weights.
    pub earned: f64,
}

/// A finding of the key that nobody answered.
#[derive(Clone, Debug, PartialEq)]
pub struct Missed {
    /// The key's finding.
    pub key: FindingId,
    /// Its class by the key.
    pub severity: Severity,
    /// Whether the student looked at the check and called it sound.
    pub called_sound: bool,
}

/// A finding of the student that the key does not know.
#[derive(Clone, Debug, PartialEq)]
pub struct Alarm {
    /// The student's finding.
    pub found: FindingId,
    /// Its class.
    pub severity: Severity,
}

/// A student's sheet scored.
#[derive(Clone, Debug, PartialEq)]
pub struct Score {
    /// The sheet.
    pub sheet: SheetId,
    /// The student.
    pub student: String,
    /// Findings of the key that were answered, in the key's order.
    pub pairings: Vec<Pairing>,
    /// Findings of the key that were not, in the key's order.
    pub missed: Vec<Missed>,
    /// False alarms, in the student's order.
    pub alarms: Vec<Alarm>,
    /// The readings that are marked.
    pub readings: Vec<ReadingScore>,
    /// The verdict by the key.
    pub key_decision: Decision,
    /// The verdict of the student's inspection.
    pub decision: Decision,
    /// Minutes at each station, where the times were kept.
    pub stations: BTreeMap<Station, f64>,
    /// Minutes from the first to the last answer, where the times were kept.
    pub minutes: Option<f64>,
    /// What was earned, in weights; never below zero.
    pub earned: f64,
    /// What could be earned.
    pub out_of: f64,
}

impl Score {
    /// What was earned in per cent of what could be; none where the key weighs nothing.
    pub fn percent(&self) -> Option<f64> {
        (self.out_of > 0.0).then(|| 100.0 * self.earned / self.out_of)
    }
    /// How many readings are right, of how many that the key holds; a reading of weight 0 counts as any other.
    pub fn readings_right(&self) -> (usize, usize) {
        let count =
            |wanted: &dyn Fn(&ReadingOutcome) -> bool| self.readings.iter().filter(|r| wanted(&r.outcome)).count();
        (count(&|o| *o == ReadingOutcome::Right), count(&|o| *o != ReadingOutcome::NoKey))
    }
    /// How many findings of the key were found as it asks, whatever class they were given.
    pub fn found(&self) -> usize {
        self.pairings.iter().filter(|p| p.outcome == Outcome::Found).count()
    }
    /// Recall: found by all there were; none where the key has no finding.
    pub fn recall(&self) -> Option<f64> {
        ratio(self.found(), self.pairings.len() + self.missed.len())
    }
    /// Precision: found by all that the student wrote down; none where that was nothing.
    pub fn precision(&self) -> Option<f64> {
        ratio(self.found(), self.pairings.len() + self.alarms.len())
    }
}

pub(super) fn ratio(part: usize, whole: usize) -> Option<f64> {
    (whole > 0).then(|| part as f64 / whole as f64)
}

/// Scores a sheet. The machine is the instructor's own.
///
/// # Errors
/// A mark of the key that is no number, so that nearness cannot be told.
pub fn score(
    machine: &Machine,
    key: &Key,
    sheet: &Sheet,
    catalogue: &Catalogue,
    units: &Preferences,
) -> Result<Score, AssignmentError> {
    let by_key = assessed(machine, &key.inspection, catalogue, units);
    let by_student = assessed(machine, &sheet.inspection, catalogue, units);
    let (wanted, written) = (&key.inspection.findings, &sheet.inspection.findings);
    let near: Vec<Vec<Option<Nearness>>> =
        wanted.iter().map(|k| written.iter().map(|f| nearness(machine, k, &key.mark(&k.id), f)).collect()).collect();
    let partners = partners(&near)?;

    let (mut pairings, mut missed) = (Vec::new(), Vec::new());
    let mut answered = vec![false; written.len()];
    for (finding, (row, partner)) in wanted.iter().zip(near.iter().zip(partners)) {
        let key_severity = severity(&by_key, finding);
        let paired = partner.and_then(|at| row[at].clone().map(|n| (at, n)));
        match paired {
            Some((at, nearness)) => {
                answered[at] = true;
                let severity = severity(&by_student, &written[at]);
                let outcome = match (nearness.named, nearness.slips.is_empty()) {
                    (true, true) => Outcome::Found,
                    (true, false) => Outcome::Misplaced,
                    (false, _) => Outcome::OtherName,
                };
                let weight = key.mark(&finding.id).weight;
                let earned = weight * share(&key.marking, outcome, severity == key_severity);
                pairings.push(Pairing {
                    key: finding.id.clone(),
                    found: written[at].id.clone(),
                    nearness,
                    outcome,
                    key_severity,
                    severity,
                    earned,
                });
            }
            None => missed.push(Missed {
                key: finding.id.clone(),
                severity: key_severity,
                called_sound: called_sound(&sheet.inspection, &finding.check),
            }),
        }
    }
    let alarms: Vec<Alarm> = written
        .iter()
        .zip(&answered)
        .filter(|(_, answered)| !**answered)
        .map(|(f, _)| Alarm { found: f.id.clone(), severity: severity(&by_student, f) })
        .collect();
    let readings: Vec<ReadingScore> =
        key.readings.iter().map(|mark| readings::compare(mark, &key.inspection, &sheet.inspection)).collect();

    let (key_decision, decision) = (by_key.verdict.decision, by_student.verdict.decision);
    let weights: f64 = wanted.iter().map(|f| key.mark(&f.id).weight).sum();
    let out_of = weights + key.readings.iter().map(|r| r.weight).sum::<f64>() + key.marking.verdict;
    let earned = pairings.iter().map(|p| p.earned).sum::<f64>()
        + readings.iter().map(|r| r.earned).sum::<f64>()
        + if decision == key_decision { key.marking.verdict } else { 0.0 }
        - key.marking.false_alarm * alarms.len() as f64;
    let (stations, minutes) = stations::times(&sheet.inspection, &by_student);
    Ok(Score {
        sheet: sheet.id.clone(),
        student: sheet.student.clone(),
        pairings,
        missed,
        alarms,
        readings,
        key_decision,
        decision,
        stations,
        minutes,
        earned: earned.max(0.0),
        out_of,
    })
}

/// An inspection by itself on its own day, without the machine's past: the key's and a student's alike.
pub(super) fn assessed(
    machine: &Machine,
    inspection: &Inspection,
    catalogue: &Catalogue,
    units: &Preferences,
) -> Assessment {
    assess(&Case::new(machine, inspection, &[], catalogue, units, inspection.date))
}

/// For each finding of the key the student's that answers it, so that the whole costs least: optimal assignment with
/// the choice of leaving both alone.
fn partners(near: &[Vec<Option<Nearness>>]) -> Result<Vec<Option<usize>>, AssignmentError> {
    let costs: Vec<Vec<f64>> =
        near.iter().map(|row| row.iter().map(|n| n.as_ref().map_or(f64::INFINITY, |n| n.cost)).collect()).collect();
    pair_up(&costs, 2.0 * ALONE)
}

fn share(marking: &Marking, outcome: Outcome, same_severity: bool) -> f64 {
    let place = match outcome {
        Outcome::Found => 1.0,
        Outcome::Misplaced => marking.misplaced,
        Outcome::OtherName => marking.other_name,
    };
    place * if same_severity { 1.0 } else { marking.other_severity }
}

pub(super) fn severity(assessment: &Assessment, finding: &Finding) -> Severity {
    let reason = assessment.verdict.because.iter().find(|b| b.finding.as_ref() == Some(&finding.id));
    // What no catalogue knows counts as major, as everywhere in the house.
    reason.map_or(Severity::Major, |b| b.severity)
}

fn called_sound(inspection: &Inspection, check: &CheckRef) -> bool {
    inspection.answer(check).is_some_and(|a| a.state == CheckState::Sound)
}
