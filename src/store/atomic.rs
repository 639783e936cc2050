//! Writing a file whole or not at all, and reading one within a size. Must not know what is in it.

use std::fs::{self, File};
use std::io::Read;
use std::path::{Path, PathBuf};

use super::layout::TEMPORARY;
use super::{Medium, StoreError};
use crate::guard::limits::{OWN_BYTES, PDF_BYTES};

/// Greatest size of a file that is read on request, such as a PDF, in bytes.
const READ_CAP: u64 = PDF_BYTES.most;

/// Writes a file whole or not at all: first under another name in the same folder, then to the disk, then over the
/// old one, whose permissions it keeps. A link is followed. Errors: the disk is full or read-only, the system denies
/// it, the folder is not there; the old file is then as it was.
pub(super) fn write_file(on: &dyn Medium, path: &Path, bytes: &[u8]) -> Result<(), StoreError> {
    let target = fs::canonicalize(path).unwrap_or_else(|_| path.to_path_buf());
    let folder = parent(&target);
    let fail = |e: &std::io::Error| StoreError::from_io("write the file", path, e);
    if !folder.is_dir() {
        return Err(StoreError::NowhereToWrite(folder));
    }
    match fs::metadata(&target) {
        Ok(about) if about.is_dir() => return Err(StoreError::AlreadyThere(path.to_path_buf())),
        // A new file in its place would take a device or a pipe away from every other program.
        Ok(about) if !about.is_file() => {
            let reason = "it is a device or a pipe, and no plain file".into();
            return Err(StoreError::Io { doing: "write a plain file at", path: path.to_path_buf(), reason });
        }
        _ => {}
    }
    let mut file = on.begin(&folder).map_err(|e| fail(&e))?;
    on.write(file.as_file_mut(), bytes).map_err(|e| fail(&e))?;
    if let Ok(old) = fs::metadata(&target) {
        on.permit(file.as_file(), old.permissions()).map_err(|e| fail(&e))?;
    }
    on.sync(file.as_file()).map_err(|e| fail(&e))?;
    on.put_over(file, &target).map_err(|e| fail(&e))?;
    on.sync_folder(&folder).map_err(|e| fail(&e))
}

/// What stands at a path.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Standing {
    /// Nothing.
    Nothing,
    /// A folder.
    Folder,
    /// A file, or anything else that would be written over.
    File,
}

/// Tells what stands at a path that the user named, before anything is written there. A link is followed.
pub fn standing_at(path: &Path) -> Standing {
    match fs::metadata(path) {
        Ok(about) if about.is_dir() => Standing::Folder,
        Ok(_) => Standing::File,
        // A link that leads nowhere is still something.
        Err(_) if fs::symlink_metadata(path).is_ok() => Standing::File,
        Err(_) => Standing::Nothing,
    }
}

/// Whether two paths lead to the same place, through links and dots.
pub fn is_same_place(one: &Path, other: &Path) -> bool {
    one == other || matches!((fs::canonicalize(one), fs::canonicalize(other)), (Ok(a), Ok(b)) if a == b)
}

/// Writes a new file whole, never over an existing one. Returns whether it was free.
pub(super) fn write_new(on: &dyn Medium, path: &Path, bytes: &[u8]) -> Result<bool, StoreError> {
    let folder = parent(path);
    let fail = |e: &std::io::Error| StoreError::from_io("write the file", path, e);
    let mut file = on.begin(&folder).map_err(|e| fail(&e))?;
    on.write(file.as_file_mut(), bytes).map_err(|e| fail(&e))?;
    on.sync(file.as_file()).map_err(|e| fail(&e))?;
    match on.put_new(file, path) {
        Ok(()) => on.sync_folder(&folder).map_err(|e| fail(&e)).map(|()| true),
        Err(e) if e.kind() == std::io::ErrorKind::AlreadyExists => Ok(false),
        Err(e) => Err(fail(&e)),
    }
}

pub(super) fn parent(path: &Path) -> PathBuf {
    match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder.to_path_buf(),
        _ => PathBuf::from("."),
    }
}

/// Makes a folder with those above it, each with its name on the disk. Errors: the disk, or a file stands in the way.
pub(super) fn make_folder(on: &dyn Medium, folder: &Path) -> Result<(), StoreError> {
    let fail = |e: &std::io::Error| StoreError::from_io("make the folder", folder, e);
    if folder.is_dir() || folder.as_os_str().is_empty() {
        return Ok(());
    }
    let above = parent(folder);
    make_folder(on, &above)?;
    match on.create_folder(folder) {
        Ok(()) => {}
        // Another window has made it meanwhile.
        Err(e) if e.kind() == std::io::ErrorKind::AlreadyExists && folder.is_dir() => {}
        Err(e) => return Err(fail(&e)),
    }
    on.sync_folder(&above).map_err(|e| {
        // Left there, it would be taken for whole the next time, and its name might not outlive a power cut.
        if let Err(stays) = on.remove_folder(folder) {
            log::warn!("{} stays: {stays}", folder.display());
        }
        fail(&e)
    })
}

/// Reads a file that the user named, such as a PDF to be verified. Errors: it is not there, is no plain file, or is
/// larger than 64 MiB.
pub fn read_file(path: &Path) -> Result<Vec<u8>, StoreError> {
    read_within(path, READ_CAP, "choose a smaller file")
}

/// Reads a file that the program keeps for itself, such as its settings. Errors: it is not there, is no plain file, or
/// is larger than 1 MiB.
pub fn read_own(path: &Path) -> Result<Vec<u8>, StoreError> {
    read_within(path, OWN_BYTES.most, "the program keeps no file so large; look at it, then remove it")
}

/// Reads a plain file of at most `cap` bytes.
pub(super) fn read_within(path: &Path, cap: u64, way_out: &'static str) -> Result<Vec<u8>, StoreError> {
    let fail = |e: std::io::Error| StoreError::from_io("read the file", path, &e);
    let about = fs::metadata(path).map_err(fail)?;
    // A pipe or a device could keep the reader waiting for ever.
    if !about.is_file() {
        return Err(StoreError::Io {
            doing: "read a plain file at",
            path: path.to_path_buf(),
            reason: if about.is_dir() { "it is a folder".into() } else { "it is no plain file".into() },
        });
    }
    let too_large = |bytes| StoreError::TooLarge { path: path.to_path_buf(), bytes, cap, way_out };
    if about.len() > cap {
        return Err(too_large(about.len()));
    }
    let mut bytes = Vec::with_capacity(usize::try_from(about.len()).unwrap_or(0));
    File::open(path).map_err(fail)?.take(cap + 1).read_to_end(&mut bytes).map_err(fail)?;
    if bytes.len() as u64 > cap { Err(too_large(bytes.len() as u64)) } else { Ok(bytes) }
}

/// Removes half-written files that a kill or a power cut left in a folder. Only for the holder of the garage's lock,
/// since another writer's file would be among them.
pub(super) fn sweep(on: &dyn Medium, folder: &Path) -> Result<(), StoreError> {
    for entry in super::layout::entries(folder)? {
        if !entry.is_folder && entry.name.starts_with(TEMPORARY) && entry.name.ends_with(".tmp") {
            let path = folder.join(&entry.name);
            on.remove_file(&path).map_err(|e| StoreError::from_io("remove a half-written file", &path, &e))?;
        }
    }
    Ok(())
}
