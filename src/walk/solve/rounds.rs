//! Rounds: the sets of tasks that are done in one go, what must come before each, and from which state each can be
//! entered.

use std::collections::BTreeMap;

use super::problem::{MAX_ROUNDS, Problem, ProblemError};

/// A set of rounds, a bit each.
pub(super) type Set = u64;

/// The rounds of a set.
pub(super) fn members(mut set: Set) -> impl Iterator<Item = usize> {
    std::iter::from_fn(move || {
        (set != 0).then(|| {
            let first = set.trailing_zeros() as usize;
            set &= set - 1;
            first
        })
    })
}

/// Tasks that are done in one go.
#[derive(Clone, Debug)]
pub(super) struct Round {
    /// Its tasks by station; stations in order.
    pub stations: Vec<(usize, Vec<usize>)>,
    /// The states in which it can be done.
    pub states: Vec<usize>,
    /// Rounds that must not have been done before it.
    pub later: Set,
    /// Rounds of which every task must have been done before it.
    pub needs: Set,
    /// Whether another round needs the whole of it.
    pub is_needed: bool,
    /// Whether any of its tasks is required.
    pub required: bool,
    /// Whether all of its tasks are required.
    pub all_required: bool,
}

/// The rounds of a problem and how they can follow one another.
#[derive(Clone, Debug)]
pub(super) struct Rounds {
    pub all: Vec<Round>,
    /// Rounds that can still be entered, by state.
    pub reach: Vec<Set>,
    /// By state and round: the states to enter it in with the seconds of the change; dominated ones left out.
    pub enter: Vec<Vec<Vec<(usize, u32)>>>,
    /// Whether no detour over a third state is shorter than the direct change.
    pub is_metric: bool,
    /// Rounds with a required task.
    pub required: Set,
    /// Rounds before each one, by `after` or `needs`.
    pub earlier: Vec<Set>,
    /// Rounds that need each one whole.
    pub needed_by: Vec<Set>,
}

impl Rounds {
    /// Sorts the tasks of a sound problem into rounds.
    pub fn of(problem: &Problem) -> Result<Self, ProblemError> {
        let tasks = &problem.tasks;
        let sorted = |mut list: Vec<usize>| {
            list.sort_unstable();
            list.dedup();
            list
        };
        type Key = (Vec<usize>, [Vec<usize>; 4]);
        let mut groups: BTreeMap<Key, Vec<usize>> = BTreeMap::new();
        for (i, task) in tasks.iter().enumerate() {
            let named_in = |list: fn(&super::Task) -> &Vec<usize>| -> Vec<usize> {
                (0..tasks.len()).filter(|&j| list(&tasks[j]).contains(&i)).collect()
            };
            let relations = [
                sorted(task.after.clone()),
                sorted(task.needs.clone()),
                named_in(|t| &t.after),
                named_in(|t| &t.needs),
            ];
            groups.entry((sorted(task.states.clone()), relations)).or_default().push(i);
        }
        if groups.len() > MAX_ROUNDS {
            return Err(ProblemError::TooLarge { what: "rounds", most: MAX_ROUNDS, found: groups.len() });
        }
        let mut of_task = vec![0; tasks.len()];
        for (round, members) in groups.values().enumerate() {
            members.iter().for_each(|&i| of_task[i] = round);
        }
        let set = |list: &[usize]| list.iter().fold(0, |set: Set, &i| set | 1 << of_task[i]);
        let mut earlier = Vec::new();
        let mut needed_by = Vec::new();
        let mut all = Vec::new();
        for ((states, [after, needs, named_after, named_needs]), members) in groups {
            let mut stations: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
            members.iter().for_each(|&i| stations.entry(tasks[i].station).or_default().push(i));
            earlier.push(set(&after) | set(&needs));
            needed_by.push(set(&named_needs));
            all.push(Round {
                stations: stations.into_iter().collect(),
                states,
                later: set(&named_after) | set(&named_needs),
                needs: set(&needs),
                is_needed: !named_needs.is_empty(),
                required: members.iter().any(|&i| tasks[i].required),
                all_required: members.iter().all(|&i| tasks[i].required),
            });
        }
        let required = (0..all.len()).filter(|&r| all[r].required).fold(0, |set, r| set | 1 << r);
        let is_metric = is_metric(&problem.change);
        let rounds = Self { all, reach: Vec::new(), enter: Vec::new(), is_metric, required, earlier, needed_by };
        Ok(rounds.linked(&problem.change, problem.start.0))
    }
    /// The same rounds with what can follow what worked out from a table of changes.
    pub fn linked(mut self, change: &[Vec<Option<u32>>], start: usize) -> Self {
        let (reach, from_start) = reach(change, start, &self.all);
        self.enter = enter(change, &self.all, self.is_metric, &from_start);
        self.reach = reach;
        self
    }
}

fn is_metric(change: &[Vec<Option<u32>>]) -> bool {
    let cost = |a: usize, b: usize| change[a][b].map_or(u64::MAX / 4, u64::from);
    let states = 0..change.len();
    states.clone().all(|a| {
        change[a][a] == Some(0)
            && states.clone().filter(|&b| change[a][b].is_some()).all(|b| {
                let first = cost(a, b);
                change[b].iter().zip(&change[a]).all(|(bc, ac)| match (bc, ac) {
                    (Some(bc), Some(ac)) => u64::from(*ac) <= first + u64::from(*bc),
                    (Some(_), None) => false,
                    (None, _) => true,
                })
            })
    })
}

/// The rounds that can still be entered from each state, and the states that can be reached from the start.
fn reach(change: &[Vec<Option<u32>>], start: usize, all: &[Round]) -> (Vec<Set>, Vec<bool>) {
    let states = change.len();
    let can_enter =
        |s: usize| (0..all.len()).filter(|&r| all[r].states.contains(&s)).fold(0, |set: Set, r| set | 1 << r);
    let entered: Vec<Set> = (0..states).map(can_enter).collect();
    let mut reach = Vec::new();
    let mut from_start = Vec::new();
    for s in 0..states {
        let mut seen = vec![false; states];
        let mut open = vec![s];
        let mut set = 0;
        while let Some(a) = open.pop() {
            for b in 0..states {
                if change[a][b].is_some() && !std::mem::replace(&mut seen[b], true) {
                    set |= entered[b];
                    open.push(b);
                }
            }
        }
        if s == start {
            from_start = seen;
            from_start[s] = true;
        }
        reach.push(set);
    }
    (reach, from_start)
}

/// The ways into each round. A state is dominated by another one that is never farther from anything that may follow;
/// that holds only where detours do not pay.
fn enter(
    change: &[Vec<Option<u32>>],
    all: &[Round],
    is_metric: bool,
    from_start: &[bool],
) -> Vec<Vec<Vec<(usize, u32)>>> {
    let states = change.len();
    let cost = |a: usize, b: usize| change[a][b].map_or(u64::MAX / 4, u64::from);
    let useful: Vec<usize> =
        (0..states).filter(|&s| from_start[s] && all.iter().any(|r| r.states.contains(&s))).collect();
    let ways = |s: usize, round: &Round| {
        let mut ways: Vec<(usize, u32)> = round.states.iter().filter_map(|&to| Some((to, change[s][to]?))).collect();
        ways.sort_by_key(|&(to, seconds)| (seconds, to));
        if is_metric && ways.len() > 1 {
            let mut kept: Vec<(usize, u32)> = Vec::new();
            for (to, seconds) in ways {
                let is_dominated = kept.iter().any(|&(better, first)| {
                    useful.iter().all(|&x| u64::from(first) + cost(better, x) <= u64::from(seconds) + cost(to, x))
                });
                if !is_dominated {
                    kept.push((to, seconds));
                }
            }
            return kept;
        }
        ways
    };
    (0..states)
        .map(|s| if from_start[s] { all.iter().map(|round| ways(s, round)).collect() } else { Vec::new() })
        .collect()
}
