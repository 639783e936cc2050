//! The wheel as a clock from the side one stands on: click to propose a finding, click a marker to take it in hand, drag
//! it to move it, or drag the wheel itself to where its valve stands.

use egui::{Pos2, Role, Sense, Ui, WidgetInfo, pos2, vec2};

use super::placed::Placed;
use super::pointer::{self, Seen};
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
    if state.walk.turning && response.dragged() {
        if let Some(pointer) = response.interact_pointer_pos() {
            let parked = clock_face::parked_toward(&face, to_face(pointer));
            state.walk.valves.insert(wheel.position, parked.valve());
        }
        return;
    }
    let seen = Seen {
        position: wheel.position,
        placed,
        point_of: &|p| Some(to_screen(clock_face::pt_of(&face, p.spot, p.zone))),
        under: &|at| clock_face::spot_at(&face, to_face(at)),
        // Off the wheel a marker still goes round with the pointer, in the zone where it was.
        dragged_to: &|(_, zone), at| {
            let at = to_face(at);
            (clock_face::spot_toward(&face, at), clock_face::spot_at(&face, at).map_or(zone, |(_, zone)| zone))
        },
    };
    pointer::hear(round, state, actions, ui, &response, &seen);
}

/// Whether a zone is on the side that is not in view, where a click cannot reach it.
pub(super) fn is_far(zone: Zone, state: &UiState) -> bool {
    zone.side().is_some_and(|side| side != select::side(state))
}
