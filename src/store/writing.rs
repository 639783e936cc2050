//! Everything by which the rest of the house changes a disk: each door once on a medium of the caller's choosing, and
//! once on the real disk. Must not know how anything is written.

use std::path::Path;

use serde::Serialize;
use serde::de::DeserializeOwned;

use super::kept::{self, Question};
use super::medium::{Medium, RealDisk};
use super::open::Opened;
use super::save::{Outcome, Saved};
use super::{StoreError, atomic, class_pack, create as creating, open as opening, photos, sample, save as saving};
use crate::catalogue::Catalogue;
use crate::edit::Change;
use crate::exercise::Sheet;
use crate::garage::{Bay, Garage, GarageInfo};
use crate::machine::MachineId;
use crate::photo::Kind;

/// The store on a medium. The program has it on the real disk; a test, on one that fails where the test says.
#[derive(Clone, Copy)]
pub struct Store<'m>(&'m dyn Medium);

/// The store on the real disk.
const REAL: Store<'static> = Store(&RealDisk);

impl<'m> Store<'m> {
    /// The store on a medium.
    pub fn on(medium: &'m dyn Medium) -> Self {
        Self(medium)
    }
    /// Opens a garage to work in it. Errors: the folder is not there or is no garage. A damaged file is no error: it is
    /// among [`Opened::unreadable`] and the rest opens.
    pub fn open(&self, folder: &Path) -> Result<Opened, StoreError> {
        opening::open(self.0, folder)
    }
    /// As [`super::read_each`], but where a machine's files are those of an earlier run, byte for byte, the answer of that
    /// run is given, if the garage has fifty machines or more. Answers that cannot be kept or read back are worked out anew
    /// the next time. Errors: the folder is not there or is no garage.
    pub fn read_each_kept<T: Send + Serialize + DeserializeOwned>(
        &self,
        folder: &Path,
        question: &Question,
        work: impl Fn(Bay, &Catalogue, &GarageInfo) -> T + Sync,
    ) -> Result<(Opened, Vec<T>), StoreError> {
        kept::read_each_kept(self.0, folder, question, work)
    }
    /// Writes or removes the one file of a change, whole or not at all.
    ///
    /// A file that cannot be read, or that is not what the change started from, is first copied beside itself as
    /// `….set-aside-1`. A file of a newer schema is never written over. Errors: the disk is full or read-only, the
    /// system denies it, an id is no file name, a link leads out of the garage; the old file is then whole.
    pub fn save_record(&self, folder: &Path, change: &Change) -> Result<Saved, StoreError> {
        saving::save_record(self.0, folder, change)
    }
    /// Writes or removes the one file of a change, if the file is what the change started from or already what it leads
    /// to; else it writes nothing and gives what stands there. Errors: see [`Store::save_record`].
    pub fn save_unless_met(&self, folder: &Path, change: &Change) -> Result<Outcome, StoreError> {
        saving::save_unless_met(self.0, folder, change)
    }
    /// Makes a new garage in a new or empty folder. Errors: the folder holds anything, or cannot be written.
    pub fn create(&self, folder: &Path, info: &GarageInfo) -> Result<(), StoreError> {
        creating::create(self.0, folder, info)
    }
    /// Writes a whole garage into a new or empty folder, to save it elsewhere. Photos and the garage's own kinds and
    /// regions are files only: bring them with [`Store::copy_attachments`], or use [`Store::save_elsewhere`]. Errors:
    /// the folder holds anything, or cannot be written; it is then as it was.
    pub fn save_all(&self, folder: &Path, garage: &Garage) -> Result<(), StoreError> {
        creating::save_all(self.0, folder, garage)
    }
    /// Writes a whole garage into a new or empty folder, with everything else that stands in the folder `from`: photos,
    /// the garage's own kinds and regions, what cannot be read, what the user put there. Gives what is left behind, each
    /// with the reason. Errors: the folder holds anything, or cannot be written; it is then as it was.
    pub fn save_elsewhere(&self, from: Option<&Path>, to: &Path, garage: &Garage) -> Result<Vec<String>, StoreError> {
        creating::save_elsewhere(self.0, from, to, garage)
    }
    /// Copies photos, and the garage's own kinds and regions, from one garage to another, never over a file that is
    /// there. Errors: a file cannot be read or written; the others before it are copied.
    pub fn copy_attachments(&self, from: &Path, to: &Path) -> Result<(), StoreError> {
        creating::copy_attachments(self.0, from, to)
    }
    /// Copies the sample garage to a place where nothing is yet, or an empty folder. It appears there whole or not at
    /// all. Errors: something is there already, or the disk.
    pub fn copy_sample(&self, to: &Path) -> Result<(), StoreError> {
        sample::copy_sample(self.0, to)
    }
    /// Keeps a photo in a machine's folder and gives the name it got. The name is made of the photo's own bytes: two
    /// people who add photos apart never get in each other's way, the same photo is kept once, and nothing of the name
    /// that a file had outside gets in. Errors: the photo is larger than 32 MiB, the disk.
    pub fn keep_photo(
        &self,
        folder: &Path,
        machine: &MachineId,
        bytes: &[u8],
        kind: Kind,
    ) -> Result<String, StoreError> {
        photos::keep_photo(self.0, folder, machine, bytes, kind)
    }
    /// Adds a photo to a machine's folder, never over one that is there, and gives the name it got: the one asked for,
    /// or that name with a number. Errors: the name cannot be a file name, the photo is larger than 32 MiB, the disk.
    pub fn add_photo(
        &self,
        folder: &Path,
        machine: &MachineId,
        name: &str,
        bytes: &[u8],
    ) -> Result<String, StoreError> {
        photos::add_photo(self.0, folder, machine, name, bytes)
    }
    /// Writes a file whole or not at all: first under another name in the same folder, then to the disk, then over the
    /// old one, whose permissions it keeps. A link is followed. Errors: the disk is full or read-only, the system
    /// denies it, the folder is not there; the old file is then whole.
    pub fn write_file(&self, path: &Path, bytes: &[u8]) -> Result<(), StoreError> {
        atomic::write_file(self.0, path, bytes)
    }
    /// Unpacks a students' pack into a new or empty folder. Nothing is written unless the whole of it is as it should
    /// be. Errors: no zip file, a name that leads elsewhere or is no part of a pack, more than the limits, a folder that
    /// holds anything.
    pub fn unpack(&self, pack: &Path, to: &Path) -> Result<(), StoreError> {
        class_pack::unpack(self.0, pack, to)
    }
    /// Writes what students are handed as a new folder: a garage, and the kinds and regions that stand in the folder
    /// `from`. Errors: the folder holds anything, or cannot be written; it is then as it was.
    pub fn write_pack_folder(&self, to: &Path, garage: &Garage, from: &Path) -> Result<(), StoreError> {
        creating::write_pack_folder(self.0, to, garage, from)
    }
    /// Makes a folder with those above it. Errors: the disk, or a file stands in the way.
    pub fn make_folder(&self, folder: &Path) -> Result<(), StoreError> {
        atomic::make_folder(self.0, folder)
    }
}

/// [`Store::open`] on the real disk.
pub fn open(folder: &Path) -> Result<Opened, StoreError> {
    REAL.open(folder)
}

/// [`Store::read_each_kept`] on the real disk.
pub fn read_each_kept<T: Send + Serialize + DeserializeOwned>(
    folder: &Path,
    question: &Question,
    work: impl Fn(Bay, &Catalogue, &GarageInfo) -> T + Sync,
) -> Result<(Opened, Vec<T>), StoreError> {
    REAL.read_each_kept(folder, question, work)
}

/// Writes or removes the one file of a change, whole or not at all. Errors: see [`Store::save_record`], which also
/// tells of a copy that was kept; here it goes to the log.
pub fn save(folder: &Path, change: &Change) -> Result<(), StoreError> {
    let saved = REAL.save_record(folder, change)?;
    if let Some(copy) = saved.set_aside {
        log::warn!("the file on disk was not the one that was opened; it was kept as {}", copy.display());
    }
    Ok(())
}

/// [`Store::save_record`] on the real disk.
pub fn save_record(folder: &Path, change: &Change) -> Result<Saved, StoreError> {
    REAL.save_record(folder, change)
}

/// [`Store::create`] on the real disk.
pub fn create(folder: &Path, info: &GarageInfo) -> Result<(), StoreError> {
    REAL.create(folder, info)
}

/// [`Store::save_all`] on the real disk.
pub fn save_all(folder: &Path, garage: &Garage) -> Result<(), StoreError> {
    REAL.save_all(folder, garage)
}

/// [`Store::copy_attachments`] on the real disk.
pub fn copy_attachments(from: &Path, to: &Path) -> Result<(), StoreError> {
    REAL.copy_attachments(from, to)
}

/// [`Store::write_pack_folder`] on the real disk.
pub fn write_pack_folder(to: &Path, garage: &Garage, from: &Path) -> Result<(), StoreError> {
    REAL.write_pack_folder(to, garage, from)
}

/// [`Store::copy_sample`] on the real disk.
pub fn copy_sample(to: &Path) -> Result<(), StoreError> {
    REAL.copy_sample(to)
}

/// [`Store::keep_photo`] on the real disk.
pub fn keep_photo(folder: &Path, machine: &MachineId, bytes: &[u8], kind: Kind) -> Result<String, StoreError> {
    REAL.keep_photo(folder, machine, bytes, kind)
}

/// [`Store::add_photo`] on the real disk.
pub fn add_photo(folder: &Path, machine: &MachineId, name: &str, bytes: &[u8]) -> Result<String, StoreError> {
    REAL.add_photo(folder, machine, name, bytes)
}

/// [`Store::write_file`] on the real disk.
pub fn write_file(path: &Path, bytes: &[u8]) -> Result<(), StoreError> {
    REAL.write_file(path, bytes)
}

/// [`Store::make_folder`] on the real disk.
pub fn make_folder(folder: &Path) -> Result<(), StoreError> {
    REAL.make_folder(folder)
}

/// Writes a garage as one zip file on the real disk, with the kinds and regions that the folder `from` adds to the
/// catalogue. The same garage gives the same bytes. Errors: a record that must not be stored, the disk.
pub fn write_pack(to: &Path, garage: &Garage, from: &Path) -> Result<(), StoreError> {
    class_pack::write_pack(REAL.0, to, garage, from)
}

/// [`Store::unpack`] on the real disk.
pub fn unpack(pack: &Path, to: &Path) -> Result<(), StoreError> {
    REAL.unpack(pack, to)
}

/// Writes a sheet on the real disk as the one file that a student sends back. Errors: a record that must not be
/// stored, the disk.
pub fn write_sheet(to: &Path, sheet: &Sheet) -> Result<(), StoreError> {
    class_pack::write_sheet(REAL.0, to, sheet)
}
