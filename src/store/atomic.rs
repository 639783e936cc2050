//! Writing a file whole or not at all, and reading one within a size. Must not know what is in it.

use std::fs::{self, File};
use std::io::{Read, Write};
use std::path::{Path, PathBuf};

use super::StoreError;
use super::layout::TEMPORARY;
use crate::guard::limits::{OWN_BYTES, PDF_BYTES};

/// Greatest size of a file that is read on request, such as a PDF, in bytes.
const READ_CAP: u64 = PDF_BYTES.most;

/// Writes a file whole or not at all: first under another name in the same folder, then to the disk, then over the
/// old one, whose permissions it keeps. A link is followed. Errors: the disk is full or read-only, the system denies
/// it, the folder is not there; the old file is then as it was.
pub fn write_file(path: &Path, bytes: &[u8]) -> Result<(), StoreError> {
    let target = fs::canonicalize(path).unwrap_or_else(|_| path.to_path_buf());
    let folder = parent(&target);
    let fail = |e: &std::io::Error| StoreError::from_io("write the file", path, e);
    if !folder.is_dir() {
        return Err(StoreError::NowhereToWrite(folder));
    }
    if target.is_dir() {
        return Err(StoreError::AlreadyThere(path.to_path_buf()));
    }
    let mut file = temporary(&folder).map_err(|e| fail(&e))?;
    file.write_all(bytes).map_err(|e| fail(&e))?;
    if let Ok(old) = fs::metadata(&target) {
        file.as_file().set_permissions(old.permissions()).map_err(|e| fail(&e))?;
    }
    file.as_file().sync_all().map_err(|e| fail(&e))?;
    file.persist(&target).map_err(|e| fail(&e.error))?;
    sync_folder(&folder).map_err(|e| fail(&e))
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
pub(super) fn write_new(path: &Path, bytes: &[u8]) -> Result<bool, StoreError> {
    let folder = parent(path);
    let fail = |e: &std::io::Error| StoreError::from_io("write the file", path, e);
    let mut file = temporary(&folder).map_err(|e| fail(&e))?;
    file.write_all(bytes).map_err(|e| fail(&e))?;
    file.as_file().sync_all().map_err(|e| fail(&e))?;
    match file.persist_noclobber(path) {
        Ok(_) => sync_folder(&folder).map_err(|e| fail(&e)).map(|()| true),
        Err(e) if e.error.kind() == std::io::ErrorKind::AlreadyExists => Ok(false),
        Err(e) => Err(fail(&e.error)),
    }
}

fn parent(path: &Path) -> PathBuf {
    match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder.to_path_buf(),
        _ => PathBuf::from("."),
    }
}

fn temporary(folder: &Path) -> std::io::Result<tempfile::NamedTempFile> {
    let mut builder = tempfile::Builder::new();
    builder.prefix(TEMPORARY).suffix(".tmp");
    // A temporary file is private by default; a record is as open as any new file of this user.
    #[cfg(unix)]
    builder.permissions(std::os::unix::fs::PermissionsExt::from_mode(0o666));
    builder.tempfile_in(folder)
}

/// Makes sure that the name of a new file survives a power cut. Not every system lets a folder be opened for this.
pub(super) fn sync_folder(folder: &Path) -> std::io::Result<()> {
    #[cfg(unix)]
    File::open(folder)?.sync_all()?;
    #[cfg(not(unix))]
    let _ = folder;
    Ok(())
}

/// Makes a folder with those above it. Errors: the disk, or a file stands in the way.
pub fn make_folder(folder: &Path) -> Result<(), StoreError> {
    let fail = |e: &std::io::Error| StoreError::from_io("make the folder", folder, e);
    if folder.is_dir() {
        return Ok(());
    }
    fs::create_dir_all(folder).map_err(|e| fail(&e))?;
    match folder.parent() {
        Some(above) if !above.as_os_str().is_empty() => sync_folder(above).map_err(|e| fail(&e)),
        _ => Ok(()),
    }
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
pub(super) fn sweep(folder: &Path) -> Result<(), StoreError> {
    for entry in super::layout::entries(folder)? {
        if !entry.is_folder && entry.name.starts_with(TEMPORARY) && entry.name.ends_with(".tmp") {
            let path = folder.join(&entry.name);
            fs::remove_file(&path).map_err(|e| StoreError::from_io("remove a half-written file", &path, &e))?;
        }
    }
    Ok(())
}
