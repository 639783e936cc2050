//! Where a machine stands today: the verdict of its last inspection, what is still open from earlier ones, and whether
//! the verdict still holds.

use chrono::NaiveDate;

use super::assess::finding_severity;
use super::verdict::count;
use super::{Because, Case, CheckResult, Decision, Judgement, Outcome, Status, Verdict, assess};
use crate::catalogue::Catalogue;
use crate::garage::Bay;
use crate::inspection::{EventKind, Finding, Inspection, Severity};
use crate::units::{Distance, Preferences};

/// A finding that nobody has closed.
#[derive(Clone, Debug)]
pub struct OpenFinding<'a> {
    /// The inspection that holds it.
    pub inspection: &'a Inspection,
    /// The finding.
    pub finding: &'a Finding,
    /// Its class after any overruling.
    pub severity: Severity,
    /// The reason as the verdict gives it.
    pub because: Because,
}

/// Where a machine stands.
#[derive(Clone, Debug)]
pub struct Standing<'a> {
    /// The last inspection, if there is one.
    pub inspection: Option<&'a Inspection>,
    /// The verdict with what is open from earlier inspections; none before the first inspection.
    pub verdict: Option<Verdict>,
    /// The recorded findings that are open, worst first.
    pub open: Vec<OpenFinding<'a>>,
}

/// Where a machine stands on a day.
pub fn standing<'a>(bay: &'a Bay, catalogue: &'a Catalogue, units: &'a Preferences, today: NaiveDate) -> Standing<'a> {
    let mut open = Vec::new();
    let mut unanswered = Vec::new();
    let mut verdict = None;
    for (index, inspection) in bay.inspections.iter().enumerate() {
        let case = Case::new(&bay.machine, inspection, &bay.inspections[..index], catalogue, units, today);
        let assessment = assess(&case);
        for finding in inspection.findings.iter().filter(|f| bay.closing(&f.id).is_none()) {
            let judged = assessment.result(&finding.check).and_then(|r| finding_severity(&r.judgements, finding));
            // A finding whose check no catalogue knows is still open, and is taken for major.
            let severity = judged.unwrap_or(Severity::Major);
            let because = assessment
                .verdict
                .because
                .iter()
                .find(|b| b.finding.as_ref() == Some(&finding.id))
                .cloned()
                .unwrap_or_else(|| Because {
                    severity,
                    check: finding.check.clone(),
                    finding: Some(finding.id.clone()),
                    rule: None,
                    inspection: inspection.id.clone(),
                    words: format!("{}: {}", finding.check, finding.fault),
                });
            open.push(OpenFinding { inspection, finding, severity, because });
        }
        unanswered.retain(|(_, b): &(&Inspection, Because)| !answers(assessment.result(&b.check), b));
        unanswered
            .extend(assessment.verdict.because.iter().filter(|b| b.finding.is_none()).map(|b| (inspection, b.clone())));
        verdict = Some((inspection, assessment.verdict));
    }
    open.sort_by_key(|entry| std::cmp::Reverse(entry.severity));
    let Some((inspection, mut verdict)) = verdict else {
        return Standing { inspection: None, verdict: None, open };
    };
    // Closed findings no longer speak against riding; open ones of earlier days do.
    verdict.because.retain(|b| b.finding.as_ref().is_none_or(|id| bay.closing(id).is_none()));
    let found_earlier = open.iter().map(|o| (o.inspection, &o.because));
    let read_earlier = unanswered.iter().map(|(i, b)| (*i, b));
    for (earlier, because) in found_earlier.chain(read_earlier).filter(|(i, _)| i.id != inspection.id) {
        let mut because = because.clone();
        because.words.push_str(&format!(" (open since {})", earlier.date.format("%-d %B %Y")));
        verdict.because.push(because);
    }
    verdict.because.sort_by_key(|entry| std::cmp::Reverse(entry.severity));
    verdict.decision = Decision::from(verdict.because.first().map(|b| b.severity), verdict.required_open.len());
    verdict.lapsed = lapse(bay, inspection, catalogue, units, today);
    if verdict.lapsed.is_some() && matches!(verdict.decision, Decision::FitToRide | Decision::FitWithMinorDefects) {
        verdict.decision = Decision::NotYetDecided;
    } else if verdict.decision != Decision::NotYetDecided {
        verdict.lapsed = None;
    }
    Standing { inspection: Some(inspection), verdict: Some(verdict), open }
}

/// Whether a later look answers a reading that was outside its limit: the same check is no longer open. What was
/// dangerous is answered only by a reading judged by the same rule, since "looks sound" is no second measurement
/// (decisions 3).
fn answers(later: Option<&CheckResult>, because: &Because) -> bool {
    let Some(result) = later.filter(|r| !r.status.is_open()) else { return false };
    let measured = |j: &Judgement| {
        Some(j.rule) == because.rule && j.finding.is_none() && matches!(j.outcome, Outcome::Sound | Outcome::Fault(_))
    };
    because.severity < Severity::Dangerous
        || result.status == Status::NotApplicable
        || result.judgements.iter().any(measured)
}

/// Why the verdict of an inspection no longer holds: a record that cannot be read, age, distance, a fall, or work
/// since (decisions 5). The verdict of a kind that nobody knows holds for its own day.
fn lapse(
    bay: &Bay,
    inspection: &Inspection,
    catalogue: &Catalogue,
    units: &Preferences,
    today: NaiveDate,
) -> Option<String> {
    if let Some(first) = bay.unread.first() {
        let more = match bay.unread.len() - 1 {
            0 => String::new(),
            n => format!(" and {n} more"),
        };
        return Some(format!(
            "a record of this machine cannot be read ({first}{more}), and nobody knows what it holds"
        ));
    }
    // What happened on the day itself lapses the verdict too, unless the inspection was made because of it.
    let made_for_it = matches!(inspection.kind.as_str(), "fall" | "work");
    let since = bay.in_force().filter(|e| e.date > inspection.date || (e.date == inspection.date && !made_for_it));
    for event in since {
        match &event.kind {
            EventKind::Fall { .. } => return Some(format!("the machine fell on {}", event.date.format("%-d %B %Y"))),
            EventKind::Work { note } => {
                return Some(format!("work was done on {} ({note})", event.date.format("%-d %B %Y")));
            }
            EventKind::Job(job) => {
                return Some(format!("work was done on {} ({})", event.date.format("%-d %B %Y"), job.work));
            }
            EventKind::PartFitted(fitting) => {
                let part = fitting.part.words();
                return Some(format!("a part was fitted on {} ({part})", event.date.format("%-d %B %Y")));
            }
            _ => {}
        }
    }
    let (days, km) = catalogue.kind(&inspection.kind).map_or((0, 0), |k| (k.lapses_after_days, k.lapses_after_km));
    let age = (today - inspection.date).num_days();
    if age > i64::from(days) {
        let count_days = |days: i64| count(usize::try_from(days).unwrap_or(0), "day");
        return Some(format!(
            "the last verdict is {} old and held for {}",
            count_days(age),
            count_days(i64::from(days))
        ));
    }
    let run = Distance::km((bay.odometer_on(today)?.base() - inspection.odometer?.base()).max(0.0));
    let held = Distance::km(f64::from(km));
    (run > held)
        .then(|| format!("{} were ridden since, and the verdict held for {}", units.show(run), units.show(held)))
}
