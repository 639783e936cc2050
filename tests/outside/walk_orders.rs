//! A door for outside checks: problems of the walk's solver as JSON on stdin, their answers as JSON on stdout.
//!
//! A problem has `change` (seconds from state to state, null where there is no way), `walk` (from station to station),
//! `start` (state and station), `seconds` (null for no limit) and `tasks` with `seconds`, `value`, `required`,
//! `station`, `states`, `after`, `needs`. An answer has `order` (task and state), `seconds`, `value`, `bound`,
//! `no_less_than`, `missing`, and the `ms` it took; or an `error`.
#![allow(clippy::unwrap_used, reason = "a door for tests stops at the first surprise")]

use std::io::read_to_string;
use std::time::Instant;

use serde::Deserialize;
use serde_json::json;
use stemclock::walk::{Limits, Problem, Task, solve};

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct TaskIn {
    seconds: u32,
    value: u32,
    #[serde(default)]
    required: bool,
    #[serde(default)]
    station: usize,
    states: Vec<usize>,
    #[serde(default)]
    after: Vec<usize>,
    #[serde(default)]
    needs: Vec<usize>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct ProblemIn {
    change: Vec<Vec<Option<u32>>>,
    walk: Vec<Vec<u32>>,
    start: (usize, usize),
    seconds: Option<u32>,
    tasks: Vec<TaskIn>,
}

fn main() {
    let problems: Vec<ProblemIn> = serde_json::from_str(&read_to_string(std::io::stdin()).unwrap()).unwrap();
    let answers: Vec<serde_json::Value> = problems.into_iter().map(answer).collect();
    println!("{}", json!(answers));
}

fn answer(given: ProblemIn) -> serde_json::Value {
    let tasks = given.tasks.into_iter().map(|t| Task {
        seconds: t.seconds,
        value: t.value,
        required: t.required,
        station: t.station,
        states: t.states,
        after: t.after,
        needs: t.needs,
    });
    let problem = Problem {
        change: given.change,
        walk: given.walk,
        start: given.start,
        tasks: tasks.collect(),
        seconds: given.seconds,
    };
    let start = Instant::now();
    let solution = solve(&problem, &Limits::default());
    let ms = start.elapsed().as_secs_f64() * 1000.0;
    match solution {
        Ok(s) => json!({
            "order": s.order, "seconds": s.seconds, "value": s.value, "bound": s.bound,
            "no_less_than": s.no_less_than, "missing": s.missing, "ms": ms,
        }),
        Err(error) => json!({ "error": error.to_string(), "ms": ms }),
    }
}
