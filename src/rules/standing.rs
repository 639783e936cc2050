//! Where a machine stands today: the verdict of its last inspection, what is still open from earlier ones, what work
//! has disturbed since, and whether the verdict still holds.

use chrono::NaiveDate;

use super::after_work::{Account, AskedAgain, is_boundless};
use super::past::Past;
use super::verdict::count;
use super::{Because, Decision, Verdict};
use crate::catalogue::Catalogue;
use crate::garage::Bay;
use crate::history::{Defect, OdometerLog, Watch, open_defects, planted};
use crate::inspection::{CheckRef, EventKind, Finding, Inspection, Seen, Severity};
use crate::units::{Distance, Preferences, day};

/// A defect that nobody has closed: one finding, or several that are one.
#[derive(Clone, Debug)]
pub struct OpenFinding<'a> {
    /// The inspection that holds the finding it was last seen by.
    pub inspection: &'a Inspection,
    /// The finding it was last seen by.
    pub finding: &'a Finding,
    /// The worst class of its findings and looks after any overruling: a later, milder one does not average it away.
    pub severity: Severity,
    /// The reason as the verdict gives it.
    pub because: Because,
    /// All that is known of it.
    pub defect: Defect<'a>,
    /// How far the watch on it has come, where it is watched; only a minor one may be.
    pub watch: Option<Watch>,
}

impl OpenFinding<'_> {
    /// Whether work was done on it and the second look is still to come.
    pub fn waits_for_second_look(&self) -> bool {
        !self.defect.jobs.is_empty()
    }
}

/// Where a machine stands.
#[derive(Clone, Debug)]
pub struct Standing<'a> {
    /// The inspection whose verdict it is, if there is one: the last that was more than a second look after work.
    pub inspection: Option<&'a Inspection>,
    /// The verdict with what is open from earlier inspections; none before the first inspection, unless defects were
    /// planted for a class.
    pub verdict: Option<Verdict>,
    /// The defects that are open, worst first.
    pub open: Vec<OpenFinding<'a>>,
    /// The checks that work has disturbed and nobody has looked at since.
    pub asked_again: Vec<AskedAgain<'a>>,
}

/// Where a machine stands on a day.
pub fn standing<'a>(bay: &'a Bay, catalogue: &'a Catalogue, units: &'a Preferences, today: NaiveDate) -> Standing<'a> {
    standing_by(&mut Past::new(bay, catalogue, units, today), bay, catalogue, units, today)
}

/// The same by what is known of the past.
pub(super) fn standing_by<'a>(
    past: &mut Past<'a>,
    bay: &'a Bay,
    catalogue: &'a Catalogue,
    units: &'a Preferences,
    today: NaiveDate,
) -> Standing<'a> {
    let mut account = Account::new(bay, catalogue, today);
    for (at, inspection) in bay.inspections.iter().enumerate() {
        account.look(inspection, |check| past.result(at, check).is_some_and(|r| !r.status.is_open()));
    }
    let unanswered = past.unanswered();
    let asked_again = account.rest();
    let log = OdometerLog::of(bay, today);
    let open = open(bay, past, today);
    let planted: Vec<String> = planted(bay, today).iter().map(|p| p.what.trim().to_owned()).collect();
    let Some(base) = past.base() else {
        let verdict = (!planted.is_empty()).then(|| Verdict::of_planted(planted, today));
        return Standing { inspection: None, verdict, open, asked_again };
    };
    let at_hand = past.whole_from(base);
    let Some(((inspection, assessment), since)) = at_hand.split_first() else {
        return Standing { inspection: None, verdict: None, open, asked_again };
    };
    let (inspection, mut verdict) = (*inspection, assessment.verdict.clone());
    verdict.because = because(&open, &unanswered, &bay.inspections[base..]);
    // A required check that was open and that a second look has answered since is no longer open.
    let answered = |check: &CheckRef| since.iter().any(|(_, a)| a.result(check).is_some_and(|r| !r.status.is_open()));
    verdict.required_open.retain(|check| !answered(check));
    verdict.asked_again =
        asked_again.iter().map(|a| a.check.clone()).filter(|c| !verdict.required_open.contains(c)).collect();
    verdict.carried_open = carried_open(inspection, &open);
    verdict.second_look = since.last().map(|(i, a)| (i.date, a.verdict.looked_at));
    verdict.decision = Decision::from(verdict.because.first().map(|b| b.severity), verdict.open_checks());
    verdict.lapsed = lapse(bay, inspection, catalogue, units, &log, today);
    if verdict.lapsed.is_some() && matches!(verdict.decision, Decision::FitToRide | Decision::FitWithMinorDefects) {
        verdict.decision = Decision::NotYetDecided;
    } else if verdict.decision != Decision::NotYetDecided {
        verdict.lapsed = None;
    }
    // Whatever else is known of it: a machine with a planted defect is for looking at, not for riding.
    if !planted.is_empty() {
        verdict.decision = Decision::DoNotRide;
        verdict.planted = planted;
    }
    Standing { inspection: Some(inspection), verdict: Some(verdict), open, asked_again }
}

/// The open defects, worst first, each counted once.
fn open<'a>(bay: &'a Bay, past: &mut Past<'a>, today: NaiveDate) -> Vec<OpenFinding<'a>> {
    let mut open: Vec<OpenFinding<'a>> = open_defects(bay)
        .into_iter()
        .map(|defect| {
            // A finding whose check no catalogue knows is still open, and is taken for major.
            let judged = defect.findings.iter().map(|(i, f)| past.found(i, f).map_or(Severity::Major, |(s, _)| s));
            let found = judged.max().unwrap_or(Severity::Major);
            let looked = defect.looks.iter().filter_map(|(i, _)| past.looked_again(i, |id| defect.holds(id)));
            let severity = looked.max().map_or(found, |looked| looked.max(found));
            let (inspection, finding) = defect.latest();
            let because = past.found(inspection, finding).map_or_else(
                || Because {
                    severity,
                    check: finding.check.clone(),
                    finding: Some(finding.id.clone()),
                    rule: None,
                    inspection: inspection.id.clone(),
                    words: format!("{}: {}", finding.check, finding.fault),
                },
                |(_, because)| because,
            );
            let watch = defect.watched.filter(|_| severity == Severity::Minor).and_then(|e| match &e.kind {
                EventKind::Watched { until, .. } => Some(until.watch(today, bay.odometer_on(today))),
                _ => None,
            });
            OpenFinding { inspection, finding, severity, because: Because { severity, ..because }, defect, watch }
        })
        .collect();
    open.sort_by_key(|entry| std::cmp::Reverse(entry.severity));
    open
}

/// What speaks against riding, worst first: the open defects, and readings outside their limits that no later look has
/// answered. What is older than the inspections at hand says since when.
fn because(open: &[OpenFinding<'_>], unanswered: &[(&Inspection, Because)], at_hand: &[Inspection]) -> Vec<Because> {
    let found = open.iter().map(|o| (o.defect.first().0, o.because.clone(), Some(o)));
    let read = unanswered.iter().map(|(i, b)| (*i, b.clone(), None));
    let mut reasons: Vec<Because> = found
        .chain(read)
        .map(|(first, mut because, open)| {
            let mut remarks = Vec::new();
            if !at_hand.iter().any(|i| i.id == first.id) {
                remarks.push(format!("open since {}", day::words(first.date)));
            }
            if let Some(open) = open {
                remarks.extend(state_words(open));
            }
            if !remarks.is_empty() {
                because.words.push_str(&format!(" ({})", remarks.join(", ")));
            }
            because
        })
        .collect();
    reasons.sort_by_key(|entry| std::cmp::Reverse(entry.severity));
    reasons
}

/// What is known of an open defect beside its class: grown, gone, repaired and not looked at again, watched.
fn state_words(open: &OpenFinding<'_>) -> Vec<String> {
    let mut words = Vec::new();
    let defect = &open.defect;
    if defect.is_gone() {
        words.push("no longer to be seen, to be closed by someone".into());
    } else if let Some((from, to)) = defect.growth() {
        let unit = from.unit();
        let how = if to > from { "grown" } else { "measured smaller" };
        words.push(format!("{how} from {} to {}", from.show_in(unit, false), to.show_in(unit, false)));
    } else if defect.last_look().is_some_and(|(_, r)| r.seen == Seen::Grown) {
        words.push("grown".into());
    }
    if open.waits_for_second_look() {
        words.push("repaired, the second look is to come".into());
    }
    match open.watch {
        Some(Watch::Waiting) => words.push("watched".into()),
        Some(Watch::Over) => words.push("watched, and the time is over".into()),
        Some(Watch::Endless) => words.push("watched without an end: set a day or a distance".into()),
        None => {}
    }
    words
}

/// How many open defects that an inspection began with nobody has looked at again, in it or after it.
fn carried_open(base: &Inspection, open: &[OpenFinding<'_>]) -> usize {
    let since = |date| date >= base.date;
    let is_seen = |o: &OpenFinding<'_>| {
        o.defect.findings.iter().any(|(i, f)| since(i.date) && !base.carried.contains_key(&f.id))
            || o.defect.looks.iter().any(|(i, _)| since(i.date))
    };
    let carried = |o: &&OpenFinding<'_>| base.carried.keys().any(|id| o.defect.holds(id));
    open.iter().filter(carried).filter(|o| !is_seen(o)).count()
}

/// Why the verdict of an inspection no longer holds: a record that cannot be read, age, distance, a fall, or work of
/// which nobody can say what it touched (house rule 5). The verdict of a kind that nobody knows holds for its own day.
fn lapse(
    bay: &Bay,
    inspection: &Inspection,
    catalogue: &Catalogue,
    units: &Preferences,
    log: &OdometerLog,
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
    let events = bay.in_force().filter(|e| e.date > inspection.date || (e.date == inspection.date && !made_for_it));
    for event in events {
        match &event.kind {
            EventKind::Fall { .. } => return Some(format!("the machine fell on {}", day::words(event.date))),
            EventKind::Work { note } if is_boundless(event) => {
                return Some(format!("work was done on {} ({note})", day::words(event.date)));
            }
            EventKind::Job(job) if is_boundless(event) => {
                return Some(format!("work was done on {} ({})", day::words(event.date), job.work));
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
    let run = Distance::km((log.run_on(today)? - log.run_of(&inspection.id)?).max(0.0));
    let held = Distance::km(f64::from(km));
    (run > held)
        .then(|| format!("{} were ridden since, and the verdict held for {}", units.show(run), units.show(held)))
}
