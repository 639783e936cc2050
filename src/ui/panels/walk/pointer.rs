//! What the pointer asks for on a drawing of the wheel, the face and the strip alike. Draws nothing.

use egui::{CursorIcon, Pos2, Response, Ui};

use super::placed::{self, Drag, Placed};
use super::round::Round;
use super::select;
use crate::clock::Spot;
use crate::inspection::{Finding, FindingId, Place, Zone};
use crate::machine::WheelPosition;
use crate::ui::{Action, UiState};

/// A place of the wheel.
type Where = (Spot, Zone);

/// A drawing of the wheel in the window: what is marked on it, and how its places and points of the window belong
/// together.
pub(super) struct Seen<'a> {
    /// Which wheel.
    pub position: WheelPosition,
    /// What is marked on it.
    pub placed: &'a [Placed],
    /// The point of a place; none where it is not drawn.
    pub point_of: &'a dyn Fn(&Placed) -> Option<Pos2>,
    /// The place under a point.
    pub under: &'a dyn Fn(Pos2) -> Option<Where>,
    /// Where a marker goes that stands at the first and is dragged to a point.
    pub dragged_to: &'a dyn Fn(Where, Pos2) -> Where,
}

/// Hears what the pointer does on a drawing of the wheel: a marker that is dragged to a new place, a click that takes a
/// finding in hand or proposes one, a place that is pointed at.
pub(super) fn hear(
    round: &Round<'_>,
    state: &mut UiState,
    actions: &mut Vec<Action>,
    ui: &Ui,
    response: &Response,
    seen: &Seen<'_>,
) {
    let Some(pointer) = response.interact_pointer_pos().or_else(|| response.hover_pos()) else { return };
    let near = |at: Pos2| nearest(seen.placed, seen.placed.iter().map(seen.point_of), at);
    if response.drag_started() {
        let from = ui.input(|i| i.pointer.press_origin()).unwrap_or(pointer);
        if let Some(near) = near(from)
            && let Some((inspection, finding)) = &near.finding
            && *inspection == round.inspection.id
        {
            state.walk.drag = Some(Drag { finding: finding.clone(), spot: near.spot, zone: near.zone });
        }
        return;
    }
    if response.dragged() {
        if let Some(drag) = &mut state.walk.drag {
            (drag.spot, drag.zone) = (seen.dragged_to)((drag.spot, drag.zone), pointer);
            state.walk.live = Some((drag.zone, drag.spot));
        }
        return;
    }
    if response.drag_stopped() {
        drop(round, state, actions);
        return;
    }
    let (near, under) = (near(pointer), (seen.under)(pointer));
    if response.clicked() {
        match (near.and_then(|p| p.finding.as_ref()), under) {
            (Some((_, finding)), _) => take(round, state, finding),
            (None, Some((spot, zone))) => placed::propose(state, seen.position, spot, zone),
            (None, None) => {}
        }
    } else if let Some((spot, zone)) = near.map(|p| (p.spot, p.zone)).or(under) {
        state.walk.live = Some((zone, spot));
        ui.set_cursor_icon(if near.is_some() { CursorIcon::Grab } else { CursorIcon::Crosshair });
    }
}

/// Takes the finding of a marker in hand without changing the side in view.
fn take(round: &Round<'_>, state: &mut UiState, id: &FindingId) {
    let side = state.side;
    if let Some((inspection, finding)) = round.finding(id) {
        select::finding(state, inspection, finding);
    }
    state.side = side;
}

/// The finding of the inspection in hand whose marker is nearest to a point, if it is near enough to mean it.
fn nearest(placed: &[Placed], points: impl Iterator<Item = Option<Pos2>>, pointer: Pos2) -> Option<&Placed> {
    let reach = 12.0;
    placed
        .iter()
        .zip(points)
        .filter_map(|(placed, at)| Some((placed, at?.distance(pointer))))
        .filter(|(placed, distance)| placed.finding.is_some() && *distance <= reach)
        .min_by(|a, b| a.1.total_cmp(&b.1))
        .map(|(placed, _)| placed)
}

/// Ends a drag: the finding goes to where its marker was let go.
fn drop(round: &Round<'_>, state: &mut UiState, actions: &mut Vec<Action>) {
    let Some(drag) = state.walk.drag.take() else { return };
    let Some((_, finding)) = round.finding(&drag.finding) else { return };
    let mut moved: Finding = finding.clone();
    if let Place::Wheel { zone, spot, .. } = &mut moved.place {
        (*zone, *spot) = (drag.zone, Some(drag.spot));
    }
    if moved != *finding {
        actions.push(round.put(moved));
    }
}
