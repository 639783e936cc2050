//! Why the store could not do what was asked: what was expected, what was found, and the way out. Must not know RON.

use std::io;
use std::path::{Path, PathBuf};

use thiserror::Error;

/// Why a folder or a file could not be read or written. Nothing on disk has changed.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum StoreError {
    /// There is nothing at the path.
    #[error("expected a garage folder, found nothing at {}: check the path, or create a garage there", .0.display())]
    NoFolder(PathBuf),
    /// A file was to be written into a folder that is not there.
    #[error("expected a folder to write into, found none at {}: make it first, or type another path", .0.display())]
    NowhereToWrite(PathBuf),
    /// The path is a file.
    #[error("expected a folder, found a file at {}: choose the folder that holds garage.ron", .0.display())]
    NotAFolder(PathBuf),
    /// The folder has no `garage.ron`.
    #[error(
        "expected garage.ron in {}, found {found}: choose the folder that holds garage.ron, or create a garage in an empty folder",
        .folder.display()
    )]
    NotAGarage {
        /// The folder.
        folder: PathBuf,
        /// What is in it, in words.
        found: String,
    },
    /// A new garage was to go where other things are.
    #[error("expected an empty folder for the new garage, found {found} in {}: choose an empty or a new folder", .folder.display())]
    NotEmpty {
        /// The folder.
        folder: PathBuf,
        /// What is in it, in words.
        found: String,
    },
    /// Something is there already and is not written over.
    #[error("expected a free place, found that {} is there already: open it, or choose another name", .0.display())]
    AlreadyThere(PathBuf),
    /// An id or a file name that could lead out of the garage or that some system cannot hold.
    #[error("expected {what} that can be a file name, found \"{found}\" ({why}): use letters, digits and dashes")]
    Name {
        /// What it names: `a machine id`.
        what: &'static str,
        /// The name.
        found: String,
        /// What is wrong with it.
        why: &'static str,
    },
    /// The key of a change and the record in it do not belong together.
    #[error(
        "expected the record of {expected}, found that of {found}: this is a fault of the program, please report it"
    )]
    Mismatch {
        /// The record asked for.
        expected: String,
        /// The record given.
        found: String,
    },
    /// A link leads out of the garage.
    #[error("expected a path inside the garage, found a link that leads out of it at {}: replace the link by the file itself", .0.display())]
    Outside(PathBuf),
    /// The file is larger than is ever needed.
    #[error("expected at most {} MiB, found {bytes} bytes in {}: {way_out}", .cap / (1024 * 1024), .path.display())]
    TooLarge {
        /// The file.
        path: PathBuf,
        /// Its size.
        bytes: u64,
        /// The greatest size.
        cap: u64,
        /// What to do.
        way_out: &'static str,
    },
    /// A folder holds more than any garage does.
    #[error("expected at most {most} entries in {}, found more: no garage holds so many; take out what does not belong to it", .folder.display())]
    TooMany {
        /// The folder.
        folder: PathBuf,
        /// The most entries.
        most: u64,
    },
    /// The file was written by a newer version and is left alone.
    #[error("expected a record of schema {known} or older, found schema {found} in {}: open it with a newer version of Stemclock; the file was left as it is", .path.display())]
    Newer {
        /// The file.
        path: PathBuf,
        /// Its schema.
        found: u32,
        /// The newest schema this version knows.
        known: u32,
    },
    /// The record holds a value that must not be stored.
    #[error("{0}")]
    Unsound(String),
    /// The disk is full.
    #[error("expected room on the disk to {doing}, found it full at {}: free some space and save again; the old file is whole", .path.display())]
    DiskFull {
        /// What was tried.
        doing: &'static str,
        /// Where.
        path: PathBuf,
    },
    /// The folder lies on something that cannot be written.
    #[error("expected to {doing}, found that {} is on a read-only disk: copy the garage to a disk that can be written", .path.display())]
    ReadOnly {
        /// What was tried.
        doing: &'static str,
        /// Where.
        path: PathBuf,
    },
    /// The system does not allow it.
    #[error("expected leave to {doing}, found that the system denies it at {}: change the permissions, or save elsewhere", .path.display())]
    Permission {
        /// What was tried.
        doing: &'static str,
        /// Where.
        path: PathBuf,
    },
    /// A file is not there.
    #[error("expected a file at {}, found none: it may have been moved or removed; check the path", .0.display())]
    Missing(PathBuf),
    /// Changes from outside cannot be seen by themselves.
    #[error("expected to see when files in {} change, found that it cannot be ({reason}): press \"Read it again\" under Garage after other programs have changed them; saving still takes care of them", .folder.display())]
    Unwatched {
        /// The folder.
        folder: PathBuf,
        /// What the system said.
        reason: String,
    },
    /// A students' pack that is not as it should be.
    #[error("{reason} in {}: ask for the pack again", .path.display())]
    Pack {
        /// The file.
        path: PathBuf,
        /// Expected and found.
        reason: String,
    },
    /// A file that leaves the program cannot go where it was to go.
    #[error("expected {expected}, found {found}: {way_out}")]
    Target {
        /// What was expected.
        expected: String,
        /// What was found.
        found: String,
        /// What to do.
        way_out: String,
    },
    /// A sheet that cannot be read.
    #[error("{0}")]
    Sheet(Box<super::Problem>),
    /// Anything else the system reports.
    #[error("expected to {doing} {}, found that the system refused ({reason}): check the disk and the path, then try again", .path.display())]
    Io {
        /// What was tried.
        doing: &'static str,
        /// Where.
        path: PathBuf,
        /// What the system said.
        reason: String,
    },
}

impl StoreError {
    /// Names what the system reported while `doing` something at a path.
    pub(super) fn from_io(doing: &'static str, path: &Path, error: &io::Error) -> Self {
        let path = path.to_path_buf();
        match error.kind() {
            io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded => Self::DiskFull { doing, path },
            io::ErrorKind::ReadOnlyFilesystem => Self::ReadOnly { doing, path },
            io::ErrorKind::PermissionDenied => Self::Permission { doing, path },
            io::ErrorKind::NotFound => Self::Missing(path),
            _ => Self::Io { doing, path, reason: error.to_string() },
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_the_system_reports_is_named_with_a_way_out() {
        // Numbers of errno.h on Linux: ENOSPC 28, EDQUOT 122, EROFS 30, EACCES 13, ENOENT 2.
        for (errno, words) in [
            (28, "free some space"),
            (122, "free some space"),
            (30, "read-only disk"),
            (13, "change the permissions"),
            (2, "found none"),
        ] {
            let error = StoreError::from_io("save", Path::new("garage.ron"), &io::Error::from_raw_os_error(errno));
            let message = error.to_string();
            assert!(message.starts_with("expected "), "{message}");
            if cfg!(target_os = "linux") {
                assert!(message.contains(words), "{errno}: {message}");
            }
            assert!(message.contains("garage.ron"), "{message}");
        }
    }
}
