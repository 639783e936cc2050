//! The repair list on paper: strip-downs with what each serves, parts, tools, torque figures, cautions and steps to tick.

use super::head;
use super::kinds::ReportCx;
use super::printed;
use super::words::{capital, count, day};
use crate::drawing::notch::{self, Mark};
use crate::drawing::shape::Ink;
use crate::garage::Bay;
use crate::inspection::CheckRef;
use crate::repair::{Fastener, RepairGroup, RepairItem, repairs as repair_list};
use crate::report::block::{Block, Cell, Column, DocumentSpec, Ends, Span, Table};
use crate::rules::standing;

/// The repair list of a machine on the day of printing.
pub fn repairs(cx: &ReportCx<'_>, bay: &Bay) -> DocumentSpec {
    let name = &bay.machine.name;
    let stands = standing(bay, cx.catalogue, &cx.garage.info.units, cx.today);
    let list = repair_list(bay, &stands, cx.catalogue, None);
    let mut spec = DocumentSpec::new(format!("Repair list: {name}"), cx.now);
    spec.subject = format!("What is to be put right on {name}, {}", day(cx.today));
    spec.paper = cx.paper;
    spec.head = Ends { left: format!("{name} · repair list"), right: day(cx.today) };
    spec.foot = crate::report::content::foot();
    spec.blocks = vec![
        Block::heading(1, name.clone()),
        Block::spans(vec![Span::text(format!("Repair list · {}", day(cx.today))).ink(Ink::Faint)]),
    ];
    match &stands.verdict {
        Some(verdict) => spec.blocks.push(Block::banner(
            notch::drawing(head::decision_mark(verdict.decision), 28.0),
            capital(&verdict.words()),
            verdict.sentence(),
            Ink::Strong,
        )),
        None => spec.blocks.push(Block::paragraph("Nobody has gone over this machine yet, so nothing is known of it.")),
    }
    if list.groups.is_empty() {
        spec.blocks.push(Block::paragraph("There is no job to do: nothing that is open is put right by a strip-down."));
    }
    for group in &list.groups {
        spec.blocks.extend(strip_down(cx, group));
    }
    for (title, items) in [
        ("Waits for the second look", &list.waiting),
        ("Watched, and may wait", &list.watched),
        ("No job of the catalogue puts this right", &list.unplaced),
    ] {
        if !items.is_empty() {
            spec.blocks.push(Block::heading(2, title));
            spec.blocks.push(what_it_serves(items));
        }
    }
    spec.blocks.extend(about(cx));
    spec
}

fn what_it_serves(items: &[RepairItem]) -> Block {
    let rows = items.iter().map(|item| {
        let mark = notch::drawing(Mark::Found(item.severity), 10.0);
        vec![Cell::Marked(mark, vec![Span::text(item.severity.word()).strong()]), Cell::text(capital(&item.words))]
    });
    Block::table(Table { columns: vec![Column::left(1.0), Column::left(5.8)], head: Vec::new(), rows: rows.collect() })
}

fn strip_down(cx: &ReportCx<'_>, group: &RepairGroup) -> Vec<Block> {
    let mut blocks = vec![Block::heading(2, group.title.clone())];
    if group.items.len() > 1 {
        blocks.push(Block::paragraph(format!("One strip-down serves {}.", count(group.items.len(), "finding"))));
    }
    blocks.push(what_it_serves(&group.items));
    let list = |lines: &[String]| if lines.is_empty() { "–".to_owned() } else { lines.join("; ") };
    blocks.push(Block::key_values([("Parts", list(&group.parts)), ("Tools", list(&group.tools))], false));
    blocks.extend(group.cautions.iter().map(|c| Block::callout(c.title.clone(), c.text.clone())));
    blocks.push(torques(cx, &group.fasteners));
    let ticks = [
        ("Before", &group.before),
        ("While it is apart", &group.steps),
        ("To close", &group.close),
        ("Try it", &group.trial),
    ];
    let rows: Vec<Vec<Cell>> = ticks
        .iter()
        .flat_map(|(when, lines)| {
            lines.iter().enumerate().map(move |(i, line)| {
                // The phase is named once, at its first step.
                let when = if i == 0 { *when } else { "" };
                vec![Cell::text("[  ]"), Cell::strong(when), Cell::text(line.clone())]
            })
        })
        .collect();
    if !rows.is_empty() {
        blocks.push(Block::table(Table {
            columns: vec![Column::left(0.5), Column::left(1.4), Column::left(5.8)],
            head: Vec::new(),
            rows,
        }));
    }
    let asked: Vec<String> = group.asks.iter().map(|check| title(cx, check)).collect();
    if !asked.is_empty() {
        blocks.push(Block::paragraph(format!("Asked again after it: {}.", asked.join("; "))));
    }
    blocks
}

fn title(cx: &ReportCx<'_>, check: &CheckRef) -> String {
    let title = cx.catalogue.check(&check.check).map_or(check.check.as_str(), |c| c.title.as_str());
    let part = check.subject.words();
    if part.is_empty() { title.to_owned() } else { format!("{title}, {part}") }
}

/// The machine's own torque figures; where its record holds none, that they are looked up.
fn torques(cx: &ReportCx<'_>, fasteners: &[Fastener]) -> Block {
    if fasteners.is_empty() {
        return Block::paragraph(
            "No torque figure for this work stands in the machine's record: look it up in the service manual.",
        );
    }
    let rows = fasteners.iter().map(|f| {
        vec![
            Cell::text(f.figure.fastener.clone()),
            Cell::strong(cx.garage.info.units.show(f.figure.torque)),
            Cell::text(f.figure.source.to_string()),
            Cell::text("[  ] done    [  ] marked"),
        ]
    });
    Block::table(Table {
        columns: vec![Column::left(2.1), Column::left(0.9), Column::left(2.6), Column::left(1.7)],
        head: ["Fastener", "Torque", "From", "Tick"].map(Cell::strong).into(),
        rows: rows.collect(),
    })
}

fn about(cx: &ReportCx<'_>) -> Vec<Block> {
    let mut blocks = vec![Block::heading(2, "About this list")];
    blocks.push(Block::paragraph(
        "The machine's service manual goes before every line of it, and work on brakes, steering or frame that you have \
         not done before belongs to a licensed mechanic. After the work each finding is looked at again before it is \
         closed. This is not a statement of legal roadworthiness.",
    ));
    blocks.push(Block::key_values(printed(cx.now), false));
    blocks
}
