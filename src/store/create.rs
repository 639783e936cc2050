//! New garages: an empty one, or the whole of one that is in memory, saved elsewhere. Must not write over anything.

use std::path::Path;

use super::layout::{self, EXERCISES, GARAGE, KINDS, MACHINES, REGIONS, Root};
use super::save::encode;
use super::{StoreError, atomic};
use crate::edit::{Record, RecordKey};
use crate::garage::{Garage, GarageInfo};

/// Whether a folder is a garage: it holds `garage.ron`.
pub fn is_garage(folder: &Path) -> bool {
    folder.join(GARAGE).is_file()
}

/// Makes a new garage in a new or empty folder. Errors: the folder holds anything, or cannot be written.
pub fn create(folder: &Path, info: &GarageInfo) -> Result<(), StoreError> {
    save_all(folder, &Garage { info: info.clone(), ..Garage::default() })
}

/// Writes a whole garage into a new or empty folder, to save it elsewhere. Photos and the garage's own kinds and
/// regions are files only: bring them with [`copy_attachments`]. Errors: the folder holds anything, or cannot be
/// written.
pub fn save_all(folder: &Path, garage: &Garage) -> Result<(), StoreError> {
    if is_garage(folder) {
        return Err(StoreError::AlreadyThere(folder.join(GARAGE)));
    }
    if folder.is_file() {
        return Err(StoreError::NotAFolder(folder.to_path_buf()));
    }
    let entries = layout::entries(folder)?;
    // What a version control system or a desktop keeps in an empty folder is no obstacle.
    if entries.iter().any(|e| !e.name.starts_with('.')) {
        return Err(StoreError::NotEmpty { folder: folder.to_path_buf(), found: layout::listing_words(&entries) });
    }
    // Encoded before anything is written: a record that must not be stored leaves no half of a garage.
    let texts = texts_of(garage)?;
    atomic::make_folder(folder)?;
    let root = Root::new(folder)?;
    for part in [MACHINES, EXERCISES] {
        atomic::make_folder(&root.at(part))?;
    }
    for (relative, text) in texts {
        let path = root.inside(&relative)?;
        if let Some(parent) = path.parent() {
            atomic::make_folder(parent)?;
        }
        atomic::write_file(&path, text.as_bytes())?;
    }
    Ok(())
}

/// Every record of a garage as a path from the root and its text.
pub(super) fn texts_of(garage: &Garage) -> Result<Vec<(String, String)>, StoreError> {
    records_of(garage).iter().map(|(key, record)| Ok((layout::record_path(key)?, encode(key, record)?))).collect()
}

/// Every record of a garage with its key; `garage.ron` last, so that a folder is a garage once it is whole.
fn records_of(garage: &Garage) -> Vec<(RecordKey, Record)> {
    let mut records = Vec::new();
    for bay in &garage.bays {
        let id = &bay.machine.id;
        records.push((RecordKey::Machine(id.clone()), Record::Machine(Box::new(bay.machine.clone()))));
        for inspection in &bay.inspections {
            let key = RecordKey::Inspection(id.clone(), inspection.id.clone());
            records.push((key, Record::Inspection(Box::new(inspection.clone()))));
        }
        for event in &bay.events {
            let key = RecordKey::Event(id.clone(), event.id.clone());
            records.push((key, Record::Event(Box::new(event.clone()))));
        }
    }
    for (name, own) in &garage.own {
        records.push((RecordKey::Own(name.clone()), Record::Own(Box::new(own.clone()))));
    }
    for course in &garage.courses {
        let id = &course.exercise.id;
        records.push((RecordKey::Exercise(id.clone()), Record::Exercise(Box::new(course.exercise.clone()))));
        if let Some(key) = &course.key {
            records.push((RecordKey::Key(id.clone()), Record::Key(Box::new(key.clone()))));
        }
        for sheet in &course.sheets {
            let key = RecordKey::Sheet(id.clone(), sheet.id.clone());
            records.push((key, Record::Sheet(Box::new(sheet.clone()))));
        }
    }
    records.push((RecordKey::Garage, Record::Garage(Box::new(garage.info.clone()))));
    records
}

/// Copies photos, and the garage's own kinds and regions, from one garage to another, never over a file that is
/// there. Errors: a file cannot be read or written; the others before it are copied.
pub fn copy_attachments(from: &Path, to: &Path) -> Result<(), StoreError> {
    let (from, to) = (Root::new(from)?, Root::new(to)?);
    for folder in [KINDS, REGIONS] {
        copy_files(&from, &to, folder, |_| true)?;
    }
    for entry in layout::entries(&from.inside(MACHINES)?)?.into_iter().filter(|e| e.is_folder) {
        copy_files(&from, &to, &format!("{}/photos", layout::machine_folder(&entry.name)?), |_| true)?;
    }
    Ok(())
}

/// Copies the garage's own kinds and regions as a students' pack takes them: the records alone, without copies that were
/// set aside, notes, or anything else that lies beside them. Errors as [`copy_attachments`].
pub fn copy_additions(from: &Path, to: &Path) -> Result<(), StoreError> {
    let (from, to) = (Root::new(from)?, Root::new(to)?);
    let is_record = |name: &str| name.ends_with(".ron");
    copy_files(&from, &to, KINDS, is_record)?;
    copy_files(&from, &to, REGIONS, is_record)
}

fn copy_files(from: &Root, to: &Root, folder: &str, is_meant: fn(&str) -> bool) -> Result<(), StoreError> {
    for entry in layout::entries(&from.inside(folder)?)?.into_iter().filter(|e| !e.is_folder) {
        if entry.name.starts_with('.') || !is_meant(&entry.name) {
            continue;
        }
        let relative = format!("{folder}/{}", layout::name("a file name", &entry.name)?);
        let bytes = atomic::read_file(&from.inside(&relative)?)?;
        let path = to.inside(&relative)?;
        if let Some(parent) = path.parent() {
            atomic::make_folder(parent)?;
        }
        // A file that is there already is the garage's own and stays.
        atomic::write_new(&path, &bytes)?;
    }
    Ok(())
}
