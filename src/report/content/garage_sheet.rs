//! The whole garage on paper: every machine with where it stands today and why, and what falls due.

use super::kinds::ReportCx;
use super::words::{capital, count, day};
use super::{head, printed};
use crate::drawing::notch::{self, Mark};
use crate::drawing::shape::Ink;
use crate::garage::Bay;
use crate::inspection::Severity;
use crate::report::block::{Block, Cell, Column, DocumentSpec, Ends, Span, Table};
use crate::rules::{Standing, standing};

/// The garage on the day of printing.
pub fn garage(cx: &ReportCx<'_>) -> DocumentSpec {
    let name = &cx.garage.info.name;
    let mut spec = DocumentSpec::new(format!("Garage: {name}"), cx.now);
    spec.subject = format!("Every machine of {name} on {}", day(cx.today));
    spec.paper = cx.paper;
    spec.head = Ends { left: name.clone(), right: day(cx.today) };
    spec.foot = crate::report::content::foot();
    spec.blocks = vec![
        Block::heading(1, name.clone()),
        Block::spans(vec![Span::text(format!("The garage on {}", day(cx.today))).ink(Ink::Faint)]),
    ];
    let (in_use, put_away): (Vec<&Bay>, Vec<&Bay>) = cx.garage.bays.iter().partition(|b| !b.machine.archived);
    if in_use.is_empty() {
        spec.blocks.push(Block::paragraph("No machine is in use."));
    } else {
        let stands: Vec<(&Bay, Standing<'_>)> =
            in_use.into_iter().map(|bay| (bay, standing(bay, cx.catalogue, &cx.garage.info.units, cx.today))).collect();
        spec.blocks.push(overview(cx, &stands));
        spec.blocks.extend(super::due::blocks(cx));
        for (bay, stands) in &stands {
            spec.blocks.extend(one(cx, bay, stands));
        }
    }
    if !put_away.is_empty() {
        let names: Vec<&str> = put_away.iter().map(|b| b.machine.name.as_str()).collect();
        spec.blocks.push(Block::heading(2, "Put away"));
        spec.blocks.push(Block::paragraph(format!("{}.", names.join("; "))));
    }
    spec.blocks.extend(about(cx));
    spec
}

fn overview(cx: &ReportCx<'_>, stands: &[(&Bay, Standing<'_>)]) -> Block {
    let units = &cx.garage.info.units;
    let rows = stands.iter().map(|(bay, stands)| {
        let verdict = stands.verdict.as_ref();
        let mark = verdict.map_or(Mark::Unchecked, |v| head::decision_mark(v.decision));
        let words = verdict.map_or_else(|| "nobody has gone over it".to_owned(), |v| v.words());
        let seen = stands.inspection.map_or_else(|| "–".into(), |i| day(i.date));
        let odometer = bay.odometer_on(cx.today).map_or_else(|| "–".into(), |o| units.show(o));
        let open = |s: Severity| verdict.map_or_else(|| "–".to_owned(), |v| v.count(s).to_string());
        vec![
            Cell::Text(vec![Span::text(bay.machine.name.clone()).strong().to_heading(bay.machine.name.clone())]),
            Cell::Marked(notch::drawing(mark, 10.0), vec![Span::text(words)]),
            Cell::text(seen),
            Cell::text(odometer),
            Cell::text(open(Severity::Dangerous)),
            Cell::text(open(Severity::Major)),
            Cell::text(open(Severity::Minor)),
        ]
    });
    Block::table(Table {
        columns: vec![
            Column::left(2.0),
            Column::left(2.4),
            Column::left(1.7),
            Column::right(1.3),
            Column::right(1.25),
            Column::right(0.8),
            Column::right(0.8),
        ],
        head: ["Machine", "Verdict today", "Last looked at", "Odometer", "Dangerous", "Major", "Minor"]
            .map(Cell::strong)
            .into(),
        rows: rows.collect(),
    })
}

/// A machine with its sentence and its reasons.
fn one(cx: &ReportCx<'_>, bay: &Bay, stands: &Standing<'_>) -> Vec<Block> {
    let mut blocks = vec![Block::heading(2, bay.machine.name.clone())];
    let Some(verdict) = &stands.verdict else {
        blocks.push(Block::paragraph("Nobody has gone over this machine yet, so nothing is known of it."));
        return blocks;
    };
    let region = cx.catalogue.region_applied(&bay.machine).shown();
    blocks.push(Block::spans(vec![
        Span::text(verdict.sentence()),
        Span::text(format!(" Rules applied: {region}.")).ink(Ink::Faint),
    ]));
    if !verdict.because.is_empty() {
        let rows = verdict.because.iter().map(|because| {
            let mark = notch::drawing(Mark::Found(because.severity), 10.0);
            vec![
                Cell::Marked(mark, vec![Span::text(because.severity.word()).strong()]),
                Cell::text(capital(&because.words)),
            ]
        });
        blocks.push(Block::table(Table {
            columns: vec![Column::left(1.0), Column::left(5.8)],
            head: Vec::new(),
            rows: rows.collect(),
        }));
    }
    let open = verdict.required_open.len();
    if open > 0 {
        blocks.push(Block::paragraph(format!("Not checked: {} that the verdict asks for.", count(open, "check"))));
    }
    if let Some(source) = &bay.machine.read_only {
        blocks.push(Block::spans(vec![Span::text(format!("This machine was {source}.")).small().ink(Ink::Faint)]));
    }
    blocks
}

fn about(cx: &ReportCx<'_>) -> Vec<Block> {
    let mut blocks = vec![Block::heading(2, "About this sheet")];
    blocks.push(Block::paragraph(format!(
        "It says where each machine stands on {} by what was recorded. It is not a statement of legal roadworthiness and \
         takes the place of no test that the law asks for. The machine's service manual, the law of the place, and a \
         licensed mechanic or test station go before it. A machine that reads “do not ride” is not ridden, not even to \
         the workshop.",
        day(cx.today)
    )));
    blocks.push(Block::key_values(printed(cx.now), false));
    blocks
}
