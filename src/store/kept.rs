//! Answers kept from one run to the next, each under the seal of everything that it follows from: the program, the question
//! with its day, and every byte of the garage that it was worked out from. Whatever changes, the seal is another one, and
//! the answer is worked out anew; so a kept answer is never an old one. Must not know what is asked.

use std::collections::BTreeMap;
use std::fs::{self, Metadata};
use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};

use serde::Serialize;
use serde::de::DeserializeOwned;
use sha2::{Digest as _, Sha256};

use super::held::{Held, Seal, feed};
use super::layout::{self, MACHINES};
use super::open::{Common, Opened, Part, Reader, garage_root, read_with};
use super::{Medium, StoreError, atomic, lock::FolderLock};
use crate::catalogue::Catalogue;
use crate::garage::{Bay, GarageInfo};
use crate::guard::limits::KEPT_BYTES;

/// A garage of fewer machines is worked out each time: that takes no longer than anybody notices.
const MANY: usize = 50;
/// Answers of so many garages are kept; those asked about longest ago give way.
const GARAGES: usize = 8;
/// How the names of files with answers begin.
const ANSWERS: &str = "answers-";

/// What is asked of each machine, and where the answers are kept.
#[derive(Clone, Debug)]
pub struct Question {
    /// The question in words, with everything that the answer depends on beside the garage, such as the day.
    pub words: String,
    /// The folder for answers of any garage.
    pub kept_in: PathBuf,
}

/// As [`super::read_each`], but where a machine's files are those of an earlier run, byte for byte, the answer of that run
/// is given. Answers that cannot be kept or read back are worked out anew the next time. Same errors as
/// [`super::open`].
pub(super) fn read_each_kept<T: Send + Serialize + DeserializeOwned>(
    on: &dyn Medium,
    folder: &Path,
    question: &Question,
    work: impl Fn(Bay, &Catalogue, &GarageInfo) -> T + Sync,
) -> Result<(Opened, Vec<T>), StoreError> {
    let root = garage_root(folder)?;
    let machines = layout::entries(&root.inside(MACHINES)?)?.len();
    let Some(program) = program().filter(|_| machines >= MANY) else {
        return super::read_each(folder, work);
    };
    let file = question.kept_in.join(file_name(root.path()));
    let old = Answers::read(&file);
    let new = Mutex::new(Answers::default());
    let machine = |reader: &mut Reader<'_>, id: &str, common: &Common| -> Result<Option<T>, StoreError> {
        let bay = |reader: &mut Reader<'_>| {
            Ok(reader.bay(id, Part::Everything)?.map(|bay| work(bay, &common.catalogue, &common.info)))
        };
        let Some(garage) = common.seal else { return bay(reader) };
        let of = sealed(&program, &question.words, &garage);
        let Some((held, seal)) = Held::of(&root, &format!("{MACHINES}/{id}"), &of) else { return bay(reader) };
        let keep = |line: String| {
            let mut new = new.lock().unwrap_or_else(PoisonError::into_inner);
            new.0.insert(id.to_owned(), (seal, line));
        };
        if let Some(line) = old.of(id, &seal)
            && let Ok(answer) = serde_json::from_str(line)
        {
            keep(line.to_owned());
            return Ok(Some(answer));
        }
        reader.held = Some(held);
        let answer = bay(reader)?;
        if let Some(answer) = &answer
            && reader.is_spotless()
            && let Ok(line) = serde_json::to_string(answer)
        {
            keep(line);
        }
        Ok(answer)
    };
    let read = read_with(&root, FolderLock::reading_only(), None, machine)?;
    let new = new.into_inner().unwrap_or_else(PoisonError::into_inner);
    if new != old
        && let Err(e) = new.write(on, &file)
    {
        // Nothing is lost: the next run works it out again.
        log::info!("the answers could not be kept: {e}");
    }
    Ok(read)
}

/// The file of a garage's answers.
fn file_name(garage: &Path) -> String {
    let hash = Sha256::digest(garage.as_os_str().as_encoded_bytes());
    format!("{ANSWERS}{}", &hex(&hash.into())[..16])
}

/// What the program is: another build gives other answers. None where the system does not tell.
fn program() -> Option<Vec<u8>> {
    let path = std::env::current_exe().ok()?;
    let about = fs::metadata(&path).ok()?;
    let when = about.modified().ok()?.duration_since(std::time::UNIX_EPOCH).ok()?.as_nanos();
    let words = format!("{} {} {when} {}", path.display(), about.len(), changed(&about));
    Some(words.into_bytes())
}

/// When the system last changed anything about a file; nobody can set it back.
#[cfg(unix)]
fn changed(about: &Metadata) -> String {
    use std::os::unix::fs::MetadataExt as _;
    format!("{} {} {}.{}", about.dev(), about.ino(), about.ctime(), about.ctime_nsec())
}

#[cfg(not(unix))]
fn changed(about: &Metadata) -> String {
    format!("{:?}", about.created())
}

fn sealed(program: &[u8], question: &str, garage: &Seal) -> Seal {
    let mut seal = Sha256::new();
    feed(&mut seal, "program", program);
    feed(&mut seal, "question", question.as_bytes());
    feed(&mut seal, "garage", garage);
    seal.finalize().into()
}

fn hex(seal: &Seal) -> String {
    seal.iter().map(|byte| format!("{byte:02x}")).collect()
}

/// The answers of one garage, by machine: a line each of the machine, the seal and the answer as JSON, between tabs, which
/// no name and no JSON holds.
#[derive(Debug, Default, PartialEq)]
struct Answers(BTreeMap<String, (Seal, String)>);

impl Answers {
    /// Those in a file; none where it is not there. What is no answer is left out.
    fn read(file: &Path) -> Self {
        if !file.exists() {
            return Self::default();
        }
        let bytes = match atomic::read_within(file, KEPT_BYTES.most, "remove it; it is made anew") {
            Ok(bytes) => bytes,
            Err(e) => {
                log::info!("the kept answers could not be read: {e}");
                return Self::default();
            }
        };
        Self(String::from_utf8_lossy(&bytes).lines().filter_map(Self::line).collect())
    }

    fn line(line: &str) -> Option<(String, (Seal, String))> {
        let mut parts = line.splitn(3, '\t');
        let (id, seal, answer) = (parts.next()?, parts.next()?, parts.next()?);
        let mut bytes = Seal::default();
        if seal.len() != 2 * bytes.len() || !seal.is_ascii() {
            return None;
        }
        for (byte, pair) in bytes.iter_mut().zip(seal.as_bytes().chunks(2)) {
            *byte = u8::from_str_radix(std::str::from_utf8(pair).ok()?, 16).ok()?;
        }
        Some((id.to_owned(), (bytes, answer.to_owned())))
    }

    fn of(&self, id: &str, seal: &Seal) -> Option<&str> {
        self.0.get(id).filter(|(kept, _)| kept == seal).map(|(_, line)| line.as_str())
    }

    fn write(&self, on: &dyn Medium, file: &Path) -> Result<(), StoreError> {
        let lines = self.0.iter().map(|(id, (seal, answer))| format!("{id}\t{}\t{answer}\n", hex(seal)));
        atomic::make_folder(on, &atomic::parent(file))?;
        atomic::write_file(on, file, lines.collect::<String>().as_bytes())?;
        make_room(on, &atomic::parent(file))
    }
}

/// Removes the answers of the garages that were asked about longest ago.
fn make_room(on: &dyn Medium, folder: &Path) -> Result<(), StoreError> {
    let names = layout::entries(folder)?.into_iter().map(|entry| entry.name).filter(|name| name.starts_with(ANSWERS));
    let mut all: Vec<_> = names
        .map(|name| folder.join(name))
        .filter_map(|path| Some((fs::metadata(&path).ok()?.modified().ok()?, path)))
        .collect();
    all.sort();
    for (_, path) in all.iter().rev().skip(GARAGES) {
        on.remove_file(path).map_err(|e| StoreError::from_io("remove the old answers", path, &e))?;
    }
    Ok(())
}
