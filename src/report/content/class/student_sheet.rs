//! A student's sheet, to be handed back: each finding of the key with what became of it, drawn on the faces, false
//! alarms, readings, the verdict, and the time at each station.

use super::told::{
    check, class_cell, field, key_cell, minutes, off, percent, place, score as score_words, weights, what,
};
use super::{ClassInput, about, faces};
use crate::class::{Missed, Outcome, Pairing, PositionSlip, ReadingOutcome, Score, class_figures, words};
use crate::drawing::shape::{Drawing, Ink, pt};
use crate::inspection::{Finding, FindingId};
use crate::report::block::{Block, Cell, Column, DocumentSpec, Span, Table};
use crate::report::content::words::{capital, count, day, value};

/// The sheet of one student.
pub fn student_sheet(input: &ClassInput<'_>, score: &Score) -> DocumentSpec {
    let name = capital(&input.roster.name(&score.sheet));
    let exercise = &input.course.exercise;
    let mut spec = about::document(
        input,
        format!("{}: {name}", exercise.title),
        format!("A student's sheet of the class exercise on {}, {}", input.bay.machine.name, day(exercise.date)),
        name,
    );
    spec.blocks = sheet(input, score);
    spec.blocks.extend(about::counting(input));
    spec.blocks.extend(about::end(input));
    spec
}

/// The sheets of all students one after another, each beginning on a new page, to be handed out; how it was counted and
/// the cautions come once, at the end.
pub fn student_sheets(input: &ClassInput<'_>) -> DocumentSpec {
    let exercise = &input.course.exercise;
    let mut spec = about::document(
        input,
        format!("Students' sheets: {}", exercise.title),
        format!("The students' sheets of the class exercise on {}, {}", input.bay.machine.name, day(exercise.date)),
        day(exercise.date),
    );
    for score in &input.results.scores {
        spec.blocks.extend(sheet(input, score));
        spec.blocks.extend(about::what_it_is(input));
        spec.blocks.push(Block::page_break());
    }
    if spec.blocks.is_empty() {
        spec.blocks = vec![Block::heading(1, exercise.title.clone()), Block::paragraph("No sheet to score yet.")];
    }
    spec.blocks.extend(about::counting(input));
    spec.blocks.extend(about::end(input));
    spec
}

fn sheet(input: &ClassInput<'_>, score: &Score) -> Vec<Block> {
    let exercise = &input.course.exercise;
    let mut blocks = vec![
        Block::heading(1, capital(&input.roster.name(&score.sheet))),
        Block::spans(vec![
            Span::text(format!("{} · {} · {}", exercise.title, input.bay.machine.name, day(exercise.date)))
                .ink(Ink::Faint),
        ]),
        summary(input, score),
        Block::key_values(figures(input, score), true),
    ];
    blocks.extend(findings(input, score));
    blocks.extend(alarms(input, score));
    let faces = faces::blocks(input, &[score], &input.results.numbers(), faces::Row::Three);
    if !faces.is_empty() {
        blocks.push(Block::heading(2, "On the wheels"));
        blocks.extend(faces);
    }
    blocks.extend(readings(input, score));
    blocks.extend(times(input, score));
    blocks
}

/// The score and what it hangs on, in a box.
fn summary(input: &ClassInput<'_>, score: &Score) -> Block {
    let of = |outcome| score.pairings.iter().filter(|p| p.outcome == outcome).count();
    let mut words = vec![format!("{} found", of(Outcome::Found))];
    for (n, what) in [
        (of(Outcome::Misplaced), "misplaced"),
        (of(Outcome::OtherName), "named otherwise"),
        (score.missed.len(), "missed"),
    ] {
        if n > 0 {
            words.push(format!("{n} {what}"));
        }
    }
    let alarms = match score.alarms.len() {
        0 => "no false alarm".to_owned(),
        n => count(n, "false alarm"),
    };
    let all = score.pairings.len() + score.missed.len();
    let verdict = if score.decision == score.key_decision {
        format!("The verdict is the key's: {}.", score.decision.words())
    } else {
        format!("The verdict comes to “{}”; the key's is “{}”.", score.decision.words(), score.key_decision.words())
    };
    Block::callout(
        score_words(input, score),
        format!("Of {}: {}; {alarms}. {verdict}", count(all, "finding"), words.join(", ")),
    )
}

fn figures(input: &ClassInput<'_>, score: &Score) -> Vec<(&'static str, String)> {
    let own = class_figures(input.key, &[score]);
    let limit = input.course.exercise.minutes.map(|m| format!(" of {m}")).unwrap_or_default();
    vec![
        ("Recall", percent(score.recall())),
        ("Precision", percent(score.precision())),
        ("Position off, median", off(own.minutes_off, own.millimetres_off)),
        ("Time", score.minutes.map_or_else(|| "not kept".into(), |m| format!("{}{limit} minutes", minutes(m)))),
    ]
}

/// What became of one finding of the key.
enum Fate<'a> {
    Answered(&'a Pairing),
    Missed(&'a Missed),
}

fn findings(input: &ClassInput<'_>, score: &Score) -> Vec<Block> {
    let mut blocks = vec![Block::heading(2, "What there was to find")];
    let numbers = input.results.numbers();
    let mut fates: Vec<(&FindingId, Fate<'_>)> = score.pairings.iter().map(|p| (&p.key, Fate::Answered(p))).collect();
    fates.extend(score.missed.iter().map(|m| (&m.key, Fate::Missed(m))));
    fates.sort_by_key(|(id, _)| numbers.get(*id));
    let rows: Vec<Vec<Cell>> = fates
        .into_iter()
        .filter_map(|(id, fate)| {
            let wanted = input.wanted(id)?;
            let mark = input.key.mark(id);
            let earned = match &fate {
                Fate::Answered(pairing) => pairing.earned,
                Fate::Missed(_) => 0.0,
            };
            Some(vec![
                Cell::text(numbers.get(id).map(ToString::to_string).unwrap_or_default()),
                key_cell(input, wanted, &place(input, wanted), &about::near(&mark)),
                became(input, score, wanted, &fate),
                Cell::text(weights(input, earned, mark.weight)),
            ])
        })
        .collect();
    if rows.is_empty() {
        blocks.push(Block::paragraph("The key holds no finding: nothing was there to be found."));
        return blocks;
    }
    blocks.push(Block::table(Table {
        columns: vec![Column::right(0.5), Column::left(4.7), Column::left(4.3), Column::right(1.1)],
        head: ["No.", "In the key", "On your sheet", "Earned"].map(Cell::strong).into(),
        rows,
    }));
    blocks
}

fn became(input: &ClassInput<'_>, score: &Score, wanted: &Finding, fate: &Fate<'_>) -> Cell {
    let pairing = match fate {
        Fate::Missed(missed) => return Cell::Text(vec![Span::text(capital(words::missed_words(missed))).strong()]),
        Fate::Answered(pairing) => *pairing,
    };
    let mut spans = vec![Span::text(capital(&words::pairing_words(pairing))).strong()];
    if let Some(written) = input.written(score, &pairing.found) {
        let own = match pairing.outcome {
            Outcome::OtherName => format!("{}, {}", what(input, written), place(input, written)),
            _ if written.place == wanted.place => String::new(),
            _ => place(input, written),
        };
        if !own.is_empty() {
            spans.push(Span::text(format!("\nWritten: {own}")).small());
        }
    }
    spans.extend(advice(pairing).map(|words| Span::text(format!("\n{words}")).small().ink(Ink::Faint)));
    Cell::Text(spans)
}

/// What to mind the next time, for the slips that have one cause.
fn advice(pairing: &Pairing) -> Option<&'static str> {
    pairing.nearness.slips.iter().find_map(|slip| match slip {
        PositionSlip::Mirrored => Some(
            "The clock runs clockwise from the valve as seen from the side that is named: say which side you stand on.",
        ),
        PositionSlip::OtherSide => {
            Some("Left and right are the machine's, as the rider sits, from whatever side you look.")
        }
        PositionSlip::NotGiven => Some("Without a clock position nobody finds it again."),
        PositionSlip::OtherZone | PositionSlip::Far => None,
    })
}

fn alarms(input: &ClassInput<'_>, score: &Score) -> Vec<Block> {
    if score.alarms.is_empty() {
        return Vec::new();
    }
    let rows = score.alarms.iter().filter_map(|alarm| {
        let written = input.written(score, &alarm.found)?;
        let title = check(input, &written.check);
        Some(vec![
            class_cell(alarm.severity),
            Cell::Text(vec![
                Span::text(what(input, written)).strong(),
                Span::text(format!("\n{title} · {}", place(input, written))).small(),
            ]),
        ])
    });
    vec![
        Block::heading(2, "False alarms"),
        Block::paragraph("What stands on your sheet and not in the key. Each costs what the key says."),
        Block::table(Table {
            columns: vec![Column::left(1.4), Column::left(6.6)],
            head: ["Class", "What and where"].map(Cell::strong).into(),
            rows: rows.collect(),
        }),
    ]
}

fn readings(input: &ClassInput<'_>, score: &Score) -> Vec<Block> {
    if score.readings.is_empty() {
        return Vec::new();
    }
    let rows = score.readings.iter().zip(&input.key.readings).map(|(reading, mark)| {
        let field = field(input, &reading.check, &reading.field);
        let shown =
            |v: Option<&crate::inspection::Value>| v.map_or_else(|| "–".into(), |v| value(v, field, input.units));
        let label = field.map_or_else(|| reading.field.clone(), |f| f.label.clone());
        let outcome = match reading.outcome {
            ReadingOutcome::Right => Cell::text("right"),
            _ => Cell::strong(words::reading_words(reading)),
        };
        vec![
            Cell::Text(vec![
                Span::text(check(input, &reading.check)).strong(),
                Span::text(format!("\n{}", capital(&label))).small(),
            ]),
            Cell::text(shown(reading.key.as_ref())),
            Cell::text(shown(reading.read.as_ref())),
            Cell::text(mark.within.as_ref().map_or_else(|| "the same".into(), |v| format!("± {}", shown(Some(v))))),
            outcome,
            Cell::text(weights(input, reading.earned, mark.weight)),
        ]
    });
    vec![
        Block::heading(2, "Readings"),
        Block::table(Table {
            columns: vec![
                Column::left(2.6),
                Column::left(1.6),
                Column::left(1.6),
                Column::left(1.1),
                Column::left(1.6),
                Column::right(1.0),
            ],
            head: ["Reading", "The key's", "Yours", "Allowed", "Comes to", "Earned"].map(Cell::strong).into(),
            rows: rows.collect(),
        }),
    ]
}

fn times(input: &ClassInput<'_>, score: &Score) -> Vec<Block> {
    if score.stations.is_empty() {
        return Vec::new();
    }
    let medians = &input.results.figures.stations;
    let longest = score.stations.values().chain(medians.values()).copied().fold(0.0, f64::max);
    let rows = score.stations.iter().map(|(station, own)| {
        let median = medians.get(station).copied();
        vec![
            Cell::text(capital(station.word())),
            Cell::text(minutes(*own)),
            Cell::text(median.map_or_else(|| "–".into(), minutes)),
            Cell::Drawing(bar(*own, median, longest)),
        ]
    });
    let mut blocks = vec![
        Block::heading(2, "Where the time went"),
        Block::table(Table {
            columns: vec![Column::left(2.0), Column::right(1.0), Column::right(1.2), Column::left(4.6)],
            head: ["Station, minutes", "You", "The class", ""].map(Cell::strong).into(),
            rows: rows.collect(),
        }),
        Block::spans(vec![
            Span::text(
                "The bar is yours, the stroke across it the median of the class. The time up to an answer belongs to the \
                 station of that answer.",
            )
            .small()
            .ink(Ink::Faint),
        ]),
    ];
    if let (Some(limit), Some(took)) = (input.course.exercise.minutes, score.minutes)
        && took > f64::from(limit)
    {
        blocks.push(Block::paragraph(format!("The walk took {} minutes; there were {limit}.", minutes(took))));
    }
    blocks
}

/// A bar of minutes, with a stroke where the class is in the middle.
fn bar(own: f64, median: Option<f64>, longest: f64) -> Drawing {
    const WIDE: f32 = 230.0;
    const HIGH: f32 = 9.0;
    let at = |minutes: f64| if longest > 0.0 { (minutes / longest) as f32 * (WIDE - 4.0) } else { 0.0 };
    let mut drawing = Drawing::new(WIDE, HIGH, format!("{} minutes", minutes(own)));
    let (to, low) = (at(own).max(0.8), HIGH - 1.5);
    drawing.area(vec![pt(0.0, 1.5), pt(to, 1.5), pt(to, low), pt(0.0, low)], Some(Ink::Metal), None);
    if let Some(median) = median {
        let x = at(median) + 1.0;
        drawing.line(pt(x, 0.0), pt(x, HIGH), crate::drawing::shape::Stroke::solid(Ink::Accent, 1.4));
    }
    drawing
}
