//! The same rounds seen from afar: states that are near to each other count as one, so that the table of the bound
//! stays small. What it costs at the least to come into a group of states is charged once, when the first of its rounds
//! is done, and taken off the changes, so little is lost.
//!
//! State-space relaxation (Christofides, Mingozzi and Toth, Networks 11 (1981) 145-164) over reduced costs.

use super::problem::Problem;
use super::rounds::{Rounds, Set};

/// Seconds below which two states count as one, tried in turn.
const NEAR: [u32; 14] = [0, 3, 6, 12, 18, 24, 36, 48, 60, 90, 120, 240, 600, u32::MAX];

/// Rounds over classes of states. No plan costs less in it than in the problem.
pub(super) struct Coarse {
    /// The rounds, their states being classes.
    pub rounds: Rounds,
    /// The class of each state.
    pub class: Vec<usize>,
    /// By round: the rounds of its group, and what it costs at the least to come into the group from outside.
    pub groups: Vec<(Set, u32)>,
    /// A state of each class.
    pub some: Vec<usize>,
    /// By state, what leaving its group is cheaper than the entries count (see [`Toll`]).
    pub rebate: Vec<u32>,
}

/// What a group of states costs at the least: `entry` to come into it from any other, save from a group that is
/// nearer, which has the difference as its `rebate`. Every change is at least the entry of the one less the rebate of
/// the other, so a group that is visited costs at least its entry less its own rebate.
#[derive(Clone, Copy, Debug, Default)]
struct Toll {
    entry: u32,
    rebate: u32,
}

impl Coarse {
    /// Puts states together until the rounds ask for at most so many different sets of them.
    pub fn of(problem: &Problem, rounds: &Rounds, most: usize) -> Self {
        let states = problem.change.len();
        let apart = Self {
            rounds: rounds.clone(),
            class: (0..states).collect(),
            groups: (0..rounds.all.len()).map(|r| (1 << r, 0)).collect(),
            some: (0..states).collect(),
            rebate: vec![0; states],
        };
        if settings(rounds, &apart.class) <= most {
            return apart;
        }
        let (group, toll) = groups(problem, rounds);
        let used: Vec<usize> = (0..states).filter(|&s| s == problem.start.0 || group[s] != usize::MAX).collect();
        let reduced = |a: usize, b: usize| -> Option<u32> {
            let seconds = problem.change[a][b]?;
            if group[a] == group[b] {
                return Some(seconds);
            }
            let entry = if group[b] == usize::MAX { 0 } else { toll[group[b]].entry };
            let rebate = if group[a] == usize::MAX { 0 } else { toll[group[a]].rebate };
            Some((seconds + rebate).saturating_sub(entry))
        };
        let mut class: Vec<usize> = (0..states).collect();
        for near in NEAR {
            class = (0..states).collect();
            let is_near = |a: usize, b: usize| reduced(a, b).is_some_and(|s| s <= near);
            for &a in &used {
                for &b in used.iter().filter(|b| **b < a && is_near(a, **b) && is_near(**b, a)) {
                    let (from, to) = (class[a], class[b]);
                    class.iter_mut().filter(|c| **c == from).for_each(|c| *c = to);
                }
            }
            if settings(rounds, &class) <= most {
                break;
            }
        }
        let mut change: Vec<Vec<Option<u32>>> = vec![vec![None; states]; states];
        for &a in &used {
            for &b in &used {
                let least = &mut change[class[a]][class[b]];
                if let Some(seconds) = reduced(a, b) {
                    *least = Some(least.map_or(seconds, |l| l.min(seconds)));
                }
            }
        }
        used.iter().for_each(|&s| change[class[s]][class[s]] = Some(0));
        close(&mut change);
        let mut coarse = rounds.clone();
        for round in &mut coarse.all {
            round.states = round.states.iter().map(|s| class[*s]).collect();
            round.states.sort_unstable();
            round.states.dedup();
        }
        coarse.is_metric = true;
        let coarse = coarse.linked(&change, class[problem.start.0]);
        let of_round = |r: usize| group[rounds.all[r].states[0]];
        let members =
            |g: usize| (0..rounds.all.len()).filter(|&r| of_round(r) == g).fold(0, |set: Set, r| set | 1 << r);
        let net = |r: usize| toll[of_round(r)].entry - toll[of_round(r)].rebate;
        let groups = (0..rounds.all.len()).map(|r| (members(of_round(r)), net(r))).collect();
        let rebate = group.iter().map(|g| if *g == usize::MAX { 0 } else { toll[*g].rebate }).collect();
        let some = (0..states).map(|c| class.iter().position(|x| *x == c).unwrap_or(c)).collect();
        Self { rounds: coarse, class, groups, some, rebate }
    }
}

/// How many different sets of classes the rounds ask for.
fn settings(rounds: &Rounds, class: &[usize]) -> usize {
    let mut sets: Vec<Vec<usize>> = rounds
        .all
        .iter()
        .filter(|round| !round.stations.is_empty())
        .map(|round| {
            let mut set: Vec<usize> = round.states.iter().map(|s| class[*s]).collect();
            set.sort_unstable();
            set.dedup();
            set
        })
        .collect();
    sets.sort_unstable();
    sets.dedup();
    sets.len()
}

/// Groups of states that rounds share, by state, and the toll of each; the group of the start has no entry.
fn groups(problem: &Problem, rounds: &Rounds) -> (Vec<usize>, Vec<Toll>) {
    let states = problem.change.len();
    let start = problem.start.0;
    let mut group = vec![usize::MAX; states];
    for (r, round) in rounds.all.iter().enumerate() {
        for &s in &round.states {
            let old = std::mem::replace(&mut group[s], r);
            if old != usize::MAX && old != r {
                group.iter_mut().filter(|g| **g == old).for_each(|g| *g = r);
            }
        }
    }
    let used: Vec<usize> = (0..states).filter(|&s| s == start || group[s] != usize::MAX).collect();
    let count = rounds.all.len();
    // The nearest way from group to group; the start, where it is in no group, comes last.
    let mut least = vec![vec![u32::MAX; count]; count + 1];
    for (&a, &b) in used.iter().flat_map(|a| used.iter().map(move |b| (a, b))) {
        if let Some(seconds) = problem.change[a][b].filter(|_| group[b] != usize::MAX && group[a] != group[b]) {
            let cell = &mut least[group[a].min(count)][group[b]];
            *cell = seconds.min(*cell);
        }
    }
    let mut toll = vec![Toll::default(); count];
    let entered: Vec<usize> = (0..count).filter(|&g| group.contains(&g) && group[start] != g).collect();
    let into = |g: usize| {
        let mut ways: Vec<(u32, usize)> =
            (0..=count).map(|from| (least[from][g], from)).filter(|w| w.0 < u32::MAX).collect();
        ways.sort_unstable();
        ways
    };
    for &g in &entered {
        toll[g].entry = into(g).first().map_or(0, |w| w.0);
    }
    for &g in &entered {
        let ways = into(g);
        let [(first, nearest), (second, _), ..] = ways[..] else { continue };
        let more = second - first;
        // What has no entry of its own has nothing to give back.
        if nearest < count && more > 0 && toll[nearest].entry >= more.max(toll[nearest].rebate) {
            toll[g].entry = second;
            toll[nearest].rebate = toll[nearest].rebate.max(more);
        }
    }
    (group, toll)
}

/// Makes every change as short as the shortest way over other states (Floyd, Communications of the ACM 5 (1962) 345).
fn close(change: &mut [Vec<Option<u32>>]) {
    let states = change.len();
    for via in 0..states {
        if (0..states).all(|s| s == via || change[via][s].is_none()) {
            continue;
        }
        let onward = change[via].clone();
        for row in change.iter_mut() {
            let Some(first) = row[via] else { continue };
            for (direct, second) in row.iter_mut().zip(&onward) {
                if let Some(second) = second {
                    let sum = first.saturating_add(*second);
                    *direct = Some(direct.map_or(sum, |d| d.min(sum)));
                }
            }
        }
    }
}
