//! The search: partial plans in layers of rounds done, each the best known for its rounds, state, station and time,
//! pruned by the bound. Where nothing had to be dropped for lack of room the answer is the best there is; else the
//! best bound among what was dropped says how far off it may be.
//!
//! Dynamic programming with bounding and a limited width, after Morin and Marsten, Operations Research 24 (1976)
//! 611-627.

use std::collections::BTreeMap;

use super::bound::Bound;
use super::curves::Curves;
use super::problem::Problem;
use super::rounds::{Rounds, Set, members};

/// What the search looks for, and what it knows already.
pub(super) struct Aim<'a> {
    pub problem: &'a Problem,
    pub rounds: &'a Rounds,
    /// Seconds that no plan may exceed.
    pub seconds: u32,
    /// The price of a second that the bound uses.
    pub price: f64,
    /// The greatest value that any plan can have.
    pub most: u64,
    /// What every value is a multiple of.
    pub grain: u64,
    /// Whether no detour on foot is shorter than the direct way.
    pub is_walk_metric: bool,
    /// Whether a plan of the same value that takes less time is looked for too.
    pub is_for_time: bool,
    /// Partial plans kept a layer.
    pub width: usize,
    /// Partial plans made in all; above it no layer keeps more than a few.
    pub plans: usize,
    /// Where the rounds are to come in one order, the place of each in it.
    pub sequence: Option<&'a [usize]>,
}

/// What each round can give, whole and in part.
pub(super) struct Given {
    pub whole: Vec<Option<Curves>>,
    pub part: Vec<Option<Curves>>,
}

/// A complete plan: its value, its seconds, and the tasks with their states.
#[derive(Clone, Debug, Default)]
pub(super) struct Found {
    pub value: u64,
    pub seconds: u32,
    pub order: Vec<(usize, usize)>,
    /// The rounds in order.
    pub rounds: Vec<usize>,
}

/// What a search comes to.
pub(super) struct Outcome {
    pub found: Option<Found>,
    /// Partial plans made.
    pub plans: usize,
    /// The greatest value that something dropped for lack of room might have had.
    pub dropped: Option<u64>,
    /// The least seconds at which something dropped might have had the value found.
    pub dropped_seconds: Option<u32>,
}

#[derive(Clone, Copy)]
struct Label {
    done: Set,
    whole: Set,
    state: usize,
    station: usize,
    seconds: u32,
    value: u64,
    before: usize,
    round: usize,
    link: usize,
    /// Value and seconds that a plan from here can reach at the best.
    hope: f64,
}

/// Values are whole numbers: what falls short of one by less than this is one.
const SLACK: f64 = 1e-6;

impl Aim<'_> {
    /// The greatest value a partial plan can lead to within some seconds: a whole number of grains.
    fn reach(&self, label: &Label, seconds: f64) -> f64 {
        let grain = self.grain as f64;
        (((label.hope + self.price * seconds + SLACK) / grain).floor() * grain).min(self.most as f64)
    }
    /// Seconds to the nearest station of some rounds; none where there is nothing to go to.
    fn nearest(&self, station: usize, open: Set) -> u32 {
        let every: Set = if self.rounds.all.len() == 64 { Set::MAX } else { (1 << self.rounds.all.len()) - 1 };
        let stations = members(open & every).flat_map(|r| self.rounds.all[r].stations.iter());
        stations.map(|(to, _)| self.problem.walk[station][*to]).min().unwrap_or(0)
    }
    /// The walks, where no detour is shorter than the direct way.
    fn walk(&self) -> Option<&[Vec<u32>]> {
        self.is_walk_metric.then_some(self.problem.walk.as_slice())
    }
    /// Whether a partial plan can lead to something better than what was found: more value, or as much sooner.
    fn is_worth(&self, label: &Label, found: Option<&Found>) -> bool {
        let Some(found) = found else { return self.reach(label, f64::from(self.seconds)) >= 0.0 };
        let more = self.reach(label, f64::from(self.seconds)) > found.value as f64;
        more || self.is_for_time && self.reach(label, f64::from(found.seconds) - 1.0) >= found.value as f64
    }
}

/// Searches. `required` bounds the time of what is required and still to
/// come; `known` is a plan to beat.
pub(super) fn search(
    aim: &Aim<'_>,
    given: &Given,
    bound: &mut Bound<'_>,
    mut required: Option<&mut Bound<'_>>,
    known: Option<&Found>,
    unlink: impl Fn(usize, usize) -> Vec<usize>,
) -> Outcome {
    let (problem, rounds) = (aim.problem, aim.rounds);
    let (state, station) = problem.start;
    let mut labels = vec![Label {
        done: 0,
        whole: 0,
        state,
        station,
        seconds: 0,
        value: 0,
        before: usize::MAX,
        round: 0,
        link: 0,
        hope: bound.ahead(0, state).gain,
    }];
    let mut best: Option<Found> = known.cloned();
    let mut best_at: Option<usize> = None;
    let (mut dropped, mut dropped_seconds): (Option<u64>, Option<u32>) = (None, None);
    let consider = |label: &Label, at: usize, best: &mut Option<Found>, best_at: &mut Option<usize>| {
        let is_complete = rounds.required & !label.done == 0 && label.seconds <= aim.seconds;
        let is_better =
            |b: &Found| (label.value, std::cmp::Reverse(label.seconds)) > (b.value, std::cmp::Reverse(b.seconds));
        if is_complete && best.as_ref().is_none_or(is_better) {
            *best = Some(Found { value: label.value, seconds: label.seconds, ..Found::default() });
            *best_at = Some(at);
        }
    };
    consider(&labels[0].clone(), 0, &mut best, &mut best_at);
    let mut layer: Vec<usize> = vec![0];
    let mut drop = |label: &Label, best: &Option<Found>| {
        let reach = aim.reach(label, f64::from(aim.seconds)).max(0.0) as u64;
        dropped = Some(dropped.map_or(reach, |d| d.max(reach)));
        let least = best.as_ref().map_or(0.0, |b| (b.value as f64 - label.hope) / aim.price.max(1e-9));
        let least = (least - SLACK).ceil().clamp(0.0, f64::from(u32::MAX)) as u32;
        dropped_seconds = Some(dropped_seconds.map_or(least, |d| d.min(least)));
    };
    while !layer.is_empty() {
        let mut next: BTreeMap<(Set, Set, usize), Vec<usize>> = BTreeMap::new();
        for at in std::mem::take(&mut layer) {
            let label = labels[at];
            if !aim.is_worth(&label, best.as_ref()) {
                continue;
            }
            if labels.len() > aim.plans {
                drop(&label, &best);
                continue;
            }
            for r in 0..rounds.all.len() {
                let round = &rounds.all[r];
                if label.done & (1 << r | round.later) != 0 || round.needs & !label.whole != 0 {
                    continue;
                }
                if aim.sequence.is_some_and(|s| s[r] == usize::MAX || at > 0 && s[r] <= s[label.round]) {
                    continue;
                }
                for (curves, is_whole) in [(&given.whole[r], true), (&given.part[r], false)] {
                    let Some(curves) = curves else { continue };
                    let done = label.done | 1 << r;
                    let whole = if is_whole { label.whole | 1 << r } else { label.whole };
                    for &(to, change) in &rounds.enter[label.state][r] {
                        let ahead = bound.ahead(done, to).gain;
                        let must = required.as_mut().map_or(0.0, |b| -b.ahead(done, to).gain);
                        if ahead == f64::NEG_INFINITY || must == f64::INFINITY {
                            continue;
                        }
                        for (last, points) in curves.points[label.station].iter().enumerate() {
                            let key = (done, whole, to);
                            let station = round.stations[last].0;
                            // Whatever comes next begins with a walk to one of its stations, if anything comes.
                            let on = ahead - aim.price * f64::from(aim.nearest(station, !done));
                            let on = if rounds.required & !done == 0 { on.max(0.0) } else { on };
                            for point in points {
                                let seconds = label.seconds + change + point.seconds;
                                if f64::from(seconds) + must > f64::from(aim.seconds) + SLACK {
                                    break;
                                }
                                let value = label.value + point.value;
                                let new = Label {
                                    done,
                                    whole,
                                    state: to,
                                    station,
                                    seconds,
                                    value,
                                    before: at,
                                    round: r,
                                    link: point.link,
                                    hope: value as f64 - aim.price * f64::from(seconds) + on,
                                };
                                if !aim.is_worth(&new, best.as_ref()) {
                                    continue;
                                }
                                add(&mut labels, next.entry(key).or_default(), new, aim.walk());
                            }
                        }
                    }
                }
            }
        }
        layer = next.into_values().flatten().collect();
        for &at in &layer {
            let label = labels[at];
            consider(&label, at, &mut best, &mut best_at);
        }
        layer.retain(|&at| aim.is_worth(&labels[at], best.as_ref()));
        if layer.len() > aim.width {
            layer.sort_by(|&a, &b| labels[b].hope.total_cmp(&labels[a].hope).then(a.cmp(&b)));
            layer.drain(aim.width..).for_each(|at| drop(&labels[at], &best));
        }
    }
    if let (Some(found), Some(at)) = (&mut best, best_at) {
        (found.order, found.rounds) = order(&labels, at, unlink);
    }
    Outcome { found: best, plans: labels.len(), dropped, dropped_seconds }
}

/// Adds a label to those of the same rounds and state unless one of them is as good, the walk from its station to the
/// new one's included; drops those it beats.
fn add(labels: &mut Vec<Label>, here: &mut Vec<usize>, new: Label, walk: Option<&[Vec<u32>]>) {
    let beats = |a: &Label, b: &Label| {
        let walk = match walk {
            Some(walk) => walk[a.station][b.station],
            None if a.station == b.station => 0,
            None => return false,
        };
        a.value >= b.value && a.seconds + walk <= b.seconds
    };
    if here.iter().any(|&at| beats(&labels[at], &new)) {
        return;
    }
    here.retain(|&at| !beats(&new, &labels[at]));
    here.push(labels.len());
    labels.push(new);
}

fn order(
    labels: &[Label],
    mut at: usize,
    unlink: impl Fn(usize, usize) -> Vec<usize>,
) -> (Vec<(usize, usize)>, Vec<usize>) {
    let (mut order, mut rounds) = (Vec::new(), Vec::new());
    while labels[at].before != usize::MAX {
        let label = &labels[at];
        order.extend(unlink(label.round, label.link).into_iter().rev().map(|task| (task, label.state)));
        rounds.push(label.round);
        at = label.before;
    }
    order.reverse();
    rounds.reverse();
    (order, rounds)
}
