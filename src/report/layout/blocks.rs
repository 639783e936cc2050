//! Each kind of block to slabs. It must not know pages: where a slab ends up is decided in `flow`.

use super::art;
use super::lines::lines;
use super::page::{Area, Placed};
use super::shape::Typesetter;
use super::slab::{Heading, Slab, keep_ends, stack};
use super::style::{self, BODY, BOX_PADDING, CAPTION, FINE, LABEL, Type};
use super::table;
use crate::drawing::shape::{Ink, pt};
use crate::report::block::{Align, Block, BlockKind, Callout, KeyValue, Picture, Span};

/// Lays blocks out, in slabs with x from 0, for a body of the given width and height.
///
/// `go_on` is asked after each block; `None` once it gives false.
pub fn slabs(
    typesetter: &mut Typesetter,
    blocks: &[Block],
    room: (f32, f32),
    go_on: &mut dyn FnMut() -> bool,
) -> Option<Vec<Slab>> {
    let mut all = Vec::new();
    let mut page_break = false;
    for block in blocks {
        if !go_on() {
            return None;
        }
        if typesetter.is_spent() {
            break;
        }
        if matches!(block.kind, BlockKind::PageBreak) {
            page_break = true;
            continue;
        }
        let mut slabs = of_block(typesetter, block, room);
        if let Some(first) = slabs.first_mut() {
            first.page_break |= std::mem::take(&mut page_break);
        }
        if let Some(last) = slabs.last_mut() {
            last.keep_with_next |= block.keep_with_next;
        }
        all.append(&mut slabs);
    }
    Some(all)
}

fn of_block(typesetter: &mut Typesetter, block: &Block, room: (f32, f32)) -> Vec<Slab> {
    match &block.kind {
        BlockKind::Heading { level, text } => heading(typesetter, *level, text, room.0),
        BlockKind::Paragraph { spans } => paragraph(typesetter, spans, running(spans), room.0),
        BlockKind::Bullets { items } => items
            .iter()
            .enumerate()
            .flat_map(|(i, spans)| bullet(typesetter, spans, i + 1 == items.len(), room.0))
            .collect(),
        BlockKind::KeyValues { pairs, two_up } => key_values(typesetter, pairs, *two_up, room),
        BlockKind::Table(table) => table::slabs(typesetter, table, 0.0, room),
        BlockKind::Figure { drawing, caption } => {
            picture(typesetter, &Picture::Drawing(drawing.clone()), caption, room)
        }
        BlockKind::Image { photo, caption } => picture(typesetter, &Picture::Photo(photo.clone()), caption, room),
        BlockKind::Gallery { pictures, columns } => gallery(typesetter, pictures, *columns, room),
        BlockKind::SideBySide { picture, blocks } => vec![side_by_side(typesetter, picture, blocks, room)],
        BlockKind::Callout(box_) => vec![callout(typesetter, box_, room)],
        BlockKind::Space(height) => {
            vec![Slab::new(if height.is_finite() { height.clamp(0.0, room.1) } else { 0.0 }, Vec::new())]
        }
        BlockKind::PageBreak => Vec::new(),
    }
}

/// A slab a line, so that long text can break over pages; the first two lines and the last two stay together.
fn paragraph(typesetter: &mut Typesetter, spans: &[Span], kind: Type, width: f32) -> Vec<Slab> {
    let set = lines(typesetter, spans, kind, width);
    let count = set.len();
    let mut slabs: Vec<Slab> =
        set.into_iter().map(|line| Slab::new(kind.leading, line.place(0.0, kind.baseline()).collect())).collect();
    for (i, slab) in slabs.iter_mut().enumerate() {
        slab.keep_with_next = i + 1 < count && (i == 0 || i + 2 == count);
    }
    if let Some(last) = slabs.last_mut() {
        last.gap_below = style::PARAGRAPH_GAP;
    }
    slabs
}

/// The type of running text: a paragraph of small spans only is set on a closer line.
fn running(spans: &[Span]) -> Type {
    if !spans.is_empty() && spans.iter().all(|span| span.small) { FINE } else { BODY }
}

fn heading(typesetter: &mut Typesetter, level: u8, text: &str, width: f32) -> Vec<Slab> {
    let (kind, above, below) = style::heading(level);
    let mut slab = stack(paragraph(typesetter, &[Span::text(text).ink(Ink::Strong)], kind, width));
    slab.gap_above = above;
    slab.gap_below = below;
    slab.keep_with_next = true;
    // What the heading lacks is already reported with its lines; the bookmark shows the same words.
    let text = words_of(&slab);
    if !text.is_empty() {
        slab.headings.push(Heading { level: level.clamp(1, 3), text, y: 0.0 });
    }
    vec![slab]
}

fn words_of(slab: &Slab) -> String {
    let words = slab.items.iter().filter_map(|item| match item {
        Placed::Text(run) => Some(run.text.as_str()),
        _ => None,
    });
    words.collect::<Vec<_>>().join(" ")
}

fn bullet(typesetter: &mut Typesetter, spans: &[Span], last: bool, width: f32) -> Vec<Slab> {
    let indent = style::BULLET_INDENT;
    let kind = running(spans);
    let mut slabs = paragraph(typesetter, spans, kind, width - indent);
    for slab in &mut slabs {
        slab.shift(indent, 0.0);
    }
    if let Some(first) = slabs.first_mut() {
        // The point is a drawn dot and not a letter, so copied text stays clean.
        first.items.insert(
            0,
            Placed::Circle {
                centre: pt(3.5, kind.baseline() - kind.size * 0.27),
                radius: 1.4,
                fill: Some(Ink::Line),
                stroke: None,
            },
        );
    }
    if let Some(end) = slabs.last_mut() {
        end.gap_below = if last { style::PARAGRAPH_GAP } else { style::BULLET_GAP };
    }
    slabs
}

fn key_values(typesetter: &mut Typesetter, pairs: &[KeyValue], two_up: bool, room: (f32, f32)) -> Vec<Slab> {
    let width = room.0;
    let per_row = if two_up { 2 } else { 1 };
    let column = if two_up { (width - style::PAIR_GAP) / 2.0 } else { width };
    let label_width = column * if two_up { 0.38 } else { 0.27 };
    let mut slabs = Vec::new();
    for row in pairs.chunks(per_row) {
        let mut items = Vec::new();
        let mut height = BODY.leading;
        for (i, pair) in row.iter().enumerate() {
            let x = i as f32 * (column + style::PAIR_GAP);
            let label = [Span::text(pair.label.as_str()).ink(Ink::Faint)];
            let label = lines(typesetter, &label, LABEL, label_width - style::CELL_SIDE);
            let leading = running(&pair.value).leading;
            let value = lines(typesetter, &pair.value, running(&pair.value), column - label_width);
            let below = |lines: usize, leading: f32| BODY.leading + lines.saturating_sub(1) as f32 * leading;
            height = height.max(below(label.len(), BODY.leading)).max(below(value.len(), leading));
            // Label and value share a baseline although their sizes differ.
            let sides = [(label, x, BODY.leading), (value, x + label_width, leading)];
            for (set, x, leading) in sides {
                for (n, line) in set.into_iter().enumerate() {
                    items.extend(line.place(x, 2.5 + n as f32 * leading + BODY.baseline()));
                }
            }
            let (from, to) = (x, x + column);
            items.push(Placed::Rule {
                from: pt(from, 0.0),
                to: pt(to, 0.0),
                width: style::HAIRLINE,
                ink: style::HAIRLINE_INK,
            });
        }
        let height = height + 5.0;
        for item in &mut items {
            if let Placed::Rule { from, to, .. } = item {
                from.y = height;
                to.y = height;
            }
        }
        slabs.push(Slab::new(height, items));
    }
    keep_ends(&mut slabs, room.1 * style::SHORT_TABLE);
    if let Some(first) = slabs.first_mut() {
        first.gap_above = 2.0;
    }
    if let Some(last) = slabs.last_mut() {
        last.gap_below = style::BLOCK_GAP;
    }
    slabs
}

/// A drawing or photo with its caption, as one slab no taller than the page.
fn picture(typesetter: &mut Typesetter, picture: &Picture, caption: &[Span], room: (f32, f32)) -> Vec<Slab> {
    let faint: Vec<Span> = caption
        .iter()
        .map(|span| if span.ink == Ink::Line { span.clone().ink(Ink::Faint) } else { span.clone() })
        .collect();
    let mut words = paragraph(typesetter, &faint, CAPTION, room.0);
    for slab in &mut words {
        slab.gap_below = 0.0;
    }
    let words = stack(words);
    let between = if words.height > 0.0 { 5.0 } else { 0.0 };
    // A caption longer than half a page leaves the picture the other half, and the slab is cut by the page.
    let size = art::picture_size(picture, (room.0, (room.1 - words.height - between).max(room.1 / 2.0)));
    let drawn = art::place_picture(typesetter, picture, pt(0.0, 0.0), size);
    let mut slab = stack(vec![Slab { gap_below: between, ..Slab::new(size.1, vec![drawn]) }, words]);
    slab.gap_above = style::BLOCK_GAP / 2.0;
    slab.gap_below = style::BLOCK_GAP;
    vec![slab]
}

/// A slab a row, with the captions below their pictures.
fn gallery(
    typesetter: &mut Typesetter,
    pictures: &[(Picture, Vec<Span>)],
    columns: usize,
    room: (f32, f32),
) -> Vec<Slab> {
    // More than this many would be narrower than their captions' words.
    let columns = columns.clamp(1, 6);
    let width = (room.0 - style::SIDE_GAP * (columns - 1) as f32) / columns as f32;
    let mut rows = Vec::new();
    for row in pictures.chunks(columns) {
        let mut whole = Slab { gap_above: style::BLOCK_GAP / 2.0, gap_below: style::BLOCK_GAP, ..Slab::default() };
        for (i, (one, caption)) in row.iter().enumerate() {
            let mut cell = stack(picture(typesetter, one, caption, (width, room.1)));
            cell.shift(i as f32 * (width + style::SIDE_GAP), 0.0);
            whole.height = whole.height.max(cell.height);
            whole.items.append(&mut cell.items);
        }
        rows.push(whole);
    }
    rows
}

fn side_by_side(typesetter: &mut Typesetter, picture: &Picture, blocks: &[Block], room: (f32, f32)) -> Slab {
    // The picture takes at most two fifths, so that the words keep a readable line.
    let size = art::picture_size(picture, (room.0 * 0.4, room.1));
    let indent = if size.0 > 0.0 { size.0 + style::SIDE_GAP } else { 0.0 };
    let mut right = stack(slabs(typesetter, blocks, (room.0 - indent, room.1), &mut || true).unwrap_or_default());
    right.shift(indent, 0.0);
    let picture = art::place_picture(typesetter, picture, pt(0.0, 0.0), size);
    right.items.insert(0, picture);
    Slab { height: right.height.max(size.1), gap_above: style::BLOCK_GAP / 2.0, gap_below: style::BLOCK_GAP, ..right }
}

fn callout(typesetter: &mut Typesetter, callout: &Callout, room: (f32, f32)) -> Slab {
    let title = if callout.banner { style::BANNER_TITLE } else { style::CALLOUT_TITLE };
    let mark_height = if callout.banner { 38.0 } else { title.leading };
    let left = style::BAR + BOX_PADDING;
    let mut items = Vec::new();
    let mut indent = left;
    let mut mark_bottom: f32 = 0.0;
    if let Some(mark) = &callout.mark {
        let size = art::drawing_size(mark, (room.0 / 4.0, mark_height));
        items.push(art::place_drawing(typesetter, mark, pt(left, BOX_PADDING), size));
        indent += size.0 + if callout.banner { 12.0 } else { 6.0 };
        mark_bottom = size.1;
    }
    let width = room.0 - indent - BOX_PADDING;
    let mut parts = Vec::new();
    if !callout.title.is_empty() {
        let mut words =
            stack(paragraph(typesetter, &[Span::text(callout.title.as_str()).ink(Ink::Strong)], title, width));
        words.gap_below = 2.0;
        parts.push(words);
    }
    for spans in &callout.text {
        let mut words = stack(paragraph(typesetter, spans, BODY, width));
        words.gap_below = 4.0;
        parts.push(words);
    }
    let mut words = stack(parts);
    words.shift(indent, BOX_PADDING);
    let height = words.height.max(mark_bottom) + 2.0 * BOX_PADDING;
    let background = Area { x: 0.0, y: 0.0, width: room.0, height };
    let bar = Area { width: style::BAR, ..background };
    let mut all = vec![Placed::Rect { area: background, ink: Ink::Wash }, Placed::Rect { area: bar, ink: callout.ink }];
    all.append(&mut items);
    all.append(&mut words.items);
    Slab { gap_above: style::BLOCK_GAP / 2.0, gap_below: style::BLOCK_GAP, ..Slab::new(height, all) }
}

/// Words at the right end of a width, on one line: used by heads and feet.
pub fn end_aligned(
    typesetter: &mut Typesetter,
    text: &str,
    kind: Type,
    x: f32,
    width: f32,
    align: Align,
) -> Vec<Placed> {
    let spans = [Span::text(text).ink(Ink::Faint)];
    let set = lines(typesetter, &spans, kind, f32::INFINITY);
    set.into_iter()
        .take(1)
        .flat_map(|line| {
            let start = x + line.start(width, align);
            line.place(start, 0.0)
        })
        .collect()
}
