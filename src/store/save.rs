//! Saving one record, and keeping what would be lost by it. Must not decide what changes.

use std::fs;
use std::path::{Path, PathBuf};

use super::codec;
use super::layout::{self, Root};
use super::migrate;
use super::open::{decode_named, read_bytes};
use super::problem::Problem;
use super::stored::Stored;
use super::{Medium, StoreError, atomic};
use crate::catalogue::OwnKinds;
use crate::edit::{Change, Record, RecordKey};
use crate::exercise::{Exercise, Key, Sheet};
use crate::garage::GarageInfo;
use crate::inspection::{Event, Inspection};
use crate::machine::{Machine, SCHEMA};

/// What a save did besides writing the record.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Saved {
    /// The copy that was kept of the file as it was, because it could not be read or somebody else had changed it.
    pub set_aside: Option<PathBuf>,
}

/// What stands on disk where a change was to be written, and is not what the change started from.
#[derive(Clone, Debug, PartialEq)]
pub enum OnDisk {
    /// The file is not there any more.
    Gone,
    /// Somebody has written another record.
    Record(Box<Record>),
    /// Something that cannot be read, with the place and the way out.
    Unreadable(String),
}

/// What came of a save that writes over nothing it does not know.
#[derive(Clone, Debug, PartialEq)]
pub enum Outcome {
    /// It is written.
    Saved,
    /// Nothing is written: something else stands there.
    Met(OnDisk),
}

/// Writes or removes the one file of a change, whole or not at all, if the file is what the change started from or
/// already what it leads to; writes nothing else. Errors: see [`save_record`].
pub(super) fn save_unless_met(on: &dyn Medium, folder: &Path, change: &Change) -> Result<Outcome, StoreError> {
    let root = Root::new(folder)?;
    let relative = layout::record_path(&change.key)?;
    let path = root.inside(&relative)?;
    let text = change.after.as_ref().map(|record| encode(&change.key, record)).transpose()?;
    if fs::symlink_metadata(&path).is_ok() {
        let found = read_bytes(&root, &relative).and_then(|bytes| decode_record(&change.key, &relative, &bytes));
        match found {
            Ok(found) if is_known(change, &found) => {}
            Ok(found) => return Ok(Outcome::Met(OnDisk::Record(Box::new(found)))),
            Err(Problem { newer_schema: Some(found), .. }) => {
                return Err(StoreError::Newer { path, found, known: SCHEMA });
            }
            Err(problem) => return Ok(Outcome::Met(OnDisk::Unreadable(problem.to_string()))),
        }
    } else if change.before.is_some() && change.after.is_some() {
        return Ok(Outcome::Met(OnDisk::Gone));
    }
    put(on, &root, &path, change, text)?;
    Ok(Outcome::Saved)
}

/// Whether what stands on disk is what the change started from, or already what it leads to.
fn is_known(change: &Change, on_disk: &Record) -> bool {
    [&change.before, &change.after].into_iter().flatten().any(|record| record.is_same(on_disk))
}

/// Writes or removes the one file of a change, whole or not at all.
///
/// A file that cannot be read, or that is not what the change started from, is first copied beside itself as
/// `….set-aside-1`. A file of a newer schema is never written over. Errors: the disk is full or read-only, the system
/// denies it, an id is no file name, a link leads out of the garage; the old file is then whole.
pub(super) fn save_record(on: &dyn Medium, folder: &Path, change: &Change) -> Result<Saved, StoreError> {
    let root = Root::new(folder)?;
    let relative = layout::record_path(&change.key)?;
    let path = root.inside(&relative)?;
    let text = change.after.as_ref().map(|record| encode(&change.key, record)).transpose()?;
    let mut saved = Saved::default();
    if fs::symlink_metadata(&path).is_ok() {
        saved.set_aside = keep_what_would_be_lost(on, &root, &relative, &path, change)?;
    }
    put(on, &root, &path, change, text)?;
    Ok(saved)
}

fn put(on: &dyn Medium, root: &Root, path: &Path, change: &Change, text: Option<String>) -> Result<(), StoreError> {
    migrate::keep_older(on, path, SCHEMA)?;
    let Some(text) = text else { return remove(on, root, path, change) };
    if let Some(parent) = path.parent() {
        atomic::make_folder(on, parent)?;
    }
    atomic::write_file(on, path, text.as_bytes())
}

/// A record as the text of its file. Errors: a value that must not be stored.
pub fn text_of(key: &RecordKey, record: &Record) -> Result<String, StoreError> {
    encode(key, record)
}

/// The path of a record's file from the garage's folder. Errors: an id that cannot be a file name.
pub fn path_of(key: &RecordKey) -> Result<String, StoreError> {
    layout::record_path(key)
}

/// The text of a record, once key and record agree.
pub(super) fn encode(key: &RecordKey, record: &Record) -> Result<String, StoreError> {
    let mismatch = |found: &str| {
        Err(StoreError::Mismatch { expected: layout::record_path(key).unwrap_or_default(), found: found.to_owned() })
    };
    let text = match (key, record) {
        (RecordKey::Garage, Record::Garage(info)) => codec::encode(&**info),
        (RecordKey::Machine(id), Record::Machine(m)) if &m.id == id => codec::encode(&**m),
        (RecordKey::Inspection(_, id), Record::Inspection(i)) if &i.id == id => codec::encode(&**i),
        (RecordKey::Event(_, id), Record::Event(e)) if &e.id == id => codec::encode(&**e),
        (RecordKey::Own(_), Record::Own(own)) => codec::encode(&**own),
        (RecordKey::Exercise(id), Record::Exercise(e)) if &e.id == id => codec::encode(&**e),
        (RecordKey::Key(id), Record::Key(k)) if &k.exercise == id => codec::encode(&**k),
        (RecordKey::Sheet(_, id), Record::Sheet(s)) if &s.id == id => codec::encode(&**s),
        (_, Record::Garage(_)) => return mismatch("the garage"),
        (_, Record::Own(_)) => return mismatch("a kind"),
        (_, Record::Machine(m)) => return mismatch(&m.id.0),
        (_, Record::Inspection(i)) => return mismatch(&i.id.0),
        (_, Record::Event(e)) => return mismatch(&e.id.0),
        (_, Record::Exercise(e)) => return mismatch(&e.id.0),
        (_, Record::Key(k)) => return mismatch(&k.exercise.0),
        (_, Record::Sheet(s)) => return mismatch(&s.id.0),
    };
    text.map_err(StoreError::Unsound)
}

fn keep_what_would_be_lost(
    on: &dyn Medium,
    root: &Root,
    relative: &str,
    path: &Path,
    change: &Change,
) -> Result<Option<PathBuf>, StoreError> {
    let bytes = match read_bytes(root, relative) {
        Ok(bytes) => bytes,
        // Too large to read or no plain file: moved aside as it is, which needs no room.
        Err(_) => return move_aside(on, path).map(Some),
    };
    match decode_record(&change.key, relative, &bytes) {
        Ok(on_disk) if is_known(change, &on_disk) => Ok(None),
        Err(Problem { newer_schema: Some(found), .. }) => {
            Err(StoreError::Newer { path: path.to_path_buf(), found, known: SCHEMA })
        }
        _ => copy_aside(on, path, &bytes).map(Some),
    }
}

/// Reads the record that a key names.
pub(super) fn decode_record(key: &RecordKey, relative: &str, bytes: &[u8]) -> Result<Record, Problem> {
    fn read<T: Stored>(relative: &str, bytes: &[u8], id: Option<&str>) -> Result<Record, Problem> {
        decode_named::<T>(relative, bytes, id).map(Stored::record)
    }
    match key {
        RecordKey::Garage => read::<GarageInfo>(relative, bytes, None),
        RecordKey::Machine(id) => read::<Machine>(relative, bytes, Some(&id.0)),
        RecordKey::Inspection(_, id) => read::<Inspection>(relative, bytes, Some(&id.0)),
        RecordKey::Event(_, id) => read::<Event>(relative, bytes, Some(&id.0)),
        RecordKey::Own(_) => read::<OwnKinds>(relative, bytes, None),
        RecordKey::Exercise(id) => read::<Exercise>(relative, bytes, Some(&id.0)),
        RecordKey::Key(id) => read::<Key>(relative, bytes, Some(&id.0)),
        RecordKey::Sheet(_, id) => read::<Sheet>(relative, bytes, Some(&id.0)),
    }
}

/// Names for copies beside a file: `….set-aside-1`, `-2`, and so on.
fn aside_names(path: &Path) -> impl Iterator<Item = PathBuf> {
    let name = path.file_name().map(|n| n.to_string_lossy().into_owned()).unwrap_or_default();
    let path = path.to_path_buf();
    (1..10_000).map(move |n| path.with_file_name(format!("{name}.set-aside-{n}")))
}

fn no_name_left(path: &Path) -> StoreError {
    StoreError::Io {
        doing: "keep a copy beside",
        path: path.to_path_buf(),
        reason: "there are ten thousand copies already".into(),
    }
}

fn copy_aside(on: &dyn Medium, path: &Path, bytes: &[u8]) -> Result<PathBuf, StoreError> {
    for copy in aside_names(path) {
        if atomic::write_new(on, &copy, bytes)? {
            return Ok(copy);
        }
    }
    Err(no_name_left(path))
}

fn move_aside(on: &dyn Medium, path: &Path) -> Result<PathBuf, StoreError> {
    let free = aside_names(path).find(|p| fs::symlink_metadata(p).is_err()).ok_or_else(|| no_name_left(path))?;
    on.rename(path, &free).map_err(|e| StoreError::from_io("set the file aside", path, &e))?;
    Ok(free)
}

fn remove(on: &dyn Medium, root: &Root, path: &Path, change: &Change) -> Result<(), StoreError> {
    let fail = |e: &std::io::Error| StoreError::from_io("remove the file", path, e);
    match on.remove_file(path) {
        Ok(()) => {}
        Err(e) if e.kind() == std::io::ErrorKind::NotFound => {}
        Err(e) => return Err(fail(&e)),
    }
    if let Some(folder) = path.parent().filter(|f| f.is_dir()) {
        on.sync_folder(folder).map_err(|e| fail(&e))?;
    }
    if let RecordKey::Machine(id) = &change.key {
        let folder = layout::machine_folder(&id.0)?;
        for empty in ["/inspections", "/events", "/photos", ""] {
            let folder = root.at(&format!("{folder}{empty}"));
            // A folder that is not empty stays with what is in it; one that is not there is no loss.
            match on.remove_folder(&folder) {
                Ok(()) => {}
                Err(e) => log::debug!("{} stays: {e}", folder.display()),
            }
        }
    }
    Ok(())
}
