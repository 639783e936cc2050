//! Every problem of a garage: what cannot be read, and what points nowhere. Must not write.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use chrono::NaiveDate;

use super::layout::{self, GARAGE, MACHINES, Root};
use super::open::{garage_root, read_bytes, read_each, read_machine};
use super::problem::Problem;
use super::{StoreError, codec, crossref, crossref_class, crossref_events, photos};
use crate::catalogue::Catalogue;
use crate::garage::{Bay, Garage};
use crate::machine::MachineId;

/// What was looked at in a garage, and what is wrong with it.
#[derive(Debug)]
pub struct Validated {
    /// The garage's name.
    pub name: String,
    /// How many machines could be read.
    pub machines: usize,
    /// How many records of machines could be read.
    pub records: usize,
    /// The catalogue with what the garage brings of its own.
    pub catalogue: Catalogue,
    /// What is wrong, by file and place; none when all is well.
    pub problems: Vec<Problem>,
    /// What is worth knowing and may be as it should: photos that no record names.
    pub notes: Vec<Problem>,
}

/// Looks for every problem of a garage: files that cannot be read, ids that point nowhere, findings on wheels that the
/// machine lacks, photos that are not there, days to come, an odometer that goes back, copies that were set aside. Holds a
/// few machines in memory at a time. Errors: the folder is not there or is no garage.
pub fn validated(folder: &Path, today: NaiveDate) -> Result<Validated, StoreError> {
    let root = garage_root(folder)?;
    let (mut opened, each) = read_each(folder, |bay, catalogue, _| {
        let mut sheet = Sheet::new(&root);
        machine(&mut sheet, &bay, catalogue, today);
        let lying = (bay.machine.id.clone(), photos::unnamed(&root, &bay));
        (1 + bay.inspections.len() + bay.events.len(), sheet.problems, lying)
    })?;
    let mut sheet = Sheet::new(&root);
    sheet.problems = std::mem::take(&mut opened.unreadable);
    for path in std::mem::take(&mut opened.set_aside) {
        sheet.problems.push(Problem::whole(
            path,
            "expected one file for each record, found a copy that was set aside by a save: compare it with the record, then remove it",
        ));
    }
    crossref::units(&mut sheet, GARAGE, &opened.garage.info);
    // Of the machines only those of an exercise are wanted again.
    for course in &opened.garage.courses {
        let id = &course.exercise.machine;
        if layout::name("a machine id", &id.0).is_ok() && root.at(&format!("{MACHINES}/{id}")).is_dir() {
            opened.garage.bays.extend(read_machine(folder, id)?.0);
        }
    }
    for course in &opened.garage.courses {
        crossref_class::course(&mut sheet, &opened.garage, course, &opened.catalogue);
    }
    let (machines, records) = (each.len(), each.iter().map(|(records, ..)| records).sum());
    let (mut problems, mut notes) = (sheet.problems, Vec::new());
    for (_, found, (machine, lying)) in each {
        problems.extend(found);
        notes.extend(unnamed(&opened.garage, &problems, &machine, lying));
    }
    problems.sort_by(|a, b| (&a.path, a.line, a.column).cmp(&(&b.path, b.line, b.column)));
    Ok(Validated { name: opened.garage.info.name, machines, records, catalogue: opened.catalogue, problems, notes })
}

/// Photos of a machine that no record names, those of its exercises among them. One that was taken out of a finding stays
/// on the disk, so it is no problem; but a merge that took one side whole leaves one behind too. Where a record of the
/// machine cannot be read, nobody knows what it names.
fn unnamed(
    garage: &Garage,
    problems: &[Problem],
    machine: &MachineId,
    lying: Result<Vec<String>, StoreError>,
) -> Vec<Problem> {
    let folder = format!("{MACHINES}/{machine}");
    let names = match lying {
        Ok(names) => names,
        Err(e) => return vec![Problem::whole(format!("{folder}/photos"), e.to_string())],
    };
    let is_unread = |p: &Problem| p.path.starts_with(&format!("{folder}/"));
    if names.is_empty() || problems.iter().any(is_unread) {
        return Vec::new();
    }
    let of_class = garage.courses.iter().flat_map(|c| {
        let sheets = c.sheets.iter().map(|s| &s.inspection);
        c.key.iter().map(|k| &k.inspection).chain(sheets)
    });
    let of_class: BTreeSet<&str> = of_class.flat_map(photos::names_in).collect();
    let note = |name: &String| {
        Problem::whole(
            format!("{folder}/photos/{name}"),
            "expected a record that names this photo, found none: add it again with stemclock photo add, which keeps \
             the same file, or remove it if it is not wanted",
        )
    };
    names.iter().filter(|name| !of_class.contains(name.as_str())).map(note).collect()
}

/// The problems alone. A folder that is no garage is one problem.
pub fn validate(folder: &Path, today: NaiveDate) -> Vec<Problem> {
    match validated(folder, today) {
        Ok(found) => found.problems,
        Err(e) => vec![Problem::whole(folder.display().to_string(), e.to_string())],
    }
}

fn machine(sheet: &mut Sheet<'_>, bay: &Bay, catalogue: &Catalogue, today: NaiveDate) {
    let folder = format!("{MACHINES}/{}", bay.machine.id);
    crossref::machine(sheet, &folder, &bay.machine, catalogue, today);
    for inspection in &bay.inspections {
        crossref::inspection(sheet, &folder, &bay.machine, inspection, catalogue, today);
    }
    crossref_events::events(sheet, &folder, bay, catalogue, today);
    crossref::odometer(sheet, &folder, bay, today);
}

/// Collects problems and finds their place in the text of the file.
pub(super) struct Sheet<'a> {
    root: &'a Root,
    texts: BTreeMap<String, String>,
    problems: Vec<Problem>,
}

impl<'a> Sheet<'a> {
    fn new(root: &'a Root) -> Self {
        Self { root, texts: BTreeMap::new(), problems: Vec::new() }
    }
    /// Notes a problem at the first place where `needle` stands in the file.
    pub(super) fn note(&mut self, path: &str, needle: &str, message: String) {
        let root = self.root;
        let text = self.texts.entry(path.to_owned()).or_insert_with(|| {
            // The file was read a moment ago; if it is gone now the problem is still told, without its line.
            read_bytes(root, path).and_then(|bytes| codec::text(path, &bytes)).unwrap_or_default()
        });
        self.problems.push(Problem::near(path, text, needle, message));
    }
    /// Notes a problem of a file as a whole, once.
    pub(super) fn whole(&mut self, path: &str, message: String) {
        let problem = Problem::whole(path, message);
        if !self.problems.contains(&problem) {
            self.problems.push(problem);
        }
    }
    /// What is wrong with a photo that is there, if anything.
    pub(super) fn wrong_with_photo(&self, machine: &MachineId, photo: &str) -> Option<String> {
        photos::wrong_with(self.root, machine, photo)
    }
    /// Notes that an id points nowhere, unless the record that it names is there and could only not be read: to follow
    /// that advice would spoil a sound file.
    pub(super) fn points_nowhere(&mut self, path: &str, needle: &str, record: &str, message: String) {
        if !self.has(record) {
            self.note(path, needle, message);
        }
    }
    /// Whether a folder of the garage's own entries holds a file that brought nothing, so that what it would bring
    /// is not known.
    pub(super) fn has_unread(&self, folder: &str, catalogue: &Catalogue) -> bool {
        let own = catalogue.own_entries();
        let is_read = |path: &str| own.iter().any(|entry| entry.own.file == path);
        let entries = self.root.inside(folder).and_then(|path| layout::entries(&path)).unwrap_or_default();
        let mut names = entries.iter().filter(|e| !e.is_folder && !e.name.starts_with('.') && e.name.ends_with(".ron"));
        names.any(|entry| !is_read(&format!("{folder}/{}", entry.name)))
    }
    /// Whether a file of the garage is there.
    pub(super) fn has(&self, relative: &str) -> bool {
        self.root.inside(relative).is_ok_and(|path| path.is_file())
    }
}
