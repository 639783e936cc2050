//! A class as PDF files: the report of all, and a sheet for each student. Must not score.

use std::path::Path;

use chrono::{DateTime, FixedOffset};

use super::args::ClassArgs;
use crate::cli::answer::Failure;
use crate::garage::Course;
use crate::report::block::{DocumentSpec, Paper};
use crate::report::content::{Album, ClassInput, Options, Privacy, ReportCx, class_report, student_sheet};
use crate::report::{layout, pdf};
use crate::store::{self, Form, Opened};

/// What was written, and what is worth knowing of it.
#[derive(Default)]
pub(super) struct Written {
    pub written: Vec<String>,
    pub notes: Vec<String>,
}

/// Writes the class report and the students' sheets, as far as they are asked for.
pub(super) fn write(
    args: &ClassArgs,
    opened: &Opened,
    course: &Course,
    now: DateTime<FixedOffset>,
) -> Result<Written, Failure> {
    let mut written = Written::default();
    if args.out.is_none() && args.each.is_none() {
        return Ok(written);
    }
    let photos = Album::default();
    let privacy = Privacy { people: args.hide_names, ..Privacy::NONE };
    let cx = ReportCx {
        garage: &opened.garage,
        catalogue: &opened.catalogue,
        today: now.date_naive(),
        now,
        paper: Paper::A4,
        photos: &photos,
        options: Options { privacy, ..Options::default() },
    };
    let input = ClassInput::new(&cx, course).map_err(|e| Failure(e.to_string()))?;
    let scores = &input.results.scores;
    let names = scores.iter().map(|score| format!("{}.pdf", input.roster.file(&score.sheet)));
    let each = args.each.as_ref().map(|folder| store::may_fill(folder, Form::Pdf, names));
    let each = each.transpose().map_err(|e| Failure(e.to_string()))?.unwrap_or_default();
    if let Some(out) = &args.out {
        one(out, class_report(&input), &mut written)?;
    }
    if let Some(folder) = &args.each {
        store::make_folder(folder).map_err(|e| Failure(e.to_string()))?;
    }
    for (score, path) in scores.iter().zip(&each) {
        one(path, student_sheet(&input, score), &mut written)?;
    }
    Ok(written)
}

fn one(path: &Path, mut document: DocumentSpec, written: &mut Written) -> Result<(), Failure> {
    document.language = "en-GB".to_owned();
    let pages = layout::lay_out(&document);
    let bytes = pdf::write(&pages).map_err(|e| Failure(e.to_string()))?;
    store::write_file(path, &bytes).map_err(|e| Failure(e.to_string()))?;
    written.notes.extend(pages.missing.iter().map(|glyph| glyph.message()));
    written.written.push(path.display().to_string());
    Ok(())
}
