//! Readings round the wheel as drawings: the very shapes that the window shows, with what they show in words.

use super::case::RecordCase;
use super::words::title_here;
use crate::clock::Side;
use crate::drawing::survey::{Plot, draw};
use crate::inspection::Value;
use crate::report::block::{Block, BlockKind, Span};
use crate::rules::{Case, CheckResult, survey_edges};
use crate::survey::rings;

/// Width of the drawing in points, which leaves room at both sides of the narrower paper.
const WIDTH: f32 = 460.0;
/// A survey of fewer places than this is a list and no drawing.
const LEAST_PLACES: usize = 3;

/// The drawings of the surveys of a check. Tread has its own strip, with each depth at its place.
pub(super) fn blocks(case: &RecordCase<'_>, result: &CheckResult) -> Vec<Block> {
    let Some(answer) = case.input.inspection.answer(&result.check) else { return Vec::new() };
    let mut blocks = Vec::new();
    for (field, value) in &answer.readings {
        if matches!(value, Value::Tread(_)) {
            continue;
        }
        let side = if let Value::Dial(side, _) = value { *side } else { Side::Right };
        let Some(mut plot) = rings(value).and_then(|rings| Plot::of(&rings, case.input.units, side)) else { continue };
        if plot.rings.iter().all(|ring| ring.figures.samples.len() < LEAST_PLACES) {
            continue;
        }
        let edges = survey_edges(&judging(case), &result.check, field);
        plot.limits(edges.into_iter().map(|(edge, limit, _)| (edge, limit)));
        let check = case.input.catalogue.check(&result.check.check);
        let label = check.and_then(|c| c.field(field)).map_or(field.as_str(), |f| f.label.as_str());
        let title = title_here(result);
        let caption = format!("{title}: {}, round the clock and unrolled", label.to_lowercase());
        blocks.push(Block::figure(draw(&plot, WIDTH), caption));
        let items = plot.sentences(&[]).into_iter().map(|line| vec![Span::text(line).small()]).collect();
        blocks.push(Block::from(BlockKind::Bullets { items }));
    }
    blocks
}

/// The case by which the inspection was judged, for its limits.
fn judging<'a>(case: &RecordCase<'a>) -> Case<'a> {
    let input = case.input;
    Case::new(case.machine(), input.inspection, &[], input.catalogue, input.units, input.inspection.date)
}
