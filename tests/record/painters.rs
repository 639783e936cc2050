//! Every kind of report of every machine of the sample garage, on both papers: the layout, the PDF and the pixels show
//! the same words at the same places. Poppler, mupdf and qpdf read the PDF; poppler's pixels are held against ours.
//!
//! The stated difference between our pixels and poppler's, at two pixels a point and averaged over blocks of four by
//! four: a mean below 3 of 255 grey steps, and less than one block in five hundred off by more than half. A page of text
//! that is one point lower is outside it, which is tried, too.

use std::path::{Path, PathBuf};
use std::process::Command;

use stemclock::garage::Bay;
use stemclock::report::block::Paper;
use stemclock::report::content::{Album, Options, ReportCx, ReportKind, Request, document, kind, photos_of};
use stemclock::report::layout::{Layout as Pages, Placed, TextRun, lay_out};
use stemclock::report::raster::{self, Bitmap};
use stemclock::report::{content, pdf};
use stemclock::store;

use crate::pixels::{difference, grey};

const SCALE: u16 = 2;
const MEAN_MOST: f64 = 3.0;
const FAR_MOST: f64 = 0.002;

/// Runs a tool; one that is not there or complains ends the test.
fn tool(name: &str, arguments: &[&str]) -> String {
    let output = Command::new(name).args(arguments).output();
    let output = output.expect("qpdf, poppler-utils and mupdf-tools are installed");
    let complaints = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success() && complaints.is_empty(), "{name} {arguments:?}: {complaints}");
    String::from_utf8_lossy(&output.stdout).into_owned()
}

fn bare(text: &str) -> String {
    text.chars().filter(|c| !c.is_whitespace() && *c != '\u{c}').collect()
}

fn runs(items: &[Placed]) -> Vec<&TextRun> {
    let mut all = Vec::new();
    for item in items {
        match item {
            Placed::Text(run) => all.push(run),
            Placed::Drawing { items, .. } => all.extend(runs(items)),
            _ => {}
        }
    }
    all
}

/// The pages of a report with their PDF in the build folder.
struct Made {
    name: String,
    pages: Pages,
    file: PathBuf,
}

/// Every report of a kind: each machine where it needs one, both papers.
fn every(kind: &'static ReportKind) -> Vec<Made> {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("garage");
    store::copy_sample(&path).unwrap();
    let opened = store::read(&path).unwrap();
    let now = chrono::DateTime::parse_from_rfc3339("2026-11-25T10:00:00+01:00").unwrap();
    let bays: Vec<Option<&Bay>> =
        if kind.make.needs_machine() { opened.garage.bays.iter().map(Some).collect() } else { vec![None] };
    let mut made = Vec::new();
    for bay in bays {
        let mut photos = Album::default();
        for (name, marks) in bay.map(photos_of).unwrap_or_default() {
            let machine = &bay.unwrap().machine.id;
            photos.add(&name, &store::photo_bytes(&path, machine, &name).unwrap(), &marks);
        }
        for (paper, word) in [(Paper::A4, "a4"), (Paper::Letter, "letter")] {
            let cx = ReportCx {
                garage: &opened.garage,
                catalogue: &opened.catalogue,
                today: now.date_naive(),
                now,
                paper,
                photos: &photos,
                options: Options::of(kind),
            };
            let request = Request { kind, cx, bay, inspection: None, earlier: None };
            let pages = lay_out(&document(&request).unwrap());
            let of = bay.map_or("garage", |b| b.machine.id.0.as_str());
            let name = format!("painted-{}-{of}-{word}", kind.id);
            let file = Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("{name}.pdf"));
            std::fs::write(&file, pdf::write(&pages).unwrap()).unwrap();
            made.push(Made { name, pages, file });
        }
    }
    made
}

/// The words of each page with their left ends, tops and bottoms in points, as poppler finds them.
fn boxes(file: &str) -> Vec<Vec<(String, f32, f32, f32)>> {
    let read = tool("pdftotext", &["-bbox", file, "-"]);
    let mut pages = Vec::new();
    for line in read.lines().map(str::trim) {
        if line.starts_with("<page ") {
            pages.push(Vec::new());
        }
        let Some(word) = line.strip_prefix("<word ") else { continue };
        let value = |name: &str| -> f32 {
            let from = word.find(&format!("{name}=\"")).unwrap() + name.len() + 2;
            word[from..].split('"').next().unwrap().parse().unwrap()
        };
        let text = word.split_once('>').and_then(|(_, rest)| rest.split_once("</word>")).unwrap().0;
        let text = text.replace("&lt;", "<").replace("&gt;", ">").replace("&quot;", "\"").replace("&amp;", "&");
        pages.last_mut().unwrap().push((text, value("xMin"), value("yMin"), value("yMax")));
    }
    pages
}

/// Words: the order of the file is the order of the layout, in poppler and mupdf, and each stands at its place.
fn words_are_the_layouts(made: &Made) {
    let (name, file) = (&made.name, made.file.to_str().unwrap());
    assert!(made.pages.missing.is_empty(), "{name}: {:?}", made.pages.missing);
    let read = tool("pdftotext", &["-raw", file, "-"]);
    let sheets: Vec<&str> = read.split('\u{c}').collect();
    let found = boxes(file);
    assert_eq!(found.len(), made.pages.pages.len(), "{name}");
    let other = bare(&tool("mutool", &["draw", "-q", "-N", "-F", "text", file]));
    for (index, page) in made.pages.pages.iter().enumerate() {
        let of = format!("page {} of {name}", index + 1);
        let all = runs(&page.items);
        let written: String = all.iter().map(|run| run.text.as_str()).collect();
        assert_eq!(bare(sheets[index]), bare(&written), "{of}");
        assert!(page.items.len() > 3, "{of} is blank");
        for run in &all {
            assert!(other.contains(&bare(&run.text)), "{of}: mupdf does not read “{}”", run.text);
        }
        let letters: Vec<(&str, f32, f32)> = all
            .iter()
            .flat_map(|run| {
                let starts = run.glyphs.iter().scan(run.x, |x, glyph| {
                    let at = *x;
                    *x += glyph.advance;
                    Some((run.cluster(glyph), at, run.y))
                });
                starts.collect::<Vec<_>>()
            })
            .filter(|(letter, ..)| !letter.is_empty())
            .collect();
        for (word, x, top, bottom) in &found[index] {
            let is_there = letters
                .iter()
                .any(|(letter, at, y)| (at - x).abs() < 0.1 && top < y && y < bottom && word.starts_with(letter));
            assert!(is_there, "{of}: “{word}” at {x} between {top} and {bottom}");
        }
    }
    let checked = tool("qpdf", &["--check", file]);
    assert!(checked.contains("No syntax or stream encoding errors found"), "{name}: {checked}");
}

/// Pixels of the first two pages and of the last.
fn pixels_are_poplers(made: &Made) {
    let (name, file) = (&made.name, made.file.to_str().unwrap());
    let count = made.pages.pages.len();
    let mut shown = vec![0, 1, count - 1];
    shown.retain(|index| *index < count);
    shown.dedup();
    for index in shown {
        let (number, resolution) = ((index + 1).to_string(), (72 * SCALE).to_string());
        let stem = file.replace(".pdf", &format!("-{number}"));
        tool("pdftoppm", &["-png", "-r", &resolution, "-f", &number, "-l", &number, "-singlefile", file, &stem]);
        let theirs = image::open(format!("{stem}.png")).unwrap().to_rgba8();
        let theirs = grey(&Bitmap { width: theirs.width(), height: theirs.height(), rgba: theirs.into_raw() });
        let ours = grey(&raster::page(&made.pages, index, SCALE.into()).unwrap());
        let (mean, far) = difference(&ours, &theirs);
        assert!(mean < MEAN_MOST && far < FAR_MOST, "page {number} of {name}: mean {mean:.2}, far {far:.4}");
    }
}

fn hold_together(id: &str) {
    let kind = kind(id).unwrap();
    let all = every(kind);
    assert!(!all.is_empty());
    for made in &all {
        words_are_the_layouts(made);
        pixels_are_poplers(made);
    }
}

#[test]
fn the_record_is_the_same_by_every_painter() {
    hold_together("record");
}

#[test]
fn the_sale_sheet_is_the_same_by_every_painter() {
    hold_together("sale");
}

#[test]
fn the_comparison_is_the_same_by_every_painter() {
    hold_together("comparison");
}

#[test]
fn the_repair_list_is_the_same_by_every_painter() {
    hold_together("repairs");
}

#[test]
fn the_carry_sheet_is_the_same_by_every_painter() {
    hold_together("carry");
}

#[test]
fn the_garage_sheet_is_the_same_by_every_painter() {
    hold_together("garage");
}

#[test]
fn the_class_report_is_the_same_by_every_painter() {
    hold_together("class");
}

#[test]
fn the_sheets_of_students_are_the_same_by_every_painter() {
    hold_together("students");
}

#[test]
fn a_page_one_point_lower_is_outside_the_stated_difference() {
    let made = every(kind("garage").unwrap()).remove(0);
    let mut lower = made.pages.clone();
    lower.pages[0].items.iter_mut().for_each(|item| item.shift(0.0, 1.0));
    let [ours, moved] = [&made.pages, &lower].map(|pages| grey(&raster::page(pages, 0, SCALE.into()).unwrap()));
    let (mean, far) = difference(&ours, &moved);
    assert!(mean > MEAN_MOST || far > FAR_MOST, "mean {mean:.2}, far {far:.4}");
}

#[test]
fn every_kind_has_its_test_here() {
    let source = include_str!("painters.rs");
    for kind in content::KINDS {
        assert!(source.contains(&format!("hold_together(\"{}\")", kind.id)), "{}", kind.id);
    }
}
