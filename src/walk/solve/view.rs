//! One question asked of a problem: the shortest walk over some of its tasks, or the greatest value within a time.

use super::best::{Known, Pass, look};
use super::bound::{Bound, Gain};
use super::coarse::Coarse;
use super::curves::{Routes, best_gain};
use super::gains::NEVER;
use super::graph::{Ask, Room, build};
use super::labels::{Found, SLACK};
use super::problem::{Problem, Solution};
use super::rounds::{Round, Rounds};
use super::{Limits, NO_LIMIT};

/// A problem with the tasks that the question is about.
pub(super) struct View {
    problem: Problem,
    rounds: Rounds,
    /// The rounds seen from near to far.
    views: Vec<Coarse>,
    routes: Vec<Routes>,
}

/// Different sets of states that the bounds tell apart, from near to far.
const SETTINGS: [usize; 4] = [16, 13, 10, 6];
/// Nodes kept of those with as many rounds done, in quick looks one after the other.
const QUICK: [usize; 2] = [24, 150];
/// The same in the looks that are to prove something.
const WIDE: usize = 7000;
/// The share of the value that a plan may fall short of the best without a last look.
const NEAR: f64 = 0.01;

/// From how near the bound looks: the part of its table that the first question may fill.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Sight {
    Far,
    Middle,
    Near,
}

impl View {
    /// The tasks kept are all required and worth nothing: only their time counts. The rounds stay those of the whole
    /// problem, so that what is done in one go does not depend on the question.
    pub fn for_time(problem: &Problem, rounds: &Rounds, keep: impl Fn(usize) -> bool) -> Self {
        let mut problem = problem.clone();
        for task in &mut problem.tasks {
            (task.required, task.value) = (true, 0);
        }
        Self::of(problem, rounds.clone(), keep)
    }
    /// Every task with its value; these are required.
    pub fn for_value(problem: &Problem, rounds: &Rounds, required: &[bool]) -> Self {
        let mut problem = problem.clone();
        for (task, &required) in problem.tasks.iter_mut().zip(required) {
            task.required = required;
        }
        Self::of(problem, rounds.clone(), |_| true)
    }
    fn of(problem: Problem, mut rounds: Rounds, keep: impl Fn(usize) -> bool) -> Self {
        rounds.required = 0;
        for (r, round) in rounds.all.iter_mut().enumerate() {
            for (_, tasks) in &mut round.stations {
                tasks.retain(|&t| keep(t));
            }
            round.stations.retain(|(_, tasks)| !tasks.is_empty());
            let mut tasks = round.stations.iter().flat_map(|(_, tasks)| tasks);
            round.required = tasks.clone().any(|&t| problem.tasks[t].required);
            round.all_required = round.required && tasks.all(|&t| problem.tasks[t].required);
            if round.required {
                rounds.required |= 1 << r;
            }
        }
        let routes = rounds.all.iter().map(|round| Routes::of(&problem, round)).collect();
        let views = SETTINGS.map(|most| Coarse::of(&problem, &rounds, most)).into();
        Self { problem, rounds, views, routes }
    }

    /// What each round gives at a price. A round that others need whole counts as if its best part were enough.
    fn gains(&self, price: f64) -> Vec<Gain> {
        let gain =
            |(round, routes): (&Round, &Routes)| best_gain(&self.problem, round, routes, price, round.all_required);
        self.rounds.all.iter().zip(&self.routes).map(gain).collect()
    }
    /// The bound seen from farthest, which is quick.
    fn rough_bound(&self, price: f64, limits: &Limits) -> Bound<'_> {
        Bound::new(&self.views[self.views.len() - 1], self.gains(price), price, limits.table, None)
    }
    /// The bound seen from as near as there is room for.
    fn bound(&self, price: f64, sight: Sight, limits: &Limits) -> Bound<'_> {
        let room = match sight {
            Sight::Far => return self.rough_bound(price, limits),
            Sight::Middle => limits.table / 80,
            Sight::Near => limits.table / 16,
        };
        let gains = self.gains(price);
        for view in &self.views[..self.views.len() - 1] {
            let far = self.rough_bound(price, limits);
            let mut bound = Bound::new(view, gains.clone(), price, room, Some(Box::new(far)));
            bound.ahead(0, self.problem.start.0);
            if !bound.is_full() {
                bound.limit = limits.table;
                return bound;
            }
        }
        self.rough_bound(price, limits)
    }
    fn ask(&self, seconds: u32, grain: u64) -> Ask<'_> {
        Ask {
            problem: &self.problem,
            rounds: &self.rounds,
            routes: &self.routes,
            seconds: f64::from(seconds),
            grain: grain as f64,
            is_walk_metric: is_walk_metric(&self.problem.walk),
        }
    }

    /// The shortest walk over all tasks, and the seconds that none can be below. Where the seconds of a walk are
    /// `known`, only a shorter one is looked for. None where there is none within the seconds.
    pub fn shortest(&self, seconds: u32, known: Option<u32>, limits: &Limits) -> Option<(Option<Found>, u32)> {
        let least = |bound: &mut Bound<'_>| -bound.ahead(0, self.problem.start.0).gain;
        if least(&mut self.rough_bound(1.0, limits)) > f64::from(seconds) {
            return None;
        }
        let mut bound = self.bound(1.0, Sight::Near, limits);
        let least = least(&mut bound);
        if least > f64::from(seconds) {
            return None;
        }
        let ask = self.ask(seconds, 1);
        let whole = |seconds: f64| (seconds - SLACK).ceil().max(0.0) as u32;
        let (mut found, mut best, mut no_less_than): (Option<Found>, _, _) = (None, known, whole(least));
        for width in [QUICK[0], 2 * QUICK[1], WIDE / 7] {
            // With time as the price and nothing of value, the best at the price is the shortest.
            let most = best.map_or(seconds, |b: u32| b.saturating_sub(1).min(seconds));
            let (graph, field) =
                build(&ask, -f64::from(most) - SLACK, Room { width, work: limits.work }, &mut bound, None);
            let new = field.best(&graph, &ask).and_then(|order| ask.plan(order));
            if let Some(new) = new.filter(|new| new.seconds <= most) {
                best = Some(new.seconds);
                found = Some(new);
            }
            let proven = if graph.dropped == NEVER { NO_LIMIT } else { whole(-graph.dropped) };
            no_less_than = no_less_than.max(proven).min(best.unwrap_or(NO_LIMIT));
            if graph.dropped == NEVER || best == Some(no_less_than) {
                break;
            }
        }
        best.map(|_| (found, no_less_than))
    }

    /// The greatest value within some seconds. `must` asks for the time of what is required; `known` is a plan.
    pub fn best_within(&self, seconds: u32, must: &Self, known: Found, limits: &Limits) -> Solution {
        let values = || self.problem.tasks.iter().map(|t| u64::from(t.value));
        let ask = self.ask(seconds, values().fold(0, gcd).max(1));
        let mut required = must.rough_bound(1.0, limits);
        let ceiling = values().sum::<u64>().max(known.value);
        let mut known = Known { ceiling, found: known, price: self.price(seconds, limits) };
        for (sight, pass) in passes(limits) {
            if known.is_best() || sight == Sight::Near && known.gap() < NEAR {
                break;
            }
            let mut bound = self.bound(known.price, sight, limits);
            look(&ask, &mut known, &pass, &mut bound, &mut required);
        }
        let Known { mut found, ceiling, .. } = known;
        // What was chosen, once more as a matter of time alone.
        let chosen = |task: usize| found.order.iter().any(|(t, _)| *t == task);
        let few = Limits { work: limits.work / 8, ..*limits };
        let again = Self::for_time(&self.problem, &self.rounds, chosen);
        let again = again.shortest(found.seconds, Some(found.seconds), &few);
        let no_less_than = again.as_ref().map_or(0, |(_, least)| *least).min(found.seconds);
        if let Some((Some(again), _)) = again {
            (found.order, found.seconds) = (again.order, again.seconds);
        }
        Solution {
            bound: ceiling,
            value: found.value,
            seconds: found.seconds,
            no_less_than,
            order: found.order,
            missing: None,
        }
    }

    /// The price of a second with the least bound: where the lines of two prices meet, again and again, until no line
    /// lies below.
    fn price(&self, seconds: u32, limits: &Limits) -> f64 {
        const ROUNDS: usize = 12;
        // A plan at a price is worth so much and takes so long; its line is value + price * (given - seconds).
        let line = |price: f64| {
            let ahead = self.rough_bound(price, limits).ahead(0, self.problem.start.0);
            (ahead.gain + price * ahead.seconds as f64, ahead.seconds as f64)
        };
        let given = f64::from(seconds);
        let dearest = self.problem.tasks.iter().map(|t| t.value).max().unwrap_or(0);
        let (mut low, mut high) = (line(0.0), line(f64::from(dearest) + 1.0));
        let mut price = 0.0;
        for _ in 0..ROUNDS {
            if low.1 <= given || high.1 >= low.1 {
                break;
            }
            price = ((low.0 - high.0) / (low.1 - high.1)).max(0.0);
            let new = line(price);
            let bound_there = new.0 + price * (given - new.1);
            let meeting = low.0 + price * (given - low.1);
            if bound_there <= meeting + 1e-6 {
                break;
            }
            if new.1 > given {
                low = new;
            } else {
                high = new;
            }
        }
        price
    }
}

/// The looks for the greatest value, one after the other: quick ones for a plan and a price, one that proves the plan
/// near to the best, one that looks for what is still better, and a last one where the gap is still wide.
fn passes(limits: &Limits) -> Vec<(Sight, Pass)> {
    let quick = |width: usize| Pass {
        room: Room { width, work: limits.work },
        labels: limits.labels / 20,
        depths: &[0.004, 0.015, 0.04],
        above: 0.0,
        is_quick: true,
    };
    let wide = |work: usize, above: f64| Pass {
        room: Room { width: WIDE, work },
        labels: limits.labels,
        depths: &[0.0025, 0.008, 1.0],
        above,
        is_quick: false,
    };
    let near = 0.8 * NEAR;
    vec![
        (Sight::Far, quick(QUICK[0])),
        (Sight::Far, quick(QUICK[1])),
        (Sight::Middle, wide(limits.work, near)),
        (Sight::Middle, wide(limits.work / 2, 0.0)),
        (Sight::Near, wide(limits.work + limits.work / 2, near)),
    ]
}

/// The greatest number that divides both.
fn gcd(a: u64, b: u64) -> u64 {
    if b == 0 { a } else { gcd(b, a % b) }
}

fn is_walk_metric(walk: &[Vec<u32>]) -> bool {
    let stations = 0..walk.len();
    let is_short = |a: usize, b: usize| walk[a].iter().zip(&walk[b]).all(|(ac, bc)| *ac <= walk[a][b] + bc);
    stations.clone().all(|a| walk[a][a] == 0 && stations.clone().all(|b| is_short(a, b)))
}
