//! New garages: an empty one, or the whole of one that is in memory, saved elsewhere. Must not write over anything.

use std::path::Path;

use super::layout::{self, EXERCISES, GARAGE, KINDS, MACHINES, REGIONS, Root};
use super::rest::copy_rest;
use super::save::encode;
use super::{Medium, StoreError, atomic};
use crate::garage::{Garage, GarageInfo};

/// Whether a folder is a garage: it holds `garage.ron`.
pub fn is_garage(folder: &Path) -> bool {
    folder.join(GARAGE).is_file()
}

/// Makes a new garage in a new or empty folder. Errors: the folder holds anything, or cannot be written.
pub(super) fn create(on: &dyn Medium, folder: &Path, info: &GarageInfo) -> Result<(), StoreError> {
    save_all(on, folder, &Garage { info: info.clone(), ..Garage::default() })
}

/// Writes a whole garage into a new or empty folder. Errors: the folder holds anything, or cannot be written; it is then
/// as it was.
pub(super) fn save_all(on: &dyn Medium, folder: &Path, garage: &Garage) -> Result<(), StoreError> {
    save_elsewhere(on, None, folder, garage).map(drop)
}

/// Writes what students are handed as a new folder: a garage, and the kinds and regions that stand in the folder `from`.
/// Errors: see [`save_all`].
pub(super) fn write_pack_folder(
    on: &dyn Medium,
    folder: &Path,
    garage: &Garage,
    from: &Path,
) -> Result<(), StoreError> {
    let was_there = folder.is_dir();
    save_all(on, folder, garage)?;
    copy_additions(on, from, folder).inspect_err(|_| take_back(on, folder, was_there))
}

/// Writes a whole garage into a new or empty folder, with everything else that stands in the folder `from`: photos, the
/// garage's own kinds and regions, what cannot be read, what the user put there. Gives what is left behind, each with the
/// reason. Errors: the folder holds anything, or cannot be written; it is then as it was.
pub(super) fn save_elsewhere(
    on: &dyn Medium,
    from: Option<&Path>,
    folder: &Path,
    garage: &Garage,
) -> Result<Vec<String>, StoreError> {
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
    let was_there = folder.is_dir();
    write_whole(on, from, folder, garage, &texts).inspect_err(|_| take_back(on, folder, was_there))
}

fn write_whole(
    on: &dyn Medium,
    from: Option<&Path>,
    folder: &Path,
    garage: &Garage,
    texts: &[(String, String)],
) -> Result<Vec<String>, StoreError> {
    atomic::make_folder(on, folder)?;
    let root = Root::new(folder)?;
    for part in [MACHINES, EXERCISES] {
        atomic::make_folder(on, &root.at(part))?;
    }
    let write = |(relative, text): &(String, String)| {
        let path = root.inside(relative)?;
        atomic::make_folder(on, &atomic::parent(&path))?;
        atomic::write_file(on, &path, text.as_bytes())
    };
    // The file that makes the folder a garage comes when all else is there.
    let (last, others) = texts.split_last().ok_or_else(|| StoreError::NoFolder(folder.to_path_buf()))?;
    others.iter().try_for_each(write)?;
    let left = match from {
        Some(from) => copy_rest(on, from, &root, garage, &taken_out(from, garage)?)?,
        None => Vec::new(),
    };
    write(last).map(|()| left)
}

/// Takes away what a write of a whole garage has left of itself, so that the same folder can be tried again. What
/// cannot be taken away stays; it is no garage without its `garage.ron`.
pub(super) fn take_back(on: &dyn Medium, folder: &Path, was_there: bool) {
    fn clear(on: &dyn Medium, folder: &Path) -> Result<(), StoreError> {
        for entry in layout::entries(folder)? {
            let path = folder.join(&entry.name);
            if entry.is_folder && !path.is_symlink() {
                clear(on, &path)?;
            } else {
                on.remove_file(&path).map_err(|e| StoreError::from_io("remove the file", &path, &e))?;
            }
        }
        on.remove_folder(folder).map_err(|e| StoreError::from_io("remove the folder", folder, &e))
    }
    let garage = folder.join(GARAGE);
    let mut results = vec![];
    if garage.is_file() {
        results.push(on.remove_file(&garage).map_err(|e| StoreError::from_io("remove the file", &garage, &e)));
    }
    match layout::entries(folder) {
        Ok(entries) => {
            for entry in entries.iter().filter(|e| !e.name.starts_with('.')) {
                let path = folder.join(&entry.name);
                results.push(if entry.is_folder && !path.is_symlink() {
                    clear(on, &path)
                } else {
                    on.remove_file(&path).map_err(|e| StoreError::from_io("remove the file", &path, &e))
                });
            }
        }
        Err(e) => results.push(Err(e)),
    }
    if !was_there && folder.is_dir() {
        results.push(on.remove_folder(folder).map_err(|e| StoreError::from_io("remove the folder", folder, &e)));
    }
    for error in results.into_iter().filter_map(Result::err) {
        log::warn!("{error}");
    }
}

/// Every record of a garage as a path from the root and its text; `garage.ron` last, so that a folder is a garage once it
/// is whole.
pub(super) fn texts_of(garage: &Garage) -> Result<Vec<(String, String)>, StoreError> {
    let records = garage.keys().into_iter().filter_map(|key| garage.record(&key).map(|record| (key, record)));
    records.map(|(key, record)| Ok((layout::record_path(&key)?, encode(&key, &record)?))).collect()
}

/// Copies photos, and the garage's own kinds and regions, from one garage to another, never over a file that is
/// there. Errors: a file cannot be read or written; the others before it are copied.
pub(super) fn copy_attachments(on: &dyn Medium, from: &Path, to: &Path) -> Result<(), StoreError> {
    let (old, new) = (Root::new(from)?, Root::new(to)?);
    for folder in [KINDS, REGIONS] {
        copy_files(on, &old, &new, folder, &|_| true)?;
    }
    copy_photos(on, from, to)
}

fn copy_photos(on: &dyn Medium, from: &Path, to: &Path) -> Result<(), StoreError> {
    let (from, to) = (Root::new(from)?, Root::new(to)?);
    for entry in layout::entries(&from.inside(MACHINES)?)?.into_iter().filter(|e| e.is_folder) {
        copy_files(on, &from, &to, &format!("{}/photos", layout::machine_folder(&entry.name)?), &|_| true)?;
    }
    Ok(())
}

/// Copies the garage's own kinds and regions as a students' pack takes them: the records alone, without copies that were
/// set aside, notes, or anything else that lies beside them. Errors as [`copy_attachments`].
pub(super) fn copy_additions(on: &dyn Medium, from: &Path, to: &Path) -> Result<(), StoreError> {
    let (from, to) = (Root::new(from)?, Root::new(to)?);
    let is_record = |name: &str| name.ends_with(".ron");
    copy_files(on, &from, &to, KINDS, &is_record)?;
    copy_files(on, &from, &to, REGIONS, &is_record)
}

/// The files of kinds that stand in a folder, can be read, and are no longer in the garage: they were taken out, and
/// that is not on disk yet.
fn taken_out(from: &Path, garage: &Garage) -> Result<Vec<String>, StoreError> {
    let there = layout::entries(&Root::new(from)?.inside(KINDS)?)?;
    let is_known = |name: &str| garage.own.contains_key(name.trim_end_matches(".ron"));
    // What could not be read is nobody's to leave behind; whether it could takes a reading of the garage.
    if !is_garage(from) || there.iter().all(|e| is_known(&e.name)) {
        return Ok(Vec::new());
    }
    let gone = super::open::read(from)?.garage.own.into_keys().filter(|name| !is_known(name));
    Ok(gone.map(|name| format!("{name}.ron")).collect())
}

fn copy_files(
    on: &dyn Medium,
    from: &Root,
    to: &Root,
    folder: &str,
    is_meant: &dyn Fn(&str) -> bool,
) -> Result<(), StoreError> {
    for entry in layout::entries(&from.inside(folder)?)?.into_iter().filter(|e| !e.is_folder) {
        if entry.name.starts_with('.') || !is_meant(&entry.name) {
            continue;
        }
        let relative = format!("{folder}/{}", layout::name("a file name", &entry.name)?);
        let bytes = atomic::read_file(&from.inside(&relative)?)?;
        let path = to.inside(&relative)?;
        if let Some(parent) = path.parent() {
            atomic::make_folder(on, parent)?;
        }
        // A file that is there already is the garage's own and stays.
        atomic::write_new(on, &path, &bytes)?;
    }
    Ok(())
}
