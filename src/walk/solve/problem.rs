//! The problem as numbers, its answer, and what makes it one that can be solved.

use thiserror::Error;

/// The most stations a problem may have, and the most rounds (sets of tasks that are done in one go).
pub const MAX_STATIONS: usize = 12;
/// See [`MAX_STATIONS`].
pub const MAX_ROUNDS: usize = 60;

/// A task: what it takes, what it is worth, where and in which states it can be done, and what comes before it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Task {
    /// Seconds it takes.
    pub seconds: u32,
    /// What it is worth.
    pub value: u32,
    /// Whether every plan holds it.
    pub required: bool,
    /// Where it is done.
    pub station: usize,
    /// The states in which it can be done, at least one.
    pub states: Vec<usize>,
    /// Tasks that come before it where both are in the plan.
    pub after: Vec<usize>,
    /// Tasks without which it is not in the plan; they come before it.
    pub needs: Vec<usize>,
}

/// A problem.
///
/// Tasks with the same states, `after` and `needs` and the same tasks that name them there are a *round*: those of
/// them that are in the plan follow one another without a gap, in one state. A station of a round is gone to once.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Problem {
    /// Seconds from state to state; none where there is no way.
    pub change: Vec<Vec<Option<u32>>>,
    /// Seconds from station to station.
    pub walk: Vec<Vec<u32>>,
    /// The state and the station at the start.
    pub start: (usize, usize),
    /// The tasks.
    pub tasks: Vec<Task>,
    /// Seconds there are; none for as long as it takes.
    pub seconds: Option<u32>,
}

/// An answer.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Solution {
    /// The tasks in order, each with its state.
    pub order: Vec<(usize, usize)>,
    /// Seconds it takes.
    pub seconds: u32,
    /// What its tasks are worth together.
    pub value: u64,
    /// No answer within the same time is worth more.
    pub bound: u64,
    /// No answer with the same tasks takes less than this many seconds.
    pub no_less_than: u32,
    /// Seconds beyond those given that the required tasks take; none where they fit.
    pub missing: Option<u32>,
}

/// One task of an order with what it takes to come to it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Move {
    /// The task.
    pub task: usize,
    /// The state before it.
    pub from: usize,
    /// The state it is done in.
    pub to: usize,
    /// Seconds for the change of state.
    pub change: u32,
    /// Seconds on foot from the station before.
    pub walk: u32,
    /// Seconds for the task itself.
    pub itself: u32,
}

impl Move {
    /// Seconds for all of it.
    pub fn seconds(&self) -> u32 {
        self.change + self.walk + self.itself
    }
}

/// Why there is no answer.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum ProblemError {
    /// A number points nowhere, or a table has the wrong size.
    #[error("{0}")]
    Unsound(String),
    /// More rounds or stations than the search can hold.
    #[error("expected at most {most} {what}, found {found}: plan a part of it")]
    TooLarge {
        /// Rounds or stations.
        what: &'static str,
        /// How many there may be.
        most: usize,
        /// How many there are.
        found: usize,
    },
    /// No order of the required tasks keeps to what must come before what.
    #[error("no order of the required tasks keeps to what comes before what")]
    NoOrder,
}

impl Problem {
    /// An order step by step, from the start on; none in place of a step whose change of state has no way.
    pub fn moves<'a>(&'a self, order: &'a [(usize, usize)]) -> impl Iterator<Item = Option<Move>> + 'a {
        order.iter().scan(self.start, |(state, station), &(task, to)| {
            let (from, at) = (*state, *station);
            let done = &self.tasks[task];
            (*state, *station) = (to, done.station);
            let walk = self.walk[at][done.station];
            let told = |change| Move { task, from, to, change, walk, itself: done.seconds };
            Some(self.change[from][to].map(told))
        })
    }
    /// Seconds that an order takes; none where a change of state has no way.
    pub fn seconds_of(&self, order: &[(usize, usize)]) -> Option<u32> {
        self.moves(order).map(|step| Some(step?.seconds())).sum()
    }

    /// Whether every number points somewhere and no table is ragged.
    ///
    /// # Errors
    /// What is wrong, in words.
    pub fn verify(&self) -> Result<(), ProblemError> {
        let (states, stations, tasks) = (self.change.len(), self.walk.len(), self.tasks.len());
        let unsound = |text: String| Err(ProblemError::Unsound(text));
        if self.change.iter().any(|row| row.len() != states) || self.walk.iter().any(|row| row.len() != stations) {
            return unsound("expected square tables of changes and walks, found a row of another length".into());
        }
        if stations > MAX_STATIONS {
            return Err(ProblemError::TooLarge { what: "stations", most: MAX_STATIONS, found: stations });
        }
        if self.start.0 >= states || self.start.1 >= stations {
            return unsound(format!("expected a start among {states} states and {stations} stations"));
        }
        for (i, task) in self.tasks.iter().enumerate() {
            let points_out = task.station >= stations
                || task.states.is_empty()
                || task.states.iter().any(|s| *s >= states)
                || task.after.iter().chain(&task.needs).any(|t| *t >= tasks || *t == i);
            if points_out {
                return unsound(format!("task {i} names a station, a state or a task that is not there"));
            }
        }
        Ok(())
    }
}
