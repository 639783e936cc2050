//! Tables to slabs: one slab a row, the head repeated by whichever row begins a page.
//!
//! It must not know other blocks or pages.

use std::rc::Rc;

use super::art;
use super::lines::{Line, lines};
use super::page::Placed;
use super::shape::Typesetter;
use super::slab::{Slab, keep_ends};
use super::style::{self, CELL, CELL_HEAD, CELL_SIDE, CELL_TOP, Type};
use crate::drawing::shape::{Drawing, Ink, pt};
use crate::report::block::{Align, Cell, Column, Table};

/// Lays a table out in the given width from the given left edge. A table without columns takes no room.
pub fn slabs(typesetter: &mut Typesetter, table: &Table, left: f32, room: (f32, f32)) -> Vec<Slab> {
    let columns = spread(&table.columns, left, room.0);
    if columns.is_empty() {
        return Vec::new();
    }
    let right = left + room.0;
    let head = (!table.head.is_empty()).then(|| {
        let cells = set_row(typesetter, &columns, &table.head, CELL_HEAD, room.1);
        let mut slab = row(cells, &columns, CELL_HEAD, &[]);
        slab.items.push(Placed::Rule {
            from: pt(left, slab.height),
            to: pt(right, slab.height),
            width: style::HEAD_RULE,
            ink: Ink::Line,
        });
        slab.keep_with_next = true;
        Rc::new(slab)
    });
    let set: Vec<Vec<Vec<Part>>> = table
        .rows
        .iter()
        .map_while(|cells| (!typesetter.is_spent()).then(|| set_row(typesetter, &columns, cells, CELL, room.1)))
        .collect();
    let decimals: Vec<f32> = (0..columns.len()).map(|i| width_after_mark(&set, i)).collect();

    let mut rows: Vec<Slab> = Vec::new();
    for cells in set {
        let mut slab = row(cells, &columns, CELL, &decimals);
        slab.items.push(Placed::Rule {
            from: pt(left, slab.height),
            to: pt(right, slab.height),
            width: style::HAIRLINE,
            ink: style::HAIRLINE_INK,
        });
        slab.repeated.clone_from(&head);
        rows.push(slab);
    }
    keep_ends(&mut rows, room.1 * style::SHORT_TABLE);
    let mut slabs: Vec<Slab> = head.iter().map(|head| Slab::clone(head)).chain(rows).collect();
    if let Some(first) = slabs.first_mut() {
        first.gap_above = style::BLOCK_GAP / 2.0;
    }
    if let Some(last) = slabs.last_mut() {
        last.gap_below = style::BLOCK_GAP;
        last.keep_with_next = false;
    }
    slabs
}

/// A column's words: left edge, width, and how they stand.
#[derive(Clone, Copy)]
struct Span {
    x: f32,
    width: f32,
    align: Align,
}

/// Shares the width out by weight; each column keeps a least width while there is room for it.
fn spread(columns: &[Column], left: f32, width: f32) -> Vec<Span> {
    let count = columns.len().max(1) as f32;
    let weights: Vec<f32> =
        columns.iter().map(|column| if column.weight.is_finite() { column.weight.max(0.0) } else { 0.0 }).collect();
    let total: f32 = weights.iter().sum();
    let shares = weights.iter().map(|weight| if total > 0.0 { width * weight / total } else { width / count });
    let least = (style::COLUMN_LEAST + 2.0 * CELL_SIDE).min(width / count);
    // Every column gets the least width, and what is left is shared out by how much more each one wished for.
    let beyond: Vec<f32> = shares.map(|share| (share - least).max(0.0)).collect();
    let wished: f32 = beyond.iter().sum();
    let free = width - least * count;
    let mut x = left;
    columns
        .iter()
        .zip(beyond)
        .enumerate()
        .map(|(i, (column, beyond))| {
            let outer = if wished > 0.0 { least + free * beyond / wished } else { width / count };
            let before = if i == 0 { 0.0 } else { CELL_SIDE };
            let after = if i + 1 == columns.len() { 0.0 } else { CELL_SIDE };
            let span = Span { x: x + before, width: (outer - before - after).max(0.0), align: column.align };
            x += outer;
            span
        })
        .collect()
}

/// What stands in a cell, part below part: a drawing with its size, and lines.
struct Part {
    drawing: Option<(Placed, (f32, f32))>,
    indent: f32,
    lines: Vec<Line>,
}

impl Part {
    fn height(&self, kind: Type) -> f32 {
        let drawn = self.drawing.as_ref().map_or(0.0, |(_, size)| size.1);
        drawn.max(self.lines.len() as f32 * kind.leading)
    }
}

/// Sets each cell in its column; cells beyond the last column join the last one.
fn set_row(typesetter: &mut Typesetter, columns: &[Span], cells: &[Cell], kind: Type, height: f32) -> Vec<Vec<Part>> {
    let mut row: Vec<Vec<Part>> = columns.iter().map(|_| Vec::new()).collect();
    for (i, cell) in cells.iter().enumerate() {
        let at = i.min(columns.len() - 1);
        row[at].push(set_cell(typesetter, cell, columns[at].width, kind, height));
    }
    row
}

fn set_cell(typesetter: &mut Typesetter, cell: &Cell, width: f32, kind: Type, height: f32) -> Part {
    let draw = |typesetter: &mut Typesetter, drawing: &Drawing, room: f32| {
        let size = art::drawing_size(drawing, (room, height - 2.0 * CELL_TOP));
        (art::place_drawing(typesetter, drawing, pt(0.0, 0.0), size), size)
    };
    match cell {
        Cell::Text(spans) => Part { drawing: None, indent: 0.0, lines: lines(typesetter, spans, kind, width) },
        Cell::Drawing(drawing) => {
            Part { drawing: Some(draw(typesetter, drawing, width)), indent: 0.0, lines: Vec::new() }
        }
        Cell::Marked(drawing, spans) => {
            let drawn = draw(typesetter, drawing, width / 2.0);
            let indent = drawn.1.0 + style::MARK_GAP;
            Part { drawing: Some(drawn), indent, lines: lines(typesetter, spans, kind, width - indent) }
        }
    }
}

/// The widest part from the decimal mark on, over the one-line cells of a decimal column.
fn width_after_mark(rows: &[Vec<Vec<Part>>], column: usize) -> f32 {
    rows.iter()
        .filter_map(|cells| cells.get(column))
        .filter_map(|parts| one_line(parts))
        .map(|line| line.width - line.width_before_decimal_mark())
        .fold(0.0, f32::max)
}

fn one_line(parts: &[Part]) -> Option<&Line> {
    match parts {
        [part] => match part.lines.as_slice() {
            [line] => Some(line),
            _ => None,
        },
        _ => None,
    }
}

/// A row's cells to a slab; `decimals` holds each column's room from the decimal mark on.
fn row(cells: Vec<Vec<Part>>, columns: &[Span], kind: Type, decimals: &[f32]) -> Slab {
    let content = |parts: &[Part]| parts.iter().map(|part| part.height(kind)).sum::<f32>();
    let height = cells.iter().map(|parts| content(parts)).fold(kind.leading, f32::max) + 2.0 * CELL_TOP;
    let mut items = Vec::new();
    for (i, (parts, column)) in cells.into_iter().zip(columns).enumerate() {
        let decimal = one_line(&parts).filter(|_| column.align == Align::Decimal).map(|line| {
            let after = decimals.get(i).copied().unwrap_or(0.0);
            (column.width - after - line.width_before_decimal_mark()).clamp(0.0, (column.width - line.width).max(0.0))
        });
        let mut top = CELL_TOP;
        for part in parts {
            let part_height = part.height(kind);
            if let Some((mut drawing, size)) = part.drawing {
                let free = column.width - size.0;
                let dx = match column.align {
                    _ if part.indent > 0.0 => 0.0,
                    Align::Left => 0.0,
                    Align::Middle => free / 2.0,
                    Align::Right | Align::Decimal => free,
                };
                // A small mark stands in the middle of the first line; a larger drawing begins at the cell's top.
                let dy = ((kind.leading - size.1) / 2.0).max(0.0);
                drawing.shift(column.x + dx, top + dy);
                items.push(drawing);
            }
            for (n, line) in part.lines.into_iter().enumerate() {
                let start = decimal.unwrap_or_else(|| line.start(column.width - part.indent, column.align));
                let baseline = top + n as f32 * kind.leading + kind.baseline();
                items.extend(line.place(column.x + part.indent + start, baseline));
            }
            top += part_height;
        }
    }
    Slab::new(height, items)
}
