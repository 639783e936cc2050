//! What a survey shows: the polar plot on the clock face, the strip, and the figures in sentences.

use egui::{RichText, Role, Sense, Ui, WidgetInfo, vec2};

use super::super::round::Round;
use super::Survey;
use crate::drawing::survey::{Plot, draw};
use crate::rules::survey_edges;
use crate::survey::rings;
use crate::ui::widgets::paint;

/// The widest that the drawings are made, in points.
const MOST: f32 = 560.0;
/// With fewer readings than this there is nothing to be seen yet.
const LEAST_PLACES: usize = 2;

/// Draws them, where enough was read.
pub(super) fn ui(round: &Round<'_>, ui: &mut Ui, survey: &Survey<'_>) {
    let tokens = round.cx.tokens;
    let Some(mut plot) = survey.current.and_then(rings).and_then(|r| Plot::of(&r, round.units(), survey.side)) else {
        return;
    };
    if plot.rings.iter().all(|ring| ring.figures.samples.len() < LEAST_PLACES) {
        return;
    }
    let edges = survey_edges(&round.case(), survey.check, &survey.of.id);
    plot.limits(edges.into_iter().map(|(edge, limit, _)| (edge, limit)));
    ui.add_space(4.0);
    let drawing = draw(&plot, ui.available_width().min(MOST));
    let (rect, response) = ui.allocate_exact_size(vec2(drawing.width, drawing.height), Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, &drawing.summary));
    paint(ui.painter(), &drawing, rect.min, 1.0, tokens);
    for line in plot.sentences(&survey.empty()) {
        ui.label(RichText::new(line).small());
    }
}
