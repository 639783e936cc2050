//! A disk that fails where a test says: the real one behind the store's own seam, with one operation or all of them
//! from one on refused. It does not wait for the real disk, which would be all the time that the tests take.

use std::fs::{File, Permissions};
use std::io;
use std::path::Path;
use std::sync::{Arc, Mutex};

use stemclock::store::{Medium, RealDisk};
use tempfile::{NamedTempFile, TempDir};

/// An operation of the store on the disk.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Op {
    CreateFolder,
    Begin,
    BeginFolder,
    Write,
    Permit,
    Sync,
    PutOver,
    PutNew,
    Rename,
    SyncFolder,
    RemoveFile,
    RemoveFolder,
    OpenLock,
}

/// The errors that a disk gives, by their numbers in errno.h on Linux.
pub const EIO: i32 = 5;
pub const ENOSPC: i32 = 28;
pub const EROFS: i32 = 30;

/// What goes wrong.
#[derive(Clone, Copy, Debug)]
pub struct Fault {
    /// How many operations go well before it.
    pub after: usize,
    /// The number of the error.
    pub errno: i32,
    /// Whether the operation does its work, or a write half of it, and still reports the error.
    pub does_it: bool,
    /// Whether every operation from there on that needs room or leave to write is refused too.
    pub lasts: bool,
}

/// What has been asked of the disk, and what it refuses.
#[derive(Default)]
pub struct Plan {
    pub asked: Vec<Op>,
    pub fault: Option<Fault>,
    /// Whether the fault has struck.
    pub struck: bool,
}

/// The disk. Its copies share one plan.
#[derive(Clone, Default)]
pub struct Faulty(pub Arc<Mutex<Plan>>);

impl Faulty {
    /// Refuses from now on what the fault says; nothing, without one.
    pub fn plan(&self, fault: Option<Fault>) {
        *self.0.lock().unwrap() = Plan { asked: Vec::new(), fault, struck: false };
    }
    /// What has been asked since then.
    pub fn asked(&self) -> Vec<Op> {
        self.0.lock().unwrap().asked.clone()
    }
    /// Whether the fault has struck.
    pub fn has_struck(&self) -> bool {
        self.0.lock().unwrap().struck
    }
    /// The error of this operation, and whether it does its work all the same.
    fn strike(&self, op: Op) -> Option<(io::Error, bool)> {
        let mut plan = self.0.lock().unwrap();
        let number = plan.asked.len();
        plan.asked.push(op);
        let fault = plan.fault?;
        // What only takes away needs no room; a disk that is read-only refuses it too.
        let needs = fault.errno != ENOSPC || !matches!(op, Op::RemoveFile | Op::RemoveFolder | Op::OpenLock);
        let strikes = needs && if fault.lasts { number >= fault.after } else { number == fault.after };
        plan.struck |= strikes;
        strikes.then(|| (io::Error::from_raw_os_error(fault.errno), fault.does_it))
    }
    fn run<T>(&self, op: Op, real: impl FnOnce() -> io::Result<T>) -> io::Result<T> {
        match self.strike(op) {
            None => real(),
            Some((error, does_it)) => {
                if does_it {
                    real()?;
                }
                Err(error)
            }
        }
    }
}

impl Medium for Faulty {
    fn create_folder(&self, folder: &Path) -> io::Result<()> {
        self.run(Op::CreateFolder, || RealDisk.create_folder(folder))
    }
    fn begin(&self, folder: &Path) -> io::Result<NamedTempFile> {
        self.run(Op::Begin, || RealDisk.begin(folder))
    }
    fn begin_folder(&self, above: &Path) -> io::Result<TempDir> {
        self.run(Op::BeginFolder, || RealDisk.begin_folder(above))
    }
    fn write(&self, file: &mut File, bytes: &[u8]) -> io::Result<()> {
        match self.strike(Op::Write) {
            None => RealDisk.write(file, bytes),
            Some((error, does_it)) => {
                if does_it {
                    RealDisk.write(file, &bytes[..bytes.len() / 2])?;
                }
                Err(error)
            }
        }
    }
    fn permit(&self, file: &File, permissions: Permissions) -> io::Result<()> {
        self.run(Op::Permit, || RealDisk.permit(file, permissions))
    }
    fn sync(&self, _file: &File) -> io::Result<()> {
        self.run(Op::Sync, || Ok(()))
    }
    fn put_over(&self, file: NamedTempFile, path: &Path) -> io::Result<()> {
        self.run(Op::PutOver, || RealDisk.put_over(file, path))
    }
    fn put_new(&self, file: NamedTempFile, path: &Path) -> io::Result<()> {
        self.run(Op::PutNew, || RealDisk.put_new(file, path))
    }
    fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        self.run(Op::Rename, || RealDisk.rename(from, to))
    }
    fn sync_folder(&self, _folder: &Path) -> io::Result<()> {
        self.run(Op::SyncFolder, || Ok(()))
    }
    fn remove_file(&self, path: &Path) -> io::Result<()> {
        self.run(Op::RemoveFile, || RealDisk.remove_file(path))
    }
    fn remove_folder(&self, folder: &Path) -> io::Result<()> {
        // A folder that is not empty is refused by the real one, and that is no fault.
        self.run(Op::RemoveFolder, || RealDisk.remove_folder(folder))
    }
    fn open_lock(&self, path: &Path) -> io::Result<File> {
        self.run(Op::OpenLock, || RealDisk.open_lock(path))
    }
}
