//! Opening a garage: everything that can be read is; what cannot is named and left as it is. Must not write records.

use std::collections::BTreeMap;
use std::path::Path;

use sha2::{Digest as _, Sha256};

use super::codec::{self, FILE_CAP};
use super::each::each;
use super::held::{Held, Seal, feed};
use super::hints;
use super::layout::{self, EXERCISES, Entry, GARAGE, KINDS, MACHINES, REGIONS, Root, TEMPORARY};
use super::lock::FolderLock;
use super::problem::Problem;
use super::stored::Stored;
use super::{Medium, StoreError, atomic};
use crate::catalogue::{Catalogue, CatalogueError, OwnKinds};
use crate::exercise::{Exercise, Key, Sheet};
use crate::garage::{Bay, Course, Garage, GarageInfo};
use crate::guard;
use crate::inspection::{Event, Inspection};
use crate::machine::{Machine, MachineId};
use crate::rules::RULES;

/// A garage that was opened.
#[derive(Debug)]
pub struct Opened {
    /// Everything that could be read.
    pub garage: Garage,
    /// The built-in catalogue with the garage's own kinds and regions.
    pub catalogue: Catalogue,
    /// What could not be read. These files are left as they are.
    pub unreadable: Vec<Problem>,
    /// Copies that were kept beside a record when it was saved, for a person to compare.
    pub set_aside: Vec<String>,
    /// Holds the garage for writing, or says why it is open for reading only.
    pub lock: FolderLock,
    /// Whether the machines came without their inspections and events, because there are very many: read each machine's
    /// with [`read_machine`]. Until then its bay says that they are unread.
    pub is_light: bool,
}

/// Up to this many inspections and events a garage is read whole; a larger one is opened by its machines.
const WHOLE: usize = 2_000;

/// Opens a garage to work in it. One with very many records comes with its machines only, see [`Opened::is_light`]. Errors: the folder is not there or is no garage. A damaged file is no error: it is
/// among [`Opened::unreadable`] and the rest opens.
pub(super) fn open(on: &dyn Medium, folder: &Path) -> Result<Opened, StoreError> {
    let root = garage_root(folder)?;
    let lock = FolderLock::take(on, &root)?;
    let sweep = lock.read_only_because.is_none().then_some(on);
    let part = if has_more_records_than(&root, WHOLE)? { Part::Machines } else { Part::Everything };
    read_part(&root, lock, sweep, part)
}

/// Reads a garage without holding it: for reports and checks while a window may be open. Same errors as [`open`].
pub fn read(folder: &Path) -> Result<Opened, StoreError> {
    read_part(&garage_root(folder)?, FolderLock::reading_only(), None, Part::Everything)
}

/// A machine with all its records, as [`read`] gives it, and the problems with them; no bay where the machine itself
/// cannot be read. Errors: the folder is no garage, or cannot be listed.
pub fn read_machine(folder: &Path, id: &MachineId) -> Result<(Option<Bay>, Vec<Problem>), StoreError> {
    let root = garage_root(folder)?;
    let mut reader = Reader::new(&root, None);
    let bay = reader.bay(&id.0, Part::Everything)?;
    Ok((bay, reader.unreadable))
}

/// How much is read of each machine.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Part {
    /// The machine alone.
    Machines,
    /// Its inspections and events too.
    Everything,
}

/// Whether a garage has more inspections and events than so many; it looks no further than it must.
fn has_more_records_than(root: &Root, most: usize) -> Result<bool, StoreError> {
    let mut count = 0;
    for machine in layout::entries(&root.inside(MACHINES)?)?.iter().filter(|e| e.is_folder) {
        for part in ["inspections", "events"] {
            // What leads out of the garage is told of when it is read.
            if let Ok(folder) = root.inside(&format!("{MACHINES}/{}/{part}", machine.name)) {
                count += layout::entries(&folder)?.len();
            }
        }
        if count > most {
            return Ok(true);
        }
    }
    Ok(false)
}

/// The root of a folder that is a garage.
pub(super) fn garage_root(folder: &Path) -> Result<Root, StoreError> {
    let root = Root::new(folder)?;
    if root.at(GARAGE).is_file() {
        return Ok(root);
    }
    // Two likely slips: the folder above the garage, or one inside it.
    let entries = layout::entries(root.path())?;
    let below = entries.iter().find(|e| e.is_folder && root.at(&e.name).join(GARAGE).is_file());
    let above = root.path().ancestors().skip(1).find(|a| a.join(GARAGE).is_file());
    let found = match (below, above) {
        (Some(entry), _) => format!("a garage in the folder {} below it", entry.name),
        (None, Some(above)) => format!("a part of the garage {}", above.display()),
        (None, None) => layout::listing_words(&entries),
    };
    Err(StoreError::NotAGarage { folder: folder.to_path_buf(), found })
}

/// Reads a garage without holding it, machine by machine on all processors, and does `work` on each as soon as it is
/// read, so that no more machines than processors are in memory at once. The garage it gives has no machines; what came of
/// them stands in their order. Same errors as [`open`].
pub fn read_each<T: Send>(
    folder: &Path,
    work: impl Fn(Bay, &Catalogue, &GarageInfo) -> T + Sync,
) -> Result<(Opened, Vec<T>), StoreError> {
    read_with(&garage_root(folder)?, FolderLock::reading_only(), None, |reader, id, common| {
        Ok(reader.bay(id, Part::Everything)?.map(|bay| work(bay, &common.catalogue, &common.info)))
    })
}

/// What the answers on all machines of a garage follow from beside their own records.
pub(super) struct Common {
    /// The built-in catalogue with the garage's own kinds and regions.
    pub catalogue: Catalogue,
    /// The garage's name and units.
    pub info: GarageInfo,
    /// The seal of the files that these were read from; none where anything was wrong with them.
    pub seal: Option<Seal>,
}

fn read_part(root: &Root, lock: FolderLock, sweep: Option<&dyn Medium>, part: Part) -> Result<Opened, StoreError> {
    let (mut opened, bays) = read_with(root, lock, sweep, |reader, id, _| reader.bay(id, part))?;
    opened.garage.bays = bays;
    opened.is_light = part == Part::Machines;
    Ok(opened)
}

/// Reads a garage; `machine` says what to make of each machine, by its id.
pub(super) fn read_with<T: Send>(
    root: &Root,
    lock: FolderLock,
    sweep: Option<&dyn Medium>,
    machine: impl Fn(&mut Reader<'_>, &str, &Common) -> Result<Option<T>, StoreError> + Sync,
) -> Result<(Opened, Vec<T>), StoreError> {
    let mut reader = Reader::new(root, sweep);
    reader.sealing = Some(Sha256::new());
    reader.folder("")?;
    let info = reader.record::<GarageInfo>(GARAGE, None).unwrap_or_else(|| GarageInfo {
        name: root.path().file_name().map_or_else(|| "Garage".into(), |n| n.to_string_lossy().into_owned()),
        ..GarageInfo::default()
    });
    let (catalogue, own) = reader.additions()?;
    let seal = reader.sealing.take().filter(|_| reader.unreadable.is_empty()).map(|seal| seal.finalize().into());
    let common = Common { catalogue, info, seal };
    // In the order of their names, which are the ids of the machines.
    let folders = reader.folder(MACHINES)?;
    let folders: Vec<&Entry> = folders.iter().filter(|e| e.is_folder && !e.name.starts_with('.')).collect();
    let read = each(&folders, |entry| {
        let mut reader = Reader::new(root, sweep);
        (machine(&mut reader, &entry.name, &common), reader.unreadable, reader.set_aside)
    });
    let mut done = Vec::new();
    for (answer, unreadable, set_aside) in read {
        done.extend(answer?);
        reader.unreadable.extend(unreadable);
        reader.set_aside.extend(set_aside);
    }
    let Common { catalogue, info, .. } = common;
    let mut garage = Garage { info, own, ..Garage::default() };
    for entry in reader.folder(EXERCISES)?.iter().filter(|e| e.is_folder && !e.name.starts_with('.')) {
        garage.courses.extend(reader.course(&entry.name)?);
    }
    garage.courses.sort_by(|a, b| a.exercise.id.cmp(&b.exercise.id));
    let Reader { unreadable, set_aside, .. } = reader;
    Ok((Opened { garage, catalogue, unreadable, set_aside, lock, is_light: false }, done))
}

/// The catalogue with what a garage adds, and the kinds that it took, by the names of their files.
type Additions = (Catalogue, BTreeMap<String, OwnKinds>);

/// The catalogue with what a garage adds now, the kinds that it took, and what could not be read.
pub(super) fn additions(root: &Root) -> Result<(Additions, Vec<Problem>), StoreError> {
    let mut reader = Reader::new(root, None);
    let additions = reader.additions()?;
    Ok((additions, reader.unreadable))
}

fn is_record(entry: &Entry) -> bool {
    !entry.is_folder && !entry.name.starts_with('.') && entry.name.ends_with(".ron")
}

pub(super) struct Reader<'a> {
    root: &'a Root,
    /// Where half-written files may be removed.
    sweep: Option<&'a dyn Medium>,
    unreadable: Vec<Problem>,
    set_aside: Vec<String>,
    /// Takes in every byte that is read, where a seal of it is wanted.
    sealing: Option<Sha256>,
    /// The files that were read and sealed before.
    pub(super) held: Option<Held>,
}

impl<'a> Reader<'a> {
    fn new(root: &'a Root, sweep: Option<&'a dyn Medium>) -> Self {
        Self { root, sweep, unreadable: Vec::new(), set_aside: Vec::new(), sealing: None, held: None }
    }

    /// The entries of a folder of the garage; a link out of it is reported and not followed.
    fn folder(&mut self, relative: &str) -> Result<Vec<Entry>, StoreError> {
        let path = match self.root.inside(relative) {
            Ok(path) => path,
            Err(e) => {
                self.unreadable.push(Problem::whole(relative, e.to_string()));
                return Ok(Vec::new());
            }
        };
        self.clear(relative);
        let entries = layout::entries(&path)?;
        for entry in entries.iter().filter(|e| !e.is_folder && e.name.contains(".set-aside-")) {
            let name = guard::line(&entry.name);
            let path = if relative.is_empty() { name.into_owned() } else { format!("{relative}/{name}") };
            self.set_aside.push(path);
        }
        Ok(entries)
    }

    /// The built-in catalogue with the garage's own kinds and regions, and the kinds that it took.
    fn additions(&mut self) -> Result<Additions, StoreError> {
        let mut catalogue = Catalogue::builtin().clone();
        for (path, text) in self.texts(REGIONS)? {
            let mut with = catalogue.clone();
            match with.add_region(&path, &text) {
                Err(error) => self.told(Some(error), &[(path, text)]),
                Ok(()) => match unknown_rule(&with) {
                    // A law for a rule that is not there would bind nobody, and nobody would notice.
                    Some(rule) => self.unreadable.push(Problem::near(
                        &path,
                        &text,
                        &format!("\"{rule}\""),
                        format!(
                            "expected the id of a rule ({}), found \"{rule}\": correct it, or leave this law out",
                            RULES.iter().map(|r| r.id()).collect::<Vec<_>>().join(", ")
                        ),
                    )),
                    None => catalogue = with,
                },
            }
        }
        let kinds = self.texts(KINDS)?;
        for error in catalogue.add_kinds(&kinds) {
            self.told(Some(error), &kinds);
        }
        let mut owned = BTreeMap::new();
        for (path, text) in &kinds {
            // What the catalogue did not take is told above and stays as it is; nothing here may write over it.
            let name = path.trim_start_matches(KINDS).trim_start_matches('/').trim_end_matches(".ron");
            if self.unreadable.iter().all(|problem| problem.path != *path)
                && let Ok(own) = codec::decode::<OwnKinds>(path, text.as_bytes())
            {
                owned.insert(name.to_owned(), own);
            }
        }
        Ok((catalogue, owned))
    }

    /// Removes half-written files of a folder. A left-over is untidy and no harm: opening goes on.
    fn clear(&self, relative: &str) {
        if let Some(on) = self.sweep
            && let Err(e) = self.root.inside(relative).and_then(|path| atomic::sweep(on, &path))
        {
            log::warn!("{e}");
        }
    }

    /// Whether nothing was wrong with what was read, and all of it was sealed.
    pub(super) fn is_spotless(&self) -> bool {
        self.unreadable.is_empty() && self.set_aside.is_empty() && self.held.as_ref().is_some_and(Held::is_spent)
    }

    fn bytes(&mut self, relative: &str) -> Option<Vec<u8>> {
        if let Some(bytes) = self.held.as_mut().and_then(|held| held.take(relative)) {
            return Some(bytes);
        }
        match read_bytes(self.root, relative) {
            Ok(bytes) => {
                if let Some(seal) = &mut self.sealing {
                    feed(seal, relative, &bytes);
                }
                Some(bytes)
            }
            Err(problem) => {
                self.unreadable.push(problem);
                None
            }
        }
    }

    /// Reads a record whose id must be `id`.
    fn record<T: Stored>(&mut self, relative: &str, id: Option<&str>) -> Option<T> {
        let bytes = self.bytes(relative)?;
        match decode_named::<T>(relative, &bytes, id) {
            Ok(record) => Some(record),
            Err(problem) => {
                self.unreadable.push(problem);
                None
            }
        }
    }

    /// A machine with its records. None, and the reason among what is unreadable, where it cannot be read.
    pub(super) fn bay(&mut self, id: &str, part: Part) -> Result<Option<Bay>, StoreError> {
        let folder = format!("{MACHINES}/{id}");
        if let Err(e) = layout::name("a machine id", id) {
            self.unreadable.push(Problem::whole(folder, e.to_string()));
            return Ok(None);
        }
        // A machine that another window is just adding is there once its file has its name.
        if self.folder(&folder)?.iter().all(|e| e.name.starts_with(TEMPORARY)) {
            return Ok(None);
        }
        let path = format!("{folder}/machine.ron");
        if !self.root.at(&path).exists() {
            self.unreadable.push(Problem::whole(
                path,
                "expected the machine of this folder, found none: restore machine.ron from a backup, or remove the folder; what is in it is left as it is",
            ));
            return Ok(None);
        }
        let Some(machine) = self.record::<Machine>(&path, Some(id)) else { return Ok(None) };
        let mut bay = Bay::new(machine);
        if part == Part::Machines {
            bay.unread.push(format!("{folder}/inspections"));
            return Ok(Some(bay));
        }
        // Photos are not read here, and what a kill left among them is cleared away all the same.
        self.clear(&format!("{folder}/photos"));
        let before = self.unreadable.len();
        bay.inspections = self.records::<Inspection>(&format!("{folder}/inspections"), "an inspection id")?;
        bay.events = self.records::<Event>(&format!("{folder}/events"), "an event id")?;
        bay.unread = self.unreadable[before..].iter().map(|p| p.path.clone()).collect();
        if let Some(message) = bay.too_many() {
            self.unreadable.push(Problem::whole(folder, message));
            return Ok(None);
        }
        bay.sort();
        Ok(Some(bay))
    }

    /// An exercise with its key and what was handed in; a broken sheet among thirty is named, the rest is read.
    fn course(&mut self, id: &str) -> Result<Option<Course>, StoreError> {
        let folder = format!("{EXERCISES}/{id}");
        if let Err(e) = layout::name("an exercise id", id) {
            self.unreadable.push(Problem::whole(folder, e.to_string()));
            return Ok(None);
        }
        if self.folder(&folder)?.is_empty() {
            return Ok(None);
        }
        let path = format!("{folder}/exercise.ron");
        if !self.root.at(&path).exists() {
            self.unreadable.push(Problem::whole(
                path,
                "expected the exercise of this folder, found none: restore exercise.ron from a backup, or remove the folder; what is in it is left as it is",
            ));
            return Ok(None);
        }
        let Some(exercise) = self.record::<Exercise>(&path, Some(id)) else { return Ok(None) };
        let mut course = Course::new(exercise);
        let key = format!("{folder}/key.ron");
        if self.root.at(&key).exists() {
            course.key = self.record::<Key>(&key, Some(id));
        }
        course.sheets = self.records::<Sheet>(&format!("{folder}/sheets"), "a sheet id")?;
        Ok(Some(course))
    }

    fn records<T: Stored>(&mut self, folder: &str, what: &'static str) -> Result<Vec<T>, StoreError> {
        let mut records = Vec::new();
        for entry in self.folder(folder)?.iter().filter(|e| is_record(e)) {
            let path = format!("{folder}/{}", entry.name);
            let id = entry.name.trim_end_matches(".ron");
            if let Err(e) = layout::name(what, id) {
                self.unreadable.push(Problem::whole(path, e.to_string()));
                continue;
            }
            records.extend(self.record::<T>(&path, Some(id)));
        }
        Ok(records)
    }

    /// The path and the text of every record of a folder; those that cannot be read are reported.
    fn texts(&mut self, folder: &str) -> Result<Vec<(String, String)>, StoreError> {
        let mut texts = Vec::new();
        for entry in self.folder(folder)?.iter().filter(|e| is_record(e)) {
            let path = format!("{folder}/{}", entry.name);
            if let Err(e) = layout::name("a file name", &entry.name) {
                self.unreadable.push(Problem::whole(path, e.to_string()));
                continue;
            }
            let Some(bytes) = self.bytes(&path) else { continue };
            match codec::text(&path, &bytes) {
                Ok(text) => texts.push((path, text)),
                Err(problem) => self.unreadable.push(problem),
            }
        }
        Ok(texts)
    }

    /// Reports what is wrong with one of some files of the catalogue.
    fn told(&mut self, error: Option<CatalogueError>, files: &[(String, String)]) {
        let text_of = |file: &str| files.iter().find(|(path, _)| path == file).map_or("", |(_, text)| text.as_str());
        let problem = match error {
            None => return,
            Some(CatalogueError::Syntax { file, error }) => hints::explain(&file, text_of(&file), &error),
            Some(CatalogueError::Read { file, line, column, message }) => {
                let text = text_of(&file);
                let way_out = "mend this line in a text editor, or remove the file";
                Problem::at(file, text, line, column, format!("{message}: {way_out}"))
            }
            Some(CatalogueError::Invariant(message)) => Problem::whole(KINDS, message),
        };
        self.unreadable.push(problem);
    }
}

/// A rule that a region's laws name and that is not there.
fn unknown_rule(catalogue: &Catalogue) -> Option<String> {
    let mut named = catalogue.regions.iter().flat_map(|region| &region.laws);
    named.find(|law| !RULES.iter().any(|rule| rule.id() == law.rule)).map(|law| law.rule.clone())
}

/// The bytes of a file of records.
pub(super) fn read_bytes(root: &Root, relative: &str) -> Result<Vec<u8>, Problem> {
    let way_out = "no record is so large; restore the file from a backup";
    root.inside(relative)
        .and_then(|path| atomic::read_within(&path, FILE_CAP, way_out))
        .and_then(|bytes| root.spend(bytes.len()).map(|()| bytes))
        .map_err(|e| Problem::whole(relative, e.to_string()))
}

/// Reads a record and compares its id with the name it is stored under.
pub(super) fn decode_named<T: Stored>(path: &str, bytes: &[u8], id: Option<&str>) -> Result<T, Problem> {
    let record: T = codec::decode(path, bytes)?;
    if record.id() != id {
        let (found, wanted) = (record.id().unwrap_or("").to_owned(), id.unwrap_or(""));
        let text = String::from_utf8_lossy(bytes);
        return Err(Problem::near(
            path,
            &text,
            &format!("\"{found}\""),
            format!(
                "expected the id \"{wanted}\", as the {} is named, found \"{found}\": rename one of the two",
                if T::WHAT == "machine" { "folder" } else { "file" }
            ),
        ));
    }
    Ok(record)
}
