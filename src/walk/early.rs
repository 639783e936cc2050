//! Pressures as early as costs nothing: a tyre is read cold, and whoever has raised the machine, or waits with it, warms
//! it or forgets it. Among walks that take as long, the one that reads them first is told.

use super::{Problem, Solution};

/// Moves the tasks that `is_first` names towards the beginning, together and in their order, as far as the walk takes
/// no longer and everything still comes after what it must come after.
pub(super) fn bring_forward(problem: &Problem, solution: &mut Solution, is_first: impl Fn(usize) -> bool) {
    type Order = Vec<(usize, usize)>;
    let (moved, rest): (Order, Order) = solution.order.iter().copied().partition(|(task, _)| is_first(*task));
    if moved.is_empty() {
        return;
    }
    // Between two set-ups only: what is done in one go stays in one go.
    let is_between = |at: &usize| *at == 0 || rest.get(*at).is_none_or(|next| next.1 != rest[at - 1].1);
    for at in (0..=rest.len()).filter(is_between) {
        let order = [&rest[..at], &moved[..], &rest[at..]].concat();
        let Some(seconds) = problem.seconds_of(&order).filter(|seconds| *seconds <= solution.seconds) else { continue };
        if keeps_to_what_comes_before(problem, &order) {
            let saved = solution.seconds - seconds;
            solution.missing = solution.missing.map(|missing| missing.saturating_sub(saved)).filter(|left| *left > 0);
            (solution.order, solution.seconds) = (order, seconds);
            return;
        }
    }
}

fn keeps_to_what_comes_before(problem: &Problem, order: &[(usize, usize)]) -> bool {
    let mut place = vec![None; problem.tasks.len()];
    order.iter().enumerate().for_each(|(at, (task, _))| place[*task] = Some(at));
    order.iter().enumerate().all(|(at, (task, _))| {
        let task = &problem.tasks[*task];
        task.after.iter().chain(&task.needs).all(|before| place[*before].is_none_or(|before| before < at))
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::walk::Task;

    /// Two states a minute apart either way; the first task in the second state, the others in the first.
    fn problem(after: Vec<usize>) -> Problem {
        let task = |states: Vec<usize>| Task { seconds: 30, states, ..Task::default() };
        Problem {
            change: vec![vec![Some(0), Some(60)], vec![Some(60), Some(0)]],
            walk: vec![vec![0]],
            start: (0, 0),
            tasks: vec![task(vec![1]), task(vec![0]), Task { after, ..task(vec![0]) }],
            seconds: None,
        }
    }

    fn brought(after: Vec<usize>, order: Vec<(usize, usize)>, seconds: u32) -> Vec<usize> {
        let mut solution = Solution { order, seconds, ..Solution::default() };
        bring_forward(&problem(after), &mut solution, |task| task == 2);
        solution.order.into_iter().map(|(task, _)| task).collect()
    }

    #[test]
    fn what_is_read_cold_comes_before_the_machine_is_raised_where_it_costs_nothing() {
        // Raised, and let down again for the others: it takes as long with the reading at the front.
        assert_eq!(brought(Vec::new(), vec![(0, 1), (1, 0), (2, 0)], 210), [2, 0, 1]);
        // Not before what it must come after.
        assert_eq!(brought(vec![0], vec![(0, 1), (1, 0), (2, 0)], 210), [0, 2, 1]);
        // At the front it would cost two changes more, so it goes no farther than behind the first.
        assert_eq!(brought(Vec::new(), vec![(1, 0), (0, 1), (2, 1)], 150), [1, 2, 0]);
    }
}
