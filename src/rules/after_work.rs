//! What work has disturbed and nobody has looked at since: only that is asked again (house rules 5 and 21).

use chrono::NaiveDate;

use crate::catalogue::Catalogue;
use crate::garage::Bay;
use crate::inspection::{CheckRef, Event, EventKind, Inspection, JobRef};
use crate::machine::Machine;

/// A check that is asked again.
#[derive(Clone, Debug)]
pub struct AskedAgain<'a> {
    /// The check on its part.
    pub check: CheckRef,
    /// The work that disturbed it, the last one where there were several.
    pub event: &'a Event,
}

/// The checks of a machine that an event disturbs; none for an event that is no work.
fn disturbed_by(catalogue: &Catalogue, machine: &Machine, event: &Event) -> Vec<CheckRef> {
    let jobs: Vec<JobRef> = match &event.kind {
        EventKind::Job(job) => job.jobs.clone(),
        EventKind::PartFitted(fitting) => catalogue.jobs_of_fitting(machine, &fitting.part),
        _ => Vec::new(),
    };
    let mut checks: Vec<CheckRef> = Vec::new();
    for check in jobs.iter().flat_map(|job| catalogue.disturbed(machine, job)) {
        if !checks.contains(&check) {
            checks.push(check);
        }
    }
    checks
}

/// Keeps account of what work disturbs and later looks answer, inspection by inspection.
pub(super) struct Account<'a> {
    catalogue: &'a Catalogue,
    machine: &'a Machine,
    work: std::iter::Peekable<std::vec::IntoIter<&'a Event>>,
    open: Vec<AskedAgain<'a>>,
}

impl<'a> Account<'a> {
    pub fn new(bay: &'a Bay, catalogue: &'a Catalogue, today: NaiveDate) -> Self {
        let work: Vec<&Event> = bay
            .in_force()
            .filter(|e| matches!(e.kind, EventKind::Job(_) | EventKind::PartFitted(_)) && e.date <= today)
            .collect();
        Self { catalogue, machine: &bay.machine, work: work.into_iter().peekable(), open: Vec::new() }
    }
    /// Takes in the work up to an inspection, and which checks the inspection has answered since. On the day of the work it
    /// answers only where it was made because of it.
    pub fn look(&mut self, inspection: &Inspection, mut is_answered: impl FnMut(&CheckRef) -> bool) {
        let after_work = matches!(inspection.kind.as_str(), "work" | "fall");
        while let Some(event) =
            self.work.next_if(|e| e.date < inspection.date || (e.date == inspection.date && after_work))
        {
            self.disturb(event);
        }
        self.open.retain(|a| !is_answered(&a.check));
    }
    /// What is still asked again after the last inspection, and the work since taken in.
    pub fn rest(mut self) -> Vec<AskedAgain<'a>> {
        while let Some(event) = self.work.next() {
            self.disturb(event);
        }
        self.open
    }
    fn disturb(&mut self, event: &'a Event) {
        for check in disturbed_by(self.catalogue, self.machine, event) {
            self.open.retain(|a| a.check != check);
            self.open.push(AskedAgain { check, event });
        }
    }
}

/// Work of which nobody can say what it touched: one that names no job the catalogue knows the bounds of.
pub(super) fn is_boundless(event: &Event) -> bool {
    match &event.kind {
        EventKind::Work { .. } => true,
        EventKind::Job(job) => job.jobs.is_empty(),
        _ => false,
    }
}

/// Whether an inspection is a second look after work: it asks what the work disturbed and nothing else, so it stands
/// beside the verdict of the inspection before it and is none of its own.
pub fn is_second_look(inspection: &Inspection) -> bool {
    inspection.kind == "work" && !inspection.asks.is_empty()
}
