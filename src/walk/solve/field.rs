//! The exact values of a graph's nodes at one price of time: the best up to a node and the best from there on, walks and
//! changes included. Only the limit of time is relaxed.

use super::gains::{Gains, NEVER, round_of};
use super::graph::{Arc, Ask, Graph};

/// Values at one price.
pub(super) struct Field {
    pub price: f64,
    /// By slot.
    pub gains: Vec<Option<Gains>>,
    /// By node and station: the best still to come.
    pub back: Vec<f64>,
    /// By node and station: the best up to there.
    pub fore: Vec<f64>,
    /// How many stations there are.
    pub stations: usize,
}

impl Field {
    /// The values at a price.
    pub fn of(graph: &Graph, ask: &Ask<'_>, price: f64) -> Self {
        let (gains, stations) = (ask.gains(price), ask.problem.walk.len());
        let mut field = Self { price, gains, back: Vec::new(), fore: Vec::new(), stations };
        field.look_back(graph);
        field.look_fore(graph, ask);
        field
    }

    /// Works out the best still to come.
    pub fn look_back(&mut self, graph: &Graph) {
        let stations = self.stations;
        self.back = vec![NEVER; graph.nodes.len() * stations];
        let mut onward = Vec::new();
        for &n in graph.order.iter().rev() {
            let node = &graph.nodes[n];
            let mut best = [if node.is_complete { 0.0 } else { NEVER }; u32::BITS as usize];
            for arc in graph.arcs_of(n) {
                let Some(given) = &self.gains[arc.slot] else { continue };
                let cost = self.price * f64::from(arc.change);
                let to = &self.back[arc.to * stations..(arc.to + 1) * stations];
                onward.clear();
                onward.extend(given.lasts.iter().map(|last| to[*last] - cost));
                for (s, best) in best.iter_mut().enumerate().take(stations).filter(|(s, _)| node.alive & 1 << s != 0) {
                    for (gain, onward) in given.row(s).iter().zip(&onward) {
                        let new = gain + onward;
                        if new > *best {
                            *best = new;
                        }
                    }
                }
            }
            for s in (0..stations).filter(|s| node.alive & 1 << s != 0) {
                self.back[n * stations + s] = best[s];
            }
        }
    }
    /// Works out the best up to each node.
    fn look_fore(&mut self, graph: &Graph, ask: &Ask<'_>) {
        let stations = self.stations;
        self.fore = vec![NEVER; graph.nodes.len() * stations];
        self.fore[ask.problem.start.1] = 0.0;
        let mut reach = Vec::new();
        for &n in &graph.order {
            let mut last_slot = usize::MAX;
            for arc in graph.arcs_of(n) {
                let Some(given) = &self.gains[arc.slot] else { continue };
                if arc.slot != last_slot {
                    given.after(&self.fore[n * stations..(n + 1) * stations], &mut reach);
                    last_slot = arc.slot;
                }
                let cost = self.price * f64::from(arc.change);
                let alive = graph.nodes[arc.to].alive;
                for (gain, &last) in reach.iter().zip(&given.lasts).filter(|(_, last)| alive & 1 << **last != 0) {
                    let best = &mut self.fore[arc.to * stations + last];
                    if gain - cost > *best {
                        *best = gain - cost;
                    }
                }
            }
        }
    }

    /// Leaves out of the graph what cannot lead to a hope (value less price) of `floor`.
    pub fn prune(&self, graph: &mut Graph, floor: f64) {
        let stations = self.stations;
        let mut kept: Vec<Arc> = Vec::with_capacity(graph.arcs.len());
        let mut order = Vec::with_capacity(graph.order.len());
        let mut is_reached = vec![false; graph.nodes.len()];
        is_reached[0] = true;
        let mut reach = Vec::new();
        for &n in &graph.order {
            if !is_reached[n] {
                continue;
            }
            let here = n * stations..(n + 1) * stations;
            let hope = |s: &usize| self.fore[n * stations + s] + self.back[n * stations + s];
            let alive = (0..stations).filter(|s| hope(s) >= floor).fold(0, |set, s| set | 1 << s);
            let first = kept.len();
            let mut last_slot = usize::MAX;
            for arc in graph.arcs_of(n) {
                let Some(given) = &self.gains[arc.slot] else { continue };
                if arc.slot != last_slot {
                    given.after(&self.fore[here.clone()], &mut reach);
                    last_slot = arc.slot;
                }
                let back = &self.back[arc.to * stations..(arc.to + 1) * stations];
                let best = reach.iter().zip(&given.lasts).map(|(gain, last)| gain + back[*last]).fold(NEVER, f64::max);
                if best - self.price * f64::from(arc.change) >= floor {
                    kept.push(*arc);
                    is_reached[arc.to] = true;
                }
            }
            order.push(n);
            (graph.nodes[n].arcs, graph.nodes[n].alive) = ((first, kept.len()), alive);
        }
        (graph.arcs, graph.order) = (kept, order);
    }

    /// The best plan at the price, whatever time it takes: its tasks with their states, in order.
    pub fn best(&self, graph: &Graph, ask: &Ask<'_>) -> Option<Vec<(usize, usize)>> {
        let stations = self.stations;
        let (mut n, mut s) = (0, ask.problem.start.1);
        let mut order = Vec::new();
        if self.back[s] == NEVER {
            return None;
        }
        loop {
            let here = self.back[n * stations + s];
            if graph.nodes[n].is_complete && here <= 0.0 {
                return Some(order);
            }
            let next = graph.arcs_of(n).iter().find_map(|arc| {
                let given = self.gains[arc.slot].as_ref()?;
                let cost = self.price * f64::from(arc.change);
                let back = |last: usize| self.back[arc.to * stations + given.lasts[last]] - cost;
                let last = (0..given.lasts.len()).find(|&last| given.row(s)[last] + back(last) >= here)?;
                Some((arc, given, last))
            });
            let (arc, given, last) = next?;
            let (round, routes) = (&ask.rounds.all[round_of(arc.slot)], &ask.routes[round_of(arc.slot)]);
            let tasks = given.tasks(ask.problem, round, routes, s, last);
            order.extend(tasks.into_iter().map(|t| (t, graph.nodes[arc.to].state)));
            (n, s) = (arc.to, given.lasts[last]);
        }
    }

    /// By slot, and by station entered from and place of the station left at: how little value less price is still of
    /// use somewhere in the graph where a hope of `floor` is looked for.
    pub fn floors(&self, graph: &Graph, floor: f64) -> Vec<Option<Vec<f64>>> {
        let stations = self.stations;
        let mut floors: Vec<Option<Vec<f64>>> = vec![None; self.gains.len()];
        for &n in &graph.order {
            for arc in graph.arcs_of(n) {
                let Some(given) = &self.gains[arc.slot] else { continue };
                let count = given.lasts.len();
                let lows = floors[arc.slot].get_or_insert_with(|| vec![f64::INFINITY; stations * count]);
                let cost = self.price * f64::from(arc.change);
                for s in (0..stations).filter(|s| graph.nodes[n].alive & 1 << s != 0) {
                    let rest = floor - self.fore[n * stations + s] + cost;
                    for (low, last) in lows[s * count..].iter_mut().zip(&given.lasts) {
                        *low = low.min(rest - self.back[arc.to * stations + last]);
                    }
                }
            }
        }
        floors
    }
}
