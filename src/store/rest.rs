//! What a garage's folder holds beside the records in memory: photos, the garage's own kinds and regions, what cannot be
//! read, what the user put there. Copied byte for byte when the garage is saved elsewhere, because whoever saves elsewhere
//! may be leaving a disk that fails. Must not know how records are written.

use std::fs;
use std::path::Path;

use super::layout::{self, EXERCISES, GARAGE, KINDS, MACHINES, Root};
use super::open::read_bytes;
use super::save::decode_record;
use super::{Medium, StoreError, atomic};
use crate::edit::RecordKey;
use crate::garage::Garage;

/// Copies every file of the folder `from` that is not in the folder `to` and that nobody has taken out of the garage in
/// the window. Never writes over a file. Gives what is left behind, each with the reason: a link, a device, a file that
/// cannot be read. Names that begin with a dot belong to other programs and stay. Errors: `to` cannot be written.
pub(super) fn copy_rest(
    on: &dyn Medium,
    from: &Path,
    to: &Root,
    garage: &Garage,
    gone_kinds: &[String],
) -> Result<Vec<String>, StoreError> {
    let mut copy = Copy { on, from: Root::new(from)?, to, garage, gone_kinds, left: Vec::new() };
    copy.folder("")?;
    Ok(copy.left)
}

struct Copy<'a> {
    on: &'a dyn Medium,
    from: Root,
    to: &'a Root,
    garage: &'a Garage,
    gone_kinds: &'a [String],
    left: Vec<String>,
}

impl Copy<'_> {
    fn folder(&mut self, folder: &str) -> Result<(), StoreError> {
        let entries = match layout::entries(&self.from.at(folder)) {
            Ok(entries) => entries,
            Err(e) => {
                self.left.push(format!("{folder}: {e}"));
                return Ok(());
            }
        };
        for entry in entries.iter().filter(|e| !e.name.starts_with('.')) {
            let relative = if folder.is_empty() { entry.name.clone() } else { format!("{folder}/{}", entry.name) };
            let path = self.from.at(&relative);
            match fs::symlink_metadata(&path) {
                // The new folder may lie inside the old one.
                Ok(about) if about.is_dir() && !self.to.path().starts_with(&path) => {
                    if !self.was_taken_out(&format!("{relative}/")) {
                        self.folder(&relative)?;
                    }
                }
                Ok(about) if about.is_dir() => {}
                Ok(about) if about.is_file() => self.file(&relative)?,
                Ok(_) => self.left.push(format!("{relative}: it is a link or a device")),
                Err(e) => self.left.push(format!("{relative}: {e}")),
            }
        }
        Ok(())
    }

    fn file(&mut self, relative: &str) -> Result<(), StoreError> {
        let target = self.to.at(relative);
        // The file that makes a folder a garage is written last, from memory.
        if relative == GARAGE || fs::symlink_metadata(&target).is_ok() || self.was_taken_out(relative) {
            return Ok(());
        }
        match atomic::read_file(&self.from.at(relative)) {
            Ok(bytes) => {
                atomic::make_folder(self.on, &atomic::parent(&target))?;
                atomic::write_new(self.on, &target, &bytes)?;
            }
            Err(e) => self.left.push(format!("{relative}: {e}")),
        }
        Ok(())
    }

    /// Whether something was taken out of the garage in the window, and that is not on disk yet: it can be read, and is no
    /// longer among what is in memory. What cannot be read, or lies under what cannot be read, nobody has taken out. The
    /// path of a folder ends in a slash.
    fn was_taken_out(&self, relative: &str) -> bool {
        let reads = |relative: &str| {
            layout::key_of(relative).is_some_and(|key| {
                read_bytes(&self.from, relative).and_then(|bytes| decode_record(&key, relative, &bytes)).is_ok()
            })
        };
        let parts: Vec<&str> = relative.split('/').collect();
        match parts[..] {
            [KINDS, name] => self.gone_kinds.iter().any(|gone| gone == name),
            [MACHINES, id, ""] => {
                self.garage.bays.iter().all(|b| b.machine.id.0 != id) && reads(&format!("{MACHINES}/{id}/machine.ron"))
            }
            [EXERCISES, id, ""] => {
                let is_here = self.garage.courses.iter().any(|c| c.exercise.id.0 == id);
                !is_here && reads(&format!("{EXERCISES}/{id}/exercise.ron"))
            }
            _ => match layout::key_of(relative) {
                Some(RecordKey::Inspection(machine, _) | RecordKey::Event(machine, _)) => {
                    self.garage.bay(&machine).is_some() && reads(relative)
                }
                Some(RecordKey::Key(exercise) | RecordKey::Sheet(exercise, _)) => {
                    self.garage.courses.iter().any(|c| c.exercise.id == exercise) && reads(relative)
                }
                _ => false,
            },
        }
    }
}
