//! A standing that judges of the past only what still counts is the same as one that judges every inspection whole.
//!
//! The reference here goes from the first inspection to the last, assesses each, and keeps what nobody has answered. The
//! records are those of the sample garage, shuffled: answers, findings, overrulings and work come on any day in any kind.

use std::collections::BTreeMap;

use chrono::{Days, NaiveDate};
use fastrand::Rng;
use stemclock::catalogue::Catalogue;
use stemclock::garage::Bay;
use stemclock::inspection::{
    CheckRef, CheckState, Event, EventKind, Inspection, InspectionId, Overrule, Revisit, Seen, Severity, TreadPoint,
    Value,
};
use stemclock::rules::{
    Assessment, Because, Case, CheckResult, Outcome, Standing, Status, assess, is_second_look, standing,
};
use stemclock::store;
use stemclock::units::{Length, Preferences};

/// What is compared of a standing.
#[derive(Debug, PartialEq)]
struct Told {
    /// Readings outside their limits that nobody has answered: class, check, rule, inspection.
    unanswered: Vec<(Severity, CheckRef, Option<&'static str>, InspectionId)>,
    /// Open defects: the finding last seen, and the class.
    open: Vec<(String, Severity)>,
    /// Checks that work has disturbed.
    asked_again: Vec<CheckRef>,
    /// Required checks that are open.
    required: Vec<CheckRef>,
}

fn told(standing: &Standing<'_>) -> Told {
    let verdict = standing.verdict.as_ref();
    let because = verdict.map_or(&[][..], |v| &v.because);
    let read = because.iter().filter(|b| b.finding.is_none());
    Told {
        unanswered: read.map(|b| (b.severity, b.check.clone(), b.rule, b.inspection.clone())).collect(),
        open: standing.open.iter().map(|o| (o.finding.id.0.clone(), o.severity)).collect(),
        asked_again: standing.asked_again.iter().map(|a| a.check.clone()).collect(),
        required: verdict.map_or_else(Vec::new, |v| v.required_open.clone()),
    }
}

/// The same by assessing every inspection, oldest first. The defects are those that the standing names, their classes
/// worked out anew.
fn by_going_through_all(bay: &Bay, of: &Standing<'_>, catalogue: &Catalogue, today: NaiveDate) -> Told {
    let units = Preferences::default();
    let mut work =
        bay.in_force().filter(|e| matches!(e.kind, EventKind::Job(_) | EventKind::PartFitted(_)) && e.date <= today);
    let mut next = work.next();
    let mut asked_again: Vec<CheckRef> = Vec::new();
    let mut unanswered: Vec<Because> = Vec::new();
    let mut assessed: BTreeMap<&InspectionId, Assessment> = BTreeMap::new();
    let mut disturb = |open: &mut Vec<CheckRef>, until: Option<&Inspection>| {
        while let Some(event) = next.filter(|e| {
            until.is_none_or(|i| e.date < i.date || (e.date == i.date && matches!(i.kind.as_str(), "work" | "fall")))
        }) {
            for check in disturbed(catalogue, bay, event) {
                open.retain(|c| *c != check);
                open.push(check);
            }
            next = work.next();
        }
    };
    for (at, inspection) in bay.inspections.iter().enumerate() {
        let case = Case::new(&bay.machine, inspection, &bay.inspections[..at], catalogue, &units, today);
        let assessment = assess(&case);
        disturb(&mut asked_again, Some(inspection));
        asked_again.retain(|c| assessment.result(c).is_none_or(|r| r.status.is_open()));
        unanswered.retain(|b| !answers(assessment.result(&b.check), b));
        unanswered.extend(assessment.verdict.because.iter().filter(|b| b.finding.is_none()).cloned());
        assessed.insert(&inspection.id, assessment);
    }
    disturb(&mut asked_again, None);
    unanswered.sort_by_key(|b| std::cmp::Reverse(b.severity));
    let class = |i: &Inspection, id: &stemclock::inspection::FindingId| {
        let because = &assessed[&i.id].verdict.because;
        because.iter().find(|b| b.finding.as_ref() == Some(id)).map_or(Severity::Major, |b| b.severity)
    };
    let mut open: Vec<(String, Severity)> =
        of.open
            .iter()
            .map(|o| {
                let found = o.defect.findings.iter().map(|(i, f)| class(i, &f.id)).max().unwrap();
                let looked = o.defect.looks.iter().filter_map(|(i, _)| {
                    assessed[&i.id].carried.iter().find(|c| o.defect.holds(&c.finding.id))?.severity
                });
                (o.finding.id.0.clone(), looked.max().map_or(found, |l| l.max(found)))
            })
            .collect();
    open.sort_by_key(|(_, severity)| std::cmp::Reverse(*severity));
    let base = bay.inspections.iter().rposition(|i| !is_second_look(i)).or(bay.inspections.len().checked_sub(1));
    let required = base.map_or_else(Vec::new, |base| {
        let since = &bay.inspections[base + 1..];
        let mut open = assessed[&bay.inspections[base].id].verdict.required_open.clone();
        open.retain(|c| !since.iter().any(|i| assessed[&i.id].result(c).is_some_and(|r| !r.status.is_open())));
        open
    });
    let unanswered = unanswered.into_iter().map(|b| (b.severity, b.check, b.rule, b.inspection)).collect();
    Told { unanswered, open, asked_again, required }
}

/// What an event disturbs, each check once.
fn disturbed(catalogue: &Catalogue, bay: &Bay, event: &Event) -> Vec<CheckRef> {
    let jobs = match &event.kind {
        EventKind::Job(job) => job.jobs.clone(),
        EventKind::PartFitted(fitting) => catalogue.jobs_of_fitting(&bay.machine, &fitting.part),
        _ => Vec::new(),
    };
    let mut checks: Vec<CheckRef> = Vec::new();
    for check in jobs.iter().flat_map(|job| catalogue.disturbed(&bay.machine, job)) {
        if !checks.contains(&check) {
            checks.push(check);
        }
    }
    checks
}

fn answers(later: Option<&CheckResult>, because: &Because) -> bool {
    let Some(result) = later.filter(|r| !r.status.is_open()) else { return false };
    because.severity < Severity::Dangerous
        || result.status == Status::NotApplicable
        || result.judgements.iter().any(|j| {
            Some(j.rule) == because.rule
                && j.finding.is_none()
                && matches!(j.outcome, Outcome::Sound | Outcome::Fault(_))
        })
}

/// A reading that is often far outside its limits.
fn worse(value: &Value, rng: &mut Rng) -> Value {
    let scale = [0.1, 0.5, 1.0, 3.0][rng.usize(..4)];
    match value {
        Value::Tread(points) => Value::Tread(
            points
                .iter()
                .map(|p| TreadPoint {
                    depths: p.depths.iter().map(|(zone, d)| (*zone, Length::mm(d.as_mm() * scale))).collect(),
                    ..p.clone()
                })
                .collect(),
        ),
        Value::Length(length) => Value::Length(Length::mm(length.as_mm() * scale)),
        Value::Number(number) => Value::Number(number * scale),
        other => other.clone(),
    }
}

fn shuffled(bay: &Bay, catalogue: &Catalogue, rng: &mut Rng) -> Bay {
    let from = &bay.inspections;
    let first: NaiveDate = "2025-01-01".parse().unwrap();
    let mut made = Bay::new(bay.machine.clone());
    let mut date = first;
    let mut found = Vec::new();
    for n in 0..rng.usize(2..9) {
        date = date + Days::new(rng.u64(0..40));
        let source = &from[rng.usize(..from.len())];
        let kind = &catalogue.kinds[rng.usize(..catalogue.kinds.len())].id;
        let mut new = Inspection { date, kind: kind.clone(), ..source.clone() };
        new.id = InspectionId(format!("{date}-{kind}-{n}"));
        (new.asks, new.carried) = (Vec::new(), BTreeMap::new());
        new.answers.retain(|_, _| rng.u8(..3) > 0);
        for (check, answer) in &mut new.answers {
            answer.state = match rng.u8(..8) {
                0 => CheckState::CouldNot("the wheel is out".into()),
                1 => CheckState::NotApplicable,
                2 => CheckState::default(),
                3 => CheckState::Sound,
                _ => answer.state.clone(),
            };
            if rng.u8(..4) == 0 {
                answer.readings.clear();
            }
            answer.readings.values_mut().for_each(|value| *value = worse(value, rng));
            if rng.u8(..20) == 0 {
                let severity = [Severity::Minor, Severity::Major, Severity::Dangerous][rng.usize(..3)];
                let overrule = Overrule { severity, reason: "by hand".into(), by: "M. Keller".into() };
                new.overrules.insert(check.clone(), overrule);
            }
            if kind == "work" && rng.bool() {
                new.asks.push(check.clone());
            }
        }
        new.findings.retain(|_| rng.bool());
        for (k, finding) in new.findings.iter_mut().enumerate() {
            finding.id.0 = format!("f-{n}-{k}");
        }
        for id in &found {
            if rng.bool() {
                let seen = [Seen::Still, Seen::Gone, Seen::NotYet, Seen::Grown][rng.usize(..4)].clone();
                new.carried.insert(Clone::clone(id), Revisit { seen, size: None, note: String::new() });
            }
        }
        found.extend(new.findings.iter().map(|f| f.id.clone()));
        made.inspections.push(new);
    }
    for event in bay.events.iter().filter(|e| matches!(e.kind, EventKind::Job(_) | EventKind::PartFitted(_))) {
        if rng.bool() {
            let mut event = event.clone();
            event.date = first + Days::new(rng.u64(0..300));
            made.events.push(event);
        }
    }
    made.sort();
    made
}

#[test]
fn judging_what_still_counts_gives_what_judging_everything_gives() {
    let catalogue = Catalogue::builtin();
    let garage = store::read(&std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("sample-garage")).unwrap().garage;
    let today = "2025-12-01".parse().unwrap();
    let mut rng = Rng::with_seed(20_251_201);
    let (mut unanswered, mut dangerous, mut old, mut asked) = (0, 0, 0, 0);
    for round in 0..120 {
        let bay = shuffled(&garage.bays[round % garage.bays.len()], catalogue, &mut rng);
        let units = Preferences::default();
        let standing = standing(&bay, catalogue, &units, today);
        let expected = by_going_through_all(&bay, &standing, catalogue, today);
        assert_eq!(told(&standing), expected, "round {round}");
        unanswered += expected.unanswered.len();
        dangerous += expected.unanswered.iter().filter(|(s, ..)| *s == Severity::Dangerous).count();
        let last = bay.inspections.last().map(|i| i.id.clone());
        old += expected.unanswered.iter().filter(|(.., i)| Some(i) != last.as_ref()).count();
        asked += expected.asked_again.len();
    }
    // The records are such that there was something to get wrong.
    assert!(unanswered > 200 && dangerous > 40 && old > 100 && asked > 100, "{unanswered} {dangerous} {old} {asked}");
}
