//! Wear as a buyer reads it: what was measured, where the limit is, and what is left.

use super::case::RecordCase;
use super::words::capital;
use crate::drawing::notch::{self, Mark};
use crate::report::block::{Block, Cell, Column, Span, Table};
use crate::rules::{CheckResult, Judgement, Outcome, Status};

/// The rules that judge wear, and the field that does, where a rule judges others beside it.
const WEAR: &[(&str, Option<&str>)] = &[
    ("tread-depth", None),
    ("tyre-age", None),
    ("lining", None),
    ("disc", Some("thickness")),
    ("drum", None),
    ("chain-wear", None),
    ("battery-rest", None),
    ("fluid-age", None),
];

/// The table of wear; a part that was not measured is said.
pub(super) fn blocks(case: &RecordCase<'_>) -> Vec<Block> {
    let mut blocks = vec![Block::heading(2, "Wear, measured and left")];
    let mut rows = Vec::new();
    let (mut looked, mut open) = (Vec::new(), Vec::new());
    for result in &case.assessment.results {
        let judged: Vec<&Judgement> = result.judgements.iter().filter(|j| is_wear(j)).collect();
        rows.extend(judged.iter().map(|j| row(case, result, j)));
        if judged.is_empty() && is_worn_part(result) {
            let is_looked_at = matches!(result.status, Status::Sound | Status::HasFinding);
            let list = if is_looked_at { &mut looked } else { &mut open };
            list.push(result.title.clone());
        }
    }
    if rows.is_empty() {
        blocks.push(Block::paragraph("No wear was measured."));
    } else {
        blocks.push(Block::table(Table {
            columns: vec![Column::left(2.3), Column::left(2.4), Column::left(2.5), Column::left(2.3)],
            head: ["Part", "Measured", "Limit", "Left"].map(Cell::strong).into(),
            rows,
        }));
    }
    for (words, titles) in [("Looked at, not measured: ", looked), ("Not measured, so unknown: ", open)] {
        if !titles.is_empty() {
            let titles = Span::text(format!("{}.", titles.join("; ")));
            blocks.push(Block::spans(vec![Span::text(words).strong(), titles]));
        }
    }
    blocks
}

fn is_wear(judgement: &Judgement) -> bool {
    let is_figure = matches!(judgement.outcome, Outcome::Sound | Outcome::Fault(_)) && !judgement.reading.is_empty();
    let rule = WEAR.iter().find(|(rule, _)| *rule == judgement.rule);
    is_figure && rule.is_some_and(|(_, field)| field.is_none() || judgement.field.as_deref() == *field)
}

/// Whether a check is one whose reading is wear.
fn is_worn_part(result: &CheckResult) -> bool {
    const CHECKS: [&str; 5] = ["tyre-tread", "brake-lining", "disc", "drum", "drive-wear"];
    CHECKS.contains(&result.check.check.as_str()) && result.status != Status::NotApplicable
}

fn row(case: &RecordCase<'_>, result: &CheckResult, judgement: &Judgement) -> Vec<Cell> {
    let limit = judgement
        .limit
        .as_ref()
        .map_or_else(String::new, |limit| format!("{} · {}", limit.value, case.sources.cite(&limit.source)));
    let margin = on_the_day_of_printing(&judgement.margin, (case.input.today - case.input.inspection.date).num_days());
    let left = match judgement.outcome {
        Outcome::Fault(severity) => {
            let words = if margin.is_empty() { "beyond its limit" } else { &margin };
            Cell::Marked(
                notch::drawing(Mark::Found(severity), 10.0),
                vec![Span::text(format!("{}: ", severity.word())).strong(), Span::text(words)],
            )
        }
        _ => Cell::text(capital(&left(&margin))),
    };
    vec![
        Cell::text(result.title.clone()),
        Cell::text(judgement.reading.clone()),
        Cell::Text(vec![Span::text(limit).small()]),
        left,
    ]
}

/// A margin in days, which the rules count from the day of the inspection, counted from the day of printing; other spans of
/// time are told to be the inspection's.
fn on_the_day_of_printing(margin: &str, since: i64) -> String {
    let days = [(" days left", 1), (" days over", -1)]
        .iter()
        .find_map(|(end, sign)| Some(margin.strip_suffix(end)?.parse::<i64>().ok()? * sign));
    match days {
        _ if since <= 0 => margin.to_owned(),
        Some(days) if days > since => format!("{} days left", days - since),
        Some(days) => format!("{} days over", since - days),
        None if margin.ends_with(" until replaced") => format!("{margin}, on the day of the inspection"),
        None => margin.to_owned(),
    }
}

/// A margin in a buyer's words: `0.57 mm above` is what is left before the limit.
fn left(margin: &str) -> String {
    let before = [" above", " below"].iter().find_map(|end| margin.strip_suffix(end));
    match (before, margin) {
        (Some(amount), _) => format!("{amount} left before the limit"),
        (None, "exactly at it") => "at its limit: nothing left".into(),
        (None, "" | "–") => "within".into(),
        (None, other) => other.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_are_counted_from_the_day_of_printing() {
        // From 5 April to 25 April are twenty days.
        assert_eq!(on_the_day_of_printing("143 days left", 20), "123 days left");
        assert_eq!(on_the_day_of_printing("143 days left", 0), "143 days left");
        assert_eq!(on_the_day_of_printing("12 days left", 20), "8 days over");
        assert_eq!(on_the_day_of_printing("12 days over", 20), "32 days over");
        assert_eq!(on_the_day_of_printing("0.57 mm above", 20), "0.57 mm above");
        let years = on_the_day_of_printing("3 years until replaced", 20);
        assert_eq!(years, "3 years until replaced, on the day of the inspection");
    }

    #[test]
    fn a_margin_is_said_as_what_is_left() {
        assert_eq!(left("0.57 mm above"), "0.57 mm left before the limit");
        assert_eq!(left("0.3 mm below"), "0.3 mm left before the limit");
        assert_eq!(left("exactly at it"), "at its limit: nothing left");
        assert_eq!(left("143 days left"), "143 days left");
        assert_eq!(left(""), "within");
    }
}
