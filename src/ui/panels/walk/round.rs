//! The inspection in hand with everything that the walk-around looks at, and the commands that its parts send.
//!
//! Must not draw.

use crate::catalogue::{Catalogue, Check, Engine};
use crate::edit::Command;
use crate::garage::Bay;
use crate::history::{Defect, defects, open_defects};
use crate::inspection::{
    Answer, CheckRef, CheckState, Closing, Event, EventId, EventKind, Finding, FindingId, Inspection, Place, Severity,
    Zone,
};
use crate::machine::{Machine, SCHEMA, WheelPosition};
use crate::rules::{CarriedResult, Case, CheckResult, Judgement};
use crate::ui::{Action, UiState, ViewCtx};
use crate::units::Preferences;

/// One inspection of one machine, by reference.
#[derive(Clone, Copy)]
pub(super) struct Round<'a> {
    /// What the window may look at.
    pub cx: ViewCtx<'a>,
    /// The machine with its inspections and events.
    pub bay: &'a Bay,
    /// The inspection in hand.
    pub inspection: &'a Inspection,
}

/// A finding of an earlier day that the inspection asks about.
#[derive(Clone, Copy)]
pub(super) struct Carried<'a> {
    /// What it is and what was seen.
    pub result: &'a CarriedResult,
    /// Whether somebody has to look yet.
    pub is_open: bool,
}

impl<'a> Round<'a> {
    /// The round that is chosen in the window, if a machine and one of its inspections are.
    pub fn of(cx: &ViewCtx<'a>, state: &UiState) -> Option<Self> {
        Some(Self { cx: *cx, bay: cx.bay(state)?, inspection: cx.inspection(state)? })
    }
    /// The machine.
    pub fn machine(&self) -> &'a Machine {
        &self.bay.machine
    }
    /// The catalogue.
    pub fn catalogue(&self) -> &'a Catalogue {
        self.cx.catalogue
    }
    /// The case that the rules judge.
    pub fn case(&self) -> Case<'a> {
        let index = self.bay.inspections.iter().position(|i| i.id == self.inspection.id).unwrap_or(0);
        let earlier = &self.bay.inspections[..index];
        Case::new(self.machine(), self.inspection, earlier, self.catalogue(), self.units(), self.cx.today)
    }
    /// The person at the bench: who looks in this inspection, else the name remembered from last time.
    pub fn person(&self) -> String {
        let named = self.inspection.inspector.trim();
        if named.is_empty() { self.cx.inspector.trim().to_owned() } else { named.to_owned() }
    }
    /// The units the owner likes.
    pub fn units(&self) -> &'a Preferences {
        self.cx.units()
    }
    /// The checks of the inspection, assessed, in walking order; empty for the one frame before it is worked out.
    pub fn results(&self) -> &'a [CheckResult] {
        self.cx.derived.assessment.as_ref().map_or(&[], |a| a.results.as_slice())
    }
    /// What is known of a check.
    pub fn result(&self, check: &CheckRef) -> Option<&'a CheckResult> {
        self.results().iter().find(|r| &r.check == check)
    }
    /// The catalogue's entry of a check.
    pub fn entry(&self, check: &CheckRef) -> Option<&'a Check> {
        self.cx.catalogue.check(&check.check)
    }
    /// The answer to a check as it stands, to be changed and sent back.
    pub fn answer(&self, check: &CheckRef) -> Answer {
        self.inspection.answer(check).cloned().unwrap_or_default()
    }
    /// Answers a check.
    pub fn set_answer(&self, check: &CheckRef, answer: Answer) -> Action {
        Action::Edit(Command::SetAnswer {
            machine: self.machine().id.clone(),
            inspection: self.inspection.id.clone(),
            check: check.clone(),
            answer,
        })
    }
    /// Answers a check with a state and leaves its readings as they are.
    pub fn set_state(&self, check: &CheckRef, state: CheckState) -> Action {
        self.set_answer(check, Answer { state, ..self.answer(check) })
    }
    /// Puts a finding into the inspection in hand.
    pub fn put(&self, finding: Finding) -> Action {
        Action::Edit(Command::PutFinding(self.machine().id.clone(), self.inspection.id.clone(), finding))
    }
    /// Takes a finding of the inspection in hand back.
    pub fn remove(&self, finding: &FindingId) -> Action {
        Action::Edit(Command::RemoveFinding(self.machine().id.clone(), self.inspection.id.clone(), finding.clone()))
    }
    /// Closes a finding of any inspection of this machine by an event of today.
    pub fn close(&self, inspection: &Inspection, finding: &FindingId, closing: Closing, by: &str) -> Action {
        let (inspection, finding) = (inspection.id.clone(), finding.clone());
        self.record("closed", EventKind::FindingClosed { inspection, finding, closing }, by)
    }
    /// Takes an event back by a further one.
    pub fn take_back(&self, event: &EventId, reason: &str, by: &str) -> Action {
        let kind = EventKind::TakenBack { event: event.clone(), reason: reason.trim().to_owned() };
        self.record("taken-back", kind, by)
    }
    /// Records an event of today; its id says what it is.
    pub fn record(&self, what: &str, kind: EventKind, by: &str) -> Action {
        let today = self.cx.today;
        let id = EventId(format!("{today}-{what}-{}", self.cx.ids.fresh()));
        let event = Event { schema: SCHEMA, id, date: today, by: by.trim().to_owned(), kind };
        Action::Edit(Command::Record(self.machine().id.clone(), event))
    }
    /// A finding of this machine with the inspection that holds it.
    pub fn finding(&self, id: &FindingId) -> Option<(&'a Inspection, &'a Finding)> {
        self.bay.inspections.iter().find_map(|i| Some((i, i.findings.iter().find(|f| &f.id == id)?)))
    }
    /// The judgements that grade a finding of the inspection in hand.
    pub fn grading(&self, finding: &Finding) -> impl Iterator<Item = &'a Judgement> {
        let id = finding.id.clone();
        let judgements = self.result(&finding.check).map_or(&[][..], |r| r.judgements.as_slice());
        judgements.iter().filter(move |j| j.finding.as_ref() == Some(&id))
    }
    /// The class proposed for a finding: the worst of any rule, before any overruling.
    pub fn proposed(&self, finding: &Finding) -> Option<Severity> {
        self.grading(finding).filter_map(Judgement::severity).max()
    }
    /// The class of a finding after any overruling, within house rule 3.
    pub fn severity(&self, finding: &Finding) -> Option<Severity> {
        let proposed = self.proposed(finding)?;
        Some(match &finding.overrule {
            Some(o) if crate::edit::may_overrule(proposed, o.severity) => o.severity,
            _ => proposed,
        })
    }
    /// Why a check is not to be done now, if it is not: nobody rides with anything major or dangerous open, and nobody
    /// starts an engine while fuel leaks (house rules 2 and 22).
    pub fn stop(&self, check: &Check) -> Option<&'static str> {
        let worst = |ids: &[&str]| {
            let of = |f: &Finding| ids.is_empty() || ids.contains(&f.check.check.as_str());
            let found = self.open_findings().into_iter().filter(|(_, f)| of(f));
            let found = found.filter_map(|(i, f)| self.severity_of(i, f)).max();
            let read = self.results().iter().filter(|r| ids.is_empty() || ids.contains(&r.check.check.as_str()));
            found.max(read.filter_map(|r| r.severity).max())
        };
        match check.engine {
            Engine::Running | Engine::Ridden if worst(&["fuel-leaks", "fuel-lines"]) == Some(Severity::Dangerous) => {
                Some("Not now: a fuel leak is open. Do not start the engine before it is mended.")
            }
            Engine::Ridden if worst(&[]) >= Some(Severity::Major) => {
                Some("Not now: something major or dangerous is open. Repair it first, then ride this check.")
            }
            _ => None,
        }
    }
    /// The inspections before the one in hand, newest first.
    pub fn earlier(&self) -> impl Iterator<Item = &'a Inspection> {
        let index = self.bay.inspections.iter().position(|i| i.id == self.inspection.id).unwrap_or(0);
        self.bay.inspections[..index].iter().rev()
    }
    /// The findings that nobody has closed: of the inspection in hand, then of earlier ones, newest first.
    /// A defect that was seen on several days is there once, by the finding it was last seen by.
    pub fn open_findings(&self) -> Vec<(&'a Inspection, &'a Finding)> {
        let index = |i: &Inspection| self.bay.inspections.iter().position(|b| b.id == i.id).unwrap_or(0);
        let mine = index(self.inspection);
        let up_to_mine = |d: &Defect<'a>| d.findings.iter().rev().find(|(i, _)| index(i) <= mine).copied();
        let mut open: Vec<_> = open_defects(self.bay).iter().filter_map(up_to_mine).collect();
        open.sort_by_key(|(i, _)| std::cmp::Reverse(index(i)));
        open
    }
    /// The defect that a finding is part of.
    pub fn defect(&self, finding: &Finding) -> Option<Defect<'a>> {
        defects(self.bay).into_iter().find(|d| d.holds(&finding.id))
    }
    /// The findings of earlier days that this inspection asks about and that are still open, in order of place, each
    /// with whether somebody has to look yet. One that was found anew and linked has been looked at.
    pub fn carried(&self) -> Vec<Carried<'a>> {
        let results = self.cx.derived.assessment.as_ref().map_or(&[][..], |a| a.carried.as_slice());
        let defects = open_defects(self.bay);
        let of = |r: &'a CarriedResult| {
            let defect = defects.iter().find(|d| d.holds(&r.finding.id))?;
            let is_found_anew = defect.findings.iter().any(|(i, _)| i.id == self.inspection.id);
            Some(Carried { result: r, is_open: r.revisit.seen.is_open() && !is_found_anew })
        };
        results.iter().filter_map(of).collect()
    }
    /// The class of a finding of any inspection: as judged in this one, or as the machine's standing gives it.
    pub fn severity_of(&self, inspection: &Inspection, finding: &Finding) -> Option<Severity> {
        if inspection.id == self.inspection.id {
            return self.severity(finding);
        }
        let row = self.cx.derived.rows.iter().find(|r| r.id == self.machine().id)?;
        let because = &row.verdict.as_ref()?.because;
        because.iter().find(|b| b.finding.as_ref() == Some(&finding.id)).map(|b| b.severity)
    }
    /// Findings on a wheel that nobody has closed.
    pub fn open_on_wheel(&self, wheel: WheelPosition) -> Vec<(&'a Inspection, &'a Finding)> {
        let on_it = |f: &Finding| matches!(&f.place, Place::Wheel { position, .. } if *position == wheel);
        self.open_findings().into_iter().filter(|(_, f)| on_it(f)).collect()
    }
    /// The zones that this wheel has, tread first.
    pub fn zones(&self, wheel: WheelPosition) -> Vec<Zone> {
        let Some(wheel) = self.machine().wheel(wheel) else { return Vec::new() };
        let discs = wheel.disc_sides();
        Zone::ALL
            .into_iter()
            .filter(|z| match z {
                Zone::Spoke => wheel.rim.kind != crate::machine::RimKind::Pressed,
                Zone::Disc(side) => discs.contains(side),
                _ => true,
            })
            .collect()
    }
}
