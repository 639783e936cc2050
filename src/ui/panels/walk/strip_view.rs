//! The tread unrolled, 12 to 12, in step with the face: the same clicks and drags, and the depths that were read.

use egui::{Pos2, Role, Sense, Ui, WidgetInfo, pos2, vec2};

use super::placed::Placed;
use super::pointer::{self, Seen};
use super::round::Round;
use super::{select, valve};
use crate::drawing::shape::{Pt, pt};
use crate::drawing::strip::{self, Strip, StripDepth, StripMark};
use crate::inspection::{TreadPoint, Value, Zone};
use crate::machine::{Wheel, WheelPosition};
use crate::ui::widgets::paint;
use crate::ui::{Action, UiState};
use crate::units::{Length, print_number};

/// Draws the strip.
pub(super) fn ui(
    round: &Round<'_>,
    state: &mut UiState,
    actions: &mut Vec<Action>,
    ui: &mut Ui,
    wheel: &Wheel,
    placed: &[Placed],
    [width, height]: [f32; 2],
) {
    let marks = placed
        .iter()
        .map(|p| StripMark {
            spot: p.spot,
            zone: p.zone,
            severity: p.severity,
            selected: p.selected,
            label: String::new(),
        })
        .collect();
    let mut depths = depths(round, wheel.position);
    if width < 420.0 || height < 110.0 {
        // Five figures do not fit above each other: the middle and what is too low are shown.
        depths.retain(|d| d.is_low || d.zone == Zone::Centre);
    }
    let strip = Strip {
        wheel,
        side: select::side(state),
        width,
        height,
        marks,
        depths,
        wear_bars: Vec::new(),
        parked: valve::parked(state, wheel.position),
        units: round.units(),
    };
    let drawing = strip::draw(&strip);
    let (rect, response) = ui.allocate_exact_size(vec2(drawing.width, drawing.height), Sense::click_and_drag());
    let name = format!("Unrolled tread of the {} wheel. {}", wheel.position.word(), drawing.summary);
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &name));
    paint(ui.painter(), &drawing, rect.min, 1.0, round.cx.tokens);
    let to_strip = |p: Pos2| pt(p.x - rect.left(), p.y - rect.top());
    let to_screen = |p: Pt| pos2(rect.left() + p.x, rect.top() + p.y);
    let seen = Seen {
        position: wheel.position,
        placed,
        point_of: &|p| strip::pt_of(&strip, p.spot, p.zone).map(to_screen),
        under: &|at| strip::spot_at(&strip, to_strip(at)),
        dragged_to: &|from, at| strip::spot_at(&strip, to_strip(at)).unwrap_or(from),
    };
    pointer::hear(round, state, actions, ui, &response, &seen);
}

/// The depths read on a wheel in this inspection; those below the least depth of the region stand out.
fn depths(round: &Round<'_>, position: WheelPosition) -> Vec<StripDepth> {
    let points = round
        .inspection
        .answers
        .iter()
        .filter(|(check, _)| check.subject.wheel() == Some(position))
        .flat_map(|(_, answer)| answer.readings.values())
        .find_map(|v| match v {
            Value::Tread(points) => Some(points.as_slice()),
            _ => None,
        });
    let case = round.case();
    let least = case.region.tread.iter().find(|law| law.is_about(case.machine, case.today)).map(|law| law.minimum);
    points.map_or_else(Vec::new, |points| texts(points, least, round.units()))
}

fn texts(points: &[TreadPoint], least: Option<Length>, units: &crate::units::Preferences) -> Vec<StripDepth> {
    let unit = units.depth_unit();
    points
        .iter()
        .flat_map(|p| p.depths.iter().map(move |(zone, depth)| (p.spot, *zone, *depth)))
        .map(|(spot, zone, depth)| StripDepth {
            spot,
            zone,
            text: print_number(depth.amount_in(unit), 1, units.decimal_comma),
            is_low: least.is_some_and(|least| depth < least),
        })
        .collect()
}
