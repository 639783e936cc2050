//! The scores as a table for a spreadsheet: one row a student. Must not score.

use std::path::Path;

use crate::class::{Score, words};
use crate::cli::answer::Failure;
use crate::cli::words::decision_id;
use crate::exercise::Key;
use crate::guard;
use crate::store;

/// Writes one row a student, with a column for each finding of the key. Names that a spreadsheet would take for a
/// formula are written as text.
pub(super) fn write(to: &Path, key: &Key, scores: &[Score], name: &dyn Fn(&Score) -> String) -> Result<(), Failure> {
    let fail = |e: &dyn std::fmt::Display| {
        Failure(format!("expected to write {}, found {e}: choose another place", to.display()))
    };
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
    head.extend(key.inspection.findings.iter().map(|f| guard::line(&format!("finding {}", f.id)).into_owned()));
    table.write_record(&head).map_err(|e| fail(&e))?;
    for score in scores {
        let count = |outcome| score.pairings.iter().filter(|p| p.outcome == outcome).count();
        let number = |n: Option<f64>| n.map(|n| format!("{n:.4}")).unwrap_or_default();
        let right = score.readings.iter().filter(|r| r.outcome == crate::class::ReadingOutcome::Right).count();
        let mut row = vec![
            guard::cell(&name(score)).into_owned(),
            format!("{:.4}", score.earned),
            format!("{:.4}", score.out_of),
            number(score.percent()),
            count(crate::class::Outcome::Found).to_string(),
            count(crate::class::Outcome::Misplaced).to_string(),
            count(crate::class::Outcome::OtherName).to_string(),
            score.missed.len().to_string(),
            score.alarms.len().to_string(),
            number(score.recall()),
            number(score.precision()),
            right.to_string(),
            score.readings.len().to_string(),
            decision_id(score.decision).to_owned(),
            (score.decision == score.key_decision).to_string(),
            number(score.minutes),
        ];
        row.extend(key.inspection.findings.iter().map(|f| {
            let paired = score.pairings.iter().find(|p| p.key == f.id).map(words::pairing_words);
            guard::cell(&paired.unwrap_or_else(|| "missed".into())).into_owned()
        }));
        table.write_record(&row).map_err(|e| fail(&e))?;
    }
    let bytes = table.into_inner().map_err(|e| fail(&e))?;
    store::write_file(to, &bytes).map_err(|e| Failure(e.to_string()))
}
