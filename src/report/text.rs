//! Blocks to plain text, for a listing that takes no file: the same words in the same order, without places.
//!
//! It must not know pages or what a report says. Pictures are said by their captions, else by their summaries.

use super::block::{Block, BlockKind, Cell, DocumentSpec, Picture, Span, Table};

/// The document as plain text: headings on lines of their own, a blank line between blocks, no markup.
pub fn plain(spec: &DocumentSpec) -> String {
    let mut out = String::new();
    blocks(&spec.blocks, &mut out);
    let mut text = out.trim().to_owned();
    if !spec.foot.left.trim().is_empty() {
        text.push_str(&format!("\n\n{}.", spec.foot.left.trim()));
    }
    text.push('\n');
    text
}

fn blocks(all: &[Block], out: &mut String) {
    for block in all {
        match &block.kind {
            BlockKind::Heading { text, .. } => part(out, text),
            BlockKind::Paragraph { spans } => part(out, &words(spans)),
            BlockKind::Bullets { items } => {
                let lines: Vec<String> = items.iter().map(|item| format!("- {}", words(item))).collect();
                part(out, &lines.join("\n"));
            }
            BlockKind::KeyValues { pairs, .. } => {
                let lines: Vec<String> = pairs.iter().map(|p| format!("{}: {}", p.label, words(&p.value))).collect();
                part(out, &lines.join("\n"));
            }
            BlockKind::Table(table) => part(out, &rows(table)),
            BlockKind::Figure { caption, drawing } => {
                let caption = words(caption);
                part(out, if caption.trim().is_empty() { &drawing.summary } else { &caption });
            }
            BlockKind::Image { caption, .. } => part(out, &words(caption)),
            BlockKind::Gallery { pictures, .. } => {
                let lines: Vec<String> = pictures.iter().map(|(picture, caption)| shown(picture, caption)).collect();
                part(out, &lines.join("\n"));
            }
            // The picture shows what the words beside it say.
            BlockKind::SideBySide { blocks: beside, .. } => blocks(beside, out),
            BlockKind::Callout(callout) => {
                let lines = std::iter::once(callout.title.clone()).chain(callout.text.iter().map(|spans| words(spans)));
                let lines: Vec<String> = lines.filter(|line| !line.trim().is_empty()).collect();
                part(out, &lines.join("\n"));
            }
            BlockKind::Space(_) | BlockKind::PageBreak => {}
        }
    }
}

fn part(out: &mut String, text: &str) {
    if !text.trim().is_empty() {
        out.push_str(text.trim_end());
        out.push_str("\n\n");
    }
}

fn words(spans: &[Span]) -> String {
    spans.iter().map(|span| span.text.as_str()).collect()
}

fn shown(picture: &Picture, caption: &[Span]) -> String {
    let caption = words(caption);
    let summary = match picture {
        Picture::Drawing(drawing) => &drawing.summary,
        Picture::Photo(photo) => &photo.summary,
    };
    if caption.trim().is_empty() { summary.clone() } else { caption }
}

/// A row a line; each cell after the first with its column's title, so that no reader must count commas.
fn rows(table: &Table) -> String {
    let heads: Vec<String> = table.head.iter().map(cell).collect();
    let line = |row: &Vec<Cell>| {
        let cells = row.iter().enumerate().filter_map(|(i, one)| {
            let text = cell(one).replace('\n', "; ");
            let head = heads.get(i).filter(|head| i > 0 && !head.trim().is_empty());
            (!text.trim().is_empty()).then(|| match head {
                Some(head) => format!("{}: {text}", small(head)),
                None => text,
            })
        });
        format!("- {}", cells.collect::<Vec<_>>().join(", "))
    };
    table.rows.iter().map(line).collect::<Vec<_>>().join("\n")
}

/// A column's title inside a line: its first letter small, the names in it as they are written.
fn small(head: &str) -> String {
    let mut letters = head.chars();
    letters.next().map_or_else(String::new, |first| first.to_lowercase().chain(letters).collect())
}

fn cell(cell: &Cell) -> String {
    match cell {
        Cell::Text(spans) | Cell::Marked(_, spans) => words(spans),
        Cell::Drawing(drawing) => drawing.summary.clone(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::block::Column;

    #[test]
    fn a_table_says_its_columns_titles_in_each_row() {
        let table = Table {
            columns: vec![Column::left(1.0); 3],
            head: ["Part", "Measured", "Left"].map(Cell::strong).into(),
            rows: vec![["Front tyre", "2.4 mm", "1.4 mm"].map(Cell::text).into()],
        };
        assert_eq!(rows(&table), "- Front tyre, measured: 2.4 mm, left: 1.4 mm");
        // The name of a month keeps its capital.
        assert_eq!((small("15 August 2026"), small("Has run")), ("15 August 2026".into(), "has run".into()));
    }

    #[test]
    fn parts_are_parted_by_a_blank_line_and_nothing_else_is() {
        let made = chrono::DateTime::parse_from_rfc3339("2026-11-25T10:00:00+01:00").expect("a moment");
        let mut spec = DocumentSpec::new("t", made);
        spec.blocks = vec![
            Block::heading(1, "Heron"),
            Block::paragraph(""),
            Block::space(40.0),
            Block::key_values([("Odometer", "12,000 km")], true),
            Block::bullets(["one", "two"]),
        ];
        spec.foot.left = "Not a statement of legal roadworthiness".into();
        let text = plain(&spec);
        assert_eq!(text, "Heron\n\nOdometer: 12,000 km\n\n- one\n- two\n\nNot a statement of legal roadworthiness.\n");
    }
}
