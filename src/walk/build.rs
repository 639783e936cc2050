//! From a machine, its kind of inspection and the state now to the abstract problem that [`super::solve`] works on.

use std::collections::BTreeSet;

use super::plan::{LeftOut, Reason};
use super::request::resting_pose;
use super::weigh::{Known, Weight};
use super::{EngineNow, Pose, Problem, Request, Setup, Task, walk_seconds};
use crate::catalogue::{Catalogue, Check, Engine, FieldKind};
use crate::inspection::{CheckRef, Station, Subject};
use crate::machine::{FluidState, Machine, WheelPosition};

/// Checks that come before the engine is started, and before the machine is ridden, wherever they are asked.
const BEFORE_STARTING: &str = "fuel-leaks";
pub(super) const BEFORE_RIDING: &str = "tyre-pressure";
/// The check of a battery that has rested: it comes before anything that switches the ignition on. It asks for a cold
/// engine, so it cannot come after a start either.
const BEFORE_IGNITION: &str = "battery-rest";

/// A check that can be planned.
pub(super) struct Planned<'a> {
    pub reference: CheckRef,
    pub check: &'a Check,
    pub title: String,
    pub station: Station,
    pub seconds: u32,
    pub required: bool,
    pub weight: Weight,
    wanted: Wanted,
}

/// What a check asks of the set-up.
struct Wanted {
    pose: Pose,
    engines: Vec<EngineNow>,
    ignition: bool,
    covers_off: bool,
    luggage_off: bool,
}

impl Wanted {
    fn of(machine: &Machine, check: &Check, subject: Subject) -> Self {
        let (stance, state) = match subject {
            Subject::Fluid(kind) if check.fields.iter().any(|f| f.kind == FieldKind::Level) => {
                let fluid = machine.fluid(kind);
                (fluid.map_or(check.stance, |f| f.stance), fluid.map_or(FluidState::Any, |f| f.state))
            }
            _ if check.id == "drive-slack" => (machine.slack_stance.unwrap_or(check.stance), FluidState::Any),
            _ => (check.stance, FluidState::Any),
        };
        let at_rest = || EngineNow::AT_REST.to_vec();
        let engines = match (check.engine, state) {
            (Engine::Running, _) => vec![EngineNow::Running],
            (Engine::Ridden, _) => vec![EngineNow::OnTheRoad],
            (Engine::Cold, _) | (_, FluidState::Cold) => vec![EngineNow::Cold],
            (Engine::Hot, _) | (_, FluidState::Hot) => vec![EngineNow::Hot],
            (Engine::Warm, FluidState::Any) => vec![EngineNow::Warm, EngineNow::Hot],
            (Engine::Warm, _) | (_, FluidState::Warm) => vec![EngineNow::Warm],
            (Engine::Off, FluidState::Any) => at_rest(),
        };
        let rides = engines == [EngineNow::OnTheRoad];
        Self {
            pose: if rides { Pose::Aboard } else { pose(machine, stance.into(), subject) },
            ignition: check.ignition || matches!(check.engine, Engine::Running | Engine::Ridden),
            covers_off: check.covers_off && !rides,
            luggage_off: check.luggage_off && !rides,
            engines,
        }
    }
    fn allows(&self, setup: &Setup) -> bool {
        self.pose == setup.pose
            && self.engines.contains(&setup.engine)
            && self.ignition == setup.ignition
            && self.covers_off == setup.covers_off
            && (!self.luggage_off || setup.luggage_off)
    }
    fn starts_engine(&self) -> bool {
        self.engines.iter().all(|e| !matches!(e, EngineNow::Cold | EngineNow::Off))
    }
    fn rides(&self) -> bool {
        self.engines.iter().all(|e| matches!(e, EngineNow::OnTheRoad | EngineNow::Hot))
    }
}

/// The pose on this machine for what the catalogue asks in general: the wheel that is looked at is the one raised, a
/// machine without the stand stands as it does without, and what cannot lean stands upright.
fn pose(machine: &Machine, asked: Pose, subject: Subject) -> Pose {
    match asked {
        Pose::SideStand => resting_pose(machine),
        Pose::CentreStand | Pose::FrontRaised | Pose::RearRaised => match subject.wheel() {
            Some(WheelPosition::Sidecar) => Pose::SidecarRaised,
            Some(wheel) if wheel.is_front() => Pose::FrontRaised,
            _ if asked == Pose::FrontRaised => Pose::FrontRaised,
            _ if machine.stands.centre && asked == Pose::CentreStand => Pose::CentreStand,
            _ => Pose::RearRaised,
        },
        other => other,
    }
}

/// What can be planned, and what is left out before any planning, with the reasons.
pub(super) struct Built<'a> {
    pub planned: Vec<Planned<'a>>,
    pub left_out: Vec<LeftOut>,
}

/// The checks asked, sorted into what can be planned and what cannot.
pub(super) fn build<'a>(request: &Request<'a>) -> Built<'a> {
    let machine = &request.bay.machine;
    let known = Known::of(request);
    let mut planned: Vec<Planned<'a>> = Vec::new();
    let mut left_out = Vec::new();
    for (reference, check) in asked(request) {
        if request.done.contains(&reference) {
            continue;
        }
        let wanted = Wanted::of(machine, check, reference.subject);
        let part = reference.subject.words();
        let one = Planned {
            title: if part.is_empty() { check.title.clone() } else { format!("{}, {part}", check.title) },
            station: Catalogue::station(check, &reference),
            // Minutes of the catalogue have a tenth; whole seconds keep sums exact.
            seconds: (f64::from(check.minutes) * 60.0).round().max(0.0) as u32,
            required: request.asks.is_empty() && request.kind.required.holds(&reference.check)
                || request.asks.contains(&reference),
            weight: known.weight(request, &reference, check),
            reference,
            check,
            wanted,
        };
        match forbidden(request, &one) {
            Some(reason) => left_out.push(one.left_out(reason)),
            None => planned.push(one),
        }
    }
    drop_what_needs(&mut planned, &mut left_out);
    drop_what_no_ride_makes_hot(request, &mut planned, &mut left_out);
    left_out.extend(not_applicable(request));
    Built { planned, left_out }
}

/// The checks that are asked, in the order of the catalogue.
fn asked<'a>(request: &Request<'a>) -> Vec<(CheckRef, &'a Check)> {
    if request.asks.is_empty() {
        return request.catalogue.checks_for(&request.bay.machine, request.kind);
    }
    let entry = |r: &CheckRef| request.catalogue.check(&r.check).map(|c| (r.clone(), c));
    request.asks.iter().filter_map(entry).collect()
}

/// Why a check cannot be part of any plan now.
fn forbidden(request: &Request<'_>, one: &Planned<'_>) -> Option<Reason> {
    let now = request.now.setup.engine;
    if one.check.helper && !request.helper {
        return Some(Reason::NeedsHelper);
    }
    if one.wanted.rides()
        && let Some(why) = &request.stop.ride
        && !(one.wanted.engines.contains(&now))
    {
        return Some(Reason::NotRidden(why.clone()));
    }
    if one.wanted.starts_engine()
        && let Some(why) = &request.stop.start
        && !(one.wanted.engines.contains(&now) && now.is_at_rest())
    {
        return Some(Reason::NotStarted(why.clone()));
    }
    if one.check.id == BEFORE_IGNITION && request.now.setup.ignition {
        return Some(Reason::NoLongerAtRest);
    }
    (one.wanted.engines == [EngineNow::Cold] && now != EngineNow::Cold).then_some(Reason::NoLongerCold)
}

/// Whether a check must not come without another one earlier on the same walk.
fn needs(one: &Planned<'_>, other: &CheckRef) -> bool {
    one.check.needs.contains(&other.check)
        || (other.check == BEFORE_STARTING && one.wanted.starts_engine())
        || (other.check == BEFORE_RIDING && one.wanted.rides())
}

/// Takes out what is read hot where nothing makes it hot: the machine is neither on the road nor hot from it, and no
/// check is ridden. Nobody is sent on the road for a dipstick alone.
fn drop_what_no_ride_makes_hot(request: &Request<'_>, planned: &mut Vec<Planned<'_>>, left_out: &mut Vec<LeftOut>) {
    let is_hot = matches!(request.now.setup.engine, EngineNow::OnTheRoad | EngineNow::Hot);
    let is_ridden = planned.iter().any(|p| p.wanted.engines.contains(&EngineNow::OnTheRoad));
    if is_hot || is_ridden {
        return;
    }
    let (kept, out): (Vec<_>, Vec<_>) = planned.drain(..).partition(|p| p.wanted.engines != [EngineNow::Hot]);
    *planned = kept;
    left_out.extend(out.iter().map(|p| p.left_out(Reason::NothingRidden)));
    drop_what_needs(planned, left_out);
}

/// Takes out, until nothing changes, what needs a check that was left out.
fn drop_what_needs(planned: &mut Vec<Planned<'_>>, left_out: &mut Vec<LeftOut>) {
    let mut unseen: Vec<(CheckRef, String)> = left_out.iter().map(|l| (l.check.clone(), l.title.clone())).collect();
    while !unseen.is_empty() {
        let mut next = Vec::new();
        let mut kept = Vec::new();
        for one in planned.drain(..) {
            match unseen.iter().find(|(r, _)| needs(&one, r)) {
                Some((_, title)) => {
                    next.push((one.reference.clone(), one.title.clone()));
                    left_out.push(one.left_out(Reason::Without(title.clone())));
                }
                None => kept.push(one),
            }
        }
        *planned = kept;
        unseen = next;
    }
}

/// The checks of the kind that this machine has no part for.
fn not_applicable(request: &Request<'_>) -> Vec<LeftOut> {
    let machine = &request.bay.machine;
    let lacks = |c: &&Check| !c.when.iter().all(|w| w.holds(machine)) || c.on.subjects(machine).is_empty();
    let asked = request.catalogue.checks.iter().filter(|c| request.asks.is_empty() && request.kind.checks.holds(&c.id));
    asked
        .filter(lacks)
        .map(|check| LeftOut {
            check: CheckRef::new(check.id.clone(), Subject::Machine),
            title: check.title.clone(),
            seconds: 0,
            points: 0,
            required: false,
            reason: Reason::NotApplicable,
        })
        .collect()
}

impl Planned<'_> {
    /// The check as left out.
    pub fn left_out(&self, reason: Reason) -> LeftOut {
        LeftOut {
            check: self.reference.clone(),
            title: self.title.clone(),
            seconds: self.seconds,
            points: self.weight.points,
            required: self.required,
            reason,
        }
    }
}

/// The abstract problem with the set-ups that its numbers mean.
pub(super) struct Posed {
    pub problem: Problem,
    pub setups: Vec<Setup>,
}

/// Poses the problem: every set-up that a check allows, every station where one stands.
pub(super) fn pose_problem(request: &Request<'_>, planned: &[Planned<'_>], required: bool) -> Posed {
    let now = request.now;
    let mut luggage = vec![now.setup.luggage_off];
    if planned.iter().any(|p| p.wanted.luggage_off) && !now.setup.luggage_off {
        luggage.push(true);
    }
    let mut setups = BTreeSet::from([now.setup]);
    for wanted in planned.iter().map(|p| &p.wanted) {
        for &engine in &wanted.engines {
            // Off is a place to be only for an engine that is off and not cold, or that will run and stop.
            for &luggage_off in luggage.iter().filter(|l| **l || !wanted.luggage_off) {
                setups.insert(Setup {
                    pose: wanted.pose,
                    engine,
                    ignition: wanted.ignition,
                    covers_off: wanted.covers_off,
                    luggage_off,
                });
            }
        }
    }
    let setups: Vec<Setup> = setups.into_iter().collect();
    let stations: BTreeSet<Station> = planned.iter().map(|p| p.station).chain([now.station]).collect();
    let stations: Vec<Station> = stations.into_iter().collect();
    let place = |station: Station| stations.iter().position(|s| *s == station).unwrap_or(0);
    let tasks = planned.iter().map(|one| Task {
        seconds: one.seconds,
        value: one.weight.points,
        required: required && one.required,
        station: place(one.station),
        states: (0..setups.len()).filter(|&s| one.wanted.allows(&setups[s])).collect(),
        after: others(planned, one, |r| {
            one.check.after.contains(&r.check) || (r.check == BEFORE_IGNITION && one.wanted.ignition)
        }),
        needs: others(planned, one, |r| needs(one, r)),
    });
    let problem = Problem {
        change: setups.iter().map(|a| setups.iter().map(|b| a.seconds_to(b)).collect()).collect(),
        walk: stations.iter().map(|a| stations.iter().map(|b| walk_seconds(*a, *b)).collect()).collect(),
        start: (setups.iter().position(|s| *s == now.setup).unwrap_or(0), place(now.station)),
        tasks: tasks.collect(),
        seconds: request.seconds,
    };
    Posed { problem, setups }
}

/// The places of the planned checks that hold, the check itself left out.
fn others(planned: &[Planned<'_>], one: &Planned<'_>, holds: impl Fn(&CheckRef) -> bool) -> Vec<usize> {
    let is_other = |p: &Planned<'_>| p.reference != one.reference && holds(&p.reference);
    (0..planned.len()).filter(|&i| is_other(&planned[i])).collect()
}
