//! The lock of a garage: the first window writes, a second one reads. Must not know the records.

use std::fs::{File, TryLockError};
use std::io;

use super::layout::{LOCK, Root};
use super::{Medium, StoreError};

/// Holds the garage for writing as long as it lives, or says why it is open for reading only.
#[derive(Debug)]
pub struct FolderLock {
    /// Why nothing may be saved here, in words for the user; none when this window may write.
    pub read_only_because: Option<String>,
    /// The system frees the lock when the file is closed, even after a crash.
    _file: Option<File>,
}

impl FolderLock {
    /// A lock that was not asked for.
    pub(super) fn reading_only() -> Self {
        Self { read_only_because: Some("The garage was opened for reading only.".into()), _file: None }
    }

    /// Tries to hold a garage.
    pub(super) fn take(on: &dyn Medium, root: &Root) -> Result<Self, StoreError> {
        let read_only = |why: String| Ok(Self { read_only_because: Some(why), _file: None });
        let path = root.inside(LOCK)?;
        // A pipe in its place would keep the window waiting for ever.
        if std::fs::metadata(&path).is_ok_and(|about| !about.is_file()) {
            return Err(StoreError::Io {
                doing: "take the lock, a plain file, at",
                path,
                reason: "it is a folder, a pipe or a device; remove it".into(),
            });
        }
        let file = match on.open_lock(&path) {
            Ok(file) => file,
            Err(e) if matches!(e.kind(), io::ErrorKind::PermissionDenied | io::ErrorKind::ReadOnlyFilesystem) => {
                return read_only(
                    "The folder cannot be written, so the garage is open for reading only. Copy it to a place that can be written, or change the permissions, and open it again."
                        .into(),
                );
            }
            Err(e) if matches!(e.kind(), io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded) => {
                return read_only(
                    "The disk is full, so the garage is open for reading only. Free some space and open it again."
                        .into(),
                );
            }
            Err(e) => return Err(StoreError::from_io("take the lock", &path, &e)),
        };
        match file.try_lock() {
            Ok(()) => Ok(Self { read_only_because: None, _file: Some(file) }),
            Err(TryLockError::WouldBlock) => read_only(
                "The garage is open in another window or program, so it is open for reading only here. Close the other one and open the garage again to change it."
                    .into(),
            ),
            // Some network disks know no locks. A save still notices a file that somebody else has changed.
            Err(TryLockError::Error(e)) => {
                log::warn!("the disk of {} knows no locks ({e}): do not open the garage twice", root.path().display());
                Ok(Self { read_only_because: None, _file: Some(file) })
            }
        }
    }
}
