//! The scores of the exercise in hand, worked out once a change of the garage.

use std::sync::Arc;

use crate::class::{ClassFigures, Results, class_figures, results};
use crate::exercise::ExerciseId;
use crate::garage::Course;
use crate::ui::ViewCtx;

/// A class marked, with what each student comes to alone.
#[derive(Clone, Debug)]
pub(super) struct Marked {
    /// The class.
    pub results: Results,
    /// Each student's figures, in the order of the scores.
    pub each: Vec<ClassFigures>,
}

/// What is kept, and of which garage it is.
#[derive(Clone, Debug, Default)]
pub(super) struct Kept {
    of: Option<(u64, ExerciseId)>,
    marked: Option<Result<Arc<Marked>, String>>,
}

impl Kept {
    /// Works the scores out where the garage or the exercise has changed.
    pub fn keep_up(&mut self, cx: &ViewCtx<'_>, course: &Course) {
        let of = Some((cx.derived.revision, course.exercise.id.clone()));
        if self.of != of {
            self.of = of;
            self.marked = marked(cx, course);
        }
    }
    /// The scores; none without a key; or why there are none.
    pub fn marked(&self) -> Option<Result<Arc<Marked>, String>> {
        self.marked.clone()
    }
}

fn marked(cx: &ViewCtx<'_>, course: &Course) -> Option<Result<Arc<Marked>, String>> {
    let key = course.key.as_ref()?;
    let Some(bay) = cx.garage.bay(&course.exercise.machine) else {
        return Some(Err(format!(
            "expected the exercise's machine in the garage, found no {}: take it back from a backup, or make a new \
             exercise",
            course.exercise.machine
        )));
    };
    let marked = results(course, key, &bay.machine, cx.catalogue, cx.units());
    Some(marked.map_err(|e| format!("{e}: mend the weights and minutes of the key")).map(|results| {
        let each = results.scores.iter().map(|score| class_figures(key, &[score])).collect();
        Arc::new(Marked { results, each })
    }))
}
