//! Deciding what happens to the photos of a finding or a machine: one record changes, the files stay.

use super::decide::{bay_machine, edit_inspection, put_machine};
use super::{Change, PhotoHome, Rejected};
use crate::garage::Garage;
use crate::machine::MachineId;
use crate::photo::PhotoRef;

/// Adds a photo, or changes the words and marks of the one with the same file.
pub(super) fn put(garage: &Garage, machine: &MachineId, home: &PhotoHome, photo: PhotoRef) -> Result<Change, Rejected> {
    let is_there = photos(garage, machine, home).is_some_and(|known| known.iter().any(|p| p.file == photo.file));
    let label = if is_there { "change a photo" } else { "add a photo" };
    edit(garage, machine, home, label, |photos| {
        match photos.iter_mut().find(|known| known.file == photo.file) {
            Some(known) => *known = photo,
            None => photos.push(photo),
        }
        Ok(())
    })
}

/// Takes a photo away from its finding or machine.
pub(super) fn remove(garage: &Garage, machine: &MachineId, home: &PhotoHome, file: &str) -> Result<Change, Rejected> {
    edit(garage, machine, home, "take a photo away", |photos| {
        let count = photos.len();
        photos.retain(|photo| photo.file != file);
        if photos.len() == count { Err(Rejected::Missing(format!("the photo {file}"))) } else { Ok(()) }
    })
}

/// The photos of a finding or of a machine as a whole.
pub fn photos<'a>(garage: &'a Garage, machine: &MachineId, home: &PhotoHome) -> Option<&'a [PhotoRef]> {
    let bay = garage.bay(machine)?;
    match home {
        PhotoHome::Machine => Some(&bay.machine.photos),
        PhotoHome::Finding(inspection, finding) => {
            let found = bay.inspection(inspection)?.findings.iter().find(|f| &f.id == finding)?;
            Some(&found.photos)
        }
    }
}

fn edit(
    garage: &Garage,
    machine: &MachineId,
    home: &PhotoHome,
    label: &str,
    change: impl FnOnce(&mut Vec<PhotoRef>) -> Result<(), Rejected>,
) -> Result<Change, Rejected> {
    match home {
        PhotoHome::Machine => {
            let mut changed = bay_machine(garage, machine)?.clone();
            change(&mut changed.photos)?;
            put_machine(garage, changed, label)
        }
        PhotoHome::Finding(inspection, id) => edit_inspection(garage, machine, inspection, label, |i| {
            let finding = i.findings.iter_mut().find(|f| &f.id == id);
            change(&mut finding.ok_or_else(|| Rejected::Missing(format!("the finding {id}")))?.photos)
        }),
    }
}
