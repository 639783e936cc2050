//! What an event says of other records: findings, jobs, parts and events must be there. Must not touch files.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use super::crossref::to_come;
use super::validate::Sheet;
use crate::catalogue::Catalogue;
use crate::garage::Bay;
use crate::history::{Lives, OdometerLog};
use crate::inspection::{Closing, Event, EventKind, FindingRef, Job, PartRef};

/// Events: their days, and what they point at.
pub(super) fn events(sheet: &mut Sheet<'_>, folder: &str, bay: &Bay, catalogue: &Catalogue, today: NaiveDate) {
    for event in &bay.events {
        let path = format!("{folder}/events/{}.ron", event.id);
        to_come(sheet, &path, "the day of the event", event.date, today);
        match &event.kind {
            EventKind::Watched { of, .. } => {
                known(sheet, (folder, &path), bay, of);
            }
            EventKind::SameDefect { earlier, later } | EventKind::Apart { earlier, later } => {
                known(sheet, (folder, &path), bay, earlier);
                known(sheet, (folder, &path), bay, later);
            }
            EventKind::Job(job) => work(sheet, (folder, &path), bay, catalogue, job),
            EventKind::PartFitted(fitting) => part(sheet, &path, bay, &fitting.part),
            EventKind::Unplanted { planted, look } => taken_out(sheet, (folder, &path), bay, event, (planted, look)),
            EventKind::TakenBack { event: other, reason } => {
                taken_back(sheet, (folder, &path), bay, event, (other, reason))
            }
            _ => {}
        }
    }
    closings(sheet, folder, bay);
    carried(sheet, folder, bay);
    let log = OdometerLog::of(bay, today);
    for note in Lives::of(bay, &log, today).notes.into_iter().filter(|n| n.is_problem) {
        let path = match &note.event {
            Some(event) => format!("{folder}/events/{event}.ron"),
            None => format!("{folder}/machine.ron"),
        };
        let needle = if note.event.is_some() { "odometer:" } else { "fitted_at:" };
        sheet.note(&path, needle, note.message);
    }
}

/// A finding by the inspection that holds it. What is looked at is told by the machine's folder and the file.
fn known(sheet: &mut Sheet<'_>, (folder, path): (&str, &str), bay: &Bay, of: &FindingRef) {
    let Some(from) = bay.inspection(&of.inspection) else {
        let message = format!("expected an inspection of this machine, found \"{}\": correct the id", of.inspection);
        let record = format!("{folder}/inspections/{}.ron", of.inspection);
        return sheet.points_nowhere(path, &format!("\"{}\"", of.inspection), &record, message);
    };
    if !from.findings.iter().any(|f| f.id == of.finding) {
        let message =
            format!("expected a finding of the inspection {}, found \"{}\": correct the id", of.inspection, of.finding);
        sheet.note(path, &format!("\"{}\"", of.finding), message);
    }
}

fn work(sheet: &mut Sheet<'_>, (folder, path): (&str, &str), bay: &Bay, catalogue: &Catalogue, job: &Job) {
    for done in &job.jobs {
        let known: Vec<&str> = catalogue.jobs.iter().map(|j| j.id.as_str()).collect();
        match catalogue.job(&done.job) {
            None => {
                let message = format!(
                    "expected a job of the catalogue ({}), found \"{}\": write one of these; until then every check is asked again",
                    known.join(", "),
                    done.job
                );
                sheet.note(path, &format!("\"{done}\""), message);
            }
            Some(entry) if !entry.on.subjects(&bay.machine).contains(&done.at) => {
                let message = format!(
                    "expected a part of this machine for the job \"{}\", found {}: correct the part",
                    entry.title, done.at
                );
                sheet.note(path, &format!("\"{done}\""), message);
            }
            Some(_) => {}
        }
    }
    for of in &job.findings {
        known(sheet, (folder, path), bay, of);
    }
    if job.work.trim().is_empty() && !job.findings.is_empty() {
        let message = "expected what was done, found nothing, so nothing counts as repaired: write a few words";
        sheet.note(path, "work:", message.into());
    }
}

fn part(sheet: &mut Sheet<'_>, path: &str, bay: &Bay, part: &PartRef) {
    let wheel = part.wheel().map(|w| bay.machine.wheel(w));
    let lacks = match (part, wheel) {
        (_, Some(None)) => true,
        (PartRef::Disc(_, side) | PartRef::Lining(_, Some(side)), Some(Some(wheel))) => {
            !wheel.disc_sides().contains(side)
        }
        _ => false,
    };
    if lacks {
        let message = format!("expected a part of this machine, found the {}: correct the part", part.words());
        sheet.note(path, "part:", message);
    }
}

fn taken_back(
    sheet: &mut Sheet<'_>,
    (folder, path): (&str, &str),
    bay: &Bay,
    event: &Event,
    (other, reason): (&crate::inspection::EventId, &str),
) {
    if bay.event(other).is_none() {
        let message = format!("expected an event of this machine, found \"{other}\": correct the id");
        sheet.points_nowhere(path, &format!("\"{other}\""), &format!("{folder}/events/{other}.ron"), message);
    }
    if reason.trim().is_empty() || event.by.trim().is_empty() {
        let message =
            format!("expected why {other} was wrong and who says so, found nothing, so it still counts: write both");
        sheet.note(path, "reason:", message);
    }
}

/// A planted defect that is ticked out: it must be one, and its place looked at again by somebody with a name.
fn taken_out(
    sheet: &mut Sheet<'_>,
    (folder, path): (&str, &str),
    bay: &Bay,
    event: &Event,
    (planted, look): (&crate::inspection::EventId, &str),
) {
    let of = bay.event(planted);
    if !of.is_some_and(|e| matches!(e.kind, EventKind::Planted { .. })) {
        let message = format!("expected the event of a planted defect, found \"{planted}\": correct the id");
        match of {
            Some(_) => sheet.note(path, &format!("\"{planted}\""), message),
            None => {
                let record = format!("{folder}/events/{planted}.ron");
                sheet.points_nowhere(path, &format!("\"{planted}\""), &record, message);
            }
        }
    }
    if of.is_some_and(|e| e.date > event.date) {
        let message = format!("expected a day on or after the planting, found {}: correct the day", event.date);
        sheet.note(path, &event.date.to_string(), message);
    }
    if look.trim().is_empty() || event.by.trim().is_empty() {
        let message = format!(
            "expected what the second look showed and who looked, found nothing, so {planted} is still in: write both"
        );
        sheet.note(path, "look:", message);
    }
}

/// The findings that an inspection began with must be findings of this machine.
fn carried(sheet: &mut Sheet<'_>, folder: &str, bay: &Bay) {
    // A finding is named by its id alone: it may be in an inspection that could not be read.
    if bay.unread.iter().any(|record| record.contains("inspections/")) {
        return;
    }
    for inspection in &bay.inspections {
        for id in inspection.carried.keys().filter(|id| bay.finding(id).is_none()) {
            let message = format!("expected a finding of this machine, found \"{id}\": correct the id, or take it out");
            sheet.note(&format!("{folder}/inspections/{}.ron", inspection.id), &format!("\"{id}\""), message);
        }
    }
}

/// Closings: the findings they close, each once, and the evidence they must hold.
fn closings(sheet: &mut Sheet<'_>, folder: &str, bay: &Bay) {
    let mut closed = BTreeMap::new();
    // One that was taken back may be followed by another.
    for event in bay.in_force() {
        let path = format!("{folder}/events/{}.ron", event.id);
        let EventKind::FindingClosed { inspection, finding, closing } = &event.kind else { continue };
        if let Some(what) = closing.lacking(&event.by) {
            let message = format!("expected {what}, found nothing, so {finding} stays open: write a few words");
            sheet.note(&path, &format!("\"{finding}\""), message);
        }
        let Some(from) = bay.inspection(inspection) else {
            let message = format!("expected an inspection of this machine, found \"{inspection}\": correct the id");
            let record = format!("{folder}/inspections/{inspection}.ron");
            sheet.points_nowhere(&path, &format!("\"{inspection}\""), &record, message);
            continue;
        };
        if !from.findings.iter().any(|f| &f.id == finding) {
            let message =
                format!("expected a finding of the inspection {inspection}, found \"{finding}\": correct the id");
            sheet.note(&path, &format!("\"{finding}\""), message);
        }
        if let Closing::LookedAgain { job, .. } = closing
            && !bay.jobs_for(finding).any(|e| &e.id == job)
        {
            let message = format!(
                "expected the event of a repair of {finding}, found \"{job}\", so it stays open: correct the id"
            );
            match bay.event(job) {
                Some(_) => sheet.note(&path, &format!("\"{job}\""), message),
                None => {
                    let record = format!("{folder}/events/{job}.ron");
                    sheet.points_nowhere(&path, &format!("\"{job}\""), &record, message);
                }
            }
        }
        if event.date < from.date {
            let message = format!(
                "expected a closing on or after the inspection ({}), found {}: correct the day",
                from.date, event.date
            );
            sheet.note(&path, &event.date.to_string(), message);
        }
        if let Some(earlier) = closed.insert(finding.clone(), event.id.clone()) {
            let message = format!(
                "expected one closing of each finding, found that {earlier} closes {finding} too: remove one of the two"
            );
            sheet.note(&path, &format!("\"{finding}\""), message);
        }
    }
    let mut ids = BTreeMap::new();
    for inspection in &bay.inspections {
        for finding in &inspection.findings {
            if let Some(other) = ids.insert(&finding.id, &inspection.id)
                && other != &inspection.id
            {
                let path = format!("{folder}/inspections/{}.ron", inspection.id);
                let message = format!(
                    "expected ids of findings used once, found {} in {other} too: give one of them another id",
                    finding.id
                );
                sheet.note(&path, &format!("\"{}\"", finding.id), message);
            }
        }
    }
}
