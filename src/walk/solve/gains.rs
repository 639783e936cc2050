//! What each round gives at a price of time: by the station it is entered from and the one it is left at, the greatest
//! value less price, and the tasks behind it.

use super::curves::{Routes, bests};
use super::problem::Problem;
use super::rounds::Round;

/// Nothing: what cannot be.
pub(super) const NEVER: f64 = f64::NEG_INFINITY;

/// The place of a round's variant in lists: a round can be done in part, or whole where another one needs all of it.
pub(super) fn slot(round: usize, is_whole: bool) -> usize {
    2 * round + usize::from(is_whole)
}

/// The round of a slot.
pub(super) fn round_of(slot: usize) -> usize {
    slot / 2
}

/// What one variant of a round gives.
pub(super) struct Gains {
    /// The stations it can be left at.
    pub lasts: Vec<usize>,
    /// By station entered from and place in `lasts`.
    gain: Vec<f64>,
    /// The first station and the set of stations behind each gain.
    ways: Vec<(usize, u32)>,
    /// The greatest of all.
    pub best: f64,
    /// The tasks that are best done at each of the round's stations.
    taken: Vec<Vec<usize>>,
}

impl Gains {
    /// What a round gives at a price; none where it has no tasks or cannot be done.
    pub fn of(problem: &Problem, round: &Round, routes: &Routes, price: f64, is_whole: bool) -> Option<Self> {
        let (stations, count) = (problem.walk.len(), round.stations.len());
        let (must, taken) = bests(problem, round, price, is_whole);
        let gain = |&t: &usize| f64::from(problem.tasks[t].value) - price * f64::from(problem.tasks[t].seconds);
        let mut sums = vec![0.0; 1 << count];
        for mask in 1..1usize << count {
            let first = taken.get(mask.trailing_zeros() as usize)?;
            sums[mask] = sums[mask & (mask - 1)] + first.iter().map(gain).sum::<f64>();
        }
        let mut inner = vec![(NEVER, 0u32); count * count];
        for first in 0..count {
            for mask in (1..1u32 << count).filter(|m| m & must == must && m & 1 << first != 0) {
                for last in 0..count {
                    let Some(walk) = routes.get(first, mask, last) else { continue };
                    let gain = sums[mask as usize] - price * f64::from(walk);
                    let best = &mut inner[first * count + last];
                    if gain > best.0 {
                        *best = (gain, mask);
                    }
                }
            }
        }
        let mut gains = Self {
            lasts: round.stations.iter().map(|s| s.0).collect(),
            gain: vec![NEVER; stations * count],
            ways: vec![(0, 0); stations * count],
            best: NEVER,
            taken,
        };
        for (from, first) in (0..stations).flat_map(|from| (0..count).map(move |first| (from, first))) {
            let walk = price * f64::from(problem.walk[from][round.stations[first].0]);
            for last in 0..count {
                let (gain, mask) = inner[first * count + last];
                let at = from * count + last;
                if gain - walk > gains.gain[at] {
                    gains.gain[at] = gain - walk;
                    gains.ways[at] = (first, mask);
                    gains.best = gains.best.max(gain - walk);
                }
            }
        }
        (gains.best > NEVER).then_some(gains)
    }
    /// What it gives when entered from a station, by place in `lasts`.
    pub fn row(&self, from: usize) -> &[f64] {
        &self.gain[from * self.lasts.len()..(from + 1) * self.lasts.len()]
    }
    /// The best by place in `lasts`, over stations entered from with what came before.
    pub fn after(&self, before: &[f64], reach: &mut Vec<f64>) {
        reach.clear();
        reach.resize(self.lasts.len(), NEVER);
        for (from, &so_far) in before.iter().enumerate().filter(|(_, so_far)| **so_far > NEVER) {
            for (best, gain) in reach.iter_mut().zip(self.row(from)) {
                let new = so_far + gain;
                if new > *best {
                    *best = new;
                }
            }
        }
    }
    /// The tasks of the best way from a station to a place in `lasts`, in order.
    pub fn tasks(&self, problem: &Problem, round: &Round, routes: &Routes, from: usize, last: usize) -> Vec<usize> {
        let (first, mask) = self.ways[from * self.lasts.len() + last];
        let path = routes.path(problem, round, mask, first, last);
        path.into_iter().flat_map(|k| self.taken[k].iter().copied()).collect()
    }
}
