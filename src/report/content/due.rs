//! What falls due over all machines, as the garage's sheet says it: overdue first, then by day; what is far off is only
//! counted.

use super::kinds::ReportCx;
use super::words::capital;
use crate::drawing::shape::Ink;
use crate::forecast::{Due, When, due};
use crate::report::block::{Block, Cell, Column, Span, Table};

/// The list, with how much more there is later.
pub(super) fn blocks(cx: &ReportCx<'_>) -> Vec<Block> {
    let all = due(cx.garage, cx.catalogue, cx.today);
    let mut blocks = vec![Block::heading(2, "What falls due")];
    let (near, later): (Vec<&Due>, Vec<&Due>) =
        all.iter().partition(|d| matches!(d.when, When::Overdue | When::WithinAYear | When::Unknown));
    if near.is_empty() {
        blocks.push(Block::paragraph("By what is on record nothing is overdue and nothing falls due within a year."));
    } else {
        blocks.push(Block::table(Table {
            columns: vec![Column::left(1.9), Column::left(1.4), Column::left(4.2)],
            head: ["When", "Machine", "What, and why then"].map(Cell::strong).into(),
            rows: near.iter().map(|item| row(cx, item)).collect(),
        }));
    }
    let mut rest = "What wears is an estimate: measure before you rely on it.".to_owned();
    if !later.is_empty() {
        let verb = if later.len() == 1 { "falls" } else { "fall" };
        rest.push_str(&format!(
            " {} more {verb} due later, or by a distance for which no day can be given.",
            later.len()
        ));
    }
    blocks.push(Block::spans(vec![Span::text(rest).small()]));
    blocks
}

fn row(cx: &ReportCx<'_>, item: &Due) -> Vec<Cell> {
    let when = Span::text(capital(&item.by_words(&cx.garage.info.units)));
    let when = if item.when == When::Overdue { when.strong() } else { when };
    let why = format!("\n{} ({})", item.why, item.source);
    vec![
        Cell::Text(vec![when]),
        Cell::text(item.name.clone()),
        Cell::Text(vec![Span::text(item.what.clone()), Span::text(why).small().ink(Ink::Faint)]),
    ]
}
