//! The records of one machine in memory before they are read, with a seal of every byte and name among them. What is
//! worked out from them afterwards follows from the very bytes that were sealed. Must not know what is in the files.

use std::collections::BTreeMap;
use std::fs;

use sha2::{Digest as _, Sha256};

use super::atomic;
use super::codec::FILE_CAP;
use super::layout::Root;

/// A SHA-256 of everything that an answer follows from.
pub(super) type Seal = [u8; 32];

/// Feeds a named file to a seal, so that no two lists of files can look alike.
pub(super) fn feed(seal: &mut Sha256, name: &str, bytes: &[u8]) {
    for part in [name.as_bytes(), bytes] {
        seal.update((part.len() as u64).to_le_bytes());
        seal.update(part);
    }
}

/// The records of a machine that have not been read yet, by their paths from the root.
#[derive(Debug)]
pub(super) struct Held {
    files: BTreeMap<String, Vec<u8>>,
    /// Whether something was asked for that is not held.
    strayed: bool,
}

impl Held {
    /// Reads the files of a machine's folder, and gives them with their seal, which begins with `of`. None where anything
    /// is not as this program leaves it: a link, a folder or a file with another ending, a copy set aside, a file that
    /// cannot be read. Whoever asked then reads the machine without a seal, and says what is wrong.
    pub(super) fn of(root: &Root, machine: &str, of: &Seal) -> Option<(Self, Seal)> {
        let mut seal = Sha256::new();
        seal.update(of);
        let mut files = BTreeMap::new();
        for part in ["", "/inspections", "/events"] {
            let folder = format!("{machine}{part}");
            let path = root.at(&folder);
            // A link could lead out of the garage.
            if fs::symlink_metadata(&path).ok().is_some_and(|about| !about.is_dir()) {
                return None;
            }
            for name in plain_names(&path, part.is_empty())? {
                let bytes = atomic::read_within(&path.join(&name), FILE_CAP, "").ok()?;
                let relative = format!("{folder}/{name}");
                feed(&mut seal, &relative, &bytes);
                files.insert(relative, bytes);
            }
        }
        root.spend(files.values().map(Vec::len).sum()).ok()?;
        Some((Self { files, strayed: false }, seal.finalize().into()))
    }

    /// Gives the bytes of a file away. None where it is not held.
    pub(super) fn take(&mut self, relative: &str) -> Option<Vec<u8>> {
        let found = self.files.remove(relative);
        self.strayed |= found.is_none();
        found
    }

    /// Whether all that was held has been given away and nothing else was asked for.
    pub(super) fn is_spent(&self) -> bool {
        self.files.is_empty() && !self.strayed
    }
}

/// The names of a folder that holds plain records and nothing else, in their order. The folder of a machine holds others
/// too, which are left out; in it only the record counts.
fn plain_names(folder: &std::path::Path, is_machine: bool) -> Option<Vec<String>> {
    let listing = match fs::read_dir(folder) {
        Ok(listing) => listing,
        Err(e) if e.kind() == std::io::ErrorKind::NotFound => return Some(Vec::new()),
        Err(_) => return None,
    };
    let mut names = Vec::new();
    for entry in listing {
        let entry = entry.ok()?;
        let name = entry.file_name().into_string().ok()?;
        let kind = entry.file_type().ok()?;
        if is_machine && kind.is_dir() {
            continue;
        }
        if !kind.is_file() || !name.ends_with(".ron") || name.starts_with('.') {
            return None;
        }
        names.push(name);
    }
    names.sort();
    Some(names)
}
