//! Every problem of a garage: what cannot be read, and what points nowhere. Must not write.

use std::collections::BTreeMap;
use std::path::Path;

use chrono::NaiveDate;

use super::layout::{GARAGE, MACHINES, Root};
use super::open::{read, read_bytes};
use super::problem::Problem;
use super::{codec, crossref, crossref_class, crossref_events, photos};
use crate::machine::MachineId;

/// Lists every problem of a garage: files that cannot be read, ids that point nowhere, findings on wheels that the
/// machine lacks, photos that are not there, days to come, an odometer that goes back, copies that were set aside.
/// Empty when all is well. A folder that is no garage is one problem.
pub fn validate(folder: &Path, today: NaiveDate) -> Vec<Problem> {
    let opened = match read(folder) {
        Ok(opened) => opened,
        Err(e) => return vec![Problem::whole(folder.display().to_string(), e.to_string())],
    };
    let root = match Root::new(folder) {
        Ok(root) => root,
        Err(e) => return vec![Problem::whole(folder.display().to_string(), e.to_string())],
    };
    let mut sheet = Sheet { root: &root, texts: BTreeMap::new(), problems: opened.unreadable };
    for path in opened.set_aside {
        sheet.problems.push(Problem::whole(
            path,
            "expected one file for each record, found a copy that was set aside by a save: compare it with the record, then remove it",
        ));
    }
    crossref::units(&mut sheet, GARAGE, &opened.garage.info);
    for bay in &opened.garage.bays {
        let folder = format!("{MACHINES}/{}", bay.machine.id);
        crossref::machine(&mut sheet, &folder, &bay.machine, &opened.catalogue, today);
        for inspection in &bay.inspections {
            crossref::inspection(&mut sheet, &folder, &bay.machine, inspection, &opened.catalogue, today);
        }
        crossref_events::events(&mut sheet, &folder, bay, &opened.catalogue, today);
        crossref::odometer(&mut sheet, &folder, bay, today);
    }
    for course in &opened.garage.courses {
        crossref_class::course(&mut sheet, &opened.garage, course, &opened.catalogue);
    }
    sheet.problems.sort_by(|a, b| (&a.path, a.line, a.column).cmp(&(&b.path, b.line, b.column)));
    sheet.problems
}

/// Collects problems and finds their place in the text of the file.
pub(super) struct Sheet<'a> {
    root: &'a Root,
    texts: BTreeMap<String, String>,
    problems: Vec<Problem>,
}

impl Sheet<'_> {
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
    /// Whether a file of the garage is there.
    pub(super) fn has(&self, relative: &str) -> bool {
        self.root.inside(relative).is_ok_and(|path| path.is_file())
    }
}
