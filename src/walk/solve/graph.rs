//! Every course that a better plan may take: where a plan can stand between two rounds, and the rounds that lead on
//! from there. What cannot lead to a better plan by the bound is left out.

use std::collections::HashMap;
use std::hash::BuildHasherDefault;

use super::bound::{Bound, Mix};
use super::curves::Routes;
use super::field::Field;
use super::gains::{Gains, NEVER, slot};
use super::labels::Found;
use super::problem::Problem;
use super::rounds::{Rounds, Set, members};

/// A question with all that does not change with the price.
pub(super) struct Ask<'a> {
    pub problem: &'a Problem,
    pub rounds: &'a Rounds,
    pub routes: &'a [Routes],
    /// Seconds that no plan may exceed.
    pub seconds: f64,
    /// What every value is a multiple of.
    pub grain: f64,
    /// Whether no detour on foot is shorter than the direct way.
    pub is_walk_metric: bool,
}

impl Ask<'_> {
    /// What every round gives at a price, by slot: whole where another one may need the whole of it, in part else.
    pub fn gains(&self, price: f64) -> Vec<Option<Gains>> {
        let mut all = Vec::new();
        for (round, routes) in self.rounds.all.iter().zip(self.routes) {
            for is_whole in [false, true] {
                let is_offered = if round.is_needed { is_whole || !round.all_required } else { !is_whole };
                let gains = is_offered.then(|| Gains::of(self.problem, round, routes, price, is_whole));
                all.push(gains.flatten());
            }
        }
        all
    }
    /// A plan of these tasks in this order; none where a change of state has no way.
    pub fn plan(&self, order: Vec<(usize, usize)>) -> Option<Found> {
        let seconds = self.problem.seconds_of(&order)?;
        let value = order.iter().map(|&(task, _)| u64::from(self.problem.tasks[task].value)).sum();
        Some(Found { value, seconds, order })
    }
}

/// Where a plan can stand between two rounds. Rounds that can no longer be done and no longer matter count as done.
#[derive(Clone, Debug)]
pub(super) struct Node {
    pub done: Set,
    /// The rounds done whole, of those that another one may still need.
    whole: Set,
    pub state: usize,
    /// Nothing from here is worth more, by the bound.
    ahead: f64,
    /// Seconds that what is required and still to come takes at the least.
    pub must: f64,
    /// Whether all that is required is done.
    pub is_complete: bool,
    /// Where its arcs begin and end.
    pub arcs: (usize, usize),
    /// The stations where a better plan may stand, a bit each.
    pub alive: u32,
}

/// A round done from a node.
#[derive(Clone, Copy, Debug)]
pub(super) struct Arc {
    pub slot: usize,
    pub to: usize,
    /// Seconds of the change of state before it.
    pub change: u32,
}

/// The courses that are left.
pub(super) struct Graph {
    pub nodes: Vec<Node>,
    pub arcs: Vec<Arc>,
    /// The nodes in order: what comes before before what comes after.
    pub order: Vec<usize>,
    /// The best hope (value less price) of what was left out for lack of room.
    pub dropped: f64,
    /// Rounds tried.
    pub work: usize,
}

/// How much room there is: nodes kept of those with as many rounds done, and rounds tried in all.
#[derive(Clone, Copy)]
pub(super) struct Room {
    pub width: usize,
    pub work: usize,
}

/// What is known of the rounds at one price.
struct Scope<'a> {
    rounds: &'a Rounds,
    every: Set,
    usable: Set,
}

impl<'a> Scope<'a> {
    /// A round that gives so little even at its best that no better plan holds it is not tried.
    fn of(rounds: &'a Rounds, gains: &[Option<Gains>], root: f64, floor: f64) -> Self {
        let best = |r: usize| {
            let variants = [false, true].map(|w| gains[slot(r, w)].as_ref().map_or(NEVER, |g| g.best));
            variants[0].max(variants[1])
        };
        // Of a required round, and of one that another needs, the root's bound has the cost already.
        let is_forced = |r: usize| rounds.required & 1 << r != 0 || rounds.all[r].is_needed;
        let is_usable = |r: &usize| best(*r) > NEVER && (is_forced(*r) || root + best(*r).min(0.0) >= floor);
        let set = |r: std::ops::Range<usize>| r.fold(0, |set: Set, r| set | 1 << r);
        let count = rounds.all.len();
        Self { rounds, every: set(0..count), usable: (0..count).filter(is_usable).fold(0, |set, r| set | 1 << r) }
    }
    /// The rounds that can still be done.
    fn open(&self, done: Set, state: usize) -> Set {
        self.usable & self.rounds.reach[state] & !done
    }
    /// The rounds done and done whole as far as they matter, so that equal situations are one node.
    fn plain(&self, done: Set, whole: Set, state: usize) -> (Set, Set) {
        let rounds = self.rounds;
        let open = self.open(done, state);
        let closed = self.every & !open & !done & !rounds.required;
        let done = members(closed).filter(|&r| rounds.earlier[r] & open == 0).fold(done, |set, r| set | 1 << r);
        (done, members(whole).filter(|&r| rounds.needed_by[r] & open != 0).fold(0, |set, r| set | 1 << r))
    }
}

/// The courses that can lead to a hope (value less price) of `floor` at the bound's price, and their values at it.
/// `required` bounds the time of what is required and still to come.
pub(super) fn build(
    ask: &Ask<'_>,
    floor: f64,
    room: Room,
    bound: &mut Bound<'_>,
    mut required: Option<&mut Bound<'_>>,
) -> (Graph, Field) {
    let (problem, rounds, price) = (ask.problem, ask.rounds, bound.price);
    let stations = problem.walk.len();
    let gains = ask.gains(price);
    let root = bound.ahead(0, problem.start.0).gain;
    let scope = Scope::of(rounds, &gains, root, floor);
    let mut graph = Graph { nodes: Vec::new(), arcs: Vec::new(), order: Vec::new(), dropped: NEVER, work: 0 };
    let mut known: HashMap<(Set, Set, u32), usize, BuildHasherDefault<Mix>> = HashMap::default();
    let mut layers: Vec<Vec<usize>> = vec![Vec::new(); rounds.all.len() + 1];
    let (done, whole) = scope.plain(0, 0, problem.start.0);
    let is_complete = rounds.required == 0;
    let (state, ahead) = (problem.start.0, root);
    graph.nodes.push(Node { done, whole, state, ahead, must: 0.0, is_complete, arcs: (0, 0), alive: 0 });
    let mut fore = vec![NEVER; stations];
    fore[problem.start.1] = 0.0;
    layers[done.count_ones() as usize].push(0);
    let (mut before, mut reach) = (Vec::new(), Vec::new());
    for layer in 0..layers.len() {
        let mut here = std::mem::take(&mut layers[layer]);
        let width = if graph.work > room.work { room.width.min(NARROW) } else { room.width };
        if here.len() > width {
            let top = |n: usize| fore[n * stations..(n + 1) * stations].iter().copied().fold(NEVER, f64::max);
            let mut ranked: Vec<(f64, usize)> = here.iter().map(|&n| (top(n) + graph.nodes[n].ahead, n)).collect();
            ranked.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
            graph.dropped = graph.dropped.max(ranked[width].0);
            here = ranked[..width].iter().map(|r| r.1).collect();
        }
        for n in here {
            let node = graph.nodes[n].clone();
            let first = graph.arcs.len();
            graph.order.push(n);
            before.clear();
            before.extend_from_slice(&fore[n * stations..(n + 1) * stations]);
            let most = before.iter().copied().fold(NEVER, f64::max);
            let alive = (0..stations).filter(|&s| before[s] > NEVER).fold(0, |set, s| set | 1 << s);
            for r in members(scope.open(node.done, node.state)) {
                let round = &rounds.all[r];
                if node.done & round.later != 0 || round.needs & !node.whole != 0 {
                    continue;
                }
                for is_whole in [false, true] {
                    let Some(given) = &gains[slot(r, is_whole)] else { continue };
                    graph.work += 1;
                    reach.clear();
                    for &(state, change) in &rounds.enter[node.state][r] {
                        let cost = price * f64::from(change);
                        let top = most + given.best - cost;
                        let whole = if is_whole { node.whole | 1 << r } else { node.whole };
                        let (done, whole) = scope.plain(node.done | 1 << r, whole, state);
                        let key = (done, whole, state as u32);
                        let found = known.get(&key).copied();
                        let ahead = match found {
                            Some(to) => graph.nodes[to].ahead,
                            // The bound seen from afar is quick, and often enough.
                            None if top + bound.at_most_from(done, state) < floor => continue,
                            None => bound.ahead(done, state).gain,
                        };
                        if top + ahead < floor {
                            continue;
                        }
                        if reach.is_empty() {
                            given.after(&before, &mut reach);
                        }
                        if reach.iter().all(|gain| gain - cost + ahead < floor) {
                            continue;
                        }
                        let to = match found {
                            Some(to) => to,
                            None => {
                                // The rebate of a state is for a change that need not come: with nothing left to do it
                                // must not lengthen the time given.
                                let must = required.as_mut().map_or(0.0, |b| (-b.ahead(done, state).gain).max(0.0));
                                if must > ask.seconds {
                                    continue;
                                }
                                let is_complete = rounds.required & !done == 0;
                                let to = graph.nodes.len();
                                let arcs = (0, 0);
                                graph.nodes.push(Node { done, whole, state, ahead, must, is_complete, arcs, alive: 0 });
                                fore.resize(fore.len() + stations, NEVER);
                                layers[done.count_ones() as usize].push(to);
                                known.insert(key, to);
                                to
                            }
                        };
                        for (gain, last) in reach.iter().map(|gain| gain - cost).zip(&given.lasts) {
                            let best = &mut fore[to * stations + last];
                            if gain > *best && gain + ahead >= floor {
                                *best = gain;
                            }
                        }
                        graph.arcs.push(Arc { slot: slot(r, is_whole), to, change });
                    }
                }
            }
            (graph.nodes[n].arcs, graph.nodes[n].alive) = ((first, graph.arcs.len()), alive);
        }
    }
    let mut field = Field { price, gains, back: Vec::new(), fore, stations };
    field.look_back(&graph);
    (graph, field)
}

/// Nodes kept of those with as many rounds done, once the room is used up.
const NARROW: usize = 20;

impl Graph {
    /// The arcs that lead on from a node.
    pub fn arcs_of(&self, node: usize) -> &[Arc] {
        &self.arcs[self.nodes[node].arcs.0..self.nodes[node].arcs.1]
    }
}
