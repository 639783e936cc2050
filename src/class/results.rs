//! A whole class marked at once: every sheet that can be scored, the others with why, and what the class comes to. The
//! window, the reports and the command line all take it from here. Must not know files.

use std::collections::BTreeMap;

use super::figures::{ClassFigures, class_figures};
use super::score::{self, Score};
use super::sheets::{Refused, sort_sheets};
use crate::catalogue::Catalogue;
use crate::exercise::{Key, SheetId};
use crate::garage::Course;
use crate::inspection::{FindingId, Severity};
use crate::machine::Machine;
use crate::rules::Decision;
use crate::stats::AssignmentError;
use crate::units::Preferences;

/// A class marked.
#[derive(Clone, Debug, PartialEq)]
pub struct Results {
    /// The sheets that are scored, in the order of their ids.
    pub scores: Vec<Score>,
    /// The sheets that are left out, each with why.
    pub refused: Vec<Refused>,
    /// What the class comes to.
    pub figures: ClassFigures,
    /// The class of each finding of the key.
    pub severities: BTreeMap<FindingId, Severity>,
    /// The verdict of the key.
    pub key_decision: Decision,
    /// What of the key no catalogue knows: no sheet can name it, and nobody finds it.
    pub doubts: Vec<String>,
}

impl Results {
    /// The class of a finding of the key; what no catalogue knows counts as major, as everywhere in the house.
    pub fn severity(&self, finding: &FindingId) -> Severity {
        self.severities.get(finding).copied().unwrap_or(Severity::Major)
    }
    /// The findings of the key that not everybody has, each with its number in the list of the most missed: 1 for the
    /// one that was missed most.
    pub fn numbers(&self) -> BTreeMap<FindingId, usize> {
        self.figures.findings.iter().enumerate().map(|(i, f)| (f.key.clone(), i + 1)).collect()
    }
}

/// Marks every sheet of a course against its key. The machine is the instructor's own.
///
/// # Errors
/// A mark of the key that is no number, so that nearness cannot be told.
pub fn results(
    course: &Course,
    key: &Key,
    machine: &Machine,
    catalogue: &Catalogue,
    units: &Preferences,
) -> Result<Results, AssignmentError> {
    let (sheets, refused) = sort_sheets(&course.exercise, machine, &course.sheets);
    let scores = sheets
        .into_iter()
        .map(|sheet| score::score(machine, key, sheet, catalogue, units))
        .collect::<Result<Vec<Score>, _>>()?;
    let figures = class_figures(key, &scores.iter().collect::<Vec<_>>());
    let by_key = score::assessed(machine, &key.inspection, catalogue, units);
    let severities = key.inspection.findings.iter().map(|f| (f.id.clone(), score::severity(&by_key, f))).collect();
    Ok(Results {
        scores,
        refused,
        figures,
        severities,
        key_decision: by_key.verdict.decision,
        doubts: doubts(key, catalogue),
    })
}

/// The findings of the key whose check or fault is in no catalogue.
fn doubts(key: &Key, catalogue: &Catalogue) -> Vec<String> {
    let unknown = key.inspection.findings.iter().filter(|f| catalogue.fault_of(f).is_none());
    let words = unknown.map(|f| match catalogue.check(&f.check.check) {
        Some(check) => {
            let known: Vec<&str> = check.faults.iter().map(|fault| fault.id.as_str()).collect();
            format!(
                "expected a fault of {} ({}) for the finding {} of the key, found \"{}\", which no sheet can name: correct it in key.ron",
                f.check,
                known.join(", "),
                f.id,
                f.fault
            )
        }
        None => format!(
            "expected a check of the catalogue for the finding {} of the key, found \"{}\", which no sheet can name: correct it in key.ron",
            f.id, f.check.check
        ),
    });
    words.collect()
}

/// How the students are called on the screen, on paper and in file names: by their names, or by numbers where names are
/// hidden. A number belongs to a person, not to a sheet, and does not change when another sheet is left out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Roster {
    /// Whether names are hidden.
    pub hidden: bool,
    /// Every sheet with the number and the name of its student.
    students: Vec<(SheetId, usize, String)>,
}

impl Roster {
    /// The students of a course.
    pub fn of(course: &Course, hidden: bool) -> Self {
        let mut known: Vec<String> = Vec::new();
        let mut students = Vec::new();
        for sheet in &course.sheets {
            let name = sheet.student.trim();
            let written = name.to_lowercase();
            let at = known.iter().position(|k| *k == written && !written.is_empty()).unwrap_or_else(|| {
                known.push(written);
                known.len() - 1
            });
            students.push((sheet.id.clone(), at + 1, name.to_owned()));
        }
        Self { hidden, students }
    }
    /// The number of the student who handed a sheet in, from 1; 0 for a sheet of another course.
    pub fn number(&self, sheet: &SheetId) -> usize {
        self.students.iter().find(|(id, _, _)| id == sheet).map_or(0, |(_, number, _)| *number)
    }
    /// How the student of a sheet is called.
    pub fn name(&self, sheet: &SheetId) -> String {
        match self.students.iter().find(|(id, _, _)| id == sheet) {
            Some((_, _, name)) if !self.hidden && !name.is_empty() => name.clone(),
            _ => format!("student {}", self.number(sheet)),
        }
    }
    /// The sheet as it may be named: by its id, which is made of the student's name, or by the student's number.
    pub fn sheet(&self, sheet: &SheetId) -> String {
        if self.hidden { format!("sheet of student {}", self.number(sheet)) } else { sheet.0.clone() }
    }
    /// The name of a file for a student, without its ending: `03-ada`, or `student-03`.
    pub fn file(&self, sheet: &SheetId) -> String {
        let number = self.number(sheet);
        if self.hidden {
            return format!("student-{number:02}");
        }
        let plain: String =
            self.name(sheet).to_lowercase().chars().map(|c| if c.is_alphanumeric() { c } else { '-' }).collect();
        let plain: Vec<&str> = plain.split('-').filter(|part| !part.is_empty()).collect();
        let plain: String = plain.join("-").chars().take(40).collect();
        format!("{number:02}-{}", if plain.is_empty() { "student" } else { plain.trim_end_matches('-') })
    }
}
