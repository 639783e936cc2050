//! Deciding a command: it becomes a change of one record, or is rejected with a reason and a way out.

use std::collections::BTreeMap;

use thiserror::Error;

use super::{Change, Command, Record, RecordKey, class, events, photos};
use crate::catalogue::{Catalogue, CatalogueError, OwnKinds};
use crate::garage::Garage;
use crate::inspection::{
    Answer, CheckState, Finding, Inspection, InspectionId, Overrule, Place, Seen, Severity, may_overrule,
};
use crate::machine::{Machine, MachineId};

/// Why a command was not carried out. Nothing has changed.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum Rejected {
    /// The record is not there, or no longer.
    #[error("expected {0}, found none: it may have been removed on disk or by undo; choose it again from the list")]
    Missing(String),
    /// The id is taken.
    #[error("expected a new id, found that {0} is there already: try again")]
    Taken(String),
    /// A rule of the house forbids it.
    #[error("{0}")]
    Forbidden(String),
}

/// Turns a command into a change of one record. Pure.
pub fn decide(garage: &Garage, catalogue: &Catalogue, command: Command) -> Result<Change, Rejected> {
    may_be_changed(garage, &command)?;
    match command {
        Command::PutExercise(exercise) => class::put_exercise(garage, exercise),
        Command::RemoveExercise(id) => class::remove_exercise(garage, id),
        Command::PutKey(key) => class::put_key(garage, key),
        Command::TakeInSheet(sheet) => class::take_in(garage, sheet),
        Command::RemoveSheet(exercise, id) => class::remove_sheet(garage, exercise, id),
        Command::SetGarage(info) => {
            named("the garage", &info.name)?;
            Ok(change(garage, RecordKey::Garage, Some(Record::Garage(Box::new(info))), "change the garage"))
        }
        Command::PutOwn(name, own) => put_own(garage, catalogue, name, own),
        Command::RemoveOwn(name) => {
            if !garage.own.contains_key(&name) {
                return Err(Rejected::Missing(format!("the file kinds/{name}.ron")));
            }
            let mut without = garage.own.clone();
            without.remove(&name);
            sound(catalogue, &without)?;
            Ok(change(garage, RecordKey::Own(name), None, "remove a kind of inspection"))
        }
        Command::AddMachine(machine) => {
            if garage.bay(&machine.id).is_some() {
                return Err(Rejected::Taken(format!("the machine {}", machine.id)));
            }
            put_machine(garage, machine, "add a machine")
        }
        Command::EditMachine(machine) => {
            bay_machine(garage, &machine.id)?;
            put_machine(garage, machine, "edit the machine")
        }
        Command::Archive(id, archived) => {
            let mut machine = bay_machine(garage, &id)?.clone();
            machine.archived = archived;
            put_machine(garage, machine, if archived { "put the machine away" } else { "take the machine out" })
        }
        Command::StartInspection(machine, inspection) => {
            bay_machine(garage, &machine)?;
            if garage.bay(&machine).is_some_and(|b| b.inspection(&inspection.id).is_some()) {
                return Err(Rejected::Taken(format!("the inspection {}", inspection.id)));
            }
            Ok(put_inspection(garage, &machine, inspection, "begin an inspection"))
        }
        Command::RemoveInspection(machine, id) => {
            if !existing(garage, &machine, &id)?.findings.is_empty() {
                still_in_hand(garage, &machine, &id)?;
            }
            Ok(change(garage, RecordKey::Inspection(machine, id), None, "remove the inspection"))
        }
        Command::SetConditions { machine, inspection, inspector, odometer, conditions, note } => {
            if conditions.standing_hours.is_some_and(|h| !h.is_finite() || h < 0.0) {
                return Err(Rejected::Forbidden(
                    "expected hours at rest of zero or more: type how long the machine has stood, as in 3".into(),
                ));
            }
            edit_inspection(garage, &machine, &inspection, "change the conditions", |i| {
                i.inspector = inspector;
                i.odometer = odometer;
                i.conditions = conditions;
                i.note = note;
                Ok(())
            })
        }
        Command::SetAnswer { machine, inspection, check, answer } => {
            let applies = catalogue.check(&check.check).is_some_and(|c| {
                let m = garage.bay(&machine).map(|b| &b.machine);
                m.is_some_and(|m| c.when.iter().all(|w| w.holds(m)) && c.on.subjects(m).contains(&check.subject))
            });
            match &answer.state {
                CheckState::NotApplicable if applies => {
                    return Err(Rejected::Forbidden(
                        "this machine has the part, so the check applies: answer it, or say why it could not be checked"
                            .into(),
                    ));
                }
                CheckState::CouldNot(why) if why.trim().is_empty() => {
                    return Err(Rejected::Forbidden(
                        "expected the reason why it could not be checked: write a few words".into(),
                    ));
                }
                _ => {}
            }
            edit_inspection(garage, &machine, &inspection, "answer a check", |i| {
                if answer == Answer::default() {
                    i.answers.remove(&check);
                } else {
                    i.answers.insert(check, answer);
                }
                Ok(())
            })
        }
        Command::PutFinding(machine, inspection, finding) => {
            if let Place::Wheel { position, .. } = &finding.place
                && bay_machine(garage, &machine)?.wheel(*position).is_none()
            {
                return Err(Rejected::Forbidden(format!(
                    "expected a wheel of this machine, found {}: choose one of its wheels",
                    position.word()
                )));
            }
            if let Some(overrule) = &finding.overrule {
                reasoned(overrule)?;
                if !may_overrule(class_of(catalogue, &finding), overrule.severity) {
                    return Err(Rejected::Forbidden(
                        "expected a dangerous finding to stay dangerous: it clears by repair and a second look, or as \
                         recorded by mistake, with a name and the reason"
                            .into(),
                    ));
                }
            }
            if existing(garage, &machine, &inspection)?
                .findings
                .iter()
                .any(|f| f.id == finding.id && (f.check != finding.check || f.fault != finding.fault))
            {
                still_in_hand(garage, &machine, &inspection)?;
            }
            edit_inspection(garage, &machine, &inspection, "put a finding", |i| {
                match i.findings.iter_mut().find(|f| f.id == finding.id) {
                    Some(old) => *old = finding,
                    None => i.findings.push(finding),
                }
                Ok(())
            })
        }
        Command::RemoveFinding(machine, inspection, id) => {
            if garage.bay(&machine).is_some_and(|b| b.closing(&id).is_some()) {
                return Err(Rejected::Forbidden(
                    "this finding has been closed by an event and stays in the record: take the closing back first"
                        .into(),
                ));
            }
            still_in_hand(garage, &machine, &inspection)?;
            edit_inspection(garage, &machine, &inspection, "remove a finding", |i| {
                let count = i.findings.len();
                i.findings.retain(|f| f.id != id);
                if i.findings.len() == count { Err(Rejected::Missing(format!("the finding {id}"))) } else { Ok(()) }
            })
        }
        Command::PutPhoto(machine, home, photo) => photos::put(garage, &machine, &home, photo),
        Command::RemovePhoto(machine, home, file) => photos::remove(garage, &machine, &home, &file),
        Command::Overrule(machine, inspection, check, overrule) => {
            overrule.as_ref().map_or(Ok(()), reasoned)?;
            edit_inspection(garage, &machine, &inspection, "overrule a severity", |i| {
                match overrule {
                    Some(overrule) => i.overrules.insert(check, overrule),
                    None => i.overrules.remove(&check),
                };
                Ok(())
            })
        }
        Command::Record(machine, event) => events::record(garage, catalogue, machine, event),
        Command::Revisit { machine, inspection, finding, revisit } => {
            if let Seen::CouldNot(why) = &revisit.seen
                && why.trim().is_empty()
            {
                return Err(Rejected::Forbidden(
                    "expected the reason why it could not be looked at: write a few words".into(),
                ));
            }
            if revisit.size.is_some_and(|size| size.as_mm() <= 0.0) {
                return Err(Rejected::Forbidden("expected a size above zero: measure along its longest side".into()));
            }
            edit_inspection(garage, &machine, &inspection, "look again at a finding", |i| {
                match i.carried.get_mut(&finding) {
                    Some(carried) => *carried = revisit,
                    None => return Err(Rejected::Missing(format!("the finding {finding} among those carried over"))),
                }
                Ok(())
            })
        }
    }
}

/// A history that was read from a report is kept as it came; it can only be put away.
fn put_own(garage: &Garage, catalogue: &Catalogue, name: String, own: OwnKinds) -> Result<Change, Rejected> {
    let mut with = garage.own.clone();
    with.insert(name.clone(), own.clone());
    sound(catalogue, &with)?;
    Ok(change(garage, RecordKey::Own(name), Some(Record::Own(Box::new(own))), "change a kind of inspection"))
}

/// Whether the catalogue takes what the garage adds; else the first thing that is wrong with it.
fn sound(catalogue: &Catalogue, own: &BTreeMap<String, OwnKinds>) -> Result<(), Rejected> {
    match catalogue.with_own(own.iter()).1.into_iter().next() {
        None => Ok(()),
        Some(CatalogueError::Read { message, .. }) => Err(Rejected::Forbidden(message)),
        Some(error) => Err(Rejected::Forbidden(error.to_string())),
    }
}

fn may_be_changed(garage: &Garage, command: &Command) -> Result<(), Rejected> {
    let Some(source) = command.machine().and_then(|id| garage.bay(id)).and_then(|b| b.machine.read_only.as_ref())
    else {
        return Ok(());
    };
    if matches!(command, Command::Archive(..)) {
        return Ok(());
    }
    Err(Rejected::Forbidden(format!(
        "expected a machine of your own, found a history that is read and not changed ({source}): add the machine anew to \
         go over it yourself"
    )))
}

fn reasoned(overrule: &Overrule) -> Result<(), Rejected> {
    if overrule.reason.trim().is_empty() {
        return Err(Rejected::Forbidden("expected a reason for the other severity: write a few words".into()));
    }
    Ok(())
}

/// The class that the catalogue gives a finding; a fault that it does not know is taken for major.
pub(super) fn class_of(catalogue: &Catalogue, finding: &Finding) -> Severity {
    catalogue
        .fault_of(finding)
        .map_or(Severity::Major, |f| f.practice.as_ref().map_or(f.severity, |(raised, _)| f.severity.max(*raised)))
}

/// A finding that a later inspection already stands on is closed, never taken back without a trace (house rule 3).
fn still_in_hand(garage: &Garage, machine: &MachineId, id: &InspectionId) -> Result<(), Rejected> {
    let latest = garage.bay(machine).and_then(|b| b.latest());
    if latest.is_some_and(|latest| &latest.id != id) {
        return Err(Rejected::Forbidden(
            "expected findings of the newest inspection, found those of an earlier one: what was found then stays in \
             the record; close it as repaired or as recorded by mistake"
                .into(),
        ));
    }
    Ok(())
}

pub(super) fn change(garage: &Garage, key: RecordKey, after: Option<Record>, label: &str) -> Change {
    Change { before: garage.record(&key), key, after, label: label.to_owned() }
}

pub(super) fn bay_machine<'a>(garage: &'a Garage, id: &MachineId) -> Result<&'a Machine, Rejected> {
    garage.bay(id).map(|b| &b.machine).ok_or_else(|| Rejected::Missing(format!("the machine {id}")))
}

pub(super) fn existing<'a>(
    garage: &'a Garage,
    machine: &MachineId,
    id: &InspectionId,
) -> Result<&'a Inspection, Rejected> {
    garage.bay(machine).and_then(|b| b.inspection(id)).ok_or_else(|| Rejected::Missing(format!("the inspection {id}")))
}

pub(super) fn named(what: &str, name: &str) -> Result<(), Rejected> {
    if name.trim().is_empty() {
        return Err(Rejected::Forbidden(format!("expected a name for {what}, found none: type one, any words do")));
    }
    Ok(())
}

pub(super) fn put_machine(garage: &Garage, machine: Machine, label: &str) -> Result<Change, Rejected> {
    named("the machine", &machine.name)?;
    let positions: Vec<_> = machine.wheels.iter().map(|w| w.position).collect();
    if positions != machine.layout.positions() {
        return Err(Rejected::Forbidden(format!(
            "expected the wheels of the layout ({}), found others: choose the layout again",
            machine.layout.word()
        )));
    }
    let key = RecordKey::Machine(machine.id.clone());
    Ok(change(garage, key, Some(Record::Machine(Box::new(machine))), label))
}

fn put_inspection(garage: &Garage, machine: &MachineId, inspection: Inspection, label: &str) -> Change {
    let key = RecordKey::Inspection(machine.clone(), inspection.id.clone());
    change(garage, key, Some(Record::Inspection(Box::new(inspection))), label)
}

pub(super) fn edit_inspection(
    garage: &Garage,
    machine: &MachineId,
    id: &InspectionId,
    label: &str,
    edit: impl FnOnce(&mut Inspection) -> Result<(), Rejected>,
) -> Result<Change, Rejected> {
    let mut inspection = existing(garage, machine, id)?.clone();
    edit(&mut inspection)?;
    Ok(put_inspection(garage, machine, inspection, label))
}
