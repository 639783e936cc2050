//! Where each record lives in the folder, and which names are safe. Must not know what is in the files.

use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};

use super::StoreError;
use crate::edit::RecordKey;
use crate::exercise::{ExerciseId, SheetId};
use crate::guard;
use crate::guard::limits::{FOLDER_ENTRIES, GARAGE_BYTES, NAME_BYTES};
use crate::inspection::{EventId, InspectionId};
use crate::machine::MachineId;

/// The file that makes a folder a garage.
pub(super) const GARAGE: &str = "garage.ron";
/// The folder of machines.
pub(super) const MACHINES: &str = "machines";
/// The folder of inspection kinds that the garage adds.
pub(super) const KINDS: &str = "kinds";
/// The folder of regions that the garage adds.
pub(super) const REGIONS: &str = "regions";
/// The folder of class exercises.
pub(super) const EXERCISES: &str = "exercises";
/// The lock that the first window holds.
pub(super) const LOCK: &str = ".stemclock.lock";
/// How the name of a half-written file begins.
pub(super) const TEMPORARY: &str = ".stemclock-";

/// A garage's folder, with every link in its own path followed once, and how much of its records may still be read.
#[derive(Clone, Debug)]
pub(super) struct Root {
    path: PathBuf,
    left: Arc<AtomicU64>,
}

impl Root {
    /// The root of an existing folder.
    pub(super) fn new(folder: &Path) -> Result<Self, StoreError> {
        let path = fs::canonicalize(folder).map_err(|e| match e.kind() {
            std::io::ErrorKind::NotFound => StoreError::NoFolder(folder.to_path_buf()),
            _ => StoreError::from_io("open the folder", folder, &e),
        })?;
        if !path.is_dir() {
            return Err(StoreError::NotAFolder(folder.to_path_buf()));
        }
        Ok(Self { path, left: Arc::new(AtomicU64::new(GARAGE_BYTES.most)) })
    }
    /// The folder.
    pub(super) fn path(&self) -> &Path {
        &self.path
    }
    /// Takes the bytes of a record from what may be read of the garage in all. Errors: nothing is left.
    pub(super) fn spend(&self, bytes: usize) -> Result<(), StoreError> {
        let bytes = bytes as u64;
        let spent = self.left.fetch_update(Ordering::Relaxed, Ordering::Relaxed, |left| left.checked_sub(bytes));
        spent.map(drop).map_err(|_| StoreError::TooLarge {
            path: self.path.clone(),
            bytes: GARAGE_BYTES.most - self.left.load(Ordering::Relaxed) + bytes,
            cap: GARAGE_BYTES.most,
            way_out: "the records of no garage are so large in all; take out the files that do not belong to it",
        })
    }
    /// A path from the root in `/` form, made absolute.
    pub(super) fn at(&self, relative: &str) -> PathBuf {
        self.path.join(relative)
    }
    /// The same path with links followed, as long as it stays inside; a file that is not there yet is placed by its
    /// nearest folder that is.
    pub(super) fn inside(&self, relative: &str) -> Result<PathBuf, StoreError> {
        let path = self.at(relative);
        let mut existing = path.as_path();
        while fs::symlink_metadata(existing).is_err() {
            match existing.parent() {
                Some(parent) => existing = parent,
                None => return Err(StoreError::Outside(path)),
            }
        }
        // A link that leads nowhere cannot be followed, so nobody can say where a write would go.
        let real = fs::canonicalize(existing).map_err(|_| StoreError::Outside(path.clone()))?;
        if !real.starts_with(&self.path) {
            return Err(StoreError::Outside(path));
        }
        let rest = path.strip_prefix(existing).unwrap_or(Path::new(""));
        Ok(if rest.as_os_str().is_empty() { real } else { real.join(rest) })
    }
}

/// The file of a record, from the root. Errors: an id that cannot be a file name.
pub(super) fn record_path(key: &RecordKey) -> Result<String, StoreError> {
    Ok(match key {
        RecordKey::Garage => GARAGE.to_owned(),
        RecordKey::Machine(id) => format!("{}/machine.ron", machine_folder(&id.0)?),
        RecordKey::Inspection(machine, id) => {
            format!("{}/inspections/{}.ron", machine_folder(&machine.0)?, name("an inspection id", &id.0)?)
        }
        RecordKey::Event(machine, id) => {
            format!("{}/events/{}.ron", machine_folder(&machine.0)?, name("an event id", &id.0)?)
        }
        RecordKey::Own(file) => format!("{KINDS}/{}.ron", name("a name of a kind's file", file)?),
        RecordKey::Exercise(id) => format!("{}/exercise.ron", exercise_folder(&id.0)?),
        RecordKey::Key(id) => format!("{}/key.ron", exercise_folder(&id.0)?),
        RecordKey::Sheet(exercise, id) => {
            format!("{}/sheets/{}.ron", exercise_folder(&exercise.0)?, name("a sheet id", &id.0)?)
        }
    })
}

/// The record that lives at a path from the root; none where a path is none of a record, or a name in it none that is
/// safe. The garage's own kinds are not among them: what one file holds is known once all are read.
pub(super) fn key_of(path: &str) -> Option<RecordKey> {
    let parts: Vec<&str> = path.split('/').collect();
    let id = |text: &str| name("an id", text).ok().map(ToOwned::to_owned);
    let file = |text: &str| id(text.strip_suffix(".ron")?);
    match parts[..] {
        [GARAGE] => Some(RecordKey::Garage),
        [MACHINES, machine, "machine.ron"] => Some(RecordKey::Machine(MachineId(id(machine)?))),
        [MACHINES, machine, "inspections", inspection] => {
            Some(RecordKey::Inspection(MachineId(id(machine)?), InspectionId(file(inspection)?)))
        }
        [MACHINES, machine, "events", event] => Some(RecordKey::Event(MachineId(id(machine)?), EventId(file(event)?))),
        [EXERCISES, exercise, "exercise.ron"] => Some(RecordKey::Exercise(ExerciseId(id(exercise)?))),
        [EXERCISES, exercise, "key.ron"] => Some(RecordKey::Key(ExerciseId(id(exercise)?))),
        [EXERCISES, exercise, "sheets", sheet] => {
            Some(RecordKey::Sheet(ExerciseId(id(exercise)?), SheetId(file(sheet)?)))
        }
        _ => None,
    }
}

/// The folder of a machine, from the root.
pub(super) fn machine_folder(id: &str) -> Result<String, StoreError> {
    Ok(format!("{MACHINES}/{}", name("a machine id", id)?))
}

/// The folder of an exercise, from the root.
pub(super) fn exercise_folder(id: &str) -> Result<String, StoreError> {
    Ok(format!("{EXERCISES}/{}", name("an exercise id", id)?))
}

/// A photo, from the root.
pub(super) fn photo_path(machine: &str, photo: &str) -> Result<String, StoreError> {
    Ok(format!("{}/photos/{}", machine_folder(machine)?, name("a photo name", photo)?))
}

/// Names that one system or another keeps for its devices.
const DEVICES: [&str; 4] = ["con", "prn", "aux", "nul"];

/// A name that every system can hold as one part of a path, and that leads nowhere else.
pub(super) fn name<'a>(what: &'static str, text: &'a str) -> Result<&'a str, StoreError> {
    let refuse = |why| {
        let found: String = text.chars().take(80).collect();
        Err(StoreError::Name { what, found: guard::line(&found).into_owned(), why })
    };
    if text.is_empty() {
        return refuse("it is empty");
    }
    if text.len() > NAME_BYTES.size() {
        return refuse("it is longer than 120 bytes");
    }
    if text.contains(['/', '\\', ':']) {
        return refuse("it holds a separator of paths");
    }
    if text.contains(|c: char| {
        guard::is_hidden(c) || c.is_control() || matches!(c, '<' | '>' | '"' | '|' | '?' | '*' | '\u{fffd}')
    }) {
        return refuse("it holds a character that not every system can store");
    }
    if text.starts_with(['.', ' ']) || text.ends_with(['.', ' ']) {
        return refuse("it begins or ends with a point or a space");
    }
    let stem = text.split('.').next().unwrap_or(text).trim_end().to_ascii_lowercase();
    let numbered = |prefix: &str| stem.strip_prefix(prefix).is_some_and(|n| matches!(n.as_bytes(), [b'0'..=b'9']));
    if DEVICES.contains(&stem.as_str()) || numbered("com") || numbered("lpt") {
        return refuse("some systems keep it for a device");
    }
    Ok(text)
}

/// An entry of a folder.
#[derive(Debug)]
pub(super) struct Entry {
    /// Its name; what is no text is replaced by marks that [`name`] refuses.
    pub(super) name: String,
    /// Whether it is a folder, links followed.
    pub(super) is_folder: bool,
}

/// The entries of a folder in order of their names; none if the folder is not there.
pub(super) fn entries(folder: &Path) -> Result<Vec<Entry>, StoreError> {
    let fail = |e: std::io::Error| StoreError::from_io("list the folder", folder, &e);
    let listing = match fs::read_dir(folder) {
        Ok(listing) => listing,
        Err(e) if e.kind() == std::io::ErrorKind::NotFound => return Ok(Vec::new()),
        Err(e) => return Err(fail(e)),
    };
    let mut found = Vec::new();
    for entry in listing {
        let entry = entry.map_err(fail)?;
        if found.len() >= FOLDER_ENTRIES.size() {
            return Err(StoreError::TooMany { folder: folder.to_path_buf(), most: FOLDER_ENTRIES.most });
        }
        // Most systems tell the kind with the name; only a link has to be followed.
        let is_folder = match entry.file_type() {
            Ok(kind) if !kind.is_symlink() => kind.is_dir(),
            _ => entry.path().is_dir(),
        };
        found.push(Entry { name: entry.file_name().to_string_lossy().into_owned(), is_folder });
    }
    found.sort_by(|a, b| a.name.cmp(&b.name));
    Ok(found)
}

/// What is in a folder, in a few words for a message.
pub(super) fn listing_words(entries: &[Entry]) -> String {
    let names: Vec<String> = entries
        .iter()
        .take(4)
        .map(|e| guard::line(&e.name.chars().take(60).collect::<String>()).into_owned())
        .collect();
    match entries.len() {
        0 => "an empty folder".into(),
        1..=4 => names.join(", "),
        n => format!("{} and {} more", names.join(", "), n - names.len()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_that_lead_elsewhere_are_refused() {
        for bad in [
            "",
            ".",
            "..",
            "../x",
            "a/b",
            "a\\b",
            "/etc",
            "C:",
            "c:x",
            "con",
            "NUL.ron",
            "com1",
            "lpt9.txt",
            "aux ",
            ".hidden",
            "x.",
            "x ",
            "a\nb",
            "a\0b",
            "a*b",
            "bike\u{202e}nor.exe",
            "a\u{200b}b",
            "\u{feff}a",
        ] {
            assert!(name("a machine id", bad).is_err(), "{bad:?}");
        }
        for good in ["tourer-4f2a", "2026-03-01-season-9c", "console", "com10", "Roue avant 2.jpg", "été-1"] {
            assert_eq!(name("a machine id", good), Ok(good));
        }
    }
}
