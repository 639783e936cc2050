//! Words that several commands share: decisions as ids for scripts, counts by severity, ages.

use serde_json::{Value, json};

use crate::inspection::Severity;
use crate::rules::{Because, Decision};

/// A decision as scripts read it, and as `--fail-on` names it: `do-not-ride`.
pub fn decision_id(decision: Decision) -> &'static str {
    decision.id()
}

/// What speaks against riding, as data.
pub fn because_json(because: &Because) -> Value {
    json!({
        "severity": because.severity.word(),
        "words": because.words,
        "check": because.check.to_string(),
        "finding": because.finding.as_ref().map(|id| id.0.clone()),
        "inspection": because.inspection.0,
    })
}

/// `1 dangerous, 2 major`, worst first, only what there is; `none` for nothing.
pub fn severities(count: impl Fn(Severity) -> usize) -> String {
    let some: Vec<String> = Severity::ALL
        .into_iter()
        .rev()
        .filter(|s| count(*s) > 0)
        .map(|s| format!("{} {}", count(s), s.word()))
        .collect();
    if some.is_empty() { "none".into() } else { some.join(", ") }
}

/// Days as people say them.
pub fn age(days: i64) -> String {
    match days {
        0 => "today".into(),
        1 => "yesterday".into(),
        d if d > 1 => format!("{d} days ago"),
        d => format!("{} days ahead of this day", -d),
    }
}
