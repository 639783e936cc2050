//! What every answer of the solver keeps, on random problems of many states.

use proptest::prelude::*;

use super::*;

/// Asserts everything that holds for every answer.
fn holds(problem: &Problem, solution: &Solution) {
    let order = &solution.order;
    assert_eq!(problem.seconds_of(order), Some(solution.seconds), "the search counts as the order takes");
    match (problem.seconds, solution.missing) {
        (Some(given), Some(missing)) => assert_eq!(given + missing, solution.seconds),
        (Some(given), None) => assert!(solution.seconds <= given, "{} in {given} seconds", solution.seconds),
        (None, missing) => assert_eq!(missing, None),
    }
    let value: u64 = order.iter().map(|&(task, _)| u64::from(problem.tasks[task].value)).sum();
    assert_eq!(value, solution.value);
    assert!(value <= solution.bound && solution.no_less_than <= solution.seconds);
    let place = |task: usize| order.iter().position(|step| step.0 == task);
    for (i, task) in problem.tasks.iter().enumerate() {
        let Some(at) = place(i) else {
            assert!(!task.required, "{i} is required");
            continue;
        };
        assert!(task.states.contains(&order[at].1));
        assert!(task.after.iter().all(|&before| place(before).is_none_or(|before| before < at)));
        assert!(task.needs.iter().all(|&before| place(before).is_some_and(|before| before < at)));
    }
}

fn task(states: &[usize], value: u32, required: bool, needs: &[usize]) -> Task {
    Task { seconds: 30, value, required, states: states.into(), needs: needs.into(), ..Task::default() }
}

#[test]
fn a_rebate_for_a_change_that_does_not_come_lengthens_no_plan() {
    let change = [
        [0, 30, 3, 181, 154, 90, 128],
        [30, 0, 33, 151, 184, 120, 158],
        [3, 33, 0, 184, 151, 93, 131],
        [97, 67, 100, 0, 33, 115, 153],
        [70, 100, 67, 33, 0, 88, 126],
        [50, 80, 53, 159, 132, 0, 106],
        [83, 113, 86, 192, 165, 101, 0],
    ];
    let mut problem = Problem {
        change: change.iter().map(|row| row.iter().map(|s| Some(*s)).collect()).collect(),
        walk: vec![vec![0, 5], vec![5, 0]],
        start: (0, 0),
        tasks: vec![
            task(&[6], 10, false, &[]),
            task(&[0], 10, true, &[0]),
            task(&[5], 10, true, &[]),
            task(&[1], 45, false, &[]),
            task(&[3], 10, false, &[]),
            task(&[2], 10, true, &[]),
            task(&[4], 10, true, &[4]),
            Task { station: 1, ..task(&[3, 4], 10, true, &[]) },
        ],
        seconds: None,
    };
    let whole = solve(&problem, &Limits::default()).unwrap();
    for less in 1..30 {
        problem.seconds = Some(whole.seconds - less);
        holds(&problem, &solve(&problem, &Limits::default()).unwrap());
    }
}

/// A task in one or two states of a pose, sometimes with one of those before it.
fn random_task() -> impl Strategy<Value = (Task, prop::sample::Index, u8)> {
    let (times, values) = (6..96u32, prop::sample::select(vec![10u32, 30, 45, 90]));
    let plain = (times, values, 0..3u8, 0..4usize, 0..12usize, 0..6usize);
    let made = plain.prop_map(|(seconds, value, must, station, state, other)| {
        let second = (other < 2).then_some(state / 3 * 3 + (state + 1 + other) % 3);
        let states = [state].into_iter().chain(second).collect();
        Task { seconds, value, required: must == 0, station, states, ..Task::default() }
    });
    (made, any::<prop::sample::Index>(), 0..8u8)
}

/// Four poses with three states each, one with something off and one with something on.
fn problems() -> impl Strategy<Value = Problem> {
    let poses = prop::collection::vec((6..126u32, 6..66u32), 4);
    (poses, prop::collection::vec(random_task(), 10..15)).prop_map(|(poses, drawn)| {
        let states: Vec<(usize, usize)> = (0..4).flat_map(|pose| (0..3).map(move |how| (pose, how))).collect();
        let change = |a: &(usize, usize), b: &(usize, usize)| {
            let pose = if a.0 == b.0 { 0 } else { poses[a.0].1 + poses[b.0].0 };
            let aside = |how: usize| [0, 30, 3][how];
            Some(pose + if a.1 == b.1 { 0 } else { aside(a.1) + aside(b.1) })
        };
        let places = [(0u32, 0u32), (4, 1), (8, 0), (3, 6)];
        let walk = |a: &(u32, u32), b: &(u32, u32)| a.0.abs_diff(b.0) + a.1.abs_diff(b.1);
        let mut tasks: Vec<Task> = Vec::new();
        for (mut task, before, relation) in drawn {
            if !tasks.is_empty() && relation < 3 {
                let list = if relation < 2 { &mut task.after } else { &mut task.needs };
                list.push(before.index(tasks.len()));
            }
            tasks.push(task);
        }
        Problem {
            change: states.iter().map(|a| states.iter().map(|b| change(a, b)).collect()).collect(),
            walk: places.iter().map(|a| places.iter().map(|b| walk(a, b)).collect()).collect(),
            start: (0, 0),
            tasks,
            seconds: None,
        }
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 12, ..ProptestConfig::default() })]
    #[test]
    fn every_answer_keeps_to_its_time_and_counts_as_its_order_takes(
        problem in problems(), share in 0..100u32, less in 1..40u32,
    ) {
        let whole = solve(&problem, &Limits::default()).unwrap();
        holds(&problem, &whole);
        for given in [whole.seconds.saturating_sub(less), whole.seconds * share / 100] {
            let problem = Problem { seconds: Some(given), ..problem.clone() };
            holds(&problem, &solve(&problem, &Limits::default()).unwrap());
        }
    }
}
