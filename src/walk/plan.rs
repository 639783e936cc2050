//! The plan as the person follows it: steps in order with the changes before each, what is left out and why, the
//! minutes, and how near to the best it is proven to be.

use std::collections::BTreeSet;

use super::build::{BEFORE_RIDING, Planned, Posed, build, pose_problem};
use super::early::bring_forward;
use super::{Change, Limits, Now, Request, Setup, Solution, solve};
use crate::inspection::{CheckRef, Station};

/// One check at its place in the walk.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// Which check on which part.
    pub check: CheckRef,
    /// Its title with the part.
    pub title: String,
    /// Where one stands.
    pub station: Station,
    /// How the machine is set up.
    pub setup: Setup,
    /// What is done to the machine before it; empty where the set-up stays.
    pub changes: Vec<Change>,
    /// Seconds for those changes.
    pub change_seconds: u32,
    /// Seconds on foot from the station before.
    pub walk_seconds: u32,
    /// Seconds for the check itself.
    pub seconds: u32,
    /// Seconds from the start of the plan until the check begins.
    pub begins: u32,
    /// Whether there is no verdict without it.
    pub required: bool,
    /// Points of risk that it takes away, and why they are more than its class alone.
    pub points: u32,
    /// What raised its weight, in words.
    pub raised: Vec<&'static str>,
    /// Ids of the catalogue's cautions to show: its own and those of the changes.
    pub cautions: Vec<String>,
}

/// Why a check is not in the plan.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Reason {
    /// The machine lacks the part.
    NotApplicable,
    /// It needs a second person.
    NeedsHelper,
    /// The engine is no longer cold.
    NoLongerCold,
    /// It is read from a battery at rest, and the ignition is on.
    NoLongerAtRest,
    /// The machine is not to be ridden, with the reason.
    NotRidden(String),
    /// It is read hot from a ride, and nothing on this walk is ridden.
    NothingRidden,
    /// The engine is not to be started, with the reason.
    NotStarted(String),
    /// It is not done without another check, which is left out.
    Without(String),
    /// It takes away less risk for its time than what is in the plan.
    LeastRisk,
    /// It is required, but the part that takes away the most risk was asked, and there was no time for it.
    NoTime,
    /// No order allows it together with the rest.
    NoOrder,
}

/// A check that is not in the plan.
#[derive(Clone, Debug, PartialEq)]
pub struct LeftOut {
    /// Which check on which part; on the whole machine where the machine lacks the part.
    pub check: CheckRef,
    /// Its title with the part.
    pub title: String,
    /// Seconds for the check itself.
    pub seconds: u32,
    /// Points of risk that it would take away.
    pub points: u32,
    /// Whether there is no verdict without it.
    pub required: bool,
    /// Why.
    pub reason: Reason,
}

impl LeftOut {
    /// The reason in words: `taken out: least risk for its 6 minutes`.
    pub fn words(&self) -> String {
        let words = match &self.reason {
            Reason::NotApplicable => "not applicable: the machine has no such part".into(),
            Reason::NeedsHelper => "needs a helper".into(),
            Reason::NoLongerCold => "needs a cold engine, and it has run".into(),
            Reason::NoLongerAtRest => "needs a battery at rest, and the ignition is on".into(),
            Reason::NotRidden(why) => format!("not ridden: {why}"),
            Reason::NothingRidden => "read hot from a ride, and nothing on this walk is ridden".into(),
            Reason::NotStarted(why) => format!("the engine is not started: {why}"),
            Reason::Without(title) => format!("not done without \"{title}\", which is left out"),
            Reason::LeastRisk => format!("taken out: least risk for its {}", minutes_words(self.seconds)),
            Reason::NoTime => format!("no time for its {}", minutes_words(self.seconds)),
            Reason::NoOrder => "no order of the walk allows it together with the rest".into(),
        };
        if self.required { format!("{words}; required, there is no verdict without it") } else { words }
    }
}

/// Seconds in words: `6 minutes`, `1 minute`, `1.5 minutes`.
pub fn minutes_words(seconds: u32) -> String {
    let minutes = (f64::from(seconds) / 6.0).round() / 10.0;
    if minutes == 1.0 { "1 minute".into() } else { format!("{minutes} minutes") }
}

/// How near to the best a plan is proven to be.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Proof {
    /// Points of risk that the plan takes away.
    pub points: u64,
    /// No plan in the same time takes away more than this.
    pub bound: u64,
    /// No walk with the same checks takes fewer seconds than this.
    pub no_less_than: u32,
}

impl Proof {
    /// Whether no plan takes away more risk in the same time.
    pub fn is_best(&self) -> bool {
        self.points >= self.bound
    }
    /// How much more another plan might take away at most, in per cent of the bound.
    pub fn gap_percent(&self) -> f64 {
        if self.is_best() { 0.0 } else { (self.bound - self.points) as f64 * 100.0 / self.bound as f64 }
    }
    /// In words.
    pub fn words(&self) -> String {
        if self.is_best() {
            "no other plan takes away more risk in this time".into()
        } else {
            // Rounded up: a gap is never said smaller than it is.
            let gap = (self.gap_percent() * 100.0).ceil() / 100.0;
            format!("no other plan takes away more than {gap} % more risk in this time")
        }
    }
}

/// An ordered walk round a machine.
#[derive(Clone, Debug, PartialEq)]
pub struct Plan {
    /// The kind of inspection by its id.
    pub kind: String,
    /// How the machine is set up and where the person is when it begins.
    pub from: Now,
    /// The checks in order.
    pub steps: Vec<Step>,
    /// What is left out, required first, then the heaviest.
    pub left_out: Vec<LeftOut>,
    /// Seconds that it takes.
    pub seconds: u32,
    /// Seconds that were given; none for as long as it takes.
    pub given: Option<u32>,
    /// Seconds that the required checks take in this walk beyond those given; none where they fit. The least that any
    /// walk of them takes is in [`Proof::no_less_than`].
    pub missing: Option<u32>,
    /// How near to the best it is.
    pub proof: Proof,
}

impl Plan {
    /// How many checks are left out without which there is no verdict.
    pub fn required_left_out(&self) -> usize {
        self.left_out.iter().filter(|l| l.required && l.reason != Reason::NotApplicable).count()
    }
    /// The steps that follow one another in one set-up at one station, as ranges of [`Plan::steps`].
    pub fn stops(&self) -> Vec<std::ops::Range<usize>> {
        let mut stops: Vec<std::ops::Range<usize>> = Vec::new();
        for (i, step) in self.steps.iter().enumerate() {
            let same = i > 0 && self.steps[i - 1].station == step.station && self.steps[i - 1].setup == step.setup;
            match stops.last_mut() {
                Some(stop) if same => stop.end = i + 1,
                _ => stops.push(i..i + 1),
            }
        }
        stops
    }
}

/// Plans the walk that a request asks for.
pub fn plan(request: &Request<'_>) -> Plan {
    let built = build(request);
    let mut left_out = built.left_out;
    let mut planned = built.planned;
    let posed = pose_problem(request, &planned, true);
    let mut solved = (solve(&posed.problem, &Limits::default()), posed);
    let is_over = |s: &Solution| s.missing.is_some();
    if solved.0.is_err() || (request.part && solved.0.as_ref().is_ok_and(is_over)) {
        // Nothing is required by force any more; what cannot come is said with its reason.
        let posed = pose_problem(request, &planned, false);
        solved = (solve(&posed.problem, &Limits::default()), posed);
    }
    let (solution, posed) = solved;
    // Without a single required check an empty walk is always a plan; what cannot be posed at all leaves all out.
    let is_without_order = solution.is_err();
    let mut solution = solution.unwrap_or_default();
    bring_forward(&posed.problem, &mut solution, |task| planned[task].check.id == BEFORE_RIDING);
    let steps = steps(request, &planned, &posed, &solution);
    let taken: BTreeSet<&CheckRef> = steps.iter().map(|s| &s.check).collect();
    planned.retain(|p| !taken.contains(&p.reference));
    left_out.extend(planned.iter().map(|one| one.left_out(reason(one, &planned, request, is_without_order))));
    left_out.sort_by_key(|l| (!l.required, std::cmp::Reverse(l.points), l.title.clone()));
    Plan {
        kind: request.kind.id.clone(),
        from: request.now,
        left_out,
        seconds: solution.seconds,
        given: request.seconds,
        missing: solution.missing,
        proof: Proof { points: solution.value, bound: solution.bound, no_less_than: solution.no_less_than },
        steps,
    }
}

/// Why a check that could be planned is not in the plan.
fn reason(one: &Planned<'_>, out: &[Planned<'_>], request: &Request<'_>, is_without_order: bool) -> Reason {
    let before = out.iter().find(|p| one.check.needs.contains(&p.reference.check));
    match before {
        _ if is_without_order => Reason::NoOrder,
        Some(before) => Reason::Without(before.title.clone()),
        None if request.seconds.is_none() => Reason::NoOrder,
        None if one.required => Reason::NoTime,
        None => Reason::LeastRisk,
    }
}

/// The steps of an order; an order of the solver has a way for every change.
fn steps(request: &Request<'_>, planned: &[Planned<'_>], posed: &Posed, solution: &Solution) -> Vec<Step> {
    let mut clock = 0;
    let mut steps = Vec::new();
    for step in posed.problem.moves(&solution.order).flatten() {
        let one = &planned[step.task];
        let setup = posed.setups[step.to];
        let changes = posed.setups[step.from].changes_to(&setup);
        let mut cautions: Vec<String> = changes.iter().filter_map(|c| c.caution().map(str::to_owned)).collect();
        cautions.extend(one.check.cautions.iter().cloned());
        let mut seen = BTreeSet::new();
        cautions.retain(|c| request.catalogue.caution(c).is_some() && seen.insert(c.clone()));
        steps.push(Step {
            check: one.reference.clone(),
            title: one.title.clone(),
            station: one.station,
            setup,
            changes,
            change_seconds: step.change,
            walk_seconds: step.walk,
            seconds: step.itself,
            begins: clock + step.change + step.walk,
            required: one.required,
            points: one.weight.points,
            raised: one.weight.raised.clone(),
            cautions,
        });
        clock += step.seconds();
    }
    steps
}
