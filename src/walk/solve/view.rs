//! One question asked of a problem: the shortest walk over some of its tasks, or the greatest value within a time.

use super::bound::{Bound, Gains};
use super::curves::{Curves, Links, Routes, best_gain, curves};
use super::problem::{Problem, Solution};
use super::rounds::Rounds;
use super::search::{Aim, Found, Given, Outcome, search};
use super::{Limits, NO_LIMIT};

/// A problem with the tasks that the question is about.
pub(super) struct View {
    problem: Problem,
    rounds: Rounds,
    routes: Vec<Routes>,
}

/// Partial plans kept in the first, quick search that only finds a plan to beat.
const NARROW: usize = 60;

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
        Self { problem, rounds, routes }
    }

    /// In which variants each round is offered: whole where another one may need the whole of it, in part else.
    fn offered(&self, r: usize, is_whole: bool) -> bool {
        let round = &self.rounds.all[r];
        if round.is_needed { is_whole || !round.all_required } else { !is_whole }
    }
    fn bound(&self, price: f64, limit: usize) -> Bound<'_> {
        let gain = |r: usize, is_whole: bool| {
            let round = &self.rounds.all[r];
            self.offered(r, is_whole)
                .then(|| best_gain(&self.problem, round, &self.routes[r], price, is_whole))
                .flatten()
        };
        let gains = (0..self.rounds.all.len()).map(|r| Gains { whole: gain(r, true), part: gain(r, false) });
        Bound::new(&self.rounds, gains.collect(), price, limit)
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
        aim: (u32, f64, u64),
        bound: &mut Bound<'_>,
        required: Option<&mut Bound<'_>>,
        (known, window, width): (Option<&Found>, f64, usize),
    ) -> Outcome {
        let (seconds, price, most) = aim;
        let mut links = Links::new();
        let given = self.given(&mut links, price, window);
        let aim = Aim { problem: &self.problem, rounds: &self.rounds, seconds, price, most };
        search(&aim, &given, bound, required, (known, width), |r, link| {
            links.tasks(&self.problem, &self.routes[r], &self.rounds.all[r], link)
        })
    }

    /// The shortest walk over all tasks, and whether it is proven to be; none where there is none within the seconds.
    pub fn shortest(&self, seconds: u32, limits: &Limits) -> Option<(Found, bool)> {
        let mut bound = self.bound(1.0, limits.table);
        let least = -bound.ahead(0, 0, self.problem.start.0).gain;
        if least > f64::from(seconds) {
            return None;
        }
        let aim = (seconds.min(NO_LIMIT), 1.0, 0);
        let mut found: Option<Found> = None;
        // A quick look gives a plan to beat; what it leaves open says how wide the window of the second must be.
        for width in [NARROW, limits.width] {
            let window = found.as_ref().map_or(60.0, |f| f64::from(f.seconds) - least);
            if width != NARROW && window < 0.5 {
                return found.map(|f| (f, true));
            }
            let window = if width != NARROW && found.is_none() { f64::from(NO_LIMIT) } else { window };
            let outcome = self.search(aim, &mut bound, None, (found.as_ref(), window, width));
            if width == limits.width {
                let dropped = outcome.dropped_seconds;
                let best = merge(found, outcome.found)?;
                let is_least = dropped.is_none_or(|s| s >= best.seconds);
                return Some((best, is_least));
            }
            found = outcome.found;
        }
        None
    }

    /// The greatest value within some seconds. `must` asks for the time of what is required; `known` is a plan.
    pub fn best_within(&self, seconds: u32, must: &Self, known: Found, limits: &Limits) -> Solution {
        let most: u64 = self.problem.tasks.iter().map(|t| u64::from(t.value)).sum();
        let start = self.problem.start.0;
        let price = self.price(seconds, limits);
        let mut bound = self.bound(price, limits.table);
        let root = bound.ahead(0, 0, start).gain + price * f64::from(seconds);
        let mut required = must.bound(1.0, limits.table);
        let aim = (seconds, price, most);
        let ceiling = |found: &Found| (root + 1e-6).floor().min(most as f64).max(found.value as f64) as u64;
        let mut found = known;
        let quick = self.search(aim, &mut bound, Some(&mut required), (Some(&found), root / 50.0, NARROW));
        found = merge(Some(found), quick.found).unwrap_or_default();
        let window = (root - found.value as f64).max(0.0);
        let outcome = self.search(aim, &mut bound, Some(&mut required), (Some(&found), window, limits.width));
        found = merge(Some(found), outcome.found).unwrap_or_default();
        let open = outcome.dropped.map_or(found.value, |d| d.max(found.value)).min(ceiling(&found));
        Solution {
            bound: open,
            value: found.value,
            seconds: found.seconds,
            least_time: open == found.value && outcome.dropped_seconds.is_none_or(|s| s >= found.seconds),
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
            let ahead = self.bound(price, limits.table).ahead(0, 0, self.problem.start.0);
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
