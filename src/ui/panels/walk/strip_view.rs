//! The tread unrolled, 12 to 12, in step with the face: the same clicks and drags, and the depths that were read.

use egui::{Pos2, Role, Sense, Ui, WidgetInfo, pos2, vec2};

use super::face_view;
use super::placed::{self, Drag, Placed};
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
    let Some(pointer) = response.interact_pointer_pos().or_else(|| response.hover_pos()) else { return };
    let points = placed.iter().map(|p| strip::pt_of(&strip, p.spot, p.zone).map(to_screen));
    if response.drag_started() {
        let from = ui.input(|i| i.pointer.press_origin()).unwrap_or(pointer);
        if let Some(near) = placed::nearest(placed, points, from)
            && let Some((inspection, finding)) = &near.finding
            && *inspection == round.inspection.id
        {
            state.walk.drag = Some(Drag { finding: finding.clone(), spot: near.spot, zone: near.zone });
        }
        return;
    }
    let under = strip::spot_at(&strip, to_strip(pointer));
    if response.dragged() {
        if let (Some(drag), Some((spot, zone))) = (&mut state.walk.drag, under) {
            (drag.spot, drag.zone) = (spot, zone);
            state.walk.live = Some((zone, spot));
        }
        return;
    }
    if response.drag_stopped() {
        placed::drop(round, state, actions);
        return;
    }
    let near = placed::nearest(placed, points, pointer);
    if response.clicked() {
        match (near.and_then(|p| p.finding.as_ref()), under) {
            (Some((_, finding)), _) => face_view::take(round, state, finding),
            (None, Some((spot, zone))) => placed::propose(state, wheel.position, spot, zone),
            (None, None) => {}
        }
    } else if let Some((spot, zone)) = near.map(|p| (p.spot, p.zone)).or(under) {
        state.walk.live = Some((zone, spot));
        ui.set_cursor_icon(egui::CursorIcon::Crosshair);
    }
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
