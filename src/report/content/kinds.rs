//! The table of the kinds of report. A kind is a file of this folder and a line here: the command line's help, the
//! report pane and the tests walk the table.

use chrono::{DateTime, FixedOffset, NaiveDate};
use thiserror::Error;

use super::album::Album;
use super::class::{ClassInput, class_report, student_sheets};
use super::options::{Options, Privacy};
use super::packet::Packet;
use super::record::{self, RecordInput};
use super::redact::redact;
use super::unprinted::without_unprinted;
use super::{carry, comparison, garage_sheet, repairs, sale, seal};
use crate::catalogue::Catalogue;
use crate::garage::{Bay, Garage};
use crate::inspection::Inspection;
use crate::report::block::{DocumentSpec, Paper};
use crate::report::text::plain;

/// A kind of report.
#[derive(Debug)]
pub struct ReportKind {
    /// What is typed: `record`.
    pub id: &'static str,
    /// What it is called in the window.
    pub title: &'static str,
    /// What it is for, as one sentence without its full stop.
    pub what: &'static str,
    /// The choices that change what it says, beside machine, inspection and paper.
    pub takes: &'static [Takes],
    /// Whether names and numbers of the owner are left out unless they are asked for: reports for strangers.
    pub is_private: bool,
    /// Whether the record travels inside the file, with its SHA-256 on the last page, so that `verify` can compare.
    /// Sheets that are written on by hand do without.
    pub carries_record: bool,
    /// What it is made of, and the function that makes it.
    pub make: Make,
}

/// A choice that a kind of report takes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Takes {
    /// What of the owner and the papers is left out.
    Privacy,
    /// Whether minor findings are written out or only counted.
    Minors,
    /// How many minutes there are for the walk.
    Minutes,
    /// Whether students are numbered instead of named.
    Names,
}

/// What a kind of report is made of. The function can only be called with all of it.
#[derive(Clone, Copy, Debug)]
pub enum Make {
    /// The whole garage.
    Garage(fn(&ReportCx<'_>) -> DocumentSpec),
    /// One machine, whether it was inspected or not.
    Machine(fn(&ReportCx<'_>, &Bay) -> DocumentSpec),
    /// One inspection of a machine.
    Inspection(fn(&RecordInput<'_>) -> DocumentSpec),
    /// An inspection, and an earlier one of the same machine to compare it with.
    Comparison(fn(&RecordInput<'_>, &Inspection) -> DocumentSpec),
    /// A class exercise with its key and its sheets: the newest of the garage, or of the machine where one is named.
    Class(fn(&ClassInput<'_>) -> DocumentSpec),
}

impl Make {
    /// Whether a machine must be named.
    pub fn needs_machine(self) -> bool {
        !matches!(self, Self::Garage(_) | Self::Class(_))
    }
    /// Whether it is about a class exercise.
    pub fn needs_class(self) -> bool {
        matches!(self, Self::Class(_))
    }
    /// Whether an inspection is written down, so that one must be there.
    pub fn needs_inspection(self) -> bool {
        matches!(self, Self::Inspection(_) | Self::Comparison(_))
    }
    /// Whether a second inspection is wanted.
    pub fn needs_earlier(self) -> bool {
        matches!(self, Self::Comparison(_))
    }
}

/// Every kind of report, in the order in which they are offered.
pub static KINDS: &[ReportKind] = &[
    ReportKind {
        id: "record",
        title: "Inspection record",
        what: "The record of one inspection, for the folder",
        takes: &[Takes::Privacy],
        is_private: false,
        carries_record: true,
        make: Make::Inspection(record::record),
    },
    ReportKind {
        id: "sale",
        title: "Sale sheet",
        what: "What a buyer wants to know, with everything dangerous and major; who and where are left out",
        takes: &[Takes::Privacy, Takes::Minors],
        is_private: true,
        carries_record: true,
        make: Make::Inspection(sale::sale),
    },
    ReportKind {
        id: "comparison",
        title: "Comparison",
        what: "Two inspections of one machine side by side: what is new, what is gone, how each reading changed",
        takes: &[Takes::Privacy],
        is_private: false,
        carries_record: true,
        make: Make::Comparison(comparison::comparison),
    },
    ReportKind {
        id: "repairs",
        title: "Repair list",
        what: "What is to be put right: strip-downs with parts, tools, torque figures and steps to tick",
        takes: &[],
        is_private: false,
        carries_record: false,
        make: Make::Machine(repairs::repairs),
    },
    ReportKind {
        id: "carry",
        title: "Carry sheet",
        what: "The planned walk on paper for a clipboard, with limits, last values and blank clock faces",
        takes: &[Takes::Minutes],
        is_private: false,
        carries_record: false,
        make: Make::Inspection(carry::carry),
    },
    ReportKind {
        id: "class",
        title: "Class report",
        what: "The scores of a class exercise: every student, what was missed most, drawn on the machine",
        takes: &[Takes::Names],
        is_private: false,
        carries_record: false,
        make: Make::Class(class_report),
    },
    ReportKind {
        id: "students",
        title: "Students' sheets",
        what: "A sheet for each student of a class exercise, to hand back: what was found, missed and misplaced",
        takes: &[Takes::Names],
        is_private: false,
        carries_record: false,
        make: Make::Class(student_sheets),
    },
    ReportKind {
        id: "garage",
        title: "Garage sheet",
        what: "Every machine with its verdict today and why, and what falls due",
        takes: &[Takes::Privacy],
        is_private: false,
        carries_record: true,
        make: Make::Garage(garage_sheet::garage),
    },
];

/// The kind with an id.
pub fn kind(id: &str) -> Option<&'static ReportKind> {
    KINDS.iter().find(|kind| kind.id == id)
}

/// What every report is made from.
#[derive(Clone, Copy, Debug)]
pub struct ReportCx<'a> {
    /// The garage, with the owner's units.
    pub garage: &'a Garage,
    /// The catalogue.
    pub catalogue: &'a Catalogue,
    /// The day of printing.
    pub today: NaiveDate,
    /// The moment of printing.
    pub now: DateTime<FixedOffset>,
    /// The paper.
    pub paper: Paper,
    /// The photos, ready for their pages. One that is named and not here is said to be missing.
    pub photos: &'a Album,
    /// The choices.
    pub options: Options,
}

/// A report that is asked for.
#[derive(Clone, Copy, Debug)]
pub struct Request<'a> {
    /// The kind.
    pub kind: &'static ReportKind,
    /// What it is made from.
    pub cx: ReportCx<'a>,
    /// The machine, where the kind is about one.
    pub bay: Option<&'a Bay>,
    /// The inspection that is written down; the newest where none is named.
    pub inspection: Option<&'a Inspection>,
    /// The earlier inspection to compare with; the one before where none is named.
    pub earlier: Option<&'a Inspection>,
}

/// What a report lacks.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum Lacking {
    /// No machine was named.
    #[error("expected a machine for the report “{0}”, found none: choose one")]
    Machine(&'static str),
    /// The machine has no inspection.
    #[error("expected an inspection of {0}, found none: go over the machine first")]
    Inspection(String),
    /// There is nothing to compare with.
    #[error("expected an inspection of {0} before that of {1}, found none: a comparison needs two")]
    Earlier(String, NaiveDate),
    /// There is no class exercise with a key.
    #[error(
        "expected a class exercise with its key in this garage, found none: make one from an inspection, and take the students' sheets in"
    )]
    Class,
    /// The machine of an exercise is gone.
    #[error("expected the machine of the exercise “{0}”, found none: take it back from a backup")]
    ClassMachine(String),
    /// An exercise has no key.
    #[error(
        "expected the key of the exercise “{0}”, found none: a students' garage holds none; print in the instructor's"
    )]
    Key(String),
    /// The key cannot be used.
    #[error("expected a key of “{0}” that can be used, found {1}: mend its key.ron")]
    KeyUnsound(String, String),
    /// What was to be left out could not be, so nothing is printed.
    #[error(
        "the report was not made, because what was to be left out could not be taken out of the records ({0}): please report this"
    )]
    Privacy(String),
    /// The record could not be written into the file.
    #[error("the report was not made, because its record could not be written ({0}): please report this")]
    Record(String),
}

/// The report as a document, with what the privacy switches ask left out, and with its record attached where its kind
/// carries one.
///
/// # Errors
/// When the kind needs a machine or inspections that are not there.
pub fn document(request: &Request<'_>) -> Result<DocumentSpec, Lacking> {
    let privacy = request.cx.options.privacy;
    // A class says nothing of owner and papers, and numbers its students itself where names are left out.
    if privacy == Privacy::NONE || request.kind.make.needs_class() {
        return sealed(request);
    }
    let garage = redact(request.cx.garage, privacy).map_err(Lacking::Privacy)?;
    sealed(&request.on(&garage))
}

impl Request<'_> {
    /// The same of the same records in another garage.
    fn on<'b>(&'b self, garage: &'b Garage) -> Request<'b> {
        let bay = self.bay.and_then(|bay| garage.bay(&bay.machine.id));
        let same = |i: &Inspection| bay.and_then(|b| b.inspection(&i.id));
        Request {
            cx: ReportCx { garage, ..self.cx },
            bay,
            inspection: self.inspection.and_then(same),
            earlier: self.earlier.and_then(same),
            kind: self.kind,
        }
    }
}

fn sealed(request: &Request<'_>) -> Result<DocumentSpec, Lacking> {
    let (mut spec, request) = bare(request)?;
    if !request.kind.carries_record {
        return Ok(spec);
    }
    let garage = match request.kind.is_private {
        true => Some(without_unprinted(request.cx.garage, &plain(&spec)).map_err(Lacking::Privacy)?),
        false => None,
    };
    let text = match &garage {
        Some(garage) => Packet::of(&request.on(garage), &spec).text(),
        None => Packet::of(&request, &spec).text(),
    };
    seal::seal(&mut spec, &request, text.map_err(Lacking::Record)?);
    Ok(spec)
}

/// The report without its record, and the request with the inspections that were meant.
pub(super) fn bare<'a>(request: &Request<'a>) -> Result<(DocumentSpec, Request<'a>), Lacking> {
    let mut request = *request;
    let kind = request.kind;
    let bay = || request.bay.ok_or(Lacking::Machine(kind.title));
    let mut spec = match kind.make {
        Make::Garage(make) => make(&request.cx),
        Make::Machine(make) => make(&request.cx, bay()?),
        Make::Class(make) => {
            let machine = request.bay.map(|b| &b.machine.id);
            let course = ClassInput::newest(request.cx.garage, machine).ok_or(Lacking::Class)?;
            make(&ClassInput::new(&request.cx, course)?)
        }
        Make::Inspection(make) => {
            let input = recorded(&request, bay()?)?;
            request.inspection = Some(input.inspection);
            make(&input)
        }
        Make::Comparison(make) => {
            let input = recorded(&request, bay()?)?;
            let index = input.bay.inspections.iter().position(|i| i.id == input.inspection.id).unwrap_or(0);
            let before = input.bay.inspections[..index].last();
            let lacking = || Lacking::Earlier(input.bay.machine.name.clone(), input.inspection.date);
            let earlier = request.earlier.or(before).ok_or_else(lacking)?;
            (request.inspection, request.earlier) = (Some(input.inspection), Some(earlier));
            make(&input, earlier)
        }
    };
    spec.language = "en-GB".to_owned();
    if request.cx.options.privacy.people {
        spec.author = String::new();
    }
    Ok((spec, request))
}

fn recorded<'a>(request: &Request<'a>, bay: &'a Bay) -> Result<RecordInput<'a>, Lacking> {
    let newest = || bay.latest().ok_or_else(|| Lacking::Inspection(bay.machine.name.clone()));
    let inspection = request.inspection.map_or_else(newest, Ok)?;
    Ok(RecordInput::new(&request.cx, bay, inspection))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_kind_has_its_own_id_and_says_what_it_is_for() {
        for (i, kind) in KINDS.iter().enumerate() {
            assert!(KINDS[..i].iter().all(|other| other.id != kind.id && other.title != kind.title), "{}", kind.id);
            assert!(kind.id.chars().all(|c| c.is_ascii_lowercase() || c == '-'), "{}", kind.id);
            assert!(kind.what.starts_with(char::is_uppercase) && !kind.what.ends_with('.'), "{}", kind.what);
            assert!(!kind.is_private || kind.takes.contains(&Takes::Privacy), "{}", kind.id);
        }
    }
}
