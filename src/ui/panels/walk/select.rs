//! Choosing a wheel, a station, a check or a finding, so that every part of the window shows the same thing.
//!
//! Changes only what is selected, never a record.

use super::turns::Turn;
use crate::clock::Side;
use crate::inspection::{CheckRef, Finding, Inspection, Place, Station};
use crate::machine::WheelPosition;
use crate::rules::CheckResult;
use crate::ui::UiState;

/// The side one stands on: the one chosen, else the right, from which spots are stored.
pub fn side(state: &UiState) -> Side {
    state.side.unwrap_or(Side::Right)
}

/// Brings a wheel into view; the check and the finding in hand stay only if they are on it.
pub fn wheel(state: &mut UiState, position: WheelPosition) {
    state.wheel = Some(position);
    state.walk.folded = false;
    state.walk.station = Some(Station::of_wheel(position));
    state.walk.turn = Turn::Place;
    if state.check.as_ref().is_some_and(|c| c.subject.wheel() != Some(position)) {
        state.check = None;
        state.finding = None;
    }
    state.walk.proposal = None;
}

/// Goes to a station away from the wheels, or to the first wheel of one at a wheel.
pub fn station(state: &mut UiState, station: Station, wheels: &[WheelPosition]) {
    match wheels.iter().find(|w| Station::of_wheel(**w) == station) {
        Some(first) if station != Station::SidecarSide || state.wheel != Some(*first) => wheel(state, *first),
        _ => {
            state.wheel = None;
            state.walk.folded = false;
            state.walk.station = Some(station);
            state.walk.turn = Turn::Place;
            state.check = None;
            state.finding = None;
            state.walk.proposal = None;
        }
    }
}

/// Takes a check in hand and brings its wheel or station into view.
pub fn check(state: &mut UiState, result: &CheckResult) {
    state.check = Some(result.check.clone());
    state.finding = None;
    state.walk.proposal = None;
    state.walk.station = Some(result.station);
    state.wheel = result.check.subject.wheel();
    state.walk.folded = false;
    state.walk.scroll_to_check = true;
    state.walk.turn = Turn::InHand;
}

/// Takes a finding in hand and brings its place into view.
pub fn finding(state: &mut UiState, inspection: &Inspection, finding: &Finding) {
    state.finding = Some(finding.id.clone());
    state.walk.proposal = None;
    if state.inspection.as_ref() == Some(&inspection.id) {
        state.check = Some(finding.check.clone());
    }
    match &finding.place {
        Place::Wheel { position, zone, .. } => {
            state.wheel = Some(*position);
            state.walk.station = Some(Station::of_wheel(*position));
            // A spot on one side of the wheel is looked at from that side.
            if let Some(side) = zone.side() {
                state.side = Some(side);
            }
        }
        Place::Part { station, .. } => {
            state.wheel = None;
            state.walk.station = Some(*station);
        }
    }
    state.walk.scroll_to_check = true;
    state.walk.turn = Turn::InHand;
}

/// The next open check in walking order after the one in hand, round to the first; none when nothing is open.
pub fn next_open<'a>(results: &'a [CheckResult], after: Option<&CheckRef>) -> Option<&'a CheckResult> {
    let start = after.and_then(|c| results.iter().position(|r| &r.check == c)).map_or(0, |i| i + 1);
    let (before, behind) = results.split_at(start.min(results.len()));
    behind.iter().chain(before).find(|r| r.status.is_open() && Some(&r.check) != after)
}

/// The check a number of steps down (or up) the walk from the one in hand.
pub fn step<'a>(results: &'a [CheckResult], from: Option<&CheckRef>, down: isize) -> Option<&'a CheckResult> {
    let last = results.len().checked_sub(1)?;
    let index = match from.and_then(|c| results.iter().position(|r| &r.check == c)) {
        Some(index) => index.saturating_add_signed(down).min(last),
        None => 0,
    };
    results.get(index)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::inspection::Subject;
    use crate::rules::Status;

    fn result(id: &str, status: Status) -> CheckResult {
        CheckResult {
            check: CheckRef::new(id, Subject::Machine),
            title: id.to_owned(),
            station: Station::Bars,
            required: true,
            status,
            judgements: Vec::new(),
            severity: None,
        }
    }

    #[test]
    fn the_next_open_check_goes_round_and_skips_what_was_looked_at() {
        let results = [
            result("a", Status::Unchecked),
            result("b", Status::Sound),
            result("c", Status::CouldNot("no light".into())),
            result("d", Status::HasFinding),
        ];
        let next = |after: Option<&str>| {
            let after = after.map(|id| CheckRef::new(id, Subject::Machine));
            next_open(&results, after.as_ref()).map(|r| r.title.clone())
        };
        assert_eq!(next(None).as_deref(), Some("a"));
        assert_eq!(next(Some("a")).as_deref(), Some("c"));
        assert_eq!(next(Some("d")).as_deref(), Some("a"));
        assert_eq!(next(Some("c")).as_deref(), Some("a"));
        assert!(next_open(&results[1..2], None).is_none(), "nothing is open");
        assert!(next_open(&results[..1], Some(&results[0].check)).is_none(), "only the one in hand is open");
    }

    #[test]
    fn stepping_stops_at_both_ends() {
        let results = [result("a", Status::Sound), result("b", Status::Sound)];
        let at = |from: &str, down| {
            step(&results, Some(&CheckRef::new(from, Subject::Machine)), down).map(|r| r.title.as_str())
        };
        assert_eq!((at("a", -1), at("a", 1), at("b", 1)), (Some("a"), Some("b"), Some("b")));
        assert!(step(&[], None, 1).is_none());
    }
}
