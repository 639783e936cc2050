//! What the history shows, worked out once for each change of the garage, machine and day; never in a frame at rest.

use chrono::NaiveDate;

use super::compare::{Comparison, Pair};
use crate::forecast::{Outlook, Season, battery_seasons, outlooks};
use crate::garage::Bay;
use crate::history::OdometerLog;
use crate::inspection::{EventKind, Severity};
use crate::machine::MachineId;
use crate::rules::{Case, assess};
use crate::ui::ViewCtx;

/// A finding from the day it was found to the day it was closed.
#[derive(Clone, Debug)]
pub(super) struct Bar {
    pub words: String,
    pub severity: Severity,
    pub from: NaiveDate,
    /// None while it is open.
    pub to: Option<NaiveDate>,
}

/// Something that happened on a day.
#[derive(Clone, Debug)]
pub(super) struct Happened {
    pub date: NaiveDate,
    pub words: String,
    pub is_inspection: bool,
}

/// What is kept.
#[derive(Clone, Debug, Default)]
pub(super) struct Kept {
    of: Option<(u64, MachineId, NaiveDate)>,
    pub outlooks: Vec<Outlook>,
    pub seasons: Vec<Season>,
    /// Problems of the odometer log.
    pub notes: Vec<String>,
    /// Oldest first.
    pub happened: Vec<Happened>,
    /// Oldest first.
    pub bars: Vec<Bar>,
    /// The comparison that is shown, and of what.
    pub comparison: Option<(Pair, Comparison)>,
}

impl Kept {
    /// Works everything out again where the garage, the machine or the day has changed.
    pub(super) fn keep_up(&mut self, cx: &ViewCtx<'_>, bay: &Bay) {
        let of = (cx.derived.revision, bay.machine.id.clone(), cx.today);
        if self.of.as_ref() == Some(&of) {
            return;
        }
        let info = &cx.garage.info;
        let log = OdometerLog::of(bay, cx.today);
        *self = Self {
            of: Some(of),
            outlooks: outlooks(bay, cx.catalogue, &info.units, info.off_road, cx.today),
            seasons: battery_seasons(bay, &log, cx.today),
            notes: log.problems().map(|n| n.message.clone()).collect(),
            happened: happened(cx, bay),
            bars: bars(cx, bay),
            comparison: None,
        };
    }
}

fn happened(cx: &ViewCtx<'_>, bay: &Bay) -> Vec<Happened> {
    let units = cx.units();
    let mut all: Vec<Happened> = bay
        .inspections
        .iter()
        .map(|i| {
            let kind = cx.catalogue.kind(&i.kind).map_or(i.kind.as_str(), |k| k.name.as_str());
            let at = i.odometer.map(|o| format!(", {}", units.show(o))).unwrap_or_default();
            let by = if i.inspector.is_empty() { String::new() } else { format!(", by {}", i.inspector) };
            Happened { date: i.date, words: format!("Inspection: {kind}{at}{by}"), is_inspection: true }
        })
        .collect();
    for event in bay.in_force() {
        let words = match &event.kind {
            EventKind::FindingClosed { .. } => "A finding was closed".to_owned(),
            EventKind::Fall { note } => format!("Fall: {note}"),
            EventKind::Work { note } => format!("Work: {note}"),
            EventKind::Job(job) => format!("Job: {}", job.work),
            EventKind::PartFitted(f) => format!("Fitted: {} {}", f.part.words(), f.what),
            EventKind::OdometerReplaced { first, .. } => format!("Odometer replaced, begins at {}", units.show(*first)),
            EventKind::Planted { what, .. } => format!("Planted for a class: {what}"),
            EventKind::Unplanted { look, .. } => format!("A planted defect was taken out: {look}"),
            EventKind::Watched { reason, .. } => format!("A minor finding is watched: {reason}"),
            EventKind::Odometer(read) => format!("Odometer: {}", units.show(*read)),
            EventKind::Fill { odometer, .. } => format!("Filled up at {}", units.show(*odometer)),
            EventKind::SameDefect { .. } | EventKind::Apart { .. } | EventKind::TakenBack { .. } => continue,
        };
        all.push(Happened { date: event.date, words: words.trim().to_owned(), is_inspection: false });
    }
    all.sort_by_key(|h| h.date);
    all
}

fn bars(cx: &ViewCtx<'_>, bay: &Bay) -> Vec<Bar> {
    let mut bars = Vec::new();
    for (index, inspection) in bay.inspections.iter().enumerate() {
        if inspection.findings.is_empty() {
            continue;
        }
        let earlier = &bay.inspections[..index];
        let case = Case::new(&bay.machine, inspection, earlier, cx.catalogue, cx.units(), cx.today);
        let assessment = assess(&case);
        for finding in &inspection.findings {
            let because = assessment.verdict.because.iter().find(|b| b.finding.as_ref() == Some(&finding.id));
            bars.push(Bar {
                words: because.map_or_else(|| cx.catalogue.fault_words(finding).to_owned(), |b| b.words.clone()),
                severity: because.map_or(Severity::Major, |b| b.severity),
                from: inspection.date,
                to: bay.closing(&finding.id).map(|e| e.date),
            });
        }
    }
    bars
}
