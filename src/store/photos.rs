//! Photos in a machine's folder: read within limits, written once under a name made of what is in them.

use std::collections::BTreeSet;
use std::path::Path;

use sha2::{Digest as _, Sha256};

use super::layout::{self, Root};
use super::{Medium, StoreError, atomic};
use crate::garage::Bay;
use crate::guard::limits::PHOTO_BYTES;
use crate::inspection::Inspection;
use crate::machine::MachineId;
use crate::photo::{Kind, Refusal};

/// Greatest size of a photo, in bytes.
const PHOTO_CAP: u64 = PHOTO_BYTES.most;
const SMALLER: &str = "make the picture smaller and add it again";

/// The bytes of a photo of a machine. Errors: it is not there, is larger than 32 MiB, or a link leads out.
pub fn photo_bytes(folder: &Path, machine: &MachineId, name: &str) -> Result<Vec<u8>, StoreError> {
    let path = Root::new(folder)?.inside(&layout::photo_path(&machine.0, name)?)?;
    atomic::read_within(&path, PHOTO_CAP, SMALLER)
}

/// Reads a picture that the user named, from anywhere. Errors: it is not there, is no plain file, or is larger than
/// 32 MiB.
pub fn read_picture(path: &Path) -> Result<Vec<u8>, StoreError> {
    atomic::read_within(path, PHOTO_CAP, SMALLER)
}

/// Keeps a photo in a machine's folder and gives the name it got. The name is made of the photo's own bytes: two people
/// who add photos apart never get in each other's way, the same photo is kept once, and nothing of the name that a file
/// had outside gets in. Errors: the photo is larger than 32 MiB, the disk.
pub(super) fn keep_photo(
    on: &dyn Medium,
    folder: &Path,
    machine: &MachineId,
    bytes: &[u8],
    kind: Kind,
) -> Result<String, StoreError> {
    let name = format!("photo-{}.{}", stamp(bytes), kind.ending());
    match photo_bytes(folder, machine, &name) {
        // Its name may not have reached the disk when it was kept.
        Ok(there) if there == bytes => {
            let path = Root::new(folder)?.inside(&layout::photo_path(&machine.0, &name)?)?;
            let above = atomic::parent(&path);
            on.sync_folder(&above).map_err(|e| StoreError::from_io("keep the photo", &path, &e)).map(|()| name)
        }
        _ => add_photo(on, folder, machine, &name, bytes),
    }
}

/// Twenty hexadecimal digits of the SHA-256 of a photo.
fn stamp(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().take(10).map(|b| format!("{b:02x}")).collect()
}

/// The photos that lie in a machine's folder and that none of its own records names, by their names. Errors: the folder
/// cannot be listed.
pub(super) fn unnamed(root: &Root, bay: &Bay) -> Result<Vec<String>, StoreError> {
    let folder = root.inside(&format!("{}/photos", layout::machine_folder(&bay.machine.id.0)?))?;
    let named: BTreeSet<&str> = bay.machine.photos.iter().map(|p| p.file.as_str()).collect();
    let in_findings: BTreeSet<&str> = bay.inspections.iter().flat_map(names_in).collect();
    let lying = layout::entries(&folder)?.into_iter().filter(|e| !e.is_folder && !e.name.starts_with('.'));
    let is_named = |name: &str| named.contains(name) || in_findings.contains(name);
    Ok(lying.map(|e| e.name).filter(|name| !is_named(name)).collect())
}

/// The photos that an inspection's findings name.
pub(super) fn names_in(inspection: &Inspection) -> impl Iterator<Item = &str> {
    inspection.findings.iter().flat_map(|f| &f.photos).map(|p| p.file.as_str())
}

/// What is wrong with a photo that is there; none when it opens and is what its name says. Every pixel is decoded.
pub(super) fn wrong_with(root: &Root, machine: &MachineId, name: &str) -> Option<String> {
    let read = layout::photo_path(&machine.0, name).and_then(|path| root.inside(&path));
    let bytes = match read.and_then(|path| atomic::read_within(&path, PHOTO_CAP, SMALLER)) {
        Ok(bytes) => bytes,
        Err(error) => return Some(error.to_string()),
    };
    let opened: Result<(), Refusal> = crate::photo::must_open(&bytes);
    if let Err(refusal) = opened {
        return Some(refusal.to_string());
    }
    let said = name.strip_prefix("photo-").and_then(|rest| rest.get(..20)).filter(|s| s.bytes().all(is_digit));
    match said {
        Some(said) if said != stamp(&bytes) => Some(format!(
            "expected the photo whose SHA-256 begins with {said}, as its name says, found another one: \
                          restore it from a backup, or add it anew"
        )),
        _ => None,
    }
}

fn is_digit(byte: u8) -> bool {
    byte.is_ascii_digit() || (b'a'..=b'f').contains(&byte)
}

/// Adds a photo to a machine's folder, never over one that is there, and gives the name it got: the one asked for, or
/// that name with a number. Errors: the name cannot be a file name, the photo is larger than 32 MiB, the disk.
pub(super) fn add_photo(
    on: &dyn Medium,
    folder: &Path,
    machine: &MachineId,
    name: &str,
    bytes: &[u8],
) -> Result<String, StoreError> {
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
            atomic::make_folder(on, parent)?;
        }
        if atomic::write_new(on, &path, bytes)? {
            return Ok(tried);
        }
    }
    Err(StoreError::AlreadyThere(root.at(&layout::photo_path(&machine.0, name)?)))
}
