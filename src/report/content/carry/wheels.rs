//! Blank clock faces from both sides with the tread unrolled below, and grids for what is read round the clock.

use super::super::words::capital;
use super::{Carried, room};
use crate::catalogue::FieldKind;
use crate::clock::{Side, Spot};
use crate::drawing::clock_face::{self, ClockFace};
use crate::drawing::shape::{Drawing, Ink, Shape, Stroke};
use crate::drawing::strip::{self, Strip};
use crate::guide::Leg;
use crate::inspection::Zone;
use crate::machine::Wheel;
use crate::report::block::{Block, Cell, Column, Paper, Picture, Span, Table};

/// The eight positions of a survey.
fn hours(side: Side) -> Vec<String> {
    (0..8).map(|i| Spot::from_side_degrees(f64::from(i) * 45.0, side).time(side).to_string()).collect()
}

/// The faces, strips and grids of each wheel, and the grids of what is round no wheel.
pub(super) fn blocks(carried: &Carried<'_>) -> Vec<Block> {
    let mut blocks = Vec::new();
    for wheel in &carried.input.bay.machine.wheels {
        blocks.push(Block::heading(2, format!("{} wheel", capital(wheel.position.word()))));
        blocks.push(faces(carried, wheel));
        for side in [Side::Left, Side::Right] {
            blocks.push(tread(carried, wheel, side));
        }
        let legs: Vec<_> = carried.checks().filter(|(_, l)| l.check.subject.wheel() == Some(wheel.position)).collect();
        blocks.extend(grids(carried, &legs));
    }
    let legs: Vec<_> = carried.checks().filter(|(_, l)| l.check.subject.wheel().is_none()).collect();
    let rest = grids(carried, &legs);
    if !rest.is_empty() {
        blocks.push(Block::heading(2, "Round chain or belt"));
        blocks.extend(rest);
    }
    blocks
}

fn faces(carried: &Carried<'_>, wheel: &Wheel) -> Block {
    let size = match carried.input.paper {
        Paper::A4 => 160.0,
        Paper::Letter => 150.0,
    };
    let face = |side: Side| {
        let face = ClockFace { wheel, side, parked: None, marks: Vec::new(), size };
        let caption = format!("From the {}", side.word());
        (Picture::Drawing(to_write_on(clock_face::draw(&face))), caption)
    };
    Block::gallery([face(Side::Left), face(Side::Right)], 2)
}

fn tread(carried: &Carried<'_>, wheel: &Wheel, side: Side) -> Block {
    let strip = Strip {
        wheel,
        side,
        width: 470.0,
        height: 70.0,
        marks: Vec::new(),
        depths: Vec::new(),
        wear_bars: Vec::new(),
        parked: None,
        units: carried.input.units,
    };
    Block::figure(to_write_on(strip::draw(&strip)), format!("The tread unrolled, from the {}", side.word()))
}

/// The same drawing in lines alone: what is dark becomes paper with an outline, what was drawn on the dark in paper
/// becomes a line.
fn to_write_on(mut drawing: Drawing) -> Drawing {
    let light = |ink: Ink| if ink == Ink::Paper { Ink::Faint } else { ink };
    let is_area = |ink: Ink| matches!(ink, Ink::Rubber | Ink::Metal | Ink::Wash | Ink::Faint);
    for shape in &mut drawing.shapes {
        match shape {
            Shape::Path { fill, stroke, .. } | Shape::Circle { fill, stroke, .. } => {
                if let Some(ink) = fill.filter(|ink| is_area(*ink)) {
                    *fill = Some(Ink::Paper);
                    if stroke.is_none() && ink != Ink::Wash {
                        *stroke = Some(Stroke::solid(Ink::Faint, 0.4));
                    }
                } else if *fill == Some(Ink::Paper) && stroke.is_none() {
                    *stroke = Some(Stroke::solid(Ink::Faint, 0.4));
                }
                if let Some(stroke) = stroke {
                    stroke.ink = light(stroke.ink);
                }
            }
            Shape::Words { ink, .. } => *ink = light(*ink),
        }
    }
    drawing
}

/// One table for all that is read round the clock on some checks: the zones of the tread, or one line round it.
fn grids(carried: &Carried<'_>, legs: &[(usize, &Leg)]) -> Vec<Block> {
    let side = Side::Right;
    let mut rows = Vec::new();
    for (number, leg) in legs {
        let Some(entry) = carried.input.catalogue.check(&leg.check.check) else { continue };
        for field in &entry.fields {
            let zones: Vec<String> = match field.kind {
                FieldKind::TreadGrid => Zone::TREAD.into_iter().map(|z| format!(", {}", z.words())).collect(),
                FieldKind::DialSurvey | FieldKind::RoundDepth | FieldKind::RoundNumber => vec![String::new()],
                _ => continue,
            };
            let unit = match field.kind {
                FieldKind::RoundNumber => String::new(),
                _ => format!(", {}", carried.input.units.depth_unit().symbol),
            };
            for (i, zone) in zones.iter().enumerate() {
                // The whole name once; below it the zone alone.
                let what = match i {
                    0 => format!("{}: {}{zone}{unit}", leg.title, field.label.to_lowercase()),
                    _ => zone.trim_start_matches(", ").to_owned(),
                };
                let words = vec![Span::text(format!("{number} · ")).strong(), Span::text(what)];
                let mut cells = vec![Cell::Text(words)];
                cells.extend((0..8).map(|_| room(15.0)));
                rows.push(cells);
            }
        }
    }
    if rows.is_empty() {
        return Vec::new();
    }
    let mut head = vec![Cell::strong(format!("Check · from the {}", side.word()))];
    head.extend(hours(side).into_iter().map(Cell::strong));
    let mut columns = vec![Column::left(3.8)];
    columns.extend([Column::middle(1.0); 8]);
    vec![Block::table(Table { columns, head, rows })]
}
