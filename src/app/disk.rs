//! What the window asks of the disk, behind one trait, so that a test can let a disk be full.

use std::any::Any;
use std::path::{Path, PathBuf};

use crate::catalogue::Catalogue;
use crate::edit::Change;
use crate::exercise::Sheet;
use crate::garage::{Bay, Garage, GarageInfo};
use crate::machine::MachineId;
use crate::photo::Kind;
use crate::store::{self, Look, Medium, Outcome, Store, Touched, Watch};

/// A garage as it was found on disk.
pub struct Found {
    /// What could be read.
    pub garage: Garage,
    /// The catalogue with what the garage adds.
    pub catalogue: Catalogue,
    /// Each file that could not be read, with line, column and the way out.
    pub unreadable: Vec<String>,
    /// Copies that were kept beside a record, for a person to compare.
    pub set_aside: Vec<String>,
    /// Why nothing may be written here, if so.
    pub read_only: Option<String>,
    /// Whether the machines came without their inspections and events, to be read by [`Disk::machine`].
    pub is_light: bool,
    /// Keeps other windows from writing, as long as it lives.
    pub hold: Box<dyn Any + Send>,
}

/// The disk. Errors are words for the user: expected, found, way out.
pub trait Disk: Send + Sync {
    /// Opens a garage.
    fn open(&self, folder: &Path) -> Result<Found, String>;
    /// Reads all records of a machine, and gives each file that could not be read.
    fn machine(&self, folder: &Path, machine: &MachineId) -> Result<(Bay, Vec<String>), String> {
        match store::read_machine(folder, machine).map_err(words)? {
            (Some(bay), problems) => Ok((bay, problems.iter().map(ToString::to_string).collect())),
            (None, problems) => Err(problems.first().map_or_else(
                || {
                    format!(
                        "expected the machine {machine} in {}, found none: somebody has taken it away; restore it from a \
                         backup, or open the garage again",
                        folder.display()
                    )
                },
                ToString::to_string,
            )),
        }
    }
    /// Makes an empty garage.
    fn create(&self, folder: &Path, info: &GarageInfo) -> Result<(), String>;
    /// Writes or deletes the one file of a change. Gives the copy that was kept, where the file was not as it was left.
    fn save(&self, folder: &Path, change: &Change) -> Result<Option<PathBuf>, String>;
    /// Writes or deletes the one file of a change, if it is as the change expects it; else gives what stands there.
    fn save_unless_met(&self, folder: &Path, change: &Change) -> Result<Outcome, String>;
    /// Reads again what may have changed.
    fn look_again(&self, folder: &Path, touched: &Touched) -> Result<Look, String> {
        store::look(folder, touched).map_err(words)
    }
    /// Tells what may have changed in a garage, for as long as the watch lives.
    fn watch(&self, folder: &Path, told: Box<dyn Fn(Touched) + Send>) -> Result<Watch, String> {
        Watch::start(folder, told).map_err(words)
    }
    /// Writes every record into another folder, with everything else that stands in `from`. Gives what is left behind,
    /// each with the reason.
    fn save_elsewhere(&self, from: Option<&Path>, to: &Path, garage: &Garage) -> Result<Vec<String>, String>;
    /// Writes the sample garage.
    fn copy_sample(&self, to: &Path) -> Result<(), String>;
    /// Writes what students get of a garage as one zip file, with the kinds and regions of the folder `from`.
    fn write_pack(&self, to: &Path, garage: &Garage, from: &Path) -> Result<(), String> {
        store::write_pack(to, garage, from).map_err(words)
    }
    /// Writes the same as a new folder.
    fn write_pack_folder(&self, to: &Path, garage: &Garage, from: &Path) -> Result<(), String> {
        store::write_pack_folder(to, garage, from).map_err(words)
    }
    /// Unpacks an exercise that was sent into a new folder.
    fn unpack(&self, pack: &Path, to: &Path) -> Result<(), String> {
        store::unpack(pack, to).map_err(words)
    }
    /// Reads a student's sheet.
    fn read_sheet(&self, path: &Path) -> Result<Sheet, String> {
        store::read_sheet(path).map_err(words)
    }
    /// Writes a student's sheet.
    fn write_sheet(&self, to: &Path, sheet: &Sheet) -> Result<(), String> {
        store::write_sheet(to, sheet).map_err(words)
    }
    /// A photo of a machine.
    fn photo(&self, folder: &Path, machine: &MachineId, name: &str) -> Result<Vec<u8>, String>;
    /// Reads a picture that the user named.
    fn picture(&self, path: &Path) -> Result<Vec<u8>, String> {
        store::read_picture(path).map_err(words)
    }
    /// Keeps a photo in a machine's folder and gives the name it got.
    fn keep_photo(&self, folder: &Path, machine: &MachineId, bytes: &[u8], kind: Kind) -> Result<String, String> {
        store::keep_photo(folder, machine, bytes, kind).map_err(words)
    }
    /// Makes a folder with those above it.
    fn make_folder(&self, folder: &Path) -> Result<(), String>;
    /// Writes a file whole or not at all.
    fn write_file(&self, path: &Path, bytes: &[u8]) -> Result<(), String>;
    /// Reads a text; none where there is no such file.
    fn read_text(&self, path: &Path) -> Result<Option<String>, String>;
    /// What stands at a path now.
    fn look(&self, path: &Path) -> store::Standing {
        store::standing_at(path)
    }
    /// Whether two paths lead to one and the same place.
    fn is_same_place(&self, one: &Path, other: &Path) -> bool {
        store::is_same_place(one, other)
    }
}

/// The store on any medium; the program has it on the real disk.
impl<M: Medium> Disk for M {
    fn open(&self, folder: &Path) -> Result<Found, String> {
        let opened = Store::on(self).open(folder).map_err(words)?;
        Ok(Found {
            garage: opened.garage,
            catalogue: opened.catalogue,
            unreadable: opened.unreadable.iter().map(ToString::to_string).collect(),
            set_aside: opened.set_aside,
            is_light: opened.is_light,
            read_only: opened.lock.read_only_because.clone(),
            hold: Box::new(opened.lock),
        })
    }
    fn create(&self, folder: &Path, info: &GarageInfo) -> Result<(), String> {
        Store::on(self).create(folder, info).map_err(words)
    }
    fn save(&self, folder: &Path, change: &Change) -> Result<Option<PathBuf>, String> {
        Store::on(self).save_record(folder, change).map(|saved| saved.set_aside).map_err(words)
    }
    fn save_unless_met(&self, folder: &Path, change: &Change) -> Result<Outcome, String> {
        Store::on(self).save_unless_met(folder, change).map_err(words)
    }
    fn save_elsewhere(&self, from: Option<&Path>, to: &Path, garage: &Garage) -> Result<Vec<String>, String> {
        Store::on(self).save_elsewhere(from, to, garage).map_err(words)
    }
    fn copy_sample(&self, to: &Path) -> Result<(), String> {
        match Store::on(self).copy_sample(to) {
            // The settings were lost, not the garage.
            Err(store::StoreError::AlreadyThere(_)) if store::is_garage(to) => Ok(()),
            other => other.map_err(words),
        }
    }
    fn photo(&self, folder: &Path, machine: &MachineId, name: &str) -> Result<Vec<u8>, String> {
        store::photo_bytes(folder, machine, name).map_err(words)
    }
    fn keep_photo(&self, folder: &Path, machine: &MachineId, bytes: &[u8], kind: Kind) -> Result<String, String> {
        Store::on(self).keep_photo(folder, machine, bytes, kind).map_err(words)
    }
    fn make_folder(&self, folder: &Path) -> Result<(), String> {
        Store::on(self).make_folder(folder).map_err(words)
    }
    fn write_file(&self, path: &Path, bytes: &[u8]) -> Result<(), String> {
        Store::on(self).write_file(path, bytes).map_err(words)
    }
    fn read_text(&self, path: &Path) -> Result<Option<String>, String> {
        match store::read_own(path) {
            Err(store::StoreError::Missing(_)) => Ok(None),
            Err(error) => Err(words(error)),
            Ok(bytes) => match String::from_utf8(bytes) {
                Ok(text) => Ok(Some(text)),
                Err(_) => Err(format!(
                    "expected text in UTF-8 in {}, found other bytes: mend or remove the file",
                    path.display()
                )),
            },
        }
    }
}

fn words(error: impl std::fmt::Display) -> String {
    crate::guard::text(&error.to_string()).into_owned()
}
