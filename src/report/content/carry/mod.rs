//! The carry sheet: the planned walk on paper, for a clipboard. What is ticked and written on it is typed in afterwards in
//! the same order, found again by the sheet's number.
//!
//! ```text
//! rows    the checks of one stop: limit, last value, what is read, boxes
//! wheels  blank clock faces, strips and grids to write on
//! ```
//!
//! Everything is drawn in lines: it is printed in black and white and written on with a pencil.

mod rows;
mod wheels;

use std::collections::BTreeSet;

use super::RecordInput;
use super::words::{capital, count, day, place};
use crate::drawing::shape::{Drawing, Ink, Stroke, pt};
use crate::garage::Bay;
use crate::guide::{Leg, Sheet, Wanted, legs, minutes_words, sheet};
use crate::history::planted;
use crate::report::block::{Block, BlockKind, Callout, Cell, Column, DocumentSpec, Ends, Span, Table};
use crate::rules::Case;
use crate::walk::Reason;

/// A sheet with all that its parts look at.
struct Carried<'a> {
    input: &'a RecordInput<'a>,
    /// The records without the inspection that is to be filled in.
    bay: Bay,
    sheet: Sheet,
    legs: Vec<Leg>,
}

impl<'a> Carried<'a> {
    /// The plan of the inspection's kind for the minutes at hand; none where the catalogue does not have the kind.
    fn of(input: &'a RecordInput<'a>) -> Option<Self> {
        let mut bay = input.bay.clone();
        bay.inspections.retain(|i| i.id != input.inspection.id && i.date <= input.inspection.date);
        bay.events.retain(|e| e.date <= input.inspection.date);
        let kind = input.catalogue.kind(&input.inspection.kind)?;
        let wanted = Wanted {
            kind,
            asks: &input.inspection.asks,
            minutes: input.options.minutes,
            part: input.options.part,
            day: input.inspection.date,
        };
        let sheet = sheet(&bay, input.catalogue, input.units, &wanted);
        let legs = legs(&sheet.plan, &bay.machine);
        Some(Self { input, bay, sheet, legs })
    }
    /// The case that the rules would judge on the day.
    fn case(&self) -> Case<'_> {
        let (machine, inspection) = (&self.bay.machine, self.input.inspection);
        let (catalogue, units) = (self.input.catalogue, self.input.units);
        Case::new(machine, inspection, &self.bay.inspections, catalogue, units, inspection.date)
    }
    /// The checks in order with their numbers.
    fn checks(&self) -> impl Iterator<Item = (usize, &Leg)> {
        self.legs.iter().filter(|l| !l.is_change()).enumerate().map(|(i, l)| (i + 1, l))
    }
}

/// The carry sheet as a document.
pub(super) fn carry(input: &RecordInput<'_>) -> DocumentSpec {
    let machine = &input.bay.machine;
    let mut spec = DocumentSpec::new(format!("Carry sheet: {}", machine.name), input.now);
    spec.paper = input.paper;
    spec.foot = crate::report::content::foot();
    spec.subject = format!("A walk round {} on {}", machine.name, day(input.inspection.date));
    let Some(carried) = Carried::of(input) else {
        spec.head = Ends { left: machine.name.clone(), right: "Carry sheet".into() };
        spec.blocks = vec![
            Block::heading(1, machine.name.clone()),
            Block::paragraph(format!(
                "Expected a kind of inspection of the catalogue, found \"{}\": begin an inspection of another kind.",
                input.inspection.kind
            )),
        ];
        return spec;
    };
    let number = carried.sheet.number.to_string();
    spec.head = Ends { left: format!("{} · carry sheet", machine.name), right: format!("Sheet {number}") };
    spec.blocks.extend(head(&carried, &number));
    spec.blocks.extend(walk(&carried));
    spec.blocks.extend(wheels::blocks(&carried));
    spec.blocks.extend(findings());
    spec.blocks.extend(end(&carried));
    spec
}

fn head(carried: &Carried<'_>, number: &str) -> Vec<Block> {
    let input = carried.input;
    let plan = &carried.sheet.plan;
    let kind = input.catalogue.kind(&input.inspection.kind).map_or("", |k| k.name.as_str());
    let checks = carried.checks().count();
    let mut about = format!("{} in {}", count(checks, "check"), minutes_words(plan.seconds));
    if let Some(minutes) = input.options.minutes {
        about.push_str(&format!(", for {} at hand", count(minutes as usize, "minute")));
    }
    let mut blocks = vec![
        Block::heading(1, input.bay.machine.name.clone()),
        Block::spans(vec![Span::text(format!("Carry sheet · {kind} · {about} · sheet {number}")).ink(Ink::Faint)]),
    ];
    if !planted(input.bay, input.today).is_empty() {
        // How many and where stays out: students may hold this sheet.
        let today = format!("On {} the machine reads: Do not ride, class exercise.", day(input.today));
        blocks.push(Block::callout("Not to be ridden", today));
    }
    if let Some(missing) = plan.missing {
        let text = format!("Every required check is on it, and they take {} more.", minutes_words(missing));
        blocks.push(Block::callout("More than the time at hand", text));
    }
    let unchecked = plan.required_left_out();
    if input.options.part && unchecked > 0 {
        let text = format!(
            "{} not on it for want of time or for the reason at its end, and stays unchecked: the verdict will be \"not \
             yet decided\".",
            if unchecked == 1 { "1 required check is".into() } else { format!("{unchecked} required checks are") }
        );
        blocks.push(Block::callout("Only what fits, most risk first", text));
    }
    let line = "____________________";
    blocks.push(Block::key_values(
        [
            ("Day", day(input.inspection.date)),
            ("By", line.into()),
            ("Odometer", line.into()),
            ("Air", line.into()),
            ("Begun at", line.into()),
            ("Hours at rest", line.into()),
        ],
        true,
    ));
    blocks.push(Block::spans(vec![
        Span::text("S").strong(),
        Span::text(" sound · "),
        Span::text("F").strong(),
        Span::text(" a finding: write it in the list of findings with its clock position · "),
        Span::text("N").strong(),
        Span::text(" not checked: write why. Where nothing is ticked nobody has looked."),
    ]));
    blocks
}

/// The walk, set-up by set-up and station by station.
fn walk(carried: &Carried<'_>) -> Vec<Block> {
    let mut blocks = Vec::new();
    let mut numbers = carried.checks();
    let mut at = 0;
    let legs = &carried.legs;
    let mut set_up = 0;
    let mut told: BTreeSet<String> = BTreeSet::new();
    let mut is_new_set_up = true;
    while at < legs.len() {
        let leg = &legs[at];
        if is_new_set_up || leg.is_change() {
            set_up += 1;
            is_new_set_up = false;
            blocks.extend(set_up_blocks(carried, set_up, leg, &mut told));
            if leg.is_change() {
                at += 1;
                continue;
            }
        }
        let same = |l: &Leg| !l.is_change() && l.station == leg.station && l.setup == leg.setup;
        let until = at + legs[at..].iter().take_while(|l| same(l)).count();
        let stop: Vec<(usize, &Leg)> = numbers.by_ref().take(until - at).collect();
        blocks.push(rows::table(carried, &place(leg.station), &stop));
        at = until;
    }
    blocks
}

/// How the machine is set up, and the cautions that count until it is set up otherwise: the words the first time, later
/// the title, for who has a sheet in hand has read them.
fn set_up_blocks(carried: &Carried<'_>, number: usize, leg: &Leg, told: &mut BTreeSet<String>) -> Vec<Block> {
    let title = match &leg.change {
        Some(change) => format!("{number}. {}", change.trim_end_matches('.')),
        None => format!("{number}. As it stands"),
    };
    let mut blocks = vec![
        Block::heading(2, title),
        Block::spans(vec![Span::text(capital(&leg.setup.words())).small().ink(Ink::Faint)]).keep_with_next(),
    ];
    let ids: Vec<String> = match leg.change {
        Some(_) => leg.cautions.clone(),
        None => crate::guide::cautions_of(&leg.setup).into_iter().map(str::to_owned).collect(),
    };
    for caution in ids.iter().filter_map(|id| carried.input.catalogue.caution(id)) {
        let is_new = told.insert(caution.id.clone());
        let text = if is_new { vec![vec![Span::text(&caution.text).small()]] } else { Vec::new() };
        let callout = Callout { mark: None, title: caution.title.clone(), text, ink: Ink::Strong, banner: false };
        // A caution stands on the page of the first check that it is for.
        blocks.push(Block::from(BlockKind::Callout(callout)).keep_with_next());
    }
    blocks
}

/// An empty box to tick.
fn tick_box(drawing: &mut Drawing, x: f32, y: f32, size: f32) {
    let corners = vec![pt(x, y), pt(x + size, y), pt(x + size, y + size), pt(x, y + size)];
    drawing.area(corners, None, Some(Stroke::solid(Ink::Line, 0.8)));
}

/// Nothing, as high as a line of handwriting.
fn room(height: f32) -> Cell {
    Cell::Drawing(Drawing::new(1.0, height, "room to write"))
}

/// The list of findings, with room for each.
fn findings() -> Vec<Block> {
    let rows = (0..8).map(|_| {
        let mut row: Vec<Cell> = (0..6).map(|_| Cell::text("")).collect();
        row.insert(0, room(20.0));
        row
    });
    vec![
        Block::heading(2, "Findings"),
        Block::table(Table {
            columns: [0.7, 1.2, 1.1, 1.1, 1.5, 3.2, 0.9].map(Column::left).into(),
            head: ["Check", "Wheel, part", "Clock", "Seen from", "Zone", "What is seen", "Size"]
                .map(Cell::strong)
                .into(),
            rows: rows.collect(),
        }),
    ]
}

/// Room for notes, the cautions in full, and what is not on the walk.
fn end(carried: &Carried<'_>) -> Vec<Block> {
    let mut lines = Drawing::new(480.0, 130.0, "lines for notes");
    for i in 1..=5 {
        let y = i as f32 * 26.0 - 1.0;
        lines.line(pt(0.0, y), pt(480.0, y), Stroke::solid(Ink::Faint, 0.5));
    }
    let mut blocks = vec![Block::heading(2, "Notes"), Block::figure(lines, "")];
    let mut ids: Vec<&String> = Vec::new();
    for id in carried.legs.iter().flat_map(|l| &l.cautions) {
        if !ids.contains(&id) {
            ids.push(id);
        }
    }
    let general = "general".to_owned();
    ids.push(&general);
    blocks.push(Block::heading(2, "Cautions"));
    let items = ids.iter().filter_map(|id| carried.input.catalogue.caution(id)).map(|caution| {
        vec![Span::text(format!("{}. ", caution.title)).strong().small(), Span::text(&caution.text).small()]
    });
    blocks.push(Block::from(BlockKind::Bullets { items: items.collect() }));
    let left_out = &carried.sheet.plan.left_out;
    let left: Vec<_> = left_out.iter().filter(|l| l.reason != Reason::NotApplicable).collect();
    if !left.is_empty() {
        blocks.push(Block::heading(2, "Not on this walk"));
        let items = left.iter().map(|l| vec![Span::text(format!("{}: {}", l.title, l.words())).small()]);
        blocks.push(Block::from(BlockKind::Bullets { items: items.collect() }));
    }
    blocks.push(Block::spans(vec![
        Span::text(format!(
            "A sheet to write on is no record: type it in, and the record is made of it. It is not a statement of legal \
             roadworthiness. Made with Stemclock {}.",
            env!("CARGO_PKG_VERSION")
        ))
        .small()
        .ink(Ink::Faint),
    ]));
    blocks
}
