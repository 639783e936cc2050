//! The PDF read back with the tools that other people have: qpdf and poppler's.

use std::path::{Path, PathBuf};
use std::process::Command;

use stemclock::report::block::{Block, DocumentSpec};
use stemclock::report::layout::{Layout, lay_out};
use stemclock::report::pdf;

use crate::pages::runs;
use crate::sample;

/// Runs a tool and gives what it printed; a tool that is not there or complains ends the test.
pub fn tool(name: &str, arguments: &[&str]) -> String {
    let output = Command::new(name).args(arguments).output();
    let output = output.expect("qpdf and poppler's tools (Debian: qpdf, poppler-utils) are installed");
    let printed = String::from_utf8_lossy(&output.stdout).into_owned();
    let complaints = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success() && complaints.is_empty(), "{name} {arguments:?}: {complaints}{printed}");
    printed
}

/// Writes a document's PDF into the build folder, where it can be looked at.
pub fn save(spec: &DocumentSpec, name: &str) -> (Layout, PathBuf) {
    let layout = lay_out(spec);
    let bytes = pdf::write(&layout).expect("the PDF is made");
    let path = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
    std::fs::write(&path, bytes).expect("the build folder can be written to");
    (layout, path)
}

fn path(path: &Path) -> &str {
    path.to_str().expect("the build folder's path is plain text")
}

/// Words without any white space: tools differ in where they put spaces and line ends.
fn bare(text: &str) -> String {
    text.chars().filter(|c| !c.is_whitespace()).collect()
}

#[test]
fn qpdf_finds_nothing_wrong() {
    let (_, file) = save(&sample::rich(), "rich-check.pdf");
    let said = tool("qpdf", &["--check", path(&file)]);
    assert!(said.contains("No syntax or stream encoding errors found"), "{said}");
}

#[test]
fn the_text_is_the_layouts_text_in_reading_order() {
    for (spec, name) in [(sample::rich(), "rich-text.pdf"), (sample::long(9), "long-text.pdf")] {
        let (layout, file) = save(&spec, name);
        for (i, page) in layout.pages.iter().enumerate() {
            let number = (i + 1).to_string();
            // `-raw` keeps the order of the file, which must be the order of the layout.
            let read = tool("pdftotext", &["-raw", "-f", &number, "-l", &number, path(&file), "-"]);
            let written: String = runs(&page.items).into_iter().map(|run| run.text.as_str()).collect();
            assert_eq!(bare(&read), bare(&written), "page {number} of {name}");
        }
    }
}

#[test]
fn letters_that_share_a_shape_are_copied_as_they_were_written() {
    // The micro sign and mu, the ohm sign and omega, the no-break and the ordinary hyphen look alike in most fonts.
    let words = [
        "5 \u{b5}m and 5 \u{3bc}m",
        "5 \u{2126} and 5 \u{3a9}",
        "A\u{2010}B A\u{2011}B A-B",
        "e\u{301}t\u{e9}",
        "office offset",
        "x\u{323}\u{301}y",
    ];
    let spec =
        DocumentSpec { blocks: words.map(Block::paragraph).to_vec(), ..DocumentSpec::new("shapes", sample::made()) };
    let (layout, file) = save(&spec, "shapes.pdf");
    assert!(layout.missing.is_empty(), "{:?}", layout.missing);
    let read = tool("pdftotext", &["-raw", path(&file), "-"]);
    for words in words {
        assert!(bare(&read).contains(&bare(words)), "{words} in {read}");
    }
}

#[test]
fn every_font_is_embedded_and_a_subset() {
    let (_, file) = save(&sample::rich(), "rich-fonts.pdf");
    let said = tool("pdffonts", &[path(&file)]);
    let fonts: Vec<Vec<&str>> = said.lines().skip(2).map(|line| line.split_whitespace().collect()).collect();
    assert_eq!(fonts.len(), 3, "{said}");
    for font in fonts {
        // name, type (two words and an encoding), then: embedded, subset, with a map to Unicode.
        assert_eq!(font[font.len() - 5..font.len() - 2], ["yes"; 3], "{said}");
        let (tag, face) = font[0].split_once('+').expect("a subset has a tag");
        assert!(tag.len() == 6 && tag.chars().all(|c| c.is_ascii_uppercase()), "{said}");
        assert!(face.contains("NotoSans"), "{said}");
    }
}

#[test]
fn the_document_says_what_it_is() {
    let (_, file) = save(&sample::rich(), "rich-info.pdf");
    let said = tool("pdfinfo", &["-rawdates", path(&file)]);
    for expected in [
        "Title:           Inspection record: Workshop Standard 400",
        "Author:          Żaneta Łącka",
        "Subject:         Season check on 3 April 2026",
        "Creator:         Stemclock",
        "CreationDate:    D:20260403091500+02'00'",
        "PDF version:     1.7",
        "Page size:       595.28 x 841.89 pts (A4)",
    ] {
        assert!(said.contains(expected), "{expected} in {said}");
    }
    assert!(!said.contains("PDF/X"), "the file claims no printing standard: {said}");
    let catalog = tool("qpdf", &["--show-object=trailer", path(&file)]);
    let root = catalog.split("/Root ").nth(1).and_then(|rest| rest.split(' ').next()).expect("the trailer has a root");
    let catalog = tool("qpdf", &[&format!("--show-object={root}"), path(&file)]);
    assert!(catalog.contains("/Lang (en-GB)"), "{catalog}");
}

#[test]
fn bookmarks_are_in_order_nested_and_point_at_their_pages() {
    let (layout, file) = save(&sample::rich(), "rich-outline.pdf");
    let json = tool("qpdf", &["--json", "--json-key=outlines", path(&file)]);
    let json: serde_json::Value = serde_json::from_str(&json).expect("qpdf writes JSON");
    fn walk(items: &serde_json::Value, level: u8, out: &mut Vec<(u8, String, usize)>) {
        for item in items.as_array().into_iter().flatten() {
            let page = item["destpageposfrom1"].as_u64().expect("a bookmark points at a page") as usize;
            out.push((level, item["title"].as_str().expect("a bookmark has words").to_owned(), page));
            walk(&item["kids"], level + 1, out);
        }
    }
    let mut found = Vec::new();
    walk(&json["outlines"], 1, &mut found);
    let expected: Vec<_> =
        layout.outline.iter().map(|entry| (entry.level, entry.text.clone(), entry.page + 1)).collect();
    assert_eq!(found, expected);
}

#[test]
fn attachments_come_out_as_they_went_in() {
    let spec = sample::rich();
    let (_, file) = save(&spec, "rich-attached.pdf");
    let listed = tool("qpdf", &["--list-attachments", path(&file)]);
    assert!(listed.contains("record.ron"), "{listed}");
    let content = tool("qpdf", &["--show-attachment=record.ron", path(&file)]);
    assert_eq!(content.as_bytes(), spec.attachments[0].bytes);
}

#[test]
fn a_photo_is_carried_as_it_is_and_placed_at_its_size() {
    let (_, file) = save(&sample::rich(), "rich-photo.pdf");
    let listed = tool("pdfimages", &["-list", path(&file)]);
    let image = listed.lines().nth(2).expect("one image is listed");
    let columns: Vec<&str> = image.split_whitespace().collect();
    // page num type width height color comp bpc enc
    assert_eq!(columns[2..9], ["image", "480", "320", "rgb", "3", "8", "jpeg"], "{listed}");
    // 480 pixels on 190 points are 182 pixels an inch, both ways.
    assert_eq!(columns[12..14], ["182", "182"], "{listed}");
    let bytes = std::fs::read(&file).expect("the file was just written");
    let jpeg = sample::photo().jpeg;
    assert!(bytes.windows(jpeg.len()).any(|window| *window == *jpeg), "the JPEG's bytes are in the file");
}

#[test]
fn a_photo_that_is_no_jpeg_is_refused_with_its_name() {
    let mut photo = sample::photo();
    photo.jpeg = std::sync::Arc::from(&b"not a picture"[..]);
    let spec = DocumentSpec { blocks: vec![Block::image(photo, "")], ..DocumentSpec::new("x", sample::made()) };
    let layout = lay_out(&spec);
    let said = pdf::write(&layout).expect_err("no JPEG").to_string();
    assert!(said.contains("rings on a plain ground") && said.contains("expected an RGB or grey JPEG"), "{said}");
    let said = stemclock::report::raster::page(&layout, 0, 1.0).expect_err("no JPEG").to_string();
    assert!(said.contains("rings on a plain ground"), "{said}");
}

#[test]
fn the_same_document_gives_the_same_bytes() {
    let bytes = || pdf::write(&lay_out(&sample::rich())).expect("the PDF is made");
    assert!(bytes() == bytes());
}

#[test]
fn the_largest_record_stays_small() {
    let layout = lay_out(&sample::long(40));
    assert!(layout.pages.len() >= 10, "{} pages", layout.pages.len());
    let bytes = pdf::write(&layout).expect("the PDF is made");
    assert!(bytes.len() < 150_000, "{} bytes", bytes.len());
}

/// Words that poppler finds with their boxes: the text, its left end, its top and bottom, in points from the top left.
fn boxes(file: &str, page: usize) -> Vec<(String, f32, f32, f32)> {
    let number = page.to_string();
    let read = tool("pdftotext", &["-bbox", "-f", &number, "-l", &number, file, "-"]);
    let words = read.lines().filter_map(|line| line.trim().strip_prefix("<word "));
    words
        .map(|line| {
            let value = |name: &str| -> f32 {
                let from = line.find(&format!("{name}=\"")).expect("poppler names its sides") + name.len() + 2;
                line[from..].split('"').next().expect("a number").parse().expect("a number")
            };
            let text = line.split_once('>').and_then(|(_, rest)| rest.split_once("</word>")).expect("a word").0;
            let text = text.replace("&lt;", "<").replace("&gt;", ">").replace("&quot;", "\"").replace("&amp;", "&");
            (text, value("xMin"), value("yMin"), value("yMax"))
        })
        .collect()
}

#[test]
fn every_word_stands_where_the_layout_put_it() {
    let mut compared = 0;
    for (spec, name) in [(sample::rich(), "rich-places.pdf"), (sample::long(6), "long-places.pdf")] {
        let (layout, file) = save(&spec, name);
        for (index, page) in layout.pages.iter().enumerate() {
            // Where each letter of the layout begins.
            let letters: Vec<(String, f32, f32)> = runs(&page.items)
                .into_iter()
                .flat_map(|run| {
                    let mut x = run.x;
                    run.glyphs
                        .iter()
                        .map(|glyph| {
                            let at = x;
                            x += glyph.advance;
                            (run.cluster(glyph).to_owned(), at, run.y)
                        })
                        .collect::<Vec<_>>()
                })
                .collect();
            for (word, x, top, bottom) in boxes(path(&file), index + 1) {
                let is_there = letters.iter().any(|(letter, at, y)| {
                    !letter.is_empty()
                        && word.starts_with(letter.as_str())
                        && (at - x).abs() < 0.1
                        && top < *y
                        && *y < bottom
                });
                assert!(is_there, "page {} of {name}: {word} at {x} between {top} and {bottom}", index + 1);
                compared += 1;
            }
        }
    }
    assert!(compared > 500, "only {compared} words were compared");
}

#[test]
fn links_lead_to_their_headings_and_nowhere_else() {
    use stemclock::report::block::Span;
    let mut blocks = vec![Block::spans(vec![
        Span::text("see "),
        Span::text("the readings").to_heading("Readings"),
        Span::text(", "),
        Span::text("nowhere").to_heading("No such heading"),
    ])];
    blocks.extend([Block::page_break(), Block::heading(2, "Readings"), Block::paragraph("none")]);
    let spec = DocumentSpec { blocks, ..DocumentSpec::new("links", sample::made()) };
    let (layout, file) = save(&spec, "links.pdf");
    let json: serde_json::Value =
        serde_json::from_str(&tool("qpdf", &["--json=2", "--json-key=qpdf", path(&file)])).expect("qpdf writes JSON");
    let objects = json["qpdf"][1].as_object().expect("objects");
    let links: Vec<_> = objects.values().map(|o| &o["value"]).filter(|v| v["/Subtype"] == "/Link").collect();
    // A link to a heading that is not there leads nowhere and is not written.
    assert_eq!(links.len(), 1, "{links:?}");
    let inside = links.iter().find(|l| l["/Dest"].is_array()).expect("one leads to a page");
    let pages: Vec<&str> = json["qpdf"][1]
        .as_object()
        .expect("objects")
        .iter()
        .filter(|(_, o)| o["value"]["/Type"] == "/Page")
        .map(|(k, _)| k.as_str())
        .collect();
    let target = format!("obj:{}", inside["/Dest"][0].as_str().expect("a page"));
    assert!(pages.contains(&target.as_str()), "{target} in {pages:?}");
    // The area is that of the words, with y up from the page's foot.
    let (run, _) = layout.pages[0].links().next().expect("a link");
    let rect: Vec<f64> =
        inside["/Rect"].as_array().expect("a rectangle").iter().filter_map(serde_json::Value::as_f64).collect();
    assert_eq!(run.text, "the readings");
    assert!((rect[0] - f64::from(run.x)).abs() < 0.02 && (rect[2] - f64::from(run.x + run.width)).abs() < 0.02);
    assert!(rect[1] < f64::from(layout.pages[0].height - run.y) && f64::from(layout.pages[0].height - run.y) < rect[3]);
    assert!(tool("qpdf", &["--check", path(&file)]).contains("No syntax or stream encoding errors found"));
}

#[test]
fn laying_out_can_be_watched_and_stopped() {
    let spec = sample::rich();
    let mut told = Vec::new();
    let layout = stemclock::report::layout::lay_out_watched(&spec, &mut |done, of| {
        told.push((done, of));
        true
    });
    assert_eq!(layout.expect("not stopped").pages.len(), lay_out(&spec).pages.len());
    assert_eq!(told.len(), spec.blocks.len());
    assert_eq!(told.last(), Some(&(spec.blocks.len(), spec.blocks.len())));
    assert!(stemclock::report::layout::lay_out_watched(&spec, &mut |done, _| done < 3).is_none());
}

#[test]
fn mupdf_opens_it_and_reads_the_same_words() {
    let (layout, file) = save(&sample::rich(), "rich-mupdf.pdf");
    // -N: a build without colour profiles would warn of them.
    let read = tool("mutool", &["draw", "-q", "-N", "-F", "text", path(&file)]);
    for run in layout.pages.iter().flat_map(|page| runs(&page.items)) {
        assert!(bare(&read).contains(&bare(&run.text)), "{}", run.text);
    }
}
