//! The wheel as a clock from the side one stands on: click to propose a finding, click a marker to take it in hand, drag
//! it to move it, or drag the wheel itself to where its valve stands.

use egui::{Pos2, Role, Sense, Ui, WidgetInfo, pos2, vec2};

use super::placed::{self, Drag, Placed};
use super::round::Round;
use super::{select, valve};
use crate::drawing::clock_face::{self, ClockFace, FaceMark};
use crate::drawing::shape::{Pt, pt};
use crate::inspection::Zone;
use crate::machine::Wheel;
use crate::ui::widgets::paint;
use crate::ui::{Action, UiState};

/// Draws the face, `size` points wide.
pub(super) fn ui(
    round: &Round<'_>,
    state: &mut UiState,
    actions: &mut Vec<Action>,
    ui: &mut Ui,
    wheel: &Wheel,
    placed: &[Placed],
    size: f32,
) {
    let marks = placed
        .iter()
        .map(|p| FaceMark {
            spot: p.spot,
            zone: p.zone,
            severity: p.severity,
            selected: p.selected,
            label: String::new(),
        })
        .collect();
    let face =
        ClockFace { wheel, side: select::side(state), parked: valve::parked(state, wheel.position), marks, size };
    let drawing = clock_face::draw(&face);
    let (rect, response) = ui.allocate_exact_size(vec2(drawing.width, drawing.height), Sense::click_and_drag());
    let name = format!("Clock face of the {} wheel. {}", wheel.position.word(), drawing.summary);
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &name));
    let to_screen = |p: Pt| pos2(rect.left() + p.x, rect.top() + p.y);
    let to_face = |p: Pos2| pt(p.x - rect.left(), p.y - rect.top());
    paint(ui.painter(), &drawing, rect.min, 1.0, round.cx.tokens);
    if response.has_focus() {
        ui.painter().rect_stroke(rect, 4.0, egui::Stroke::new(1.5, round.cx.tokens.accent), egui::StrokeKind::Inside);
    }
    let Some(pointer) = response.interact_pointer_pos().or_else(|| response.hover_pos()) else { return };
    let at = to_face(pointer);
    let points = placed.iter().map(|p| Some(to_screen(clock_face::pt_of(&face, p.spot, p.zone))));
    if state.walk.turning && response.dragged() {
        state.walk.valves.insert(wheel.position, clock_face::parked_toward(&face, at).valve());
        return;
    }
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
    if response.dragged() {
        if let Some(drag) = &mut state.walk.drag {
            drag.spot = clock_face::spot_toward(&face, at);
            if let Some((_, zone)) = clock_face::spot_at(&face, at) {
                drag.zone = zone;
            }
            state.walk.live = Some((drag.zone, drag.spot));
        }
        return;
    }
    if response.drag_stopped() {
        placed::drop(round, state, actions);
        return;
    }
    let near = placed::nearest(placed, points, pointer);
    let under = clock_face::spot_at(&face, at);
    if response.clicked() {
        match (near.and_then(|p| p.finding.as_ref()), under) {
            (Some((_, finding)), _) => take(round, state, finding),
            (None, Some((spot, zone))) => placed::propose(state, wheel.position, spot, zone),
            (None, None) => {}
        }
    } else if let Some((spot, zone)) = near.map(|p| (p.spot, p.zone)).or(under) {
        state.walk.live = Some((zone, spot));
        ui.set_cursor_icon(if near.is_some() { egui::CursorIcon::Grab } else { egui::CursorIcon::Crosshair });
    }
}

/// Takes the finding of a marker in hand without changing the side in view.
pub(super) fn take(round: &Round<'_>, state: &mut UiState, id: &crate::inspection::FindingId) {
    let side = state.side;
    if let Some((inspection, finding)) = round.finding(id) {
        select::finding(state, inspection, finding);
    }
    state.side = side;
}

/// Whether a zone is on the side that is not in view, where a click cannot reach it.
pub(super) fn is_far(zone: Zone, state: &UiState) -> bool {
    zone.side().is_some_and(|side| side != select::side(state))
}
