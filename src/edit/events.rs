//! Deciding an event: what must stand in it and what it must point at, before it becomes a record that nobody edits.

use super::decide::{bay_machine, change, class_of, existing};
use super::{Change, Record, RecordKey, Rejected};
use crate::catalogue::Catalogue;
use crate::garage::{Bay, Garage};
use crate::history::{self, defects::may_be_one};
use crate::history::{Lives, OdometerLog};
use crate::inspection::{
    Closing, Event, EventId, EventKind, Finding, FindingRef, Fitting, Inspection, Job, PartRef, Place, Severity, Until,
};
use crate::machine::{BatteryKind, FinalDrive, Machine, MachineId};

type Decided = Result<(), Rejected>;

/// Decides an event of a machine.
pub(super) fn record(
    garage: &Garage,
    catalogue: &Catalogue,
    machine: MachineId,
    event: Event,
) -> Result<Change, Rejected> {
    bay_machine(garage, &machine)?;
    let key = RecordKey::Event(machine.clone(), event.id.clone());
    if garage.record(&key).is_some() {
        return Err(Rejected::Taken(format!("the event {}", event.id)));
    }
    let bay = garage.bay(&machine).ok_or_else(|| Rejected::Missing(format!("the machine {machine}")))?;
    match &event.kind {
        EventKind::FindingClosed { inspection, finding, closing } => {
            let found = existing(garage, &machine, inspection)?.findings.iter().any(|f| &f.id == finding);
            if !found {
                return Err(Rejected::Missing(format!("the finding {finding}")));
            }
            if let Some(what) = closing.lacking(&event.by) {
                return forbidden(format!("expected {what}: write a few words"));
            }
            if let Closing::LookedAgain { job, .. } = closing
                && !bay.jobs_for(finding).any(|e| &e.id == job && e.date <= event.date)
            {
                return forbidden(
                    "expected a repair of this finding before its second look, found none: record what was done first",
                );
            }
        }
        EventKind::Watched { of, until, .. } => watched(bay, catalogue, &event, of, until)?,
        EventKind::SameDefect { earlier, later } => same(bay, &event, earlier, later)?,
        EventKind::Apart { earlier, later } => {
            for reference in [earlier, later] {
                finding(bay, reference)?;
            }
        }
        EventKind::Job(job) => work(bay, catalogue, job)?,
        EventKind::PartFitted(fitting) => fitted(&bay.machine, fitting)?,
        EventKind::TakenBack { event: other, reason } => {
            if bay.event(other).is_none() || other == &event.id {
                return Err(Rejected::Missing(format!("the event {other}")));
            }
            if bay.taken_back(other).is_some() {
                return forbidden("expected an event that counts, found one that was taken back already");
            }
            if reason.trim().is_empty() || event.by.trim().is_empty() {
                return forbidden(
                    "expected why the event was wrong and the name of the person who says so: write a few words",
                );
            }
        }
        EventKind::Planted { what, remove, .. } => {
            if what.trim().is_empty() || remove.trim().is_empty() {
                return forbidden(
                    "expected what was planted and where, and how it is taken out again: write a few words for each",
                );
            }
        }
        EventKind::Unplanted { planted, look } => taken_out(bay, &event, planted, look)?,
        EventKind::OdometerReplaced { .. }
        | EventKind::Odometer(_)
        | EventKind::Fill { .. }
        | EventKind::Fall { .. }
        | EventKind::Work { .. } => {}
    }
    let label = label(&event.kind);
    Ok(change(garage, key, Some(Record::Event(Box::new(event))), label))
}

/// What undo calls an event.
fn label(kind: &EventKind) -> &'static str {
    match kind {
        EventKind::FindingClosed { .. } => "close a finding",
        EventKind::Watched { .. } => "watch a finding",
        EventKind::SameDefect { .. } => "say that it is the same defect",
        EventKind::Apart { .. } => "say that they are two defects",
        EventKind::Job(_) | EventKind::Work { .. } => "record work",
        EventKind::PartFitted(_) => "record a part that was fitted",
        EventKind::TakenBack { .. } => "take an event back",
        EventKind::OdometerReplaced { .. } | EventKind::Odometer(_) | EventKind::Fill { .. } => "record the odometer",
        EventKind::Fall { .. } => "record a fall",
        EventKind::Planted { .. } => "plant a defect for a class",
        EventKind::Unplanted { .. } => "take a planted defect out",
    }
}

/// A planted defect is ticked out once, by name, with a second look.
fn taken_out(bay: &Bay, event: &Event, planted: &EventId, look: &str) -> Decided {
    let Some(planting) = bay.event(planted) else {
        return Err(Rejected::Missing(format!("the event {planted}")));
    };
    if !history::planted(bay, event.date).iter().any(|p| &p.event.id == planted) {
        return forbidden(
            "expected a planted defect that is still in, found one that is out, or none: nothing is to be ticked",
        );
    }
    if planting.date > event.date {
        return forbidden(format!("expected a day on or after {}: set a later one", planting.date));
    }
    if look.trim().is_empty() || event.by.trim().is_empty() {
        return forbidden(
            "expected what the second look at its place showed, and the name of the person who looked: write a few words",
        );
    }
    Ok(())
}

fn forbidden<T>(why: impl Into<String>) -> Result<T, Rejected> {
    Err(Rejected::Forbidden(why.into()))
}

fn finding<'a>(bay: &'a Bay, of: &FindingRef) -> Result<(&'a Inspection, &'a Finding), Rejected> {
    bay.inspection(&of.inspection)
        .and_then(|i| Some((i, i.findings.iter().find(|f| f.id == of.finding)?)))
        .ok_or_else(|| Rejected::Missing(format!("the finding {}", of.finding)))
}

fn watched(bay: &Bay, catalogue: &Catalogue, event: &Event, of: &FindingRef, until: &Until) -> Decided {
    let (_, found) = finding(bay, of)?;
    if bay.closing(&found.id).is_some() {
        return forbidden("expected an open finding, found a closed one: there is nothing left to watch");
    }
    let proposed = class_of(catalogue, found);
    let class = found.overrule.as_ref().map_or(proposed, |o| o.over(proposed));
    if class > Severity::Minor {
        return forbidden(format!(
            "expected a minor finding, found a {} one: only a minor one may be watched; this one is repaired",
            class.word()
        ));
    }
    if until.date.is_none() && until.odometer.is_none() {
        return forbidden(
            "expected a day or an odometer reading up to which it is watched, found neither: set one of them",
        );
    }
    if until.date.is_some_and(|d| d <= event.date) {
        return forbidden(format!("expected a day after {}: set a later one", event.date));
    }
    Ok(())
}

fn same(bay: &Bay, event: &Event, earlier: &FindingRef, later: &FindingRef) -> Decided {
    let ((before, a), (after, b)) = (finding(bay, earlier)?, finding(bay, later)?);
    if before.id == after.id {
        return forbidden("expected findings of two inspections, found two of one: take the one that is too many back");
    }
    if (before.date, before.started) > (after.date, after.started) {
        return forbidden("expected the earlier finding first: the other way round nothing was seen again");
    }
    if !may_be_one(a, b) {
        return forbidden(
            "expected two findings at the same part of the same wheel, or neither at a wheel: these are two defects",
        );
    }
    if let Place::Wheel { position, zone, .. } = &a.place
        && zone.is_tyre()
    {
        let log = OdometerLog::of(bay, event.date);
        let lives = Lives::of(bay, &log, event.date);
        if !lives.is_same(&PartRef::Tyre(*position), before, after) {
            return forbidden(
                "expected two findings on one tyre, found that another one was mounted between: these are two defects",
            );
        }
    }
    Ok(())
}

fn work(bay: &Bay, catalogue: &Catalogue, job: &Job) -> Decided {
    if job.work.trim().is_empty() {
        return forbidden("expected what was done: write a few words");
    }
    for reference in &job.findings {
        finding(bay, reference)?;
    }
    for done in &job.jobs {
        let Some(entry) = catalogue.job(&done.job) else {
            return Err(Rejected::Missing(format!("the job {} in the catalogue", done.job)));
        };
        if !entry.on.subjects(&bay.machine).contains(&done.at) {
            return forbidden(format!(
                "expected a part of this machine for the job {}, found {}",
                entry.title, done.at
            ));
        }
    }
    Ok(())
}

fn fitted(machine: &Machine, fitting: &Fitting) -> Decided {
    let has = match &fitting.part {
        PartRef::Tyre(w) => machine.wheel(*w).is_some(),
        PartRef::Lining(w, side) => {
            machine.wheel(*w).is_some_and(|w| side.map_or(!w.brakes.is_empty(), |side| w.disc_sides().contains(&side)))
        }
        PartRef::Disc(w, side) => machine.wheel(*w).is_some_and(|w| w.disc_sides().contains(side)),
        PartRef::Chain => machine.final_drive == FinalDrive::Chain,
        PartRef::Belt => machine.final_drive == FinalDrive::Belt,
        PartRef::Battery => machine.battery != BatteryKind::None,
        PartRef::Fluid(_) => true,
        PartRef::Other(what) => {
            if what.trim().is_empty() {
                return forbidden("expected which part was fitted: write its name");
            }
            true
        }
    };
    if !has {
        return forbidden(format!(
            "expected a part that this machine has, found the {}: choose another, or correct the machine's data (F2)",
            fitting.part.words()
        ));
    }
    if fitting.tyre.is_some() && !matches!(fitting.part, PartRef::Tyre(_)) {
        return forbidden("expected the marking of a tyre with a tyre alone: leave it out");
    }
    if fitting.measured.is_some_and(|m| m.as_mm() <= 0.0) {
        return forbidden("expected a thickness or depth above zero: measure it again, or leave it out");
    }
    Ok(())
}

/// The machine's data after a fitting: a tyre with its day and odometer, a fluid with its day. None where nothing of
/// the machine's data changes. The event stays the record of the fitting; this keeps the machine's data in step.
pub fn after_fitting(machine: &Machine, event: &Event) -> Option<Machine> {
    let EventKind::PartFitted(fitting) = &event.kind else { return None };
    let mut after = machine.clone();
    match &fitting.part {
        PartRef::Tyre(position) => {
            let wheel = after.wheels.iter_mut().find(|w| w.position == *position)?;
            let mut tyre = fitting.tyre.as_deref().cloned().or_else(|| wheel.tyre.clone())?;
            if fitting.tyre.is_none() {
                // Another tyre of which nothing was written down: the old one's date code is not its own.
                tyre.tin = None;
            }
            tyre.fitted_on = Some(event.date);
            tyre.fitted_at = fitting.odometer;
            wheel.tyre = Some(tyre);
        }
        PartRef::Fluid(kind) => {
            let fluid = after.fluids.iter_mut().find(|f| f.kind == *kind)?;
            fluid.changed_on = Some(event.date);
            if !fitting.what.trim().is_empty() {
                fluid.grade = fitting.what.trim().to_owned();
            }
        }
        _ => return None,
    }
    (after != *machine).then_some(after)
}
