//! The scores of the exercise in hand and their drawings, worked out once a change of the garage.

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::class::{ClassFigures, Results, Roster, Score, class_figures, results};
use crate::drawing::shape::Drawing;
use crate::exercise::{ExerciseId, SheetId};
use crate::garage::Course;
use crate::report::block::Paper;
use crate::report::content::{ClassInput, class_faces};
use crate::ui::ViewCtx;

/// Clock faces with their captions.
pub(super) type Faces = Arc<Vec<(Drawing, String)>>;

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
    /// The faces of the class, and of each student that was looked at.
    faces: BTreeMap<Option<SheetId>, Faces>,
}

impl Kept {
    /// Works the scores out where the garage or the exercise has changed.
    pub fn keep_up(&mut self, cx: &ViewCtx<'_>, course: &Course) {
        let of = Some((cx.derived.revision, course.exercise.id.clone()));
        if self.of != of {
            self.of = of;
            self.marked = marked(cx, course);
            self.faces.clear();
        }
    }
    /// The clock faces of the class, or of one student, as they are printed.
    pub fn faces(&mut self, cx: &ViewCtx<'_>, course: &Course, student: Option<&SheetId>) -> Faces {
        if let Some(faces) = self.faces.get(&student.cloned()) {
            return faces.clone();
        }
        let faces = Faces::new(drawn(cx, course, self.marked.as_ref(), student).unwrap_or_default());
        self.faces.insert(student.cloned(), faces.clone());
        faces
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

fn drawn(
    cx: &ViewCtx<'_>,
    course: &Course,
    marked: Option<&Result<Arc<Marked>, String>>,
    student: Option<&SheetId>,
) -> Option<Vec<(Drawing, String)>> {
    let results = marked?.as_ref().ok()?.results.clone();
    let input = ClassInput {
        course,
        key: course.key.as_ref()?,
        bay: cx.garage.bay(&course.exercise.machine)?,
        results,
        roster: Roster::of(course, true),
        catalogue: cx.catalogue,
        units: cx.units(),
        today: cx.today,
        now: cx.now.and_utc().fixed_offset(),
        paper: Paper::A4,
    };
    let scores: Vec<&Score> = input.results.scores.iter().filter(|s| student.is_none_or(|id| *id == s.sheet)).collect();
    Some(class_faces(&input, &scores, &input.results.numbers()))
}
