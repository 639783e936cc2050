//! Going on, back and skipping; the plan made, and made anew when something that was found forbids the rest of it.

use std::collections::BTreeSet;

use egui::Ui;

use super::super::round::Round;
use super::super::{select, words};
use super::kept::{KeptWalk, Phase};
use crate::guide::{AGAIN_SECONDS, Again, Leg, beside, legs};
use crate::inspection::CheckRef;
use crate::ui::UiState;
use crate::walk::{Now, Plan, Request, Stop, plan};

/// A gap between two frames longer than this was no time at the machine: the program was asleep.
const ASLEEP_SECONDS: i64 = 120;

/// Counts the time used, while a walk is under way.
pub(super) fn tick(round: &Round<'_>, state: &mut UiState, ui: &Ui) {
    let now = round.cx.now;
    let guided = &mut state.walk.guided;
    let Some(last) = guided.last_seen else {
        guided.last_seen = Some(now);
        return;
    };
    let gap = (now - last).num_seconds();
    if gap != 0 {
        guided.last_seen = Some(now);
        let walk = guided.walk_mut(round);
        if walk.phase == Phase::Walk && (1..ASLEEP_SECONDS).contains(&gap) {
            walk.used = walk.used.saturating_add(gap.unsigned_abs() as u32);
        }
    }
    ui.ctx().request_repaint_after(std::time::Duration::from_secs(15));
}

/// The request for a plan of the inspection in hand.
fn request<'a>(round: &Round<'a>) -> Option<Request<'a>> {
    let kind = round.catalogue().kind(&round.inspection.kind)?;
    let mut request = Request::new(round.bay, round.catalogue(), round.units(), kind, round.cx.today);
    request.asks = &round.inspection.asks;
    request.inspection = Some(&round.inspection.id);
    request.stop = stop(round);
    request.done = done(round);
    Some(request)
}

/// What was found forbids this.
pub(super) fn stop(round: &Round<'_>) -> Stop {
    let row = round.cx.derived.rows.iter().find(|r| r.id == round.machine().id);
    let because = row.and_then(|r| r.verdict.as_ref()).map_or(&[][..], |v| v.because.as_slice());
    Stop::of(because.iter().map(|b| (&b.check, b.severity)))
}

/// The checks of which something is said.
fn done(round: &Round<'_>) -> BTreeSet<CheckRef> {
    round.results().iter().filter(|r| !r.status.is_open()).map(|r| r.check.clone()).collect()
}

/// The findings of an earlier day that nobody has looked at again.
pub(super) fn again(round: &Round<'_>) -> Vec<Again> {
    let open = round.carried().into_iter().filter(|c| c.is_open).map(|c| c.result);
    open.map(|result| Again {
        finding: result.finding.id.clone(),
        check: result.finding.check.clone(),
        title: result.title.clone(),
        station: result.station,
    })
    .collect()
}

/// The seconds that are left for the checks, beside looking again.
fn seconds_for_checks(seconds: u32, again: &[Again]) -> u32 {
    again.iter().fold(seconds, |left, _| left.saturating_sub(AGAIN_SECONDS))
}

/// Whether nobody has yet said what a step asks.
pub(super) fn is_open(round: &Round<'_>, leg: &Leg) -> bool {
    match &leg.again {
        Some(id) => again(round).iter().any(|a| &a.finding == id),
        None => leg.is_check() && round.result(&leg.check).is_some_and(|r| r.status.is_open()),
    }
}

/// Makes the plan for the minutes at hand and shows it; with `part` only what fits, where the required checks take longer.
pub(super) fn begin(round: &Round<'_>, state: &mut UiState, minutes: Option<u32>, part: bool) {
    let Some(mut request) = request(round) else { return };
    let again = again(round);
    request.seconds = minutes.map(|m| seconds_for_checks(m.saturating_mul(60), &again));
    request.part = part;
    let stop = request.stop.clone();
    let made = plan(&request);
    let walk = state.walk.guided.walk_mut(round);
    walk.minutes = minutes;
    walk.part = part;
    walk.used = 0;
    walk.at = 0;
    walk.skipped.clear();
    walk.news.clear();
    walk.stop = (stop.start, stop.ride);
    walk.legs = beside(legs(&made, round.machine()), &again, round.machine(), request.now);
    told_of_plan(walk, &made);
    walk.phase = Phase::Ready;
    state.walk.guided.shown = None;
}

fn told_of_plan(walk: &mut KeptWalk, made: &Plan) {
    let is_told = |l: &&crate::walk::LeftOut| l.reason != crate::walk::Reason::NotApplicable;
    walk.left_out = made.left_out.iter().filter(is_told).map(|l| format!("{}: {}", l.title, l.words())).collect();
    walk.missing = made.missing;
    walk.unchecked = made.required_left_out();
}

/// Where something that was found since the plan was made forbids the ride or the start, or allows it again: the rest is
/// planned anew, and what changed is said in words (house rule 22).
pub(super) fn keep_to_what_is_allowed(round: &Round<'_>, state: &mut UiState) {
    if round.results().is_empty() {
        return;
    }
    let now = stop(round);
    let walk = state.walk.guided.walk_mut(round);
    if walk.phase != Phase::Walk || walk.stop == (now.start.clone(), now.ride.clone()) {
        return;
    }
    let Some(mut request) = request(round) else { return };
    // The rest begins behind the step in hand, from the machine as it stands there.
    let split = (walk.at + 1).min(walk.legs.len());
    let passed: BTreeSet<CheckRef> =
        walk.legs[..split].iter().filter(|l| l.is_check()).map(|l| l.check.clone()).collect();
    let mut again = again(round);
    again.retain(|a| walk.legs[..split].iter().all(|l| l.again.as_ref() != Some(&a.finding)));
    let before: Vec<Leg> = walk.legs[split..].to_vec();
    let here = walk.leg().map_or(request.now, |leg| Now { setup: leg.setup, station: leg.station });
    let left = walk.minutes.map(|m| m.saturating_mul(60).saturating_sub(walk.used));
    request.part = walk.part;
    let made = plan(&request.from_here(here, passed, left.map(|seconds| seconds_for_checks(seconds, &again))));
    walk.legs.truncate(split);
    walk.legs.extend(beside(legs(&made, round.machine()), &again, round.machine(), here));
    told_of_plan(walk, &made);
    let is_left = |l: &&Leg| walk.legs.iter().all(|n| n.key() != l.key());
    let dropped = before.iter().filter(|l| !l.is_change()).filter(is_left).count();
    let ahead = walk.legs[split..].iter().filter(|l| !l.is_change()).count();
    let (was_start, was_ride) = std::mem::replace(&mut walk.stop, (now.start.clone(), now.ride.clone()));
    let why = match (now.start, now.ride) {
        (Some(why), _) => format!("Do not start the engine: {why}. What needs it running, and the ride, are left out."),
        (None, Some(why)) => {
            // The words of the verdict (house rule 2): a major is repaired before it is ridden.
            let words = if why.contains("major") { "Not fit until repaired" } else { "Do not ride" };
            format!("{words}: {why}. What is done on the road is left out.")
        }
        (None, None) if was_start.is_some() || was_ride.is_some() => {
            "Nothing forbids the ride any more. What was left out is planned again.".into()
        }
        (None, None) => String::new(),
    };
    walk.news = format!(
        "{why} The rest is planned anew: {} ahead, {} dropped.",
        words::count(ahead, "check", "checks"),
        words::count(dropped, "check", "checks")
    );
}

/// Goes to a step.
pub(super) fn go_to(round: &Round<'_>, state: &mut UiState, at: usize) {
    let walk = state.walk.guided.walk_mut(round);
    walk.at = at;
    if at >= walk.legs.len() {
        walk.at = walk.legs.len();
        walk.phase = Phase::Done;
    }
    state.walk.guided.told.clear();
    state.walk.guided.go_on = None;
    state.walk.drafts.focus_next = false;
    take_in_hand(round, state);
}

/// The walk-around shows the same check, for whoever goes back there.
pub(super) fn take_in_hand(round: &Round<'_>, state: &mut UiState) {
    let Some(leg) = state.walk.guided.walk(round).and_then(KeptWalk::leg) else { return };
    if let Some(id) = leg.again.clone() {
        let found = round.finding(&id).filter(|_| state.finding.as_ref() != Some(&id));
        if let Some((inspection, finding)) = found {
            select::finding(state, inspection, finding);
        }
    } else if let Some(result) = round.result(&leg.check.clone())
        && (state.check.as_ref() != Some(&result.check) || state.finding.is_some())
    {
        select::check(state, result);
    }
}

/// Goes on to the next step.
pub(super) fn on(round: &Round<'_>, state: &mut UiState) {
    let at = state.walk.guided.walk_mut(round).at;
    go_to(round, state, at + 1);
    // What changed in the plan has been read with the step before.
    state.walk.guided.walk_mut(round).news.clear();
}

/// Goes back to the step before.
pub(super) fn back(round: &Round<'_>, state: &mut UiState) {
    let walk = state.walk.guided.walk_mut(round);
    let at = walk.at.saturating_sub(1);
    walk.phase = Phase::Walk;
    go_to(round, state, at);
}

/// Leaves the step open and goes on.
pub(super) fn skip(round: &Round<'_>, state: &mut UiState) {
    let walk = state.walk.guided.walk_mut(round);
    if let Some(leg) = walk.leg().filter(|l| !l.is_change()) {
        let key = leg.key();
        walk.skipped.insert(key);
    }
    on(round, state);
}

/// Goes on to the next row of a sheet; behind the last one is the end.
pub(super) fn on_in_sheet(round: &Round<'_>, state: &mut UiState) {
    let at = state.walk.guided.walk_mut(round).at;
    go_to(round, state, at + 1);
}
