//! How a class was counted, the cautions of what was looked at, and what the paper is not.

use super::ClassInput;
use super::told::weight;
use crate::drawing::notch;
use crate::drawing::shape::Ink;
use crate::exercise::{Mark, ZoneRule};
use crate::history;
use crate::inspection::Severity;
use crate::report::block::{Block, BlockKind, Cell, Column, DocumentSpec, Ends, Span, Table};
use crate::report::content::words::{capital, count, day};
use crate::report::content::{closing, printed};

/// A document of a class: title, head and foot.
pub(super) fn document(input: &ClassInput<'_>, title: String, subject: String, right: String) -> DocumentSpec {
    let mut spec = DocumentSpec::new(title, input.now);
    spec.subject = subject;
    spec.paper = input.paper;
    spec.head = Ends { left: format!("{} · class exercise", input.course.exercise.title), right };
    spec.foot = crate::report::content::foot();
    spec
}

/// What the exercise was: machine, kind, day, time, and how much the key holds.
pub(super) fn exercise(input: &ClassInput<'_>) -> Vec<(&'static str, String)> {
    let exercise = &input.course.exercise;
    let findings = count(input.key.inspection.findings.len(), "finding");
    let readings = count(input.key.readings.len(), "reading");
    vec![
        ("Machine", input.bay.machine.name.clone()),
        ("Day of the class", day(exercise.date)),
        ("Inspection", input.kind_name()),
        ("Time", exercise.minutes.map_or_else(|| "no limit".into(), |m| count(m as usize, "minute"))),
        ("The key holds", format!("{findings}, {readings}")),
        ("Verdict by the key", input.results.key_decision.words().to_owned()),
    ]
}

/// What was planted on the machine and is still in, each with how it is taken out, to be ticked.
pub(super) fn planted(input: &ClassInput<'_>) -> Vec<Block> {
    let list = history::planted(input.bay, input.today);
    if list.is_empty() {
        return Vec::new();
    }
    let rows = list
        .iter()
        .map(|p| vec![Cell::text("[  ]"), Cell::strong(capital(p.what.trim())), Cell::text(capital(p.remove.trim()))]);
    vec![
        Block::banner(
            notch::drawing(notch::Mark::Found(Severity::Dangerous), 28.0),
            "Do not ride, class exercise",
            format!(
                "{} planted for a class and not ticked out. The machine stays off the road until each is out, its place \
                 was looked at again, and that was recorded.",
                match list.len() {
                    1 => "1 defect was".to_owned(),
                    n => format!("{n} defects were"),
                }
            ),
            Ink::Dangerous,
        ),
        Block::table(Table {
            columns: vec![Column::left(0.5), Column::left(3.2), Column::left(4.4)],
            head: ["Out", "What was planted", "How it is taken out"].map(Cell::strong).into(),
            rows: rows.collect(),
        }),
    ]
}

/// How it was counted, in plain words with the key's own figures.
pub(super) fn counting(input: &ClassInput<'_>) -> Vec<Block> {
    let marking = &input.key.marking;
    let share = |part: f64| format!("{:.0} %", 100.0 * part);
    let mut points = vec![
        "Each finding of a sheet is matched to at most one finding of the key, so that what differs in wheel, zone, \
         side, clock position and name is least in all. A pair is made only where it is nearer than none."
            .to_owned(),
        format!(
            "Found: the name counts, and the place is as near as the key asks ({}). Minutes are minutes of the \
             hour-hand clock: sixty to the hour, half a degree each.",
            nearness(input)
        ),
        format!(
            "Of the weight of a finding {} is left for the wrong place, {} for another name in the right place, {} for \
             another severity. A false alarm costs {}; the right verdict is worth {}.",
            share(marking.misplaced),
            share(marking.other_name),
            share(marking.other_severity),
            weight(input, marking.false_alarm),
            weight(input, marking.verdict)
        ),
        "Recall is found by all there was to find, precision found by all that was written down.".to_owned(),
    ];
    if input.key.readings.is_empty() {
        points.push("No reading is marked in this exercise.".into());
    } else {
        points.push("A reading is right within the tolerance that the key gives it.".into());
    }
    vec![Block::heading(2, "How it was counted"), Block::bullets(points)]
}

/// How near the places must be: `± 30 min, zone beside counts`, or that it differs from finding to finding.
fn nearness(input: &ClassInput<'_>) -> String {
    let mut marks = input.key.inspection.findings.iter().map(|f| input.key.mark(&f.id));
    let Some(first) = marks.next() else { return "there is none".into() };
    if marks.all(|m| m.near_minutes == first.near_minutes && m.zone == first.zone) {
        near(&first)
    } else {
        "told beside each finding".into()
    }
}

/// How near one place must be.
pub(super) fn near(mark: &Mark) -> String {
    let zone = match mark.zone {
        ZoneRule::Same => "this zone only",
        ZoneRule::Neighbouring => "zone beside counts",
        ZoneRule::Any => "any zone",
    };
    format!("± {:.0}\u{a0}min, {zone}", mark.near_minutes)
}

/// The cautions of what the exercise looks at, and what this paper is and is not.
pub(super) fn end(input: &ClassInput<'_>) -> Vec<Block> {
    let mut blocks = Vec::new();
    let cautions = closing::cautions(input.catalogue, &input.bay.machine, &input.key.inspection);
    if !cautions.is_empty() {
        blocks.push(Block::heading(2, "Cautions for work on this machine"));
        let items = cautions.into_iter().map(|caution| {
            vec![
                Span::text(format!("{}. ", caution.title)).strong().small(),
                Span::text(format!("{} ", caution.text)).small(),
                Span::text(format!("({})", caution.source)).small().ink(Ink::Faint),
            ]
        });
        blocks.push(Block::from(BlockKind::Bullets { items: items.collect() }));
    }
    blocks.extend(what_it_is(input));
    blocks
}

/// What this paper is and is not.
pub(super) fn what_it_is(input: &ClassInput<'_>) -> Vec<Block> {
    let words = Block::paragraph(
        "It scores a class exercise: what students saw and wrote down, against what the instructor's key holds. It is not \
         a statement of legal roadworthiness, says nothing of the machine on any other day, and entitles nobody to \
         anything. The machine's service manual, the law of the place, and a licensed mechanic or test station go before \
         it. A machine with a defect planted for a class is not ridden until every one is out and has been looked at \
         again.",
    );
    vec![Block::heading(2, "About this sheet"), words, Block::key_values(printed(input.now), false)]
}
