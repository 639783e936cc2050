//! The garage in memory: its machines, each with its inspections and events. Must not know files.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use crate::catalogue::OwnKinds;
use crate::exercise::{Exercise, ExerciseId, Key, Sheet};
use crate::guard::limits::{MACHINE_FINDINGS, MACHINE_RECORDS};
use crate::inspection::{Closing, Event, EventId, EventKind, Finding, FindingId, Inspection, InspectionId};
use crate::machine::{Machine, MachineId, Months};
use crate::units::{Distance, Preferences};

/// What `garage.ron` holds.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct GarageInfo {
    /// The schema of this record.
    pub schema: u32,
    /// What the owner calls the garage.
    pub name: String,
    /// The units the owner likes.
    #[serde(default)]
    pub units: Preferences,
    /// The months in which the machines stay off the road, where a machine has none of its own.
    #[serde(default, skip_serializing_if = "Months::is_empty")]
    pub off_road: Months,
}

impl Default for GarageInfo {
    fn default() -> Self {
        Self {
            schema: crate::machine::SCHEMA,
            name: "Garage".into(),
            units: Preferences::default(),
            off_road: Months::default(),
        }
    }
}

/// A machine with what is known of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Bay {
    /// The machine.
    pub machine: Machine,
    /// Its inspections, oldest first (by date, then the time they began, then id).
    pub inspections: Vec<Inspection>,
    /// Its events, oldest first (by date, then id).
    pub events: Vec<Event>,
    /// Records of this machine that are there and could not be read, by their path in the garage. One of them may hold
    /// a dangerous finding, so nothing is called fit while there are any.
    pub unread: Vec<String>,
}

/// A garage.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Garage {
    /// Name and units.
    pub info: GarageInfo,
    /// The machines, in order of their ids.
    pub bays: Vec<Bay>,
    /// The class exercises, in order of their ids.
    pub courses: Vec<Course>,
    /// What the garage adds to the catalogue in its folder `kinds`, by the name of the file without its ending.
    pub own: BTreeMap<String, OwnKinds>,
}

/// A class exercise with what belongs to it. A student's garage holds no key and no sheets.
#[derive(Clone, Debug, PartialEq)]
pub struct Course {
    /// The exercise.
    pub exercise: Exercise,
    /// The instructor's key.
    pub key: Option<Key>,
    /// What the students handed in, in order of their ids.
    pub sheets: Vec<Sheet>,
}

impl Garage {
    /// The bay of a machine.
    pub fn bay(&self, id: &MachineId) -> Option<&Bay> {
        self.bays.iter().find(|b| &b.machine.id == id)
    }
    /// The bay of a machine, to change it.
    pub fn bay_mut(&mut self, id: &MachineId) -> Option<&mut Bay> {
        self.bays.iter_mut().find(|b| &b.machine.id == id)
    }
    /// The exercise with an id, and what belongs to it.
    pub fn course(&self, id: &ExerciseId) -> Option<&Course> {
        self.courses.iter().find(|c| &c.exercise.id == id)
    }
    /// The exercise that an inspection of this machine and kind answers, in a student's garage: it holds no key.
    pub fn exercise_for(&self, machine: &MachineId, kind: &str) -> Option<&Exercise> {
        let is_it = |c: &&Course| c.key.is_none() && &c.exercise.machine == machine && c.exercise.kind == kind;
        self.courses.iter().find(is_it).map(|c| &c.exercise)
    }
    /// The same, to change it.
    pub fn course_mut(&mut self, id: &ExerciseId) -> Option<&mut Course> {
        self.courses.iter_mut().find(|c| &c.exercise.id == id)
    }
}

impl Course {
    /// An exercise with no key and no sheets.
    pub fn new(exercise: Exercise) -> Self {
        Self { exercise, key: None, sheets: Vec::new() }
    }
}

impl Bay {
    /// A bay with a machine and nothing else.
    pub fn new(machine: Machine) -> Self {
        Self { machine, inspections: Vec::new(), events: Vec::new(), unread: Vec::new() }
    }
    /// Puts inspections in order of day, then of the time they began, then of id; events of day, then id. An id ends in
    /// a random part, so it alone would shuffle two looks of one day.
    pub fn sort(&mut self) {
        self.inspections.sort_by(|a, b| (a.date, a.started, &a.id).cmp(&(b.date, b.started, &b.id)));
        self.events.sort_by(|a, b| (a.date, &a.id).cmp(&(b.date, &b.id)));
    }
    /// The newest inspection.
    pub fn latest(&self) -> Option<&Inspection> {
        self.inspections.last()
    }
    /// The inspection with an id.
    pub fn inspection(&self, id: &InspectionId) -> Option<&Inspection> {
        self.inspections.iter().find(|i| &i.id == id)
    }
    /// The finding with an id, and the inspection that holds it.
    pub fn finding(&self, id: &FindingId) -> Option<(&Inspection, &Finding)> {
        self.inspections.iter().find_map(|i| Some((i, i.findings.iter().find(|f| &f.id == id)?)))
    }
    /// The event with an id.
    pub fn event(&self, id: &EventId) -> Option<&Event> {
        self.events.iter().find(|e| &e.id == id)
    }
    /// The event that takes another one back, if any. Taking back says why and by whom, or it counts for nothing; it
    /// can be taken back in its turn.
    pub fn taken_back(&self, id: &EventId) -> Option<&Event> {
        // As many steps as there are events: a ring of events that take each other back ends, and undoes nothing.
        self.taken_back_within(id, self.events.len())
    }
    fn taken_back_within(&self, id: &EventId, steps: usize) -> Option<&Event> {
        let steps = steps.checked_sub(1)?;
        self.events.iter().find(|e| match &e.kind {
            EventKind::TakenBack { event, reason } => {
                let is_said = !reason.trim().is_empty() && !e.by.trim().is_empty();
                event == id && is_said && self.taken_back_within(&e.id, steps).is_none()
            }
            _ => false,
        })
    }
    /// The events that count: all but those that were taken back.
    pub fn in_force(&self) -> impl DoubleEndedIterator<Item = &Event> {
        let any = self.events.iter().any(|e| matches!(e.kind, EventKind::TakenBack { .. }));
        self.events.iter().filter(move |e| !any || self.taken_back(&e.id).is_none())
    }
    /// The event that closed a finding, if any. One that lacks what a closing must say (house rule 3), as a hand may
    /// have written it, closes nothing; nor does a second look at a job that was never done for that finding.
    pub fn closing(&self, finding: &FindingId) -> Option<&Event> {
        self.events.iter().rev().find(|e| match &e.kind {
            EventKind::FindingClosed { finding: closed, closing, .. } => {
                closed == finding
                    && closing.lacking(&e.by).is_none()
                    && self.has_its_job(finding, closing)
                    && self.taken_back(&e.id).is_none()
            }
            _ => false,
        })
    }
    /// Whether the job that a second look names was done for a finding; true of closings that name none.
    fn has_its_job(&self, finding: &FindingId, closing: &Closing) -> bool {
        let Closing::LookedAgain { job, .. } = closing else { return true };
        self.jobs_for(finding).any(|e| &e.id == job)
    }
    /// The jobs that were done for a finding, oldest first.
    pub fn jobs_for<'a>(&'a self, finding: &'a FindingId) -> impl Iterator<Item = &'a Event> {
        self.events.iter().filter(move |e| match &e.kind {
            EventKind::Job(job) => {
                !job.work.trim().is_empty()
                    && job.findings.iter().any(|f| &f.finding == finding)
                    && self.taken_back(&e.id).is_none()
            }
            _ => false,
        })
    }
    /// The last odometer reading known on or before a day.
    pub fn odometer_on(&self, day: NaiveDate) -> Option<Distance> {
        self.odometer_before(day, None)
    }
    /// The same without what one inspection read.
    pub fn odometer_before(&self, day: NaiveDate, except: Option<&InspectionId>) -> Option<Distance> {
        let others = self.inspections.iter().filter(|i| Some(&i.id) != except);
        let inspected = others.filter_map(|i| i.odometer.map(|o| (i.date, o)));
        let logged = self.in_force().filter_map(|e| match &e.kind {
            EventKind::OdometerReplaced { first, .. } => Some((e.date, *first)),
            kind => Some((e.date, kind.odometer()?)),
        });
        inspected
            .chain(logged)
            .filter(|(d, _)| *d <= day)
            .max_by_key(|(d, _)| *d)
            .map(|(_, o)| o)
            .or(self.machine.odometer)
    }
    /// Why it holds more than can be judged in a stated time, in words; none where it does not.
    pub fn too_many(&self) -> Option<String> {
        let findings = self.inspections.iter().map(|i| i.findings.len() + i.carried.len()).sum();
        let counts = [
            (findings, MACHINE_FINDINGS),
            (self.inspections.len(), MACHINE_RECORDS),
            (self.events.len(), MACHINE_RECORDS),
        ];
        let (found, limit) = counts.into_iter().find(|(found, limit)| *found > limit.size())?;
        Some(format!(
            "expected at most {} {}, found {found}: no machine has so many; take out the files that do not belong to \
             it, or restore the folder from a backup",
            limit.most, limit.what
        ))
    }
}
