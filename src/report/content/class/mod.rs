//! A class on paper: the report of the whole class for the instructor, and a sheet for each student.
//!
//! ```text
//! class_report   every student in a row, the figures of the class, what was missed most
//! student_sheet  one student: each finding of the key and what became of it
//! faces          the key and where students placed it, on the faces of the wheels
//! plan           what was missed, on the machine in plan
//! told           findings, scores and shares in words and cells
//! about          how it was counted, the cautions, and what the paper is not
//! ```
//!
//! The pages show the key, so they are the instructor's to hand out, and the record does not travel inside them: a file
//! that goes round would carry the whole key.

mod about;
mod class_report;
mod faces;
mod plan;
mod student_sheet;
mod told;

pub use class_report::class_report;
pub use faces::class_faces;
pub use student_sheet::{student_sheet, student_sheets};

use chrono::{DateTime, FixedOffset, NaiveDate};

use super::kinds::{Lacking, ReportCx};
use crate::catalogue::Catalogue;
use crate::class::{self, Results, Roster, Score};
use crate::exercise::{Key, Sheet};
use crate::garage::{Bay, Course, Garage};
use crate::inspection::{Finding, FindingId};
use crate::machine::MachineId;
use crate::report::block::Paper;
use crate::units::Preferences;

/// A class ready to be written down.
#[derive(Clone, Debug)]
pub struct ClassInput<'a> {
    /// The exercise with its sheets.
    pub course: &'a Course,
    /// Its key.
    pub key: &'a Key,
    /// The machine with its past, of which only planted defects are told.
    pub bay: &'a Bay,
    /// Every sheet scored.
    pub results: Results,
    /// How the students are called.
    pub roster: Roster,
    /// The catalogue.
    pub catalogue: &'a Catalogue,
    /// The units the pages are written in.
    pub units: &'a Preferences,
    /// The day of printing.
    pub today: NaiveDate,
    /// The moment of printing.
    pub now: DateTime<FixedOffset>,
    /// The paper.
    pub paper: Paper,
}

impl<'a> ClassInput<'a> {
    /// Marks a course. Names are hidden where the choices leave people out.
    ///
    /// # Errors
    /// When the machine or the key is not there, or the key cannot be used.
    pub fn new(cx: &ReportCx<'a>, course: &'a Course) -> Result<Self, Lacking> {
        let title = || course.exercise.title.clone();
        let garage: &'a Garage = cx.garage;
        let bay = garage.bay(&course.exercise.machine).ok_or_else(|| Lacking::ClassMachine(title()))?;
        let key = course.key.as_ref().ok_or_else(|| Lacking::Key(title()))?;
        let units = &garage.info.units;
        let results = class::results(course, key, &bay.machine, cx.catalogue, units)
            .map_err(|e| Lacking::KeyUnsound(title(), e.to_string()))?;
        let roster = Roster::of(course, cx.options.privacy.people);
        let (today, now, paper, catalogue) = (cx.today, cx.now, cx.paper, cx.catalogue);
        Ok(Self { course, key, bay, results, roster, catalogue, units, today, now, paper })
    }

    /// The exercise that is meant where none is named: the newest with a key, on the machine in hand where there is
    /// one.
    pub(in crate::report::content) fn newest(garage: &'a Garage, machine: Option<&MachineId>) -> Option<&'a Course> {
        let meant = |c: &&'a Course| c.key.is_some() && machine.is_none_or(|id| *id == c.exercise.machine);
        garage.courses.iter().filter(meant).max_by_key(|c| (c.exercise.date, !c.sheets.is_empty(), &c.exercise.id))
    }

    /// A finding of the key.
    fn wanted(&self, id: &FindingId) -> Option<&'a Finding> {
        self.key.inspection.findings.iter().find(|f| &f.id == id)
    }
    /// The sheet that a score is of.
    fn sheet(&self, score: &Score) -> Option<&'a Sheet> {
        self.course.sheets.iter().find(|s| s.id == score.sheet)
    }
    /// A finding of a student.
    fn written(&self, score: &Score, id: &FindingId) -> Option<&'a Finding> {
        self.sheet(score)?.inspection.findings.iter().find(|f| &f.id == id)
    }
    /// The kind of inspection as the catalogue names it.
    fn kind_name(&self) -> String {
        let id = &self.course.exercise.kind;
        self.catalogue.kind(id).map_or_else(|| id.clone(), |k| k.name.clone())
    }
}
