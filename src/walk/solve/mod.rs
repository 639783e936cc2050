//! Choosing and ordering tasks together: which to do within a time, and in which order, where going from one to the
//! next costs a change of state and a walk.
//!
//! Must not know machines or checks. A [`Problem`] is numbers only, so the same solver answers published instances.
//! The problem is an orienteering problem with precedence and few states. Tasks alike in all but place, time and value
//! are done in one *round*; inside a round [`curves`] is exact. Between rounds, [`graph`] holds every course that a better
//! plan may take, as far as [`bound`] and the exact values at a price ([`field`]) allow, and [`labels`] searches it.

mod best;
mod bound;
mod coarse;
mod curves;
mod field;
mod gains;
mod graph;
mod labels;
mod problem;
mod rounds;
#[cfg(test)]
mod tests;
mod view;

use labels::Found;
use rounds::Rounds;
use view::View;

pub use problem::{MAX_ROUNDS, MAX_STATIONS, Move, Problem, ProblemError, Solution, Task};

/// How much work the search may do. Counted in steps, not in time, so that the same problem gives the same plan on
/// every machine.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Limits {
    /// Rounds tried in one pass.
    pub work: usize,
    /// Plans in part made in one search.
    pub labels: usize,
    /// States of the bound's table.
    pub table: usize,
}

impl Default for Limits {
    fn default() -> Self {
        Self { work: 160_000, labels: 100_000, table: 240_000 }
    }
}

/// Seconds above which no sum is counted: a limit that no walk meets.
const NO_LIMIT: u32 = u32::MAX / 4;

/// Solves a problem: first whether the required tasks fit, then whether all do, then which of the others take part.
///
/// # Errors
/// A problem that is unsound or too large, or whose required tasks allow no order.
pub fn solve(problem: &Problem, limits: &Limits) -> Result<Solution, ProblemError> {
    problem.verify()?;
    let required = with_what_they_need(problem);
    let rounds = Rounds::of(problem)?;
    let given = problem.seconds.unwrap_or(NO_LIMIT);
    let worth = |found: &Found| found.order.iter().map(|&(task, _)| u64::from(problem.tasks[task].value)).sum::<u64>();
    let must = View::for_time(problem, &rounds, |i| required[i]);
    let Some((Some(least), no_less_than)) = must.shortest(NO_LIMIT, None, limits) else {
        return Err(ProblemError::NoOrder);
    };
    if least.seconds > given {
        let value = worth(&least);
        return Ok(Solution {
            missing: Some(least.seconds - given),
            seconds: least.seconds,
            order: least.order,
            value,
            bound: value,
            no_less_than,
        });
    }
    let all = View::for_time(problem, &rounds, |_| true);
    if let Some((Some(whole), no_less_than)) = all.shortest(given, None, limits) {
        let value = worth(&whole);
        return Ok(Solution {
            value,
            bound: value,
            seconds: whole.seconds,
            order: whole.order,
            no_less_than,
            missing: None,
        });
    }
    let known = Found { value: worth(&least), ..least };
    Ok(View::for_value(problem, &rounds, &required).best_within(given, &must, known, limits))
}

/// Which tasks every plan holds: the required ones and those that they need, and so on.
fn with_what_they_need(problem: &Problem) -> Vec<bool> {
    let mut required = vec![false; problem.tasks.len()];
    let mut open: Vec<usize> = (0..problem.tasks.len()).filter(|&i| problem.tasks[i].required).collect();
    while let Some(i) = open.pop() {
        if !std::mem::replace(&mut required[i], true) {
            open.extend(&problem.tasks[i].needs);
        }
    }
    required
}
