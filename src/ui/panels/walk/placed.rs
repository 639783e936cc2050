//! What is marked on the wheel in view, for the face and the strip alike: open findings, the place being chosen, and the
//! marker that is being dragged. Draws nothing.

use super::proposal;
use super::round::Round;
use crate::clock::Spot;
use crate::inspection::{FindingId, InspectionId, Place, Severity, Zone};
use crate::machine::WheelPosition;
use crate::ui::UiState;

/// A place on the wheel in view.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Placed {
    /// Where round the wheel.
    pub spot: Spot,
    /// Which zone.
    pub zone: Zone,
    /// Its class; none while it is being chosen.
    pub severity: Option<Severity>,
    /// Whether it is in hand.
    pub selected: bool,
    /// The finding, with the inspection that holds it.
    pub finding: Option<(InspectionId, FindingId)>,
}

/// A marker that is being dragged.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Drag {
    /// The finding.
    pub finding: FindingId,
    /// Where it is now.
    pub spot: Spot,
    /// In which zone it is now.
    pub zone: Zone,
}

/// Everything that is marked on a wheel.
pub(super) fn on_wheel(round: &Round<'_>, state: &UiState, position: WheelPosition) -> Vec<Placed> {
    let mut placed: Vec<Placed> = round
        .open_on_wheel(position)
        .into_iter()
        .filter_map(|(inspection, finding)| {
            let Place::Wheel { zone, spot: Some(spot), .. } = finding.place else { return None };
            let dragged = state.walk.drag.as_ref().filter(|d| d.finding == finding.id);
            Some(Placed {
                spot: dragged.map_or(spot, |d| d.spot),
                zone: dragged.map_or(zone, |d| d.zone),
                severity: Some(round.severity_of(inspection, finding).unwrap_or(Severity::Major)),
                selected: state.finding.as_ref() == Some(&finding.id),
                finding: Some((inspection.id.clone(), finding.id.clone())),
            })
        })
        .collect();
    if let Some(Place::Wheel { position: at, zone, spot: Some(spot) }) = state.walk.proposal.as_ref().map(|p| &p.place)
        && *at == position
    {
        placed.push(Placed { spot: *spot, zone: *zone, severity: None, selected: true, finding: None });
    }
    placed
}

/// The spot of the finding or place in hand on a wheel.
pub(super) fn in_hand(placed: &[Placed]) -> Option<(Zone, Spot)> {
    placed.iter().rev().find(|p| p.selected).map(|p| (p.zone, p.spot))
}

/// A click at a place of the wheel proposes a finding there; a check that already waits for its place keeps waiting.
pub(super) fn propose(state: &mut UiState, position: WheelPosition, spot: Spot, zone: Zone) {
    let check = state.walk.proposal.take().and_then(|p| p.check);
    state.finding = None;
    let mut proposal = proposal::on_wheel(position, zone, Some(spot));
    proposal.check = check;
    state.walk.proposal = Some(proposal);
    state.walk.drafts.clear_under("proposal");
}
