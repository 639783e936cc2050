//! Records by key, and a change of one record.

use crate::catalogue::OwnKinds;
use crate::exercise::{Exercise, ExerciseId, Key, Sheet, SheetId};
use crate::garage::{Bay, Course, Garage, GarageInfo};
use crate::inspection::{Event, EventId, Inspection, InspectionId};
use crate::machine::{Machine, MachineId};

/// Which record: each is one file of the garage.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum RecordKey {
    /// `garage.ron`.
    Garage,
    /// A machine.
    Machine(MachineId),
    /// An inspection of a machine.
    Inspection(MachineId, InspectionId),
    /// An event of a machine.
    Event(MachineId, EventId),
    /// A class exercise.
    Exercise(ExerciseId),
    /// The key of an exercise.
    Key(ExerciseId),
    /// A student's sheet.
    Sheet(ExerciseId, SheetId),
    /// Kinds and checks of the garage's own, by the name of their file without its ending.
    Own(String),
}

/// The whole of a record.
#[derive(Clone, Debug, PartialEq)]
pub enum Record {
    /// Name and units of the garage.
    Garage(Box<GarageInfo>),
    /// A machine.
    Machine(Box<Machine>),
    /// An inspection.
    Inspection(Box<Inspection>),
    /// An event.
    Event(Box<Event>),
    /// A class exercise.
    Exercise(Box<Exercise>),
    /// The key of an exercise.
    Key(Box<Key>),
    /// A student's sheet.
    Sheet(Box<Sheet>),
    /// Kinds and checks of the garage's own.
    Own(Box<OwnKinds>),
}

impl Record {
    /// Whether two records are one to the eye too: 2.5 bar and 250 kPa are equal, and not the same. What is compared is
    /// what is written down, since a figure that was worked out may lose its last digits on the way to the disk and back.
    pub fn is_same(&self, other: &Self) -> bool {
        self == other && self.written() == other.written()
    }
    /// The record as data.
    fn written(&self) -> Result<serde_json::Value, String> {
        match self {
            Self::Garage(record) => serde_json::to_value(record),
            Self::Machine(record) => serde_json::to_value(record),
            Self::Inspection(record) => serde_json::to_value(record),
            Self::Event(record) => serde_json::to_value(record),
            Self::Exercise(record) => serde_json::to_value(record),
            Self::Key(record) => serde_json::to_value(record),
            Self::Sheet(record) => serde_json::to_value(record),
            Self::Own(record) => serde_json::to_value(record),
        }
        .map_err(|e| e.to_string())
    }
    /// The same of two that may not be there.
    pub fn are_same(one: Option<&Self>, other: Option<&Self>) -> bool {
        match (one, other) {
            (Some(one), Some(other)) => one.is_same(other),
            (one, other) => one.is_none() && other.is_none(),
        }
    }
}

/// A change of one record: what it was and what it becomes; none where it is not there.
#[derive(Clone, Debug, PartialEq)]
pub struct Change {
    /// Which record.
    pub key: RecordKey,
    /// What it was.
    pub before: Option<Record>,
    /// What it becomes.
    pub after: Option<Record>,
    /// What the change does, for the undo menu: `add a finding`.
    pub label: String,
}

impl Change {
    /// The change that takes this one back.
    pub fn inverse(&self) -> Self {
        Self {
            key: self.key.clone(),
            before: self.after.clone(),
            after: self.before.clone(),
            label: self.label.clone(),
        }
    }
}

impl Garage {
    /// The record with a key, as it is now.
    pub fn record(&self, key: &RecordKey) -> Option<Record> {
        Some(match key {
            RecordKey::Garage => Record::Garage(Box::new(self.info.clone())),
            RecordKey::Machine(id) => Record::Machine(Box::new(self.bay(id)?.machine.clone())),
            RecordKey::Inspection(machine, id) => {
                Record::Inspection(Box::new(self.bay(machine)?.inspection(id)?.clone()))
            }
            RecordKey::Event(machine, id) => {
                Record::Event(Box::new(self.bay(machine)?.events.iter().find(|e| &e.id == id)?.clone()))
            }
            RecordKey::Own(name) => Record::Own(Box::new(self.own.get(name)?.clone())),
            RecordKey::Exercise(id) => Record::Exercise(Box::new(self.course(id)?.exercise.clone())),
            RecordKey::Key(id) => Record::Key(Box::new(self.course(id)?.key.clone()?)),
            RecordKey::Sheet(exercise, id) => {
                Record::Sheet(Box::new(self.course(exercise)?.sheets.iter().find(|s| &s.id == id)?.clone()))
            }
        })
    }

    /// The key of every record, what holds others before what it holds, and the garage's own last.
    pub fn keys(&self) -> Vec<RecordKey> {
        let mut keys = Vec::new();
        for bay in &self.bays {
            let id = &bay.machine.id;
            keys.push(RecordKey::Machine(id.clone()));
            keys.extend(bay.inspections.iter().map(|i| RecordKey::Inspection(id.clone(), i.id.clone())));
            keys.extend(bay.events.iter().map(|e| RecordKey::Event(id.clone(), e.id.clone())));
        }
        keys.extend(self.own.keys().map(|name| RecordKey::Own(name.clone())));
        for course in &self.courses {
            let id = &course.exercise.id;
            keys.push(RecordKey::Exercise(id.clone()));
            keys.extend(course.key.as_ref().map(|_| RecordKey::Key(id.clone())));
            keys.extend(course.sheets.iter().map(|s| RecordKey::Sheet(id.clone(), s.id.clone())));
        }
        keys.push(RecordKey::Garage);
        keys
    }

    /// Puts a record in its place, or takes it out. The only way a garage changes. A record of a machine that is not
    /// there is left out, since [`super::decide`] never makes such a change.
    pub fn evolve(&mut self, change: &Change) {
        match (&change.key, &change.after) {
            (RecordKey::Garage, Some(Record::Garage(info))) => self.info = (**info).clone(),
            (RecordKey::Machine(id), Some(Record::Machine(machine))) => match self.bay_mut(id) {
                Some(bay) => bay.machine = (**machine).clone(),
                None => {
                    self.bays.push(Bay::new((**machine).clone()));
                    self.bays.sort_by(|a, b| a.machine.id.cmp(&b.machine.id));
                }
            },
            (RecordKey::Machine(id), None) => self.bays.retain(|b| &b.machine.id != id),
            (RecordKey::Inspection(machine, id), after) => {
                if let Some(bay) = self.bay_mut(machine) {
                    bay.inspections.retain(|i| &i.id != id);
                    if let Some(Record::Inspection(inspection)) = after {
                        bay.inspections.push((**inspection).clone());
                    }
                    bay.sort();
                }
            }
            (RecordKey::Event(machine, id), after) => {
                if let Some(bay) = self.bay_mut(machine) {
                    bay.events.retain(|e| &e.id != id);
                    if let Some(Record::Event(event)) = after {
                        bay.events.push((**event).clone());
                    }
                    bay.sort();
                }
            }
            (RecordKey::Own(name), Some(Record::Own(own))) => {
                self.own.insert(name.clone(), (**own).clone());
            }
            (RecordKey::Own(name), None) => {
                self.own.remove(name);
            }
            (RecordKey::Exercise(id), Some(Record::Exercise(exercise))) => match self.course_mut(id) {
                Some(course) => course.exercise = (**exercise).clone(),
                None => {
                    self.courses.push(Course::new((**exercise).clone()));
                    self.courses.sort_by(|a, b| a.exercise.id.cmp(&b.exercise.id));
                }
            },
            (RecordKey::Exercise(id), None) => self.courses.retain(|c| &c.exercise.id != id),
            (RecordKey::Key(id), after) => {
                if let Some(course) = self.course_mut(id) {
                    course.key = match after {
                        Some(Record::Key(key)) => Some((**key).clone()),
                        _ => None,
                    };
                }
            }
            (RecordKey::Sheet(exercise, id), after) => {
                if let Some(course) = self.course_mut(exercise) {
                    course.sheets.retain(|s| &s.id != id);
                    if let Some(Record::Sheet(sheet)) = after {
                        course.sheets.push((**sheet).clone());
                    }
                    course.sheets.sort_by(|a, b| a.id.cmp(&b.id));
                }
            }
            _ => {}
        }
    }
}
