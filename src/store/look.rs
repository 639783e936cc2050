//! Reading again what may have changed on disk while a garage is open. Must not know what the window holds.

use std::collections::BTreeSet;
use std::path::Path;

use super::layout::{self, EXERCISES, GARAGE, KINDS, MACHINES, Root};
use super::open::{additions, read_bytes};
use super::problem::Problem;
use super::save::decode_record;
use super::watch::Touched;
use super::{StoreError, layout::Entry};
use crate::catalogue::Catalogue;
use crate::edit::{Record, RecordKey};

/// What is on disk now of what may have changed.
#[derive(Debug, Default)]
pub struct Look {
    /// Each record that was looked at: as it is, none where it is not there, or why it cannot be read.
    pub records: Vec<(RecordKey, Result<Option<Record>, Problem>)>,
    /// Folders that were looked at whole: a record below one of them that is not among the records is not there.
    pub folders: BTreeSet<String>,
    /// The catalogue with what the garage adds now, and what of it could not be read.
    pub catalogue: Option<Box<(Catalogue, Vec<Problem>)>>,
}

impl Look {
    /// Whether a record's file would have been seen, had it been there.
    pub fn covers(&self, key: &RecordKey) -> bool {
        let Ok(path) = layout::record_path(key) else { return false };
        self.folders.iter().any(|folder| {
            folder.is_empty() || path.strip_prefix(folder.as_str()).is_some_and(|rest| rest.starts_with('/'))
        })
    }
}

/// Looks at what may have changed. Errors: the garage's folder is not there any more, or cannot be listed.
pub fn look(folder: &Path, touched: &Touched) -> Result<Look, StoreError> {
    let root = Root::new(folder)?;
    if !root.at(GARAGE).is_file() && touched.folders.contains("") {
        return Err(StoreError::NotAGarage {
            folder: folder.to_path_buf(),
            found: layout::listing_words(&layout::entries(root.path())?),
        });
    }
    let mut look = Look { folders: touched.folders.clone(), ..Look::default() };
    let mut files = touched.files.clone();
    for below in &touched.folders {
        if below.is_empty() {
            files.insert(GARAGE.to_owned());
            records_below(&root, MACHINES, &mut files)?;
            records_below(&root, EXERCISES, &mut files)?;
        } else {
            records_below(&root, below, &mut files)?;
        }
    }
    for relative in files {
        if let Some(key) = layout::key_of(&relative) {
            let found = record(&root, &key, &relative);
            look.records.push((key, found));
        }
    }
    if touched.additions {
        let ((catalogue, own), problems) = additions(&root)?;
        look.records
            .extend(own.into_iter().map(|(name, own)| (RecordKey::Own(name), Ok(Some(Record::Own(Box::new(own)))))));
        look.folders.insert(KINDS.to_owned());
        look.catalogue = Some(Box::new((catalogue, problems)));
    }
    Ok(look)
}

fn record(root: &Root, key: &RecordKey, relative: &str) -> Result<Option<Record>, Problem> {
    if std::fs::symlink_metadata(root.at(relative)).is_err() {
        return Ok(None);
    }
    decode_record(key, relative, &read_bytes(root, relative)?).map(Some)
}

/// The paths of all records below a folder. A link that leads out is not followed.
fn records_below(root: &Root, folder: &str, into: &mut BTreeSet<String>) -> Result<(), StoreError> {
    let Ok(path) = root.inside(folder) else { return Ok(()) };
    if !path.is_dir() {
        return Ok(());
    }
    for Entry { name, is_folder } in layout::entries(&path)? {
        let relative = format!("{folder}/{name}");
        // Deeper than a record lies, and among photos, there is none.
        if is_folder && !name.starts_with('.') && name != "photos" && relative.matches('/').count() < 3 {
            records_below(root, &relative, into)?;
        } else if !is_folder && layout::key_of(&relative).is_some() {
            into.insert(relative);
        }
    }
    Ok(())
}
