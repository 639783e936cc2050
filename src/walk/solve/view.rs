//! One question asked of a problem: the shortest walk over some of its tasks, or the greatest value within a time.

use super::bound::{Bound, Gain, ToCome};
use super::coarse::Coarse;
use super::curves::{Curves, Links, Routes, best_gain, curves};
use super::problem::{Problem, Solution};
use super::rounds::{Round, Rounds};
use super::search::{Aim, Found, Given, Outcome, search};
use super::{Limits, NO_LIMIT};

/// A problem with the tasks that the question is about.
pub(super) struct View {
    problem: Problem,
    rounds: Rounds,
    /// The rounds seen from near to far.
    views: Vec<Coarse>,
    routes: Vec<Routes>,
}

/// Partial plans kept a layer, in one search after the other: a quick one finds a plan to beat, the last keeps all.
const WIDTHS: [usize; 4] = [24, 150, 1600, usize::MAX];
/// Different sets of states that the bounds tell apart, from near to far.
const SETTINGS: [usize; 4] = [16, 13, 10, 6];
/// How much more work the next width may take.
const WIDER: usize = 8;

/// How to search.
#[derive(Clone, Copy)]
struct How<'a> {
    seconds: u32,
    price: f64,
    most: u64,
    grain: u64,
    is_for_time: bool,
    window: f64,
    width: usize,
    plans: usize,
    sequence: Option<&'a [usize]>,
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

    /// In which variants each round is offered: whole where another one may need the whole of it, in part else.
    fn offered(&self, r: usize, is_whole: bool) -> bool {
        let round = &self.rounds.all[r];
        if round.is_needed { is_whole || !round.all_required } else { !is_whole }
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
    /// The bound seen from as near as the table has room for, with what it says of the whole.
    fn bound(&self, price: f64, limits: &Limits) -> (Bound<'_>, ToCome) {
        let gains = self.gains(price);
        let mut last = self.rough_bound(price, limits);
        let start = self.problem.start.0;
        for view in &self.views[..self.views.len() - 1] {
            let far = self.rough_bound(price, limits);
            let mut bound = Bound::new(view, gains.clone(), price, limits.table / 4, Some(Box::new(far)));
            let root = bound.ahead(0, start);
            if !bound.is_full() {
                bound.limit = limits.table;
                return (bound, root);
            }
        }
        let root = last.ahead(0, start);
        (last, root)
    }
    fn given(&self, links: &mut Links, price: f64, window: f64) -> Given {
        let mut of = |is_whole: bool| -> Vec<Option<Curves>> {
            let rounds = self.rounds.all.iter().enumerate();
            rounds
                .map(|(r, round)| {
                    let how = (price, window, is_whole);
                    self.offered(r, is_whole)
                        .then(|| curves(&self.problem, round, &self.routes[r], links, how))
                        .flatten()
                })
                .collect()
        };
        Given { whole: of(true), part: of(false) }
    }
    fn search(
        &self,
        how: &How<'_>,
        bounds: (&mut Bound<'_>, Option<&mut Bound<'_>>),
        known: Option<&Found>,
    ) -> Outcome {
        let mut links = Links::new();
        let given = self.given(&mut links, how.price, how.window);
        let place =
            |r: usize| how.sequence.map_or(usize::MAX, |s| s.iter().position(|x| *x == r).unwrap_or(usize::MAX));
        let places: Vec<usize> = (0..self.rounds.all.len()).map(place).collect();
        let aim = Aim {
            problem: &self.problem,
            rounds: &self.rounds,
            seconds: how.seconds,
            price: how.price,
            most: how.most,
            grain: how.grain,
            is_walk_metric: is_walk_metric(&self.problem.walk),
            is_for_time: how.is_for_time,
            width: how.width,
            plans: how.plans,
            sequence: how.sequence.map(|_| places.as_slice()),
        };
        search(&aim, &given, bounds.0, bounds.1, known, |r, link| {
            links.tasks(&self.problem, &self.routes[r], &self.rounds.all[r], link)
        })
    }

    /// The shortest walk over all tasks and the seconds that none can be below; none where none is within the seconds.
    pub fn shortest(&self, seconds: u32, limits: &Limits) -> Option<(Found, u32)> {
        let (mut bound, root) = self.bound(1.0, limits);
        let least = -root.gain;
        if least > f64::from(seconds) {
            return None;
        }
        let least = (least - 1e-6).ceil().max(0.0) as u32;
        let mut found: Option<Found> = None;
        let mut no_less_than = least;
        for width in WIDTHS {
            let window = found.as_ref().map_or(60.0, |f| f64::from(f.seconds.saturating_sub(least)));
            let is_whole = found.is_some() || width == usize::MAX;
            let window = if width == usize::MAX && found.is_none() { f64::from(NO_LIMIT) } else { window };
            let how = How {
                seconds,
                price: 1.0,
                most: 0,
                grain: 1,
                is_for_time: true,
                window,
                width,
                plans: limits.plans,
                sequence: None,
            };
            let outcome = self.search(&how, (&mut bound, None), found.as_ref());
            found = merge(found, outcome.found);
            let Some(best) = &found else { continue };
            if is_whole {
                let proven = outcome.dropped_seconds.unwrap_or(best.seconds).min(best.seconds);
                no_less_than = no_less_than.max(proven);
            }
            if no_less_than >= best.seconds || outcome.plans > limits.plans / WIDER {
                break;
            }
        }
        found.map(|f| (f, no_less_than))
    }

    /// The greatest value within some seconds. `must` asks for the time of what is required; `known` is a plan.
    pub fn best_within(&self, seconds: u32, must: &Self, known: Found, limits: &Limits) -> Solution {
        let most: u64 = self.problem.tasks.iter().map(|t| u64::from(t.value)).sum();
        let price = self.price(seconds, limits);
        let (mut bound, root) = self.bound(price, limits);
        let root = root.gain + price * f64::from(seconds);
        let mut required = must.rough_bound(1.0, limits);
        let grain = self.problem.tasks.iter().map(|t| u64::from(t.value)).fold(0, gcd).max(1);
        let to_grain = |value: f64| (value.min(most as f64) + 1e-6) as u64 / grain * grain;
        let mut found = known;
        let mut ceiling = to_grain(root).max(found.value);
        let mut how = How {
            seconds,
            price,
            most,
            grain,
            is_for_time: false,
            window: 0.0,
            width: 0,
            plans: limits.plans,
            sequence: None,
        };
        for (width, share) in [(WIDTHS[0], 0.002), (WIDTHS[1], 0.005), (WIDTHS[2], 1.0), (WIDTHS[3], 1.0)] {
            // A better plan is better by a grain at least.
            let gap = |found: &Found| (root - (found.value + grain) as f64).max(0.0);
            how = How { window: gap(&found).min(root * share), width, ..how };
            let is_whole = how.window >= gap(&found);
            let outcome = self.search(&how, (&mut bound, Some(&mut required)), Some(&found));
            found = merge(Some(found), outcome.found).unwrap_or_default();
            if is_whole {
                ceiling = ceiling.min(outcome.dropped.unwrap_or(0)).max(found.value);
            }
            if ceiling == found.value || share == 1.0 && outcome.plans > limits.plans / WIDER {
                break;
            }
            if share < 1.0 && !found.rounds.is_empty() {
                // The same rounds in the same order, with the best choice in them.
                let sequence = found.rounds.clone();
                let polish = How { window: gap(&found), width: WIDTHS[1], sequence: Some(&sequence), ..how };
                let polished = self.search(&polish, (&mut bound, Some(&mut required)), Some(&found));
                found = merge(Some(found), polished.found).unwrap_or_default();
            }
        }
        // What was chosen, once more as a matter of time alone.
        let chosen = |task: usize| found.order.iter().any(|(t, _)| *t == task);
        let few = Limits { plans: limits.plans / WIDER, ..*limits };
        let again = Self::for_time(&self.problem, &self.rounds, chosen).shortest(found.seconds, &few);
        let no_less_than = again.as_ref().map_or(0, |(_, least)| *least).min(found.seconds);
        if let Some((again, _)) = again.filter(|(a, _)| a.seconds < found.seconds) {
            (found.order, found.seconds) = (again.order, again.seconds);
        }
        Solution {
            bound: ceiling.max(found.value),
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

/// The better of two plans: more value, then less time.
fn merge(a: Option<Found>, b: Option<Found>) -> Option<Found> {
    let rank = |f: &Found| (f.value, std::cmp::Reverse(f.seconds));
    match (a, b) {
        // The search gives back a plan it knew without its order; the one that has the order stays.
        (Some(a), Some(b)) => Some(if rank(&b) > rank(&a) { b } else { a }),
        (a, b) => a.or(b),
    }
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
