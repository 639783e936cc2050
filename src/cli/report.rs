//! `stemclock report FOLDER --machine M --kind KIND --out FILE.pdf`: the same pages that the window shows, as a PDF.

use std::path::{Path, PathBuf};

use chrono::{DateTime, FixedOffset, NaiveTime};
use serde_json::json;

use super::answer::{Answer, Failure};
use super::args::{LeaveOut, PaperSize, ReportArgs};
use super::class::course;
use super::garage;
use crate::garage::Bay;
use crate::guide::{Wanted, minutes_words, sheet};
use crate::inspection::{Inspection, InspectionId};
use crate::report::block::Paper;
use crate::report::content::{self, Album, Options, Privacy, ReportCx, Request, Takes, UNREAD, photos_of};
use crate::report::{layout, pdf, raster, text};
use crate::store::{self, Form};

fn fail(error: impl std::fmt::Display) -> Failure {
    Failure(error.to_string())
}

/// Writes the report.
pub fn report(args: &ReportArgs, now: DateTime<FixedOffset>) -> Result<Answer, Failure> {
    let now = asked_moment(args, now);
    args.out.as_deref().map_or(Ok(()), |out| store::may_write(out, Form::Pdf)).map_err(fail)?;
    // Where the pages go is asked again once it is known how many there are.
    args.png.as_deref().map_or(Ok(Vec::new()), |folder| store::may_fill(folder, Form::Png, [])).map_err(fail)?;
    let mut opened = garage::read(&args.folder)?;
    let make = args.kind.make;
    if let Some(exercise) = &args.exercise {
        let id = course(&opened.garage, Some(exercise))?.exercise.id.clone();
        opened.garage.courses.retain(|c| c.exercise.id == id);
    }
    let bay = match &args.machine {
        Some(machine) => Some(garage::machine(&opened.garage, machine)?),
        None if make.needs_machine() => {
            return Err(Failure::expected(
                &format!("a machine for the report \"{}\"", args.kind.id),
                "none",
                "name one by its id, its name, or the beginning of either, as in --machine heron",
            ));
        }
        None => None,
    };
    let inspection = match bay {
        Some(_) if begins_walk(args) => None,
        Some(bay) if make.needs_inspection() || args.inspection.is_some() => {
            Some(garage::inspection(bay, args.inspection.as_deref())?.0)
        }
        _ => None,
    };
    let earlier = match (bay, &args.against) {
        (Some(bay), Some(against)) => Some(garage::inspection(bay, Some(against))?.0),
        _ => None,
    };
    let (photos, mut notes) = bay.map(|bay| photos(&args.folder, bay)).unwrap_or_default();
    if let Some(bay) = bay.filter(|_| args.kind.is_private) {
        notes.extend(unhidden(bay));
    }
    let paper = match args.paper {
        PaperSize::A4 => Paper::A4,
        PaperSize::Letter => Paper::Letter,
    };
    let cx = ReportCx {
        garage: &opened.garage,
        catalogue: &opened.catalogue,
        today: now.date_naive(),
        now,
        paper,
        photos: &photos,
        options: options(args),
    };
    let begun = match inspection {
        None if begins_walk(args) => Some(not_begun(args, &cx)?),
        _ => None,
    };
    let inspection = inspection.or(begun.as_ref());
    let request = Request { kind: args.kind, cx, bay, inspection, earlier };
    if let (Some(bay), Some(inspection)) = (bay, inspection.filter(|_| args.kind.takes.contains(&Takes::Minutes))) {
        notes.extend(too_short(&request, bay, inspection));
    }
    let document = content::document(&request).map_err(fail)?;
    let pages = layout::lay_out(&document);
    pages.whole().map_err(|e| Failure(e.to_string()))?;
    let mut written = Vec::new();
    let mut size_bytes = None;
    let pictures = match &args.png {
        Some(folder) => {
            let stem = stem(&request);
            let names = (1..=pages.pages.len()).map(|page| format!("{stem}-{page:02}.png"));
            store::may_fill(folder, Form::Png, names).map_err(fail)?
        }
        None => Vec::new(),
    };
    if let Some(out) = &args.out {
        let bytes = pdf::write(&pages).map_err(fail)?;
        store::write_file(out, &bytes).map_err(fail)?;
        size_bytes = Some(bytes.len());
        written.push(out.display().to_string());
    }
    if let Some(folder) = &args.png {
        draw(&pages, folder, &pictures)?;
        written.extend(pictures.iter().map(|path| path.display().to_string()));
    }
    notes.extend(pages.missing.iter().map(|glyph| glyph.message()));
    let mut warnings = garage::warnings(&opened);
    warnings.extend(notes.clone());
    let count = pages.pages.len();
    let plain = args.text.then(|| text::plain(&document));
    let told =
        format!("{}: {}, {count} page{}.\n", written.join(", "), subject(&request), if count == 1 { "" } else { "s" });
    Ok(Answer {
        text: plain.clone().unwrap_or(told),
        json: json!({
            "out": args.out.as_ref().map(|out| out.display().to_string()),
            "written": written,
            "kind": args.kind.id,
            "paper": match args.paper { PaperSize::A4 => "a4", PaperSize::Letter => "letter" },
            "machine": bay.map(|bay| bay.machine.id.0.as_str()),
            "inspection": inspection.map(|inspection| inspection.id.0.as_str()),
            "pages": count,
            "size_bytes": size_bytes,
            "sha256": document.attachments.first().map(|record| content::hash(&record.bytes)),
            "text": plain,
            "notes": notes,
            "unreadable": opened.unreadable,
        }),
        warnings,
        ..Answer::default()
    })
}

/// That the required checks take more than the minutes at hand, and how many more.
fn too_short(request: &Request<'_>, bay: &Bay, inspection: &Inspection) -> Option<String> {
    let (cx, minutes) = (&request.cx, request.cx.options.minutes?);
    let kind = cx.catalogue.kind(&inspection.kind)?;
    let part = cx.options.part;
    let wanted = Wanted { kind, asks: &inspection.asks, minutes: Some(minutes), part, day: inspection.date };
    let plan = sheet(bay, cx.catalogue, &cx.garage.info.units, &wanted).plan;
    let unchecked = plan.required_left_out();
    if part && unchecked > 0 {
        let checks = if unchecked == 1 { "1 required check is" } else { &format!("{unchecked} required checks are") };
        return Some(format!("{checks} not on the sheet: the verdict will be \"not yet decided\""));
    }
    let missing = plan.missing?;
    Some(format!(
        "the required checks take {} more than the {minutes} at hand; every one of them is on the sheet; \
         --part prints only what fits, most risk first",
        minutes_words(missing)
    ))
}

/// Whether the report is of a walk that no inspection of the garage has begun.
fn begins_walk(args: &ReportArgs) -> bool {
    args.kind.takes.contains(&Takes::Minutes) && args.inspection.is_none()
}

/// The inspection that the walk is for, as it will be when it is begun: of the kind asked for, else of the season's.
fn not_begun(args: &ReportArgs, cx: &ReportCx<'_>) -> Result<Inspection, Failure> {
    let wanted = args.inspection_kind.as_deref().unwrap_or("season");
    let kind = cx.catalogue.kind(wanted).ok_or_else(|| {
        let ids: Vec<&str> = cx.catalogue.kinds.iter().map(|k| k.id.as_str()).collect();
        Failure::expected("a kind of inspection", format!("\"{wanted}\""), &format!("take one of {}", ids.join(", ")))
    })?;
    let id = InspectionId(format!("{}-{}-sheet", cx.today, kind.id));
    Ok(Inspection::new(id, &kind.id, cx.today))
}

/// The choices: those of the kind, and what was asked for beside them.
fn options(args: &ReportArgs) -> Options {
    let mut options =
        Options { count_minors: args.count_minors, minutes: args.minutes, part: args.part, ..Options::of(args.kind) };
    if !args.leave_out.is_empty() {
        let asks = |what: LeaveOut| args.leave_out.iter().any(|asked| *asked == what || *asked == LeaveOut::All);
        let none = args.leave_out.contains(&LeaveOut::None);
        options.privacy = Privacy {
            vin: !none && asks(LeaveOut::Vin),
            registration: !none && asks(LeaveOut::Registration),
            people: !none && asks(LeaveOut::People),
            place: !none && asks(LeaveOut::Place),
        };
    }
    options
}

/// Pixels a point of the pictures: 150 pixels an inch, which listings show without blur.
const PICTURE_SCALE: f32 = 150.0 / 72.0;

/// Writes a picture a page.
fn draw(pages: &layout::Layout, folder: &Path, paths: &[PathBuf]) -> Result<(), Failure> {
    store::make_folder(folder).map_err(fail)?;
    for (index, path) in paths.iter().enumerate() {
        let png = raster::page(pages, index, PICTURE_SCALE).and_then(|bitmap| bitmap.png());
        store::write_file(path, &png.map_err(fail)?).map_err(fail)?;
    }
    Ok(())
}

/// The beginning of the pictures' names: `sale-heron-7c1e`.
fn stem(request: &Request<'_>) -> String {
    match request.bay {
        Some(bay) => format!("{}-{}", request.kind.id, bay.machine.id),
        None => request.kind.id.to_owned(),
    }
}

/// What the report is about: `inspection record of Heron, 2026-11-20-ride-bb`.
fn subject(request: &Request<'_>) -> String {
    let mut words = request.kind.title.to_lowercase();
    if let Some(bay) = request.bay {
        words.push_str(&format!(" of {}", bay.machine.name));
    }
    if let Some(inspection) = request.inspection {
        words.push_str(&format!(", {}", inspection.id));
    }
    words
}

/// The moment of printing: now, or the beginning of the day that was asked for, so that two runs are alike.
fn asked_moment(args: &ReportArgs, now: DateTime<FixedOffset>) -> DateTime<FixedOffset> {
    args.day.on.and_then(|day| day.and_time(NaiveTime::MIN).and_local_timezone(*now.offset()).single()).unwrap_or(now)
}

/// A reminder for a report that goes to strangers, where photos have no blur box.
fn unhidden(bay: &Bay) -> Option<String> {
    let open = photos_of(bay).values().filter(|marks| !marks.iter().any(|mark| mark.hides())).count();
    (open > 0).then(|| {
        format!(
            "{open} photo{} of {} without a blur box: look whether a plate, a face or a house can be read, and draw a box \
             over it in the window",
            if open == 1 { "" } else { "s" },
            bay.machine.name
        )
    })
}

/// The photos that a machine's records name, made ready one by one so that only one is open at a time. One that cannot
/// be read is left out and said so.
fn photos(folder: &Path, bay: &Bay) -> (Album, Vec<String>) {
    let mut album = Album::default();
    let mut notes = Vec::new();
    for (name, marks) in photos_of(bay) {
        match store::photo_bytes(folder, &bay.machine.id, &name) {
            Ok(bytes) => album.add(name, &bytes, &marks),
            Err(error) => {
                notes.push(format!("the photo {name} is left out: {error}"));
                album.put(name, Err(UNREAD.to_owned()));
            }
        }
    }
    (album, notes)
}
