//! Wear as a buyer reads it: what was measured, where the limit is, and what is left.

use super::case::RecordCase;
use super::words::capital;
use crate::drawing::curve::{self, Curve};
use crate::drawing::notch::{self, Mark};
use crate::inspection::Value;
use crate::report::block::{Block, Cell, Column, Picture, Span, Table};
use crate::rules::{CheckResult, Judgement, Outcome};
use crate::units::{Distance, Length};

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
    let mut open = Vec::new();
    for result in &case.assessment.results {
        let judged: Vec<&Judgement> = result.judgements.iter().filter(|j| is_wear(j)).collect();
        rows.extend(judged.iter().map(|j| row(case, result, j)));
        if judged.is_empty() && is_worn_part(result) {
            open.push(result.title.clone());
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
    if !open.is_empty() {
        blocks.push(Block::spans(vec![
            Span::text("Not measured, so unknown: ").strong(),
            Span::text(format!("{}.", open.join("; "))),
        ]));
    }
    blocks.extend(curves(case));
    blocks
}

/// The readings of wear that a person takes with a gauge: the check, the field, and the rule that judges it.
const GAUGED: [(&str, &str, &str); 3] =
    [("tyre-tread", "depths", "tread-depth"), ("brake-lining", "thickness", "lining"), ("disc", "thickness", "disc")];
/// A curve of fewer readings says nothing that the table does not.
const LEAST_READINGS: usize = 3;

/// How each part has worn, reading by reading, over the distance; a part that was renewed begins anew.
fn curves(case: &RecordCase<'_>) -> Vec<Block> {
    let units = case.input.units;
    let mut pictures = Vec::new();
    for result in &case.assessment.results {
        let Some((_, field, rule)) = GAUGED.iter().find(|(check, ..)| *check == result.check.check) else { continue };
        let until = case.input.inspection.date;
        let read = case.input.bay.inspections.iter().filter(|i| i.date <= until);
        let mut points: Vec<(f64, f64)> = read
            .filter_map(|i| Some((i.odometer?.base(), least_mm(i.answer(&result.check)?.readings.get(*field)?)?)))
            .collect();
        // Nothing grows back: a part that is thicker than before by more than a gauge errs is another part.
        let renewed = points.windows(2).rposition(|pair| pair[1].1 > pair[0].1 + 0.5);
        points.drain(..renewed.map_or(0, |at| at + 1));
        if points.len() < LEAST_READINGS {
            continue;
        }
        let limit = result.judgements.iter().find(|j| j.rule == *rule && j.limit.is_some());
        let limit = limit.and_then(|j| figure(&j.limit.as_ref()?.value)).map(|length| length.as_mm());
        let value = |mm: f64| units.show_depth(Length::mm(mm));
        let along = |km: f64| units.show(Distance::from_base(km));
        let curve =
            Curve { title: &result.title, points: &points, limit, value: &value, along: &along, size: (218.0, 96.0) };
        pictures.push((Picture::Drawing(curve::draw(&curve)), format!("{}, over the odometer", result.title)));
    }
    if pictures.is_empty() {
        return Vec::new();
    }
    vec![Block::heading(3, "How it has worn"), Block::gallery(pictures, 2)]
}

/// The least depth of a reading, in mm.
fn least_mm(value: &Value) -> Option<f64> {
    match value {
        Value::Length(length) => Some(length.as_mm()),
        Value::Tread(points) => points.iter().flat_map(|p| &p.depths).map(|(_, depth)| depth.as_mm()).reduce(f64::min),
        _ => None,
    }
}

/// The length in a limit's words: `more than 4.57 mm`.
fn figure(words: &str) -> Option<Length> {
    let start = words.find(|c: char| c.is_ascii_digit())?;
    let mut parts = words[start..].split_whitespace();
    let (number, unit) = (parts.next()?, parts.next().unwrap_or_default());
    Length::parse(&format!("{number} {unit}"), None).ok()
}

fn is_wear(judgement: &Judgement) -> bool {
    let is_figure = matches!(judgement.outcome, Outcome::Sound | Outcome::Fault(_)) && !judgement.reading.is_empty();
    let rule = WEAR.iter().find(|(rule, _)| *rule == judgement.rule);
    is_figure && rule.is_some_and(|(_, field)| field.is_none() || judgement.field.as_deref() == *field)
}

/// Whether a check is one whose reading is wear.
fn is_worn_part(result: &CheckResult) -> bool {
    const CHECKS: [&str; 5] = ["tyre-tread", "brake-lining", "disc", "drum", "drive-wear"];
    CHECKS.contains(&result.check.check.as_str()) && result.status != crate::rules::Status::NotApplicable
}

fn row(case: &RecordCase<'_>, result: &CheckResult, judgement: &Judgement) -> Vec<Cell> {
    let limit = judgement
        .limit
        .as_ref()
        .map_or_else(String::new, |limit| format!("{} · {}", limit.value, case.sources.cite(&limit.source)));
    let left = match judgement.outcome {
        Outcome::Fault(severity) => {
            let words = if judgement.margin.is_empty() { "beyond its limit" } else { &judgement.margin };
            Cell::Marked(
                notch::drawing(Mark::Found(severity), 10.0),
                vec![Span::text(format!("{}: ", severity.word())).strong(), Span::text(words)],
            )
        }
        _ => Cell::text(capital(&left(&judgement.margin))),
    };
    vec![
        Cell::text(result.title.clone()),
        Cell::text(judgement.reading.clone()),
        Cell::Text(vec![Span::text(limit).small()]),
        left,
    ]
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
    fn a_limit_is_read_out_of_its_words() {
        let mm = |words| figure(words).map(|length| (length.as_mm() * 1000.0).round() / 1000.0);
        assert_eq!(mm("more than 4.57 mm"), Some(4.57));
        assert_eq!(mm("at least 2/32 in"), Some(1.588));
        assert_eq!(mm("replaced at 10 years"), None);
        assert_eq!(mm("none"), None);
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
