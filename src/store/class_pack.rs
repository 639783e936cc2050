//! The students' pack and the sheets that come back, as files: a garage as one zip file or a folder, and a sheet as one
//! file. What comes from a stranger can name no place outside the pack and is read within stated limits.

use std::collections::BTreeSet;
use std::io::{Cursor, Read, Write};
use std::path::Path;

use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, ZipArchive, ZipWriter};

use super::codec::{self, FILE_CAP};
use super::create::{take_back, texts_of};
use super::layout::{self, EXERCISES, GARAGE, KINDS, MACHINES, REGIONS, Root};
use super::open::decode_named;
use super::problem::Problem;
use super::{Medium, StoreError, atomic, is_garage};
use crate::exercise::{Exercise, Sheet};
use crate::garage::{Garage, GarageInfo};
use crate::guard;
use crate::guard::limits::{MESSAGE, PACK_BYTES, PACK_FILES, PACK_UNPACKED};
use crate::machine::Machine;

/// Greatest size of a pack as it is on disk, in bytes.
const PACK_CAP: u64 = PACK_BYTES.most;
/// Greatest size of all its files together once they are unpacked, in bytes.
const UNPACKED_CAP: u64 = PACK_UNPACKED.most;
/// Most files in a pack.
const MOST_FILES: usize = PACK_FILES.size();

/// Most that is said of a record that cannot be read, in characters: the names around it are said too.
const MOST_SAID: usize = MESSAGE.size() / 4;

/// Writes a garage as one zip file, with the kinds and regions that the folder `from` adds to the catalogue. The same
/// garage gives the same bytes. Errors: a record that must not be stored, the disk.
pub(super) fn write_pack(on: &dyn Medium, to: &Path, garage: &Garage, from: &Path) -> Result<(), StoreError> {
    let mut files: Vec<(String, Vec<u8>)> =
        texts_of(garage)?.into_iter().map(|(path, text)| (path, text.into_bytes())).collect();
    let root = Root::new(from)?;
    for folder in [KINDS, REGIONS] {
        for entry in layout::entries(&root.inside(folder)?)?.into_iter().filter(|e| !e.is_folder) {
            if !entry.name.starts_with('.') && entry.name.ends_with(".ron") {
                let path = format!("{folder}/{}", layout::name("a file name", &entry.name)?);
                let bytes = atomic::read_file(&root.inside(&path)?)?;
                files.push((path, bytes));
            }
        }
    }
    files.sort();
    // The time is left at the format's own beginning, so that the bytes tell nothing of when the key was made.
    let options = SimpleFileOptions::default()
        .compression_method(CompressionMethod::Deflated)
        .last_modified_time(zip::DateTime::default());
    let mut writer = ZipWriter::new(Cursor::new(Vec::new()));
    let fail = |e: &dyn std::fmt::Display| StoreError::Io {
        doing: "write the pack",
        path: to.to_path_buf(),
        reason: e.to_string(),
    };
    for (path, bytes) in files {
        writer.start_file(path, options).map_err(|e| fail(&e))?;
        writer.write_all(&bytes).map_err(|e| fail(&e))?;
    }
    let bytes = writer.finish().map_err(|e| fail(&e))?.into_inner();
    atomic::write_file(on, to, &bytes)
}

/// Unpacks a students' pack into a new or empty folder. Nothing is written unless the whole of it is as it should be.
/// Errors: no zip file, a name that leads elsewhere or is no part of a pack, more than the limits, a record that cannot be
/// read, no exercise, a folder that holds anything.
pub(super) fn unpack(on: &dyn Medium, pack: &Path, to: &Path) -> Result<(), StoreError> {
    let way_out = "ask for the pack again";
    let bytes = atomic::read_within(pack, PACK_CAP, way_out)?;
    let broken = |reason: String| StoreError::Pack { path: pack.to_path_buf(), reason };
    let mut archive =
        ZipArchive::new(Cursor::new(bytes)).map_err(|e| broken(format!("expected a zip file, found none ({e})")))?;
    if archive.len() > MOST_FILES {
        return Err(broken(format!("expected at most {MOST_FILES} files, found {}", archive.len())));
    }
    let mut files = Vec::new();
    let mut names = BTreeSet::new();
    let mut left = UNPACKED_CAP;
    for index in 0..archive.len() {
        let file =
            archive.by_index(index).map_err(|e| broken(format!("expected files that can be read, found {e}")))?;
        if file.is_dir() {
            continue;
        }
        let name = file.name().to_owned();
        if !is_part(&name) || file.is_symlink() {
            return Err(broken(format!(
                "expected the records of a garage only, found \"{}\"",
                guard::line(&name.chars().take(80).collect::<String>())
            )));
        }
        // Some systems take large and small letters for the same name, and one file would silently replace another.
        if !names.insert(name.to_lowercase()) {
            return Err(broken(format!("expected each file once, found \"{name}\" twice")));
        }
        // What the archive says of sizes is not believed: it is read and counted.
        let cap = left.min(FILE_CAP);
        let is_last_room = left < FILE_CAP;
        let mut bytes = Vec::new();
        file.take(cap + 1)
            .read_to_end(&mut bytes)
            .map_err(|e| broken(format!("expected \"{name}\" whole, found {e}")))?;
        if bytes.len() as u64 > cap {
            return Err(broken(if is_last_room {
                format!("expected files of at most {UNPACKED_CAP} bytes together, found more with \"{name}\"")
            } else {
                format!("expected files of at most {FILE_CAP} bytes, found that \"{name}\" is larger")
            }));
        }
        left -= bytes.len() as u64;
        files.push((name, bytes));
    }
    if !files.iter().any(|(name, _)| name == GARAGE) {
        return Err(broken(format!("expected a garage with its {GARAGE}, found none")));
    }
    if let Some(problem) = files.iter().find_map(|(name, bytes)| unreadable(name, bytes)) {
        // The reason may quote the record; its beginning says what is wrong.
        let problem: String = problem.to_string().chars().take(MOST_SAID).collect();
        return Err(broken(format!("expected records that can be read, found {}", problem.trim_end())));
    }
    if !files.iter().any(|(name, _)| name.starts_with(EXERCISES)) {
        return Err(broken("expected an exercise, found none".into()));
    }
    for (name, bytes) in files.iter().filter(|(name, _)| name.ends_with("/exercise.ron")) {
        if let Ok(exercise) = codec::decode::<Exercise>(name, bytes)
            && let Some(why) = exercise.wrong_limit()
        {
            return Err(broken(format!("{why}; it stands in {name}")));
        }
    }
    if is_garage(to) || to.is_file() || layout::entries(to)?.iter().any(|e| !e.name.starts_with('.')) {
        return Err(StoreError::NotEmpty { folder: to.to_path_buf(), found: "a garage or other files".into() });
    }
    // The file that makes the folder a garage comes last.
    files.sort_by_key(|(name, _)| (name == GARAGE, name.clone()));
    let was_there = to.is_dir();
    write_parts(on, to, &files).inspect_err(|_| take_back(on, to, was_there))
}

fn write_parts(on: &dyn Medium, to: &Path, files: &[(String, Vec<u8>)]) -> Result<(), StoreError> {
    atomic::make_folder(on, to)?;
    let root = Root::new(to)?;
    for (name, bytes) in files {
        let path = root.inside(name)?;
        atomic::make_folder(on, &atomic::parent(&path))?;
        atomic::write_file(on, &path, bytes)?;
    }
    Ok(())
}

/// What is wrong with a record of a pack. Kinds and regions are left to the opening, which goes on without them.
fn unreadable(path: &str, bytes: &[u8]) -> Option<Problem> {
    match path.split('/').collect::<Vec<_>>()[..] {
        [GARAGE] => decode_named::<GarageInfo>(path, bytes, None).err(),
        [MACHINES, id, _] => decode_named::<Machine>(path, bytes, Some(id)).err(),
        [EXERCISES, id, _] => decode_named::<Exercise>(path, bytes, Some(id)).err(),
        _ => None,
    }
}

/// Whether a zip file is a students' pack by the names in it, so that a newer one may take its place.
pub(super) fn holds_pack(path: &Path) -> bool {
    let names = |bytes| -> Result<Vec<String>, zip::result::ZipError> {
        let mut archive = ZipArchive::new(Cursor::new(bytes))?;
        (0..archive.len()).map(|at| archive.by_index_raw(at).map(|file| file.name().to_owned())).collect()
    };
    let held = atomic::read_within(path, PACK_CAP, "").map_err(|e| e.to_string());
    match held.and_then(|bytes| names(bytes).map_err(|e| e.to_string())) {
        Ok(names) => names.iter().any(|n| n == GARAGE) && names.iter().all(|n| n.ends_with('/') || is_part(n)),
        Err(why) => {
            log::info!("{} is no students' pack: {why}", path.display());
            false
        }
    }
}

/// Whether a path is one that a pack holds: a record of the exercise or its machine, a kind, a region.
fn is_part(path: &str) -> bool {
    let safe = |part: &str| layout::name("a name", part).is_ok();
    match path.split('/').collect::<Vec<_>>()[..] {
        [GARAGE] => true,
        [KINDS | REGIONS, file] => safe(file) && file.ends_with(".ron"),
        [MACHINES, id, "machine.ron"] | [EXERCISES, id, "exercise.ron"] => safe(id),
        _ => false,
    }
}

/// Writes a sheet as the one file that a student sends back. Errors: a record that must not be stored, the disk.
pub(super) fn write_sheet(on: &dyn Medium, to: &Path, sheet: &Sheet) -> Result<(), StoreError> {
    let text = codec::encode(sheet).map_err(StoreError::Unsound)?;
    atomic::write_file(on, to, text.as_bytes())
}

/// Reads a sheet that was sent. The file may have any name. Errors: too large, no text, no sheet: with line and column.
pub fn read_sheet(path: &Path) -> Result<Sheet, StoreError> {
    let bytes = atomic::read_within(path, FILE_CAP, "no sheet is so large; ask for it again")?;
    let shown = path.display().to_string();
    let sheet: Sheet = codec::decode(&shown, &bytes).map_err(|problem| StoreError::Sheet(Box::new(problem)))?;
    // The id becomes the name of a file in the garage.
    layout::name("a sheet id", &sheet.id.0)?;
    decode_named::<Sheet>(&shown, &bytes, Some(&sheet.id.0)).map_err(|problem| StoreError::Sheet(Box::new(problem)))
}
