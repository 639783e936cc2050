//! The search for the best plan along the courses that are left: every choice of tasks that no other beats in both time
//! and value, as far as the exact values at several prices let it lead to something better.
//!
//! Dynamic programming with bounding and a limited width, after Morin and Marsten, Operations Research 24 (1976)
//! 611-627.

use super::curves::{Curves, Links, curves};
use super::field::Field;
use super::gains::{NEVER, round_of, slot};
use super::graph::{Ask, Graph};

/// Values are whole numbers: what falls short of one by less than this is one.
pub(super) const SLACK: f64 = 1e-6;

/// A plan: its value, its seconds, and the tasks with their states.
#[derive(Clone, Debug, Default)]
pub(super) struct Found {
    pub value: u64,
    pub seconds: u32,
    pub order: Vec<(usize, usize)>,
}

/// What a search comes to.
pub(super) struct Outcome {
    /// The best plan that is worth as much as was asked for.
    pub found: Option<Found>,
    /// The greatest value that something left out for lack of room might have had.
    pub dropped: f64,
}

/// A plan in part.
#[derive(Clone, Copy)]
struct Label {
    seconds: u32,
    value: u64,
    node: usize,
    station: usize,
    /// The label before it; none for the first.
    before: Option<usize>,
    slot: usize,
    link: usize,
    /// The greatest value that it can lead to.
    hope: f64,
}

/// Searches for the best plan that is worth `target`. `fields`: the values at several prices, the one with the least
/// bound first. `most`: plans in part that may be made.
pub(super) fn search(ask: &Ask<'_>, graph: &Graph, fields: &[&Field], target: f64, most: usize) -> Outcome {
    let main = fields[0];
    let mut links = Links::new();
    let given = given(ask, main, &main.floors(graph, target - main.price * ask.seconds), &mut links);
    let (state, station) = (0, ask.problem.start.1);
    let root = Label { seconds: 0, value: 0, node: state, station, before: None, slot: 0, link: 0, hope: f64::MAX };
    let mut pending: Vec<Vec<Label>> = vec![Vec::new(); graph.nodes.len()];
    pending[0].push(root);
    let mut kept: Vec<Label> = Vec::new();
    let mut best: Option<usize> = None;
    let (mut dropped, mut made, mut layers) = (NEVER, 0, 0);
    let depth = |n: &usize| graph.nodes[*n].done.count_ones();
    let count = graph.order.chunk_by(|a, b| depth(a) == depth(b)).count();
    // The nodes of a layer have as many rounds done.
    for layer in graph.order.chunk_by(|a, b| depth(a) == depth(b)) {
        layers += 1;
        let first = kept.len();
        for &n in layer {
            keep_best(ask, std::mem::take(&mut pending[n]), &mut kept);
        }
        for at in first..kept.len() {
            let label = &kept[at];
            let rank = |l: &Label| (l.value, std::cmp::Reverse(l.seconds));
            let is_enough = best.map_or(label.value as f64 >= target, |b: usize| rank(label) > rank(&kept[b]));
            if is_enough && graph.nodes[label.node].is_complete {
                best = Some(at);
            }
        }
        let enough = best.map_or(target, |b| kept[b].value as f64 + ask.grain - SLACK);
        let mut open: Vec<usize> = (first..kept.len()).filter(|&at| kept[at].hope >= enough).collect();
        open.sort_unstable_by(|&a, &b| kept[b].hope.total_cmp(&kept[a].hope).then(a.cmp(&b)));
        for at in open {
            let label = kept[at];
            if made >= most * layers / count {
                dropped = dropped.max(label.hope);
                break;
            }
            for arc in graph.arcs_of(label.node) {
                let Some(curves) = &given[arc.slot] else { continue };
                let so_far = label.seconds + arc.change;
                let must = graph.nodes[arc.to].must;
                let worth = label.value as f64 + main.price * (ask.seconds - f64::from(so_far));
                let round = &ask.rounds.all[round_of(arc.slot)];
                for (&(station, _), points) in round.stations.iter().zip(&curves.points[label.station]) {
                    let to = arc.to * main.stations + station;
                    let least = enough - worth - main.back[to];
                    for (point, _) in points.iter().take_while(|(_, reduced)| *reduced >= least) {
                        let (seconds, value) = (so_far + point.seconds, label.value + point.value);
                        if f64::from(seconds) + must > ask.seconds + SLACK {
                            continue;
                        }
                        let left = ask.seconds - f64::from(seconds);
                        let hope = |field: &&Field| value as f64 + field.price * left + field.back[to];
                        let hope = fields.iter().map(hope).fold(f64::INFINITY, f64::min);
                        if hope < enough {
                            continue;
                        }
                        made += 1;
                        let (node, before, slot, link) = (arc.to, Some(at), arc.slot, point.link);
                        pending[node].push(Label { seconds, value, node, station, before, slot, link, hope });
                    }
                }
            }
        }
    }
    Outcome { found: best.map(|at| plan(ask, graph, &kept, at, &links)), dropped }
}

/// What each round can give, by slot, where it reaches the floors.
fn given(ask: &Ask<'_>, main: &Field, floors: &[Option<Vec<f64>>], links: &mut Links) -> Vec<Option<Curves>> {
    let mut given = Vec::new();
    for (r, (round, routes)) in ask.rounds.all.iter().zip(ask.routes).enumerate() {
        for is_whole in [false, true] {
            let floors = floors[slot(r, is_whole)].as_deref();
            let how = (main.price, is_whole);
            given.push(floors.and_then(|floors| curves(ask.problem, round, routes, links, floors, how)));
        }
    }
    given
}

/// Keeps of the labels of one node those that no other one beats, the walk from its station to the other's included.
fn keep_best(ask: &Ask<'_>, mut here: Vec<Label>, kept: &mut Vec<Label>) {
    here.sort_unstable_by_key(|l| (l.seconds, std::cmp::Reverse(l.value), l.station, l.before, l.link));
    // By station the seconds and values of those kept, rising both.
    let mut stairs: Vec<Vec<(u32, u64)>> = vec![Vec::new(); ask.problem.walk.len()];
    for label in here {
        let beats = |(from, stairs): (usize, &Vec<(u32, u64)>)| {
            let is_near = from == label.station || ask.is_walk_metric;
            let by = label.seconds.checked_sub(ask.problem.walk[from][label.station]).filter(|_| is_near);
            let last = by.and_then(|by| stairs.iter().rev().find(|(seconds, _)| *seconds <= by));
            last.is_some_and(|(_, value)| *value >= label.value)
        };
        if !stairs.iter().enumerate().any(beats) {
            stairs[label.station].push((label.seconds, label.value));
            kept.push(label);
        }
    }
}

/// The plan that a label stands for.
fn plan(ask: &Ask<'_>, graph: &Graph, kept: &[Label], at: usize, links: &Links) -> Found {
    let mut order = Vec::new();
    let mut label = &kept[at];
    let (value, seconds) = (label.value, label.seconds);
    while let Some(before) = label.before {
        let (round, routes) = (&ask.rounds.all[round_of(label.slot)], &ask.routes[round_of(label.slot)]);
        let tasks = links.tasks(ask.problem, routes, round, label.link);
        order.extend(tasks.into_iter().rev().map(|t| (t, graph.nodes[label.node].state)));
        label = &kept[before];
    }
    order.reverse();
    Found { value, seconds, order }
}
