//! The scores as a table for a spreadsheet: one row a student. Must not score.

use super::score::{Outcome, Score};
use super::words;
use crate::exercise::Key;
use crate::guard;

/// How the first line of every table of scores begins, by which an older one is known.
pub const TABLE_BEGINS: &str = "student,earned,out_of,percent,found,misplaced,";

/// The table as the bytes of a CSV file: one row a student, with a column for each finding of the key. Names that a
/// spreadsheet would take for a formula are written as text.
///
/// # Errors
/// What the writer of the table complains of; nothing that a key or a sheet can hold makes it.
pub fn table(key: &Key, scores: &[Score], name: &dyn Fn(&Score) -> String) -> Result<Vec<u8>, String> {
    let fail = |e: &dyn std::fmt::Display| format!("expected a table of the scores, found {e}: try again");
    let mut table = csv::Writer::from_writer(Vec::new());
    let mut head: Vec<String> = [
        "student",
        "earned",
        "out_of",
        "percent",
        "found",
        "misplaced",
        "named_otherwise",
        "missed",
        "false_alarms",
        "recall",
        "precision",
        "readings_right",
        "readings",
        "verdict",
        "verdict_right",
        "minutes",
    ]
    .map(str::to_owned)
    .to_vec();
    // By the number that the report gives it, and where it is; the id, because two may be at one place.
    head.extend(key.inspection.findings.iter().enumerate().map(|(index, f)| {
        guard::line(&format!("finding {}, {} ({})", index + 1, words::place_words(f), f.id)).into_owned()
    }));
    table.write_record(&head).map_err(|e| fail(&e))?;
    for score in scores {
        let count = |outcome| score.pairings.iter().filter(|p| p.outcome == outcome).count();
        let number = |n: Option<f64>| n.map(|n| format!("{n:.4}")).unwrap_or_default();
        let (right, marked) = score.readings_right();
        let mut row = vec![
            guard::cell(&name(score)).into_owned(),
            format!("{:.4}", score.earned),
            format!("{:.4}", score.out_of),
            number(score.percent()),
            count(Outcome::Found).to_string(),
            count(Outcome::Misplaced).to_string(),
            count(Outcome::OtherName).to_string(),
            score.missed.len().to_string(),
            score.alarms.len().to_string(),
            number(score.recall()),
            number(score.precision()),
            right.to_string(),
            marked.to_string(),
            score.decision.id().to_owned(),
            (score.decision == score.key_decision).to_string(),
            number(score.minutes),
        ];
        row.extend(key.inspection.findings.iter().map(|f| {
            let paired = score.pairings.iter().find(|p| p.key == f.id).map(words::pairing_words);
            guard::cell(&paired.unwrap_or_else(|| "missed".into())).into_owned()
        }));
        table.write_record(&row).map_err(|e| fail(&e))?;
    }
    table.into_inner().map_err(|e| fail(&e))
}
