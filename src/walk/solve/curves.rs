//! What a round can give: by the station it is entered from and the one it is left at, the seconds and values that are
//! worth a look, each with the tasks behind it.
//!
//! Inside a round the choice is a knapsack of its stations' tasks and the order a shortest path over the stations that
//! are gone to, by dynamic programming over sets of stations (Held and Karp, J. SIAM 10 (1962) 196-210). Choices that
//! another one beats in both time and value are dropped, and so are those whose value less the price of their time
//! is more than a window below the best: no better answer uses them (reduced-cost fixing).

use super::problem::Problem;
use super::rounds::Round;

/// A choice of tasks with its time and value; `link` finds the tasks again.
#[derive(Clone, Copy, Debug)]
pub(super) struct Point {
    pub seconds: u32,
    pub value: u64,
    pub link: usize,
}

/// How a point came to be.
#[derive(Clone, Copy, Debug)]
enum Link {
    Nothing,
    /// One more task.
    Task {
        before: usize,
        task: usize,
    },
    /// The choices of two sets of stations.
    Both(usize, usize),
    /// A choice with the stations gone to, the first of them and the last.
    Path {
        choice: usize,
        mask: u32,
        first: usize,
        last: usize,
    },
}

/// What finds tasks again.
#[derive(Debug)]
pub(super) struct Links(Vec<Link>);

impl Links {
    pub fn new() -> Self {
        Self(vec![Link::Nothing])
    }
    fn add(&mut self, link: Link) -> usize {
        self.0.push(link);
        self.0.len() - 1
    }
    /// The tasks of a path point, in walking order.
    pub fn tasks(&self, problem: &Problem, routes: &Routes, round: &Round, link: usize) -> Vec<usize> {
        let Link::Path { choice, mask, first, last } = self.0[link] else { return Vec::new() };
        let mut chosen = Vec::new();
        let mut open = vec![choice];
        while let Some(at) = open.pop() {
            match self.0[at] {
                Link::Nothing => {}
                Link::Task { before, task } => {
                    chosen.push(task);
                    open.push(before);
                }
                Link::Both(a, b) => open.extend([a, b]),
                Link::Path { choice, .. } => open.push(choice),
            }
        }
        chosen.sort_unstable();
        let mut order = Vec::new();
        for station in routes.path(problem, round, mask, first, last) {
            order.extend(chosen.iter().filter(|&&t| problem.tasks[t].station == round.stations[station].0));
        }
        order
    }
}

/// Shortest paths over every set of a round's stations: by first, set and last.
#[derive(Clone, Debug)]
pub(super) struct Routes {
    count: usize,
    seconds: Vec<u32>,
    /// The shortest path over each set, from any station to any.
    shortest: Vec<u32>,
}

const NO_WAY: u32 = u32::MAX;

impl Routes {
    pub fn of(problem: &Problem, round: &Round) -> Self {
        let count = round.stations.len();
        let walk = |a: usize, b: usize| problem.walk[round.stations[a].0][round.stations[b].0];
        let mut routes =
            Self { count, seconds: vec![NO_WAY; (count * count) << count], shortest: vec![NO_WAY; 1 << count] };
        for first in 0..count {
            let at = routes.at(first, 1 << first, first);
            routes.seconds[at] = 0;
            for mask in 1..1u32 << count {
                for last in (0..count).filter(|l| mask & 1 << l != 0) {
                    let so_far = routes.seconds[routes.at(first, mask, last)];
                    if so_far == NO_WAY {
                        continue;
                    }
                    let shortest = &mut routes.shortest[mask as usize];
                    *shortest = so_far.min(*shortest);
                    for next in (0..count).filter(|n| mask & 1 << n == 0) {
                        let at = routes.at(first, mask | 1 << next, next);
                        routes.seconds[at] = routes.seconds[at].min(so_far + walk(last, next));
                    }
                }
            }
        }
        routes
    }
    fn at(&self, first: usize, mask: u32, last: usize) -> usize {
        ((first << self.count) + mask as usize) * self.count + last
    }
    /// Seconds of the shortest path over a set of stations, none where the ends are not in it or cannot be its ends.
    pub fn get(&self, first: usize, mask: u32, last: usize) -> Option<u32> {
        Some(self.seconds[self.at(first, mask, last)]).filter(|s| *s != NO_WAY)
    }
    /// The stations of the shortest path in order.
    pub fn path(&self, problem: &Problem, round: &Round, mask: u32, first: usize, last: usize) -> Vec<usize> {
        let walk = |a: usize, b: usize| problem.walk[round.stations[a].0][round.stations[b].0];
        let mut path = vec![last];
        let (mut mask, mut at) = (mask, last);
        while mask != 1 << at {
            let here = self.get(first, mask, at);
            let rest = mask & !(1 << at);
            let fits = |&p: &usize| rest & 1 << p != 0 && self.get(first, rest, p).map(|s| s + walk(p, at)) == here;
            let Some(before) = (0..self.count).find(fits) else { break };
            path.push(before);
            (mask, at) = (rest, before);
        }
        path.reverse();
        path
    }
}

/// What a round can give at a price of time.
#[derive(Debug)]
pub(super) struct Curves {
    /// By station entered from and place of the round's station left at: points, each with its value less price, the
    /// best first.
    pub points: Vec<Vec<Vec<(Point, f64)>>>,
}

/// Points in rising time, each worth more than those before it.
fn pareto(mut points: Vec<Point>) -> Vec<Point> {
    points.sort_by_key(|p| (p.seconds, std::cmp::Reverse(p.value)));
    let mut kept: Vec<Point> = Vec::with_capacity(points.len());
    for point in points {
        if kept.last().is_none_or(|last| point.value > last.value) {
            kept.push(point);
        }
    }
    kept
}

/// The stations that must be gone to, a bit each, and by station the tasks that are best done there at a price: the
/// forced ones (all, where `is_whole`) and what is worth its time; where there are none, the one nearest to that, since
/// at a station that is gone to at least one task is done.
pub(super) fn bests(problem: &Problem, round: &Round, price: f64, is_whole: bool) -> (u32, Vec<Vec<usize>>) {
    let gain = |t: usize| f64::from(problem.tasks[t].value) - price * f64::from(problem.tasks[t].seconds);
    let is_forced = |t: usize| is_whole || problem.tasks[t].required;
    let mut must = 0;
    let mut bests = Vec::new();
    for (k, (_, tasks)) in round.stations.iter().enumerate() {
        if tasks.iter().any(|&t| is_forced(t)) {
            must |= 1 << k;
        }
        let mut best: Vec<usize> = tasks.iter().copied().filter(|&t| is_forced(t) || gain(t) > 0.0).collect();
        if best.is_empty() {
            best.extend(tasks.iter().copied().max_by(|&a, &b| gain(a).total_cmp(&gain(b))));
        }
        bests.push(best);
    }
    (must, bests)
}

/// What a round gives. `is_whole`: every task is taken. `floors`, by station entered from and place of the station left
/// at: the least value less price of a point that is worth a look. None where there is no such point.
pub(super) fn curves(
    problem: &Problem,
    round: &Round,
    routes: &Routes,
    links: &mut Links,
    floors: &[f64],
    (price, is_whole): (f64, bool),
) -> Option<Curves> {
    let reduced = |p: &Point| p.value as f64 - price * f64::from(p.seconds);
    let (count, everywhere) = (round.stations.len(), problem.walk.len());
    let ends = || (0..count).flat_map(|a| (0..count).map(move |b| (a, b)));
    let floor = |from: usize, last: usize| floors[from * count + last] - 1e-6;
    let low = |(first, last): (usize, usize)| {
        let walk = |from: usize| price * f64::from(problem.walk[from][round.stations[first].0]);
        (0..everywhere).map(|from| floor(from, last) + walk(from)).fold(f64::INFINITY, f64::min)
    };
    let lows: Vec<f64> = ends().map(low).collect();
    let least = lows.iter().copied().fold(f64::INFINITY, f64::min);
    let (must, taken) = bests(problem, round, price, is_whole);
    let gain = |&t: &usize| f64::from(problem.tasks[t].value) - price * f64::from(problem.tasks[t].seconds);
    let bests: Vec<f64> = taken.iter().map(|tasks| tasks.iter().map(gain).sum()).collect();
    let sum = |mask: u32| (0..count).filter(|k| mask & 1 << k != 0).map(|k| bests[k]).sum::<f64>();
    let walked = |mask: u32| price * f64::from(routes.shortest[mask as usize]);
    let masks = (1..1u32 << count).filter(|m| m & must == must);
    let masks: Vec<(u32, f64)> = masks.map(|m| (m, sum(m) - walked(m))).filter(|(_, gain)| *gain >= least).collect();
    let best = masks.iter().map(|(_, gain)| *gain).reduce(f64::max)?;
    let forced = |t: usize| is_whole || problem.tasks[t].required;
    let stations = round.stations.iter();
    let stations: Vec<Vec<Point>> =
        stations.map(|(_, tasks)| station_points(problem, tasks, &forced, links, (price, best - least))).collect();
    let mut inner: Vec<Vec<Point>> = vec![Vec::new(); count * count];
    for (mask, _) in masks {
        let way = |(first, last): (usize, usize)| {
            let walk = routes.get(first, mask, last)?;
            Some((first, last, walk, lows[first * count + last] + price * f64::from(walk)))
        };
        let ways: Vec<(usize, usize, u32, f64)> = ends().filter_map(way).collect();
        let floor = ways.iter().map(|w| w.3).fold(f64::INFINITY, f64::min);
        if sum(mask) < floor {
            continue;
        }
        let choices = join(&stations, mask, links, &bests, (price, floor - 1e-6));
        for (first, last, walk, low) in ways {
            for choice in choices.iter().filter(|choice| reduced(choice) >= low) {
                let link = links.add(Link::Path { choice: choice.link, mask, first, last });
                let point = Point { seconds: choice.seconds + walk, value: choice.value, link };
                inner[first * count + last].push(point);
            }
        }
    }
    let inner: Vec<Vec<Point>> = inner.into_iter().map(pareto).collect();
    let from = |station: usize, last: usize| {
        let mut all = Vec::new();
        for first in 0..count {
            let walk = problem.walk[station][round.stations[first].0];
            let moved = inner[first * count + last].iter().map(|p| Point { seconds: p.seconds + walk, ..*p });
            all.extend(moved.filter(|p| reduced(p) >= floor(station, last)));
        }
        let mut points: Vec<(Point, f64)> = pareto(all).into_iter().map(|p| (p, reduced(&p))).collect();
        points.sort_by(|a, b| b.1.total_cmp(&a.1));
        points
    };
    let points = (0..everywhere).map(|station| (0..count).map(|last| from(station, last)).collect()).collect();
    Some(Curves { points })
}

/// The greatest value less the price of its time that a round gives, with its seconds; as [`curves`], without points.
pub(super) fn best_gain(
    problem: &Problem,
    round: &Round,
    routes: &Routes,
    price: f64,
    is_whole: bool,
) -> Option<(f64, u32)> {
    let count = round.stations.len();
    let (must, taken) = bests(problem, round, price, is_whole);
    let add = |(g, s): (f64, u32), &t: &usize| {
        let task = &problem.tasks[t];
        (g + f64::from(task.value) - price * f64::from(task.seconds), s + task.seconds)
    };
    let bests: Vec<(f64, u32)> = taken.iter().map(|tasks| tasks.iter().fold((0.0, 0), add)).collect();
    let of_mask = |mask: u32| {
        let walk = routes.shortest[mask as usize];
        let members = (0..count).filter(|k| mask & 1 << k != 0);
        members.fold((-price * f64::from(walk), walk), |(g, s), k| (g + bests[k].0, s + bests[k].1))
    };
    (1..1u32 << count).filter(|m| m & must == must).map(of_mask).max_by(|a, b| a.0.total_cmp(&b.0))
}

/// The choices at one station that are worth a look, at least one task in each.
fn station_points(
    problem: &Problem,
    tasks: &[usize],
    forced: &impl Fn(usize) -> bool,
    links: &mut Links,
    (price, window): (f64, f64),
) -> Vec<Point> {
    let mut base = Point { seconds: 0, value: 0, link: 0 };
    let mut with = |point: &Point, task: usize| {
        let link = links.add(Link::Task { before: point.link, task });
        let t = &problem.tasks[task];
        Point { seconds: point.seconds + t.seconds, value: point.value + u64::from(t.value), link }
    };
    for &task in tasks.iter().filter(|&&t| forced(t)) {
        base = with(&base, task);
    }
    let gain = |t: usize| f64::from(problem.tasks[t].value) - price * f64::from(problem.tasks[t].seconds);
    let mut free: Vec<usize> = tasks.iter().copied().filter(|&t| !forced(t)).collect();
    free.sort_by(|&a, &b| gain(b).total_cmp(&gain(a)).then(a.cmp(&b)));
    let mut to_come: f64 = free.iter().map(|&t| gain(t).max(0.0)).sum();
    let reduced = |p: &Point| p.value as f64 - price * f64::from(p.seconds);
    // The empty choice may lie far below the best and still be where the best begins; it is dropped at the end.
    let must_choose = base.link == 0;
    let top = if must_choose && to_come == 0.0 {
        free.first().map_or(f64::NEG_INFINITY, |&t| gain(t))
    } else {
        reduced(&base) + to_come
    };
    let floor = top - window - 1e-6;
    let mut points = vec![base];
    for task in free {
        to_come -= gain(task).max(0.0);
        let mut more: Vec<Point> = points.iter().map(|p| with(p, task)).collect();
        more.extend(points);
        // The empty choice is kept until the end whatever it is worth, since one task must be chosen.
        more.retain(|p| p.link == 0 || reduced(p) + to_come.max(0.0) >= floor);
        points = pareto(more);
    }
    points.retain(|p| p.link != 0);
    points
}

/// The choices of a set of stations together that are worth a look: those that reach the floor when the rest of the
/// stations give their best.
fn join(
    stations: &[Vec<Point>],
    mask: u32,
    links: &mut Links,
    bests: &[f64],
    (price, floor): (f64, f64),
) -> Vec<Point> {
    let members: Vec<usize> = (0..stations.len()).filter(|k| mask & 1 << k != 0).collect();
    let mut to_come: f64 = members.iter().map(|&k| bests[k]).sum();
    let mut points = vec![Point { seconds: 0, value: 0, link: 0 }];
    for &k in &members {
        to_come -= bests[k];
        let mut sums = Vec::new();
        for p in &points {
            for q in &stations[k] {
                let (seconds, value) = (p.seconds + q.seconds, p.value + q.value);
                if value as f64 - price * f64::from(seconds) + to_come >= floor {
                    let link = if p.link == 0 { q.link } else { links.add(Link::Both(p.link, q.link)) };
                    sums.push(Point { seconds, value, link });
                }
            }
        }
        points = pareto(sums);
    }
    points
}
