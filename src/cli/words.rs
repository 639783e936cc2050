//! Words that several commands share: decisions as ids for scripts, counts by severity, ages.

use crate::inspection::Severity;
use crate::rules::Decision;

/// A decision as scripts read it, and as `--fail-on` names it: `do-not-ride`.
pub fn decision_id(decision: Decision) -> &'static str {
    decision.id()
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
