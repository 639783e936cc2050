//! Photos in a machine's folder, as bytes. Must not know pictures.

use std::path::Path;

use super::layout::{self, Root};
use super::{StoreError, atomic};
use crate::machine::MachineId;

/// Greatest size of a photo, in bytes.
const PHOTO_CAP: u64 = 32 * 1024 * 1024;
const SMALLER: &str = "make the picture smaller and add it again";

/// The bytes of a photo of a machine. Errors: it is not there, is larger than 32 MiB, or a link leads out.
pub fn photo_bytes(folder: &Path, machine: &MachineId, name: &str) -> Result<Vec<u8>, StoreError> {
    let path = Root::new(folder)?.inside(&layout::photo_path(&machine.0, name)?)?;
    atomic::read_within(&path, PHOTO_CAP, SMALLER)
}

/// Adds a photo to a machine's folder, never over one that is there, and gives the name it got: the one asked for, or
/// that name with a number. Errors: the name cannot be a file name, the photo is larger than 32 MiB, the disk.
pub fn add_photo(folder: &Path, machine: &MachineId, name: &str, bytes: &[u8]) -> Result<String, StoreError> {
    let root = Root::new(folder)?;
    if bytes.len() as u64 > PHOTO_CAP {
        return Err(StoreError::TooLarge {
            path: name.into(),
            bytes: bytes.len() as u64,
            cap: PHOTO_CAP,
            way_out: SMALLER,
        });
    }
    let (stem, ending) = name.rsplit_once('.').map_or((name, String::new()), |(s, e)| (s, format!(".{e}")));
    for number in 1..10_000 {
        let tried = if number == 1 { name.to_owned() } else { format!("{stem}-{number}{ending}") };
        let path = root.inside(&layout::photo_path(&machine.0, &tried)?)?;
        if let Some(parent) = path.parent() {
            atomic::make_folder(parent)?;
        }
        if atomic::write_new(&path, bytes)? {
            return Ok(tried);
        }
    }
    Err(StoreError::AlreadyThere(root.at(&layout::photo_path(&machine.0, name)?)))
}
