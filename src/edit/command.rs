//! What a user can do to a garage. Ids and the day come with the command: the core makes neither.

use crate::catalogue::OwnKinds;
use crate::exercise::{Exercise, ExerciseId, Key, Sheet, SheetId};
use crate::garage::GarageInfo;
use crate::inspection::{
    Answer, CheckRef, Conditions, Event, Finding, FindingId, Inspection, InspectionId, Overrule, Revisit,
};
use crate::machine::{Machine, MachineId};
use crate::photo::PhotoRef;
use crate::units::Distance;

/// What a photo is of.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum PhotoHome {
    /// The machine as a whole.
    Machine,
    /// A finding of an inspection.
    Finding(InspectionId, FindingId),
}

/// A wish to change the garage.
#[derive(Clone, Debug, PartialEq)]
pub enum Command {
    /// Changes the garage's name or units.
    SetGarage(GarageInfo),
    /// Adds kinds and checks of the garage's own, or changes those of the file with the same name.
    PutOwn(String, OwnKinds),
    /// Takes a file of the garage's own kinds and checks out.
    RemoveOwn(String),
    /// Adds a machine.
    AddMachine(Machine),
    /// Changes a machine's data.
    EditMachine(Machine),
    /// Puts a machine away, or takes it out again.
    Archive(MachineId, bool),
    /// Begins an inspection.
    StartInspection(MachineId, Inspection),
    /// Takes an inspection back whole.
    RemoveInspection(MachineId, InspectionId),
    /// Changes who, when and how it was.
    SetConditions {
        /// The machine.
        machine: MachineId,
        /// The inspection.
        inspection: InspectionId,
        /// Who looked.
        inspector: String,
        /// The odometer.
        odometer: Option<Distance>,
        /// How it was on the day.
        conditions: Conditions,
        /// Remarks on the whole.
        note: String,
    },
    /// Answers a check; an empty answer takes it back.
    SetAnswer {
        /// The machine.
        machine: MachineId,
        /// The inspection.
        inspection: InspectionId,
        /// The check.
        check: CheckRef,
        /// The answer.
        answer: Answer,
    },
    /// Adds a finding, or changes the one with the same id.
    PutFinding(MachineId, InspectionId, Finding),
    /// Takes a finding back that was never meant (a slip of the hand; undo brings it back).
    RemoveFinding(MachineId, InspectionId, FindingId),
    /// Adds a photo, or changes the words and marks of the one with the same file.
    PutPhoto(MachineId, PhotoHome, PhotoRef),
    /// Takes a photo away from what it is of; its file stays in the folder, so that undo brings it back.
    RemovePhoto(MachineId, PhotoHome, String),
    /// Sets a severity against a judged reading, or takes that back.
    Overrule(MachineId, InspectionId, CheckRef, Option<Overrule>),
    /// Records an event: a finding closed or watched, work, a part fitted, a fall, the odometer. It is not edited after;
    /// a wrong one is taken back by a further event.
    Record(MachineId, Event),
    /// Adds a class exercise, or changes the one with the same id.
    PutExercise(Exercise),
    /// Takes an exercise out that has no sheets.
    RemoveExercise(ExerciseId),
    /// Gives an exercise its key, or changes it.
    PutKey(Key),
    /// Takes a student's sheet in.
    TakeInSheet(Box<Sheet>),
    /// Takes a student's sheet out again.
    RemoveSheet(ExerciseId, SheetId),
    /// Says what was seen of a finding of an earlier day.
    Revisit {
        /// The machine.
        machine: MachineId,
        /// The inspection that carries it.
        inspection: InspectionId,
        /// The finding.
        finding: FindingId,
        /// What was seen.
        revisit: Revisit,
    },
}

impl Command {
    /// The machine that is changed, where it is one.
    pub fn machine(&self) -> Option<&MachineId> {
        match self {
            Self::SetGarage(_)
            | Self::PutOwn(..)
            | Self::RemoveOwn(_)
            | Self::PutExercise(_)
            | Self::RemoveExercise(_)
            | Self::PutKey(_)
            | Self::TakeInSheet(_)
            | Self::RemoveSheet(..) => None,
            Self::AddMachine(machine) | Self::EditMachine(machine) => Some(&machine.id),
            Self::Archive(id, _)
            | Self::StartInspection(id, _)
            | Self::RemoveInspection(id, _)
            | Self::SetConditions { machine: id, .. }
            | Self::SetAnswer { machine: id, .. }
            | Self::PutFinding(id, ..)
            | Self::RemoveFinding(id, ..)
            | Self::PutPhoto(id, ..)
            | Self::RemovePhoto(id, ..)
            | Self::Overrule(id, ..)
            | Self::Record(id, _)
            | Self::Revisit { machine: id, .. } => Some(id),
        }
    }
}
