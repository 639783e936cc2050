//! What the layout promises, read from the pages themselves.

use proptest::prelude::*;
use stemclock::drawing::shape::Ink;
use stemclock::report::block::{Align, Block, Cell, Column, DocumentSpec, Paper, Picture, Span, Table};
use stemclock::report::layout::{Layout, Placed, TextRun, dump, lay_out};

use crate::sample;

/// All words of a page in order, those in drawings included.
pub fn runs(items: &[Placed]) -> Vec<&TextRun> {
    items
        .iter()
        .flat_map(|item| match item {
            Placed::Text(run) => vec![run],
            Placed::Drawing { items, .. } => runs(items),
            _ => Vec::new(),
        })
        .collect()
}

fn texts(layout: &Layout, page: usize) -> Vec<&str> {
    runs(&layout.pages[page].items).into_iter().map(|run| run.text.as_str()).collect()
}

fn spec(blocks: Vec<Block>) -> DocumentSpec {
    DocumentSpec { blocks, ..DocumentSpec::new("test", sample::made()) }
}

/// Every number of every item, so that a test can ask whether they are numbers and on the page.
fn numbers(items: &[Placed], out: &mut Vec<f32>) {
    for item in items {
        let (top, bottom) = item.extent();
        out.extend([top, bottom]);
        match item {
            Placed::Text(run) => {
                out.extend([run.x, run.y, run.size, run.width]);
                out.extend(run.glyphs.iter().flat_map(|glyph| [glyph.advance, glyph.dx, glyph.dy]));
            }
            Placed::Path { points, .. } => out.extend(points.iter().flat_map(|p| [p.x, p.y])),
            Placed::Circle { centre, radius, .. } => out.extend([centre.x, centre.y, *radius]),
            Placed::Rect { area, .. } | Placed::Photo { area, .. } => out.extend([area.x, area.width, area.height]),
            Placed::Rule { from, to, width, .. } => out.extend([from.x, to.x, *width]),
            Placed::Drawing { area, items, .. } => {
                out.extend([area.x, area.width, area.height]);
                numbers(items, out);
            }
        }
    }
}

fn assert_sound(layout: &Layout) {
    assert!(!layout.pages.is_empty());
    for page in &layout.pages {
        let mut all = Vec::new();
        numbers(&page.items, &mut all);
        assert!(all.iter().all(|n| n.is_finite()), "a number is missing");
    }
}

#[test]
fn rich_document_looks_as_it_did() {
    insta::assert_snapshot!(dump(&lay_out(&sample::rich())));
}

#[test]
fn every_page_says_its_number_and_how_many_there_are() {
    let layout = lay_out(&sample::long(12));
    let count = layout.pages.len();
    assert!(count >= 3, "{count} pages");
    for page in 0..count {
        let texts = texts(&layout, page);
        let label = format!("page {} of {count}", page + 1);
        assert_eq!(texts.iter().filter(|text| **text == label).count(), 1, "{label}");
        assert_eq!(texts[0], "Workshop Standard 400", "the head comes first in reading order");
    }
}

#[test]
fn a_table_repeats_its_head_on_each_page_and_loses_no_row() {
    let layout = lay_out(&spec(vec![Block::table(sample::readings(80))]));
    assert!(layout.pages.len() >= 3);
    let mut all = String::new();
    for page in 0..layout.pages.len() {
        let texts = texts(&layout, page);
        assert_eq!(texts.iter().filter(|text| **text == "Source of the limit").count(), 1, "page {page}");
        // Words that broke over lines are joined again.
        all.push_str(&texts.join(" "));
    }
    for row in 1..=80 {
        assert_eq!(all.matches(&format!(" no. {row} ")).count(), 1, "row {row}");
    }
}

#[test]
fn a_heading_never_stands_alone_at_the_foot_of_a_page() {
    // Wherever the page ends, the heading goes with the first two lines of what follows.
    for lead in 0..60 {
        let mut blocks = vec![Block::space(400.0 + 7.0 * lead as f32)];
        blocks.push(Block::heading(2, "Heading"));
        blocks.push(Block::paragraph("words and more words ".repeat(30)));
        let layout = lay_out(&spec(blocks));
        let page = (0..layout.pages.len()).find(|page| texts(&layout, *page).contains(&"Heading"));
        let page = page.expect("the heading is on a page");
        let body = texts(&layout, page).into_iter().filter(|text| text.contains("more words"));
        assert!(body.count() >= 2, "lead {lead}");
    }
}

#[test]
fn blocks_marked_so_stay_on_the_page_of_the_next_one() {
    for lead in 0..40 {
        let blocks = vec![
            Block::space(480.0 + 6.0 * lead as f32),
            Block::paragraph("label").keep_with_next(),
            Block::paragraph("second label").keep_with_next(),
            Block::table(Table {
                columns: vec![Column::left(1.0)],
                head: vec![Cell::text("head")],
                rows: vec![vec![Cell::text("row")], vec![Cell::text("next row")]],
            }),
        ];
        let layout = lay_out(&spec(blocks));
        let with = |word: &str| (0..layout.pages.len()).find(|page| texts(&layout, *page).contains(&word));
        assert!(with("row").is_some());
        assert_eq!(with("label"), with("row"), "lead {lead}");
        assert_eq!(with("second label"), with("row"), "lead {lead}");
        assert_eq!(with("head"), with("row"), "lead {lead}");
    }
}

#[test]
fn a_finding_is_kept_with_its_picture() {
    for lead in 0..20 {
        let layout = lay_out(&spec(vec![Block::space(500.0 + 10.0 * lead as f32), sample::finding(1)]));
        for page in &layout.pages {
            let drawings = page.items.iter().filter(|item| matches!(item, Placed::Drawing { .. })).count();
            let heading = runs(&page.items).iter().filter(|run| run.text.starts_with("Finding 1")).count();
            assert_eq!(drawings, heading, "lead {lead}");
        }
    }
}

#[test]
fn what_the_fonts_lack_is_replaced_in_sight_and_reported() {
    let layout = lay_out(&spec(vec![Block::paragraph("Plate 東京 and 東"), Block::heading(2, "Bell \u{7}")]));
    let all = texts(&layout, 0).join("\n");
    assert!(all.contains("Plate \u{fffd}\u{fffd} and \u{fffd}"), "{all}");
    let found: Vec<_> = layout.missing.iter().map(|missing| (missing.character, missing.count)).collect();
    assert_eq!(found, [('\u{7}', 1), ('京', 1), ('東', 2)]);
    for run in runs(&layout.pages[0].items) {
        assert!(run.glyphs.iter().all(|glyph| glyph.id != 0), "{}", run.text);
    }
}

#[test]
fn greek_cyrillic_and_polish_names_are_set_whole() {
    let names = ["Żółć Gęślą Jaźń", "Νίκος Παπαδόπουλος", "Щерба Олексій Їжак", "Ђорђе Њего"];
    let layout = lay_out(&spec(names.map(Block::paragraph).to_vec()));
    assert!(layout.missing.is_empty(), "{:?}", layout.missing);
    for name in names {
        assert!(texts(&layout, 0).contains(&name), "{name}");
    }
}

#[test]
fn a_long_word_wraps_inside_its_column_and_keeps_every_letter() {
    let word = "Donaudampfschifffahrtsgesellschaft".repeat(12);
    let table = Table {
        columns: vec![Column::left(1.0), Column::left(2.0)],
        head: Vec::new(),
        rows: vec![vec![Cell::text("narrow"), Cell::text(word.as_str())]],
    };
    let layout = lay_out(&spec(vec![Block::table(table)]));
    let runs = runs(&layout.pages[0].items);
    let parts: Vec<_> = runs.iter().filter(|run| word.contains(&run.text)).collect();
    assert!(parts.len() > 3);
    assert_eq!(parts.iter().map(|run| run.text.as_str()).collect::<String>(), word);
    let (width, side) = (Paper::A4.size().0, 62.0);
    assert!(parts.iter().all(|run| run.x + run.width <= width - side + 0.1));
}

#[test]
fn decimal_marks_stand_below_each_other() {
    let figures = ["1.4", "34.5", "128.25", "7", "0.125"];
    let rows = figures.iter().map(|figure| vec![Cell::text(*figure)]).collect();
    let table = Table { columns: vec![Column::decimal(1.0)], head: Vec::new(), rows };
    let layout = lay_out(&spec(vec![Block::table(table)]));
    let marks: Vec<f32> = runs(&layout.pages[0].items)
        .into_iter()
        .filter(|run| figures.contains(&run.text.as_str()))
        .map(|run| {
            let before = run.text.find('.').unwrap_or(run.text.len());
            let glyphs = run.glyphs.iter().filter(|glyph| (glyph.start as usize) < before);
            run.x + glyphs.map(|glyph| glyph.advance).sum::<f32>()
        })
        .collect();
    assert_eq!(marks.len(), 5);
    assert!(marks.iter().all(|x| (x - marks[0]).abs() < 0.01), "{marks:?}");
}

#[test]
fn nothing_odd_breaks_the_layout() {
    let odd_columns = |weights: &[f32]| Table {
        columns: weights.iter().map(|weight| Column { weight: *weight, align: Align::Decimal }).collect(),
        head: vec![Cell::text("head that is long"); 9],
        rows: vec![vec![Cell::text("cell with words"); 3], Vec::new(), vec![Cell::text("x"); 30]],
    };
    let drawing = |w, h| stemclock::drawing::shape::Drawing::new(w, h, "odd");
    let blocks = vec![
        Block::table(Table::default()),
        Block::table(odd_columns(&[])),
        Block::table(odd_columns(&[0.0, 0.0])),
        Block::table(odd_columns(&[f32::NAN, -1.0, f32::INFINITY, 1.0])),
        Block::table(odd_columns(&[1.0; 80])),
        Block::paragraph(""),
        Block::spans(Vec::new()),
        Block::heading(0, ""),
        Block::heading(250, "level 250"),
        Block::bullets(Vec::<String>::new()),
        Block::key_values(Vec::<(String, String)>::new(), true),
        Block::key_values([("only", "one")], true),
        Block::space(f32::NAN),
        Block::space(1.0e9),
        Block::page_break(),
        Block::page_break(),
        Block::figure(drawing(f32::NAN, 5.0), "no size"),
        Block::figure(drawing(9000.0, 9000.0), "too large"),
        Block::figure(drawing(0.0, 0.0), "word ".repeat(4000)),
        Block::side_by_side(Picture::Drawing(drawing(300.0, 3000.0)), Vec::new()),
        Block::paragraph("a".repeat(100_000)),
        Block::paragraph(format!("o{}", "\u{301}".repeat(600))),
        Block::callout("tall", "word ".repeat(9000)),
        Block::page_break(),
        Block::gallery(Vec::<(Picture, String)>::new(), 0),
        Block::gallery([(Picture::Drawing(drawing(50.0, 50.0)), "one")], 1000),
    ];
    let layout = lay_out(&spec(blocks));
    assert_sound(&layout);
    let all: String = (0..layout.pages.len()).flat_map(|page| texts(&layout, page)).collect();
    assert!(all.matches('a').count() >= 100_000);
    assert_eq!(lay_out(&spec(Vec::new())).pages.len(), 1, "an empty document has one page");
}

#[test]
fn what_is_taller_than_a_page_goes_on_over_pages_and_stays_inside_the_margins() {
    let tall = "word ".repeat(6000);
    let table = Table {
        columns: vec![Column::left(1.0), Column::left(1.0)],
        head: vec![Cell::text("head"), Cell::text("other")],
        rows: vec![vec![Cell::text(tall.as_str()), Cell::text("beside")]],
    };
    for blocks in [vec![Block::callout("Title", tall.as_str())], vec![Block::table(table)]] {
        let layout = lay_out(&spec(blocks));
        assert!(layout.pages.len() > 2);
        let mut words = 0;
        for page in &layout.pages {
            for run in runs(&page.items) {
                words += run.text.matches("word").count();
                assert!(run.y < page.height - 30.0, "{} at {}", run.text, run.y);
            }
        }
        assert_eq!(words, 6000);
    }
}

#[test]
fn bookmarks_follow_the_headings_in_reading_order() {
    let layout = lay_out(&sample::rich());
    let marks: Vec<_> = layout.outline.iter().map(|entry| (entry.level, entry.text.as_str())).collect();
    assert_eq!(
        marks,
        [
            (1, "Inspection record"),
            (2, "Findings"),
            (3, "Finding 1: cut in the tread, right shoulder"),
            (3, "Finding 2: cut in the tread, right shoulder"),
            (2, "Readings"),
            (2, "Not checked"),
            (2, "Pictures"),
        ]
    );
    for entry in &layout.outline {
        let words: Vec<_> = runs(&layout.pages[entry.page].items);
        let heading = words.iter().find(|run| run.text == entry.text).expect("the heading is on its page");
        assert!(entry.y < heading.y && heading.y < entry.y + 30.0, "{}", entry.text);
    }
}

#[test]
fn letter_and_a4_have_their_sizes() {
    // ISO 216 A4 is 595.28 by 841.89 points and US Letter 612 by 792.
    for (paper, width, height) in [(Paper::A4, 595.28, 841.89), (Paper::Letter, 612.0, 792.0)] {
        let layout = lay_out(&DocumentSpec { paper, ..sample::long(9) });
        for page in &layout.pages {
            assert!((page.width - width).abs() < 0.01 && (page.height - height).abs() < 0.01);
            for run in runs(&page.items) {
                assert!(run.x >= 61.9 && run.x + run.width <= page.width - 61.9, "{}", run.text);
                assert!(run.y > 36.0 && run.y < page.height - 36.0, "{}", run.text);
            }
        }
    }
}

#[test]
fn spans_keep_their_looks() {
    let spans = vec![
        Span::text("plain "),
        Span::text("strong ").strong(),
        Span::text("small ").small(),
        Span::text("faint").ink(Ink::Faint),
    ];
    let layout = lay_out(&spec(vec![Block::spans(spans)]));
    let looks: Vec<_> = runs(&layout.pages[0].items)
        .into_iter()
        .take(4)
        .map(|run| (run.text.trim(), format!("{:?} {} {:?}", run.face, run.size, run.ink)))
        .collect();
    let expected = [
        ("plain", "Regular 10 Line"),
        ("strong", "Bold 10 Line"),
        ("small", "Regular 8.5 Line"),
        ("faint", "Regular 10 Faint"),
    ];
    assert_eq!(looks, expected.map(|(text, look)| (text, look.to_owned())));
}

#[test]
fn a_gallery_sets_pictures_in_rows_with_their_captions() {
    let pictures = (1..=3).map(|n| (Picture::Photo(sample::photo()), format!("caption {n}")));
    let layout = lay_out(&spec(vec![Block::gallery(pictures, 2)]));
    let places: Vec<(f32, f32)> = layout.pages[0]
        .items
        .iter()
        .filter_map(|item| match item {
            Placed::Photo { area, .. } => Some((area.x, area.y)),
            _ => None,
        })
        .collect();
    assert_eq!(places.len(), 3);
    let (a, b, c) = (places[0], places[1], places[2]);
    assert!((a.1 - b.1).abs() < 0.01 && a.0 < b.0, "the first two stand side by side");
    assert!((a.0 - c.0).abs() < 0.01 && a.1 < c.1, "the third begins a row");
    for n in 1..=3 {
        assert!(texts(&layout, 0).contains(&format!("caption {n}").as_str()));
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn no_character_is_lost_whatever_the_text_and_the_width(text in any::<String>(), weight in 0.0_f32..1.0) {
        let table = Table {
            columns: vec![Column::left(weight), Column::left(1.0 - weight)],
            head: Vec::new(),
            rows: vec![vec![Cell::text(text.as_str()), Cell::text("")]],
        };
        // Without heads and feet, the document's only words are the given text, twice.
        let document = DocumentSpec { page_label: String::new(), ..spec(vec![Block::table(table), Block::paragraph(text.as_str())]) };
        let layout = lay_out(&document);
        assert_sound(&layout);
        let printed: String = (0..layout.pages.len()).flat_map(|page| texts(&layout, page)).collect();
        let count = |out: &str, c: char| out.chars().filter(|other| *other == c).count();
        // What only guides line breaking has no shape, and white space may end a line; all else is seen or reported.
        let guides = |c: char| {
            matches!(c, '\u{ad}' | '\u{34f}' | '\u{200b}'..='\u{200f}' | '\u{2060}' | '\u{feff}' | '\u{fe00}'..='\u{fe0f}')
        };
        let mut replaced = count(&text, '\u{fffd}') * 2;
        for c in text.chars().filter(|c| !guides(*c) && (!c.is_whitespace() || c.is_control())) {
            let reported = layout.missing.iter().find(|missing| missing.character == c).map_or(0, |m| m.count);
            let line_end = matches!(c, '\n' | '\r' | '\t' | '\u{85}');
            if reported == 0 && !line_end && c != '\u{fffd}' {
                prop_assert_eq!(count(&printed, c), count(&text, c) * 2, "{:?}", c);
            } else if reported > 0 {
                prop_assert_eq!(reported, count(&text, c) * 2, "{:?}", c);
                replaced += 2;
            }
        }
        prop_assert_eq!(count(&printed, '\u{fffd}'), replaced);
        prop_assert!(stemclock::report::pdf::write(&layout).is_ok());
    }
}
