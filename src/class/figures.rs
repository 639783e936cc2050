//! What the scores of a class come to: how often each finding was found, recall and precision with their intervals,
//! the position error, and how far the students' classes agree with the key's. Must not know the sheets.

use std::collections::BTreeMap;

use super::score::{Outcome, Score};
use crate::exercise::Key;
use crate::inspection::{FindingId, Severity, Station};
use crate::stats::{Interval, Kappa, median, weighted_kappa, wilson};

/// What became of one finding of the key over the class.
#[derive(Clone, Debug, PartialEq)]
pub struct OfFinding {
    /// The finding.
    pub key: FindingId,
    /// By how many it was found as the key asks.
    pub found: usize,
    /// By how many in the wrong place.
    pub misplaced: usize,
    /// By how many under another name.
    pub other_name: usize,
    /// By how many not at all.
    pub missed: usize,
    /// How many of those looked and called it sound.
    pub called_sound: usize,
}

impl OfFinding {
    /// How many sheets did not have it as the key asks.
    pub fn not_found(&self) -> usize {
        self.misplaced + self.other_name + self.missed
    }
}

/// A share with its interval.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Share {
    /// How many.
    pub part: usize,
    /// Of how many.
    pub whole: usize,
    /// The 95 per cent interval by Wilson's score (E. B. Wilson, JASA 22 (1927) 209-212).
    pub interval: Interval,
}

impl Share {
    /// The share itself, 0 to 1.
    pub fn value(&self) -> f64 {
        self.part as f64 / self.whole as f64
    }
    fn of(part: usize, whole: usize) -> Option<Self> {
        Some(Self { part, whole, interval: wilson(part, whole)? })
    }
}

/// What a class, or one student of it, comes to.
#[derive(Clone, Debug, PartialEq)]
pub struct ClassFigures {
    /// How many sheets.
    pub sheets: usize,
    /// The median score in per cent of what could be earned; none without sheets, or where the key weighs nothing.
    pub percent: Option<f64>,
    /// Found as the key asks, of all there were to find; none where the key has no finding.
    pub recall: Option<Share>,
    /// Found as the key asks, of all that was written down; none where that was nothing.
    pub precision: Option<Share>,
    /// The median distance from the key's position, in minutes of the hour-hand clock, of all findings that were
    /// paired with a position; none where there is none.
    pub minutes_off: Option<f64>,
    /// The same in mm, where the size of the wheel is known.
    pub millimetres_off: Option<f64>,
    /// How far the classes given agree with the key's, over the findings that were paired; none where every one is of
    /// one class and agreement cannot be told from chance.
    pub severity: Option<Kappa>,
    /// How many verdicts were the key's.
    pub verdicts_right: usize,
    /// The median minutes at each station, of those whose times were kept and who answered something there.
    pub stations: BTreeMap<Station, f64>,
    /// The median minutes from the first to the last answer.
    pub minutes: Option<f64>,
    /// Each finding of the key, the most often missed first.
    pub findings: Vec<OfFinding>,
}

/// The figures of a class; of one student, given that score alone.
pub fn class_figures(key: &Key, scores: &[&Score]) -> ClassFigures {
    let sum = |of: &dyn Fn(&Score) -> usize| scores.iter().map(|s| of(s)).sum::<usize>();
    let found = sum(&|s| s.found());
    let off = |of: &dyn Fn(&super::Nearness) -> Option<f64>| -> Option<f64> {
        let all: Vec<f64> = scores.iter().flat_map(|s| s.pairings.iter().filter_map(|p| of(&p.nearness))).collect();
        median(&all)
    };
    let mut findings: Vec<OfFinding> = key.inspection.findings.iter().map(|f| of_finding(&f.id, scores)).collect();
    // Stable: what was missed equally often stays in the key's order.
    findings.sort_by_key(|f| std::cmp::Reverse((f.missed, f.not_found())));
    ClassFigures {
        sheets: scores.len(),
        percent: median(&scores.iter().filter_map(|s| s.percent()).collect::<Vec<_>>()),
        recall: Share::of(found, sum(&|s| s.pairings.len() + s.missed.len())),
        precision: Share::of(found, sum(&|s| s.pairings.len() + s.alarms.len())),
        minutes_off: off(&|n| n.minutes),
        millimetres_off: off(&|n| n.millimetres),
        severity: weighted_kappa(&severity_table(scores)),
        stations: times(scores),
        minutes: median(&scores.iter().filter_map(|s| s.minutes).collect::<Vec<_>>()),
        verdicts_right: sum(&|s| usize::from(s.decision == s.key_decision)),
        findings,
    }
}

fn times(scores: &[&Score]) -> BTreeMap<Station, f64> {
    let mut all: BTreeMap<Station, Vec<f64>> = BTreeMap::new();
    for (station, minutes) in scores.iter().flat_map(|s| &s.stations) {
        all.entry(*station).or_default().push(*minutes);
    }
    all.into_iter().filter_map(|(station, minutes)| Some((station, median(&minutes)?))).collect()
}

/// How often each class of the key (rows) was given each class by the students (columns), over what was paired.
fn severity_table(scores: &[&Score]) -> Vec<Vec<u32>> {
    let at = |severity| Severity::ALL.iter().position(|s| *s == severity).unwrap_or_default();
    let mut table = vec![vec![0; Severity::ALL.len()]; Severity::ALL.len()];
    for pairing in scores.iter().flat_map(|s| &s.pairings) {
        table[at(pairing.key_severity)][at(pairing.severity)] += 1;
    }
    table
}

fn of_finding(id: &FindingId, scores: &[&Score]) -> OfFinding {
    let outcomes =
        |wanted| scores.iter().flat_map(|s| &s.pairings).filter(|p| &p.key == id && p.outcome == wanted).count();
    let missed: Vec<_> = scores.iter().flat_map(|s| &s.missed).filter(|m| &m.key == id).collect();
    OfFinding {
        key: id.clone(),
        found: outcomes(Outcome::Found),
        misplaced: outcomes(Outcome::Misplaced),
        other_name: outcomes(Outcome::OtherName),
        missed: missed.len(),
        called_sound: missed.iter().filter(|m| m.called_sound).count(),
    }
}
