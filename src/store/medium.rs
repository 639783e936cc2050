//! The few operations by which the store changes a disk, behind one trait: the program has the real ones, and a test
//! lets any of them fail. Must not know what is written, nor where.

use std::fs::{self, File, OpenOptions, Permissions};
use std::io::{self, Write as _};
use std::path::Path;

use tempfile::{NamedTempFile, TempDir};

use super::layout::TEMPORARY;

/// What a garage is written to. Each method is one operation of the system, and the only place where the store asks for
/// it; the methods as they stand here are the real ones.
pub trait Medium: Send + Sync {
    /// Makes a folder in one that is there.
    fn create_folder(&self, folder: &Path) -> io::Result<()> {
        fs::create_dir(folder)
    }
    /// Begins a new file under a temporary name in a folder. It is removed when it is dropped without a name.
    fn begin(&self, folder: &Path) -> io::Result<NamedTempFile> {
        let mut builder = tempfile::Builder::new();
        builder.prefix(TEMPORARY).suffix(".tmp");
        // A temporary file is private by default; a record is as open as any new file of this user.
        #[cfg(unix)]
        builder.permissions(std::os::unix::fs::PermissionsExt::from_mode(0o666));
        builder.tempfile_in(folder)
    }
    /// Begins a new folder under a temporary name. It is removed with what is in it when it is dropped.
    fn begin_folder(&self, above: &Path) -> io::Result<TempDir> {
        tempfile::Builder::new().prefix(TEMPORARY).tempdir_in(above)
    }
    /// Writes bytes into a file.
    fn write(&self, file: &mut File, bytes: &[u8]) -> io::Result<()> {
        file.write_all(bytes)
    }
    /// Gives a file the permissions of another.
    fn permit(&self, file: &File, permissions: Permissions) -> io::Result<()> {
        file.set_permissions(permissions)
    }
    /// Brings what is in a file to the disk.
    fn sync(&self, file: &File) -> io::Result<()> {
        file.sync_all()
    }
    /// Gives a temporary file its name, over what has it.
    fn put_over(&self, file: NamedTempFile, path: &Path) -> io::Result<()> {
        file.persist(path).map(|_| ()).map_err(|e| e.error)
    }
    /// Gives a temporary file its name, if nothing has it; `AlreadyExists` else.
    fn put_new(&self, file: NamedTempFile, path: &Path) -> io::Result<()> {
        file.persist_noclobber(path).map(|_| ()).map_err(|e| e.error)
    }
    /// Moves a file or a folder.
    fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        fs::rename(from, to)
    }
    /// Brings the names in a folder to the disk. Not every system lets a folder be opened for this.
    fn sync_folder(&self, folder: &Path) -> io::Result<()> {
        #[cfg(unix)]
        File::open(folder)?.sync_all()?;
        #[cfg(not(unix))]
        let _ = folder;
        Ok(())
    }
    /// Removes a file.
    fn remove_file(&self, path: &Path) -> io::Result<()> {
        fs::remove_file(path)
    }
    /// Removes an empty folder.
    fn remove_folder(&self, folder: &Path) -> io::Result<()> {
        fs::remove_dir(folder)
    }
    /// Opens the file that holds the lock, and makes it where there is none.
    fn open_lock(&self, path: &Path) -> io::Result<File> {
        OpenOptions::new().create(true).truncate(false).write(true).open(path)
    }
}

/// The real disk.
#[derive(Clone, Copy, Debug, Default)]
pub struct RealDisk;

impl Medium for RealDisk {}
