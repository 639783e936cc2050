//! The class report, for the instructor: every student in a row, what the class comes to, what was missed most and
//! where, where the time went, and which sheets were left out.

use super::told::{finding_cell, minutes, off, percent, score, share};
use super::{ClassInput, about, faces, plan};
use crate::class::{Score, class_figures, words};
use crate::drawing::shape::Ink;
use crate::report::block::{Block, Cell, Column, DocumentSpec, Span, Table};
use crate::report::content::words::{capital, count, day};

/// The report of a class.
pub fn class_report(input: &ClassInput<'_>) -> DocumentSpec {
    let exercise = &input.course.exercise;
    let machine = &input.bay.machine.name;
    let subject = format!("Scores of the class exercise on {machine}, {}", day(exercise.date));
    let mut spec = about::document(input, format!("Class report: {}", exercise.title), subject, day(exercise.date));
    spec.blocks = vec![
        Block::heading(1, exercise.title.clone()),
        Block::spans(vec![Span::text(format!("Class report · {machine} · {}", day(exercise.date))).ink(Ink::Faint)]),
        Block::key_values(about::exercise(input), true),
    ];
    spec.blocks.extend(about::planted(input));
    if input.results.scores.is_empty() {
        spec.blocks.push(Block::callout(
            "No sheet to score yet",
            "Send the students' pack out, and take the sheets in that come back.",
        ));
    } else {
        spec.blocks.extend(students(input));
        spec.blocks.extend(figures(input));
        spec.blocks.extend(missed(input));
        spec.blocks.extend(times(input));
    }
    spec.blocks.extend(left_out(input));
    spec.blocks.extend(about::counting(input));
    spec.blocks.extend(about::end(input));
    spec
}

fn students(input: &ClassInput<'_>) -> Vec<Block> {
    let rows = input.results.scores.iter().map(|s| {
        let own = class_figures(input.key, &[s]);
        vec![
            Cell::strong(capital(&input.roster.name(&s.sheet))),
            Cell::text(score(input, s)),
            Cell::text(percent(s.recall())),
            Cell::text(percent(s.precision())),
            Cell::text(off(own.minutes_off, own.millimetres_off)),
            Cell::text(s.alarms.len().to_string()),
            Cell::text(readings(s)),
            Cell::text(if s.decision == s.key_decision { "right".to_owned() } else { s.decision.words().to_owned() }),
            Cell::text(s.minutes.map_or_else(|| "–".into(), minutes)),
        ]
    });
    vec![
        Block::heading(2, "The students"),
        Block::table(Table {
            columns: vec![
                Column::left(1.35),
                Column::left(2.0),
                Column::right(1.05),
                Column::right(1.4),
                Column::right(1.85),
                Column::right(0.95),
                Column::right(1.4),
                Column::left(1.75),
                Column::right(0.95),
            ],
            head: ["Student", "Score", "Recall", "Precision", "Position off", "False", "Readings", "Verdict", "Time"]
                .map(Cell::strong)
                .into(),
            rows: rows.collect(),
        }),
    ]
}

/// How many readings are right, of how many that are marked.
fn readings(score: &Score) -> String {
    let (right, marked) = score.readings_right();
    if marked == 0 { "–".into() } else { format!("{right} of {marked}") }
}

fn figures(input: &ClassInput<'_>) -> Vec<Block> {
    let f = &input.results.figures;
    let severity = f.severity.map_or_else(
        || "cannot be told: too few pairs, or all of one class".to_owned(),
        |k| format!("{}, over {}", words::kappa_words(k.value, k.interval), count(k.count as usize, "pair")),
    );
    let mut pairs = vec![
        ("Sheets scored", format!("{}, {} left out", f.sheets, input.results.refused.len())),
        ("Score, median", f.percent.map_or_else(|| "–".into(), |p| format!("{p:.0} %"))),
        ("Recall", share(f.recall.as_ref(), "the key has no finding")),
        ("Precision", share(f.precision.as_ref(), "nobody wrote a finding down")),
        ("Position off, median", off(f.minutes_off, f.millimetres_off)),
        ("Severity, weighted kappa", severity),
        ("Verdict right", format!("{} of {}", f.verdicts_right, f.sheets)),
    ];
    if let Some(median) = f.minutes {
        pairs.push(("Time, median", format!("{} minutes", minutes(median))));
    }
    vec![
        Block::heading(2, "What the class comes to"),
        Block::key_values(pairs, false),
        Block::spans(vec![
            Span::text(
                "Intervals of shares by E. B. Wilson (1927). Kappa with linear weights by J. Cohen (1968), its standard \
                 error by J. L. Fleiss, J. Cohen and B. S. Everitt (1969). Both take each finding of each sheet for one \
                 draw; the answers of one student hang together, so the truth may lie wider.",
            )
            .small()
            .ink(Ink::Faint),
        ]),
    ]
}

fn missed(input: &ClassInput<'_>) -> Vec<Block> {
    let findings = &input.results.figures.findings;
    if findings.is_empty() {
        return Vec::new();
    }
    let numbers = input.results.numbers();
    let rows = findings.iter().filter_map(|of| {
        let finding = input.wanted(&of.key)?;
        Some(vec![
            Cell::text(numbers.get(&of.key).map(ToString::to_string).unwrap_or_default()),
            finding_cell(input, finding, about::near(&input.key.mark(&of.key))),
            Cell::text(of.found.to_string()),
            Cell::text(of.misplaced.to_string()),
            Cell::text(of.other_name.to_string()),
            Cell::text(of.missed.to_string()),
            Cell::text(of.called_sound.to_string()),
        ])
    });
    let table = Table {
        columns: vec![
            Column::right(0.6),
            Column::left(5.6),
            Column::right(1.15),
            Column::right(1.6),
            Column::right(1.1),
            Column::right(1.25),
            Column::right(1.15),
        ],
        head: ["No.", "What and where", "Found", "Misplaced", "Other name", "Missed", "Called sound"]
            .map(Cell::strong)
            .into(),
        rows: rows.collect(),
    };
    let mut blocks = vec![Block::heading(2, "What was missed most"), Block::table(table)];
    let caption = "What somebody does not have as the key asks, misplaced and named otherwise included, where it is on \
                   the machine. The numbers are those of the list above.";
    match plan::block(input, findings, &numbers, caption) {
        Some(plan) => blocks.push(plan),
        None => blocks.push(Block::paragraph("Everybody found everything as the key asks.")),
    }
    let scores: Vec<&Score> = input.results.scores.iter().collect();
    let faces = faces::blocks(input, &scores, &numbers, faces::Row::Two);
    if !faces.is_empty() {
        blocks.push(Block::heading(2, "Where it was placed"));
        blocks.extend(faces);
    }
    blocks
}

fn times(input: &ClassInput<'_>) -> Vec<Block> {
    let medians = &input.results.figures.stations;
    if medians.is_empty() {
        return Vec::new();
    }
    let rows = medians.iter().map(|(station, median)| {
        let own = input.results.scores.iter().filter_map(|s| s.stations.get(station).copied());
        let (least, most) = own.fold((f64::INFINITY, 0.0_f64), |(a, b), m| (a.min(m), b.max(m)));
        vec![
            Cell::text(capital(station.word())),
            Cell::text(minutes(*median)),
            Cell::text(minutes(least)),
            Cell::text(minutes(most)),
        ]
    });
    vec![
        Block::heading(2, "Where the time went"),
        Block::table(Table {
            columns: vec![Column::left(3.0), Column::right(1.2), Column::right(1.2), Column::right(1.2)],
            head: ["Station, minutes", "Median", "Shortest", "Longest"].map(Cell::strong).into(),
            rows: rows.collect(),
        }),
        Block::spans(vec![
            Span::text("The time up to an answer belongs to the station of that answer.").small().ink(Ink::Faint),
        ]),
    ]
}

fn left_out(input: &ClassInput<'_>) -> Vec<Block> {
    if input.results.refused.is_empty() {
        return Vec::new();
    }
    let rows = input.results.refused.iter().map(|refused| {
        vec![
            Cell::strong(capital(&input.roster.name(&refused.sheet))),
            Cell::text(input.roster.sheet(&refused.sheet)),
            Cell::text(capital(&refused.why)),
        ]
    });
    vec![
        Block::heading(2, "Sheets left out"),
        Block::table(Table {
            columns: vec![Column::left(1.6), Column::left(1.6), Column::left(5.0)],
            head: ["Student", "Sheet", "Why"].map(Cell::strong).into(),
            rows: rows.collect(),
        }),
    ]
}
