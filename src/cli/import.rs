//! A verified report's machines into a garage, as a history that is read and not changed.

use std::collections::BTreeSet;
use std::path::Path;

use chrono::NaiveDate;

use super::answer::Failure;
use crate::edit::{Command, decide};
use crate::garage::{Bay, Garage};
use crate::machine::{Machine, MachineId};
use crate::report::content::Verification;
use crate::store::{self, Opened};

/// Takes the machines in; gives a line about each. The garage is written record by record, the machine's mark of where
/// it came from last, so that a history that was cut short can still be removed by hand.
pub fn import(folder: &Path, found: &Verification, today: NaiveDate) -> Result<Vec<String>, Failure> {
    let mut opened = store::open(folder).map_err(|e| Failure(e.to_string()))?;
    if let Some(why) = &opened.lock.read_only_because {
        return Err(Failure(why.clone()));
    }
    let mut told = Vec::new();
    for mut bay in found.packet.garage().bays {
        let left = only_what_came(&mut bay, found);
        if left > 0 {
            told.push(format!(
                "{left} photo{} that the records of {} name did not travel in the report and {} left out of them.",
                if left == 1 { "" } else { "s" },
                bay.machine.name,
                if left == 1 { "is" } else { "are" }
            ));
        }
        let again = again(&opened.garage, &bay.machine, found);
        told.push(one(folder, &mut opened, &bay, found, today)?);
        told.extend(again);
    }
    Ok(told)
}

fn one(
    folder: &Path,
    opened: &mut Opened,
    bay: &Bay,
    found: &Verification,
    today: NaiveDate,
) -> Result<String, Failure> {
    let id = free_id(&opened.garage, &bay.machine.id);
    let machine = Machine { id: id.clone(), read_only: None, ..bay.machine.clone() };
    let inspections = bay.inspections.iter().cloned().map(|i| Command::StartInspection(id.clone(), i));
    let events = bay.events.iter().cloned().map(|e| Command::Record(id.clone(), e));
    let marked = Machine {
        read_only: Some(format!(
            "read from a report printed {}, taken in {today}, SHA-256 {}",
            found.packet.printed.format("%Y-%m-%d"),
            found.sha256
        )),
        ..machine.clone()
    };
    let commands = std::iter::once(Command::AddMachine(machine)).chain(inspections).chain(events);
    for command in commands.chain([Command::EditMachine(marked)]) {
        let change = decide(&opened.garage, &opened.catalogue, command).map_err(|e| Failure(e.to_string()))?;
        store::save(folder, &change).map_err(|e| Failure(e.to_string()))?;
        opened.garage.evolve(&change);
    }
    let mut photos = 0;
    for (name, jpeg) in &found.photos {
        store::add_photo(folder, &id, &as_jpeg(name), jpeg).map_err(|e| Failure(e.to_string()))?;
        photos += 1;
    }
    Ok(format!(
        "{} is in the garage as {id}, to be read and not changed: {} inspections, {} events, {photos} photos.",
        bay.machine.name,
        bay.inspections.len(),
        bay.events.len()
    ))
}

/// What is to be known where the garage held a machine of this id before: the report comes in beside it.
fn again(garage: &Garage, machine: &Machine, found: &Verification) -> Option<String> {
    garage.bay(&machine.id)?;
    let is_this = |m: &Machine| m.read_only.as_ref().is_some_and(|mark| mark.contains(&found.sha256));
    let before: Vec<String> =
        garage.bays.iter().filter(|b| is_this(&b.machine)).map(|b| b.machine.id.0.clone()).collect();
    Some(match before.is_empty() {
        true => format!(
            "The garage held a machine {} already, so this is a further one beside it; it was not changed.",
            machine.id
        ),
        false => format!(
            "This very report was taken in before, as {}: put one of them away if it is not wanted.",
            before.join(", ")
        ),
    })
}

/// Leaves out of the records the photos that are on no page of the report, and calls the others what they are: on a
/// page every photo is a JPEG. Gives how many were left out.
fn only_what_came(bay: &mut Bay, found: &Verification) -> usize {
    let mut left = BTreeSet::new();
    let of_findings = bay.inspections.iter_mut().flat_map(|i| &mut i.findings).map(|f| &mut f.photos);
    for photos in of_findings.chain([&mut bay.machine.photos]) {
        let missing = photos.iter().filter(|p| !found.photos.contains_key(&p.file)).map(|p| p.file.clone());
        left.extend(missing);
        photos.retain(|p| found.photos.contains_key(&p.file));
        for photo in photos {
            photo.file = as_jpeg(&photo.file);
        }
    }
    left.len()
}

/// The name with the ending of a JPEG file.
fn as_jpeg(name: &str) -> String {
    let ending = name.rsplit_once('.').map_or("", |(_, ending)| ending).to_ascii_lowercase();
    match ending.as_str() {
        "jpg" | "jpeg" => name.to_owned(),
        "png" | "webp" => format!("{}-{ending}.jpg", &name[..name.len() - ending.len() - 1]),
        _ => format!("{name}.jpg"),
    }
}

/// The machine's own id, or that with a number where the garage has one of the same.
fn free_id(garage: &Garage, id: &MachineId) -> MachineId {
    if garage.bay(id).is_none() {
        return id.clone();
    }
    let numbered = (2..).map(|n| MachineId(format!("{id}-{n}")));
    numbered.into_iter().find(|id| garage.bay(id).is_none()).unwrap_or_else(|| id.clone())
}
