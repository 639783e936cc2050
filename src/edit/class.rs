//! Deciding the commands of a class: exercises, keys and sheets; and the times of a student's answers. Must not score.

use std::collections::BTreeSet;

use chrono::{NaiveTime, Timelike as _};

use super::decide::{bay_machine, change, named};
use super::{Change, Record, RecordKey, Rejected};
use crate::exercise::{Exercise, ExerciseId, Key, Sheet, SheetId};
use crate::garage::{Course, Garage};
use crate::inspection::{Answer, CheckRef, Inspection};

fn course<'a>(garage: &'a Garage, id: &ExerciseId) -> Result<&'a Course, Rejected> {
    garage.course(id).ok_or_else(|| Rejected::Missing(format!("the exercise {id}")))
}

pub(super) fn put_exercise(garage: &Garage, exercise: Exercise) -> Result<Change, Rejected> {
    named("the exercise", &exercise.title)?;
    bay_machine(garage, &exercise.machine)?;
    if let Some(why) = exercise.wrong_limit() {
        return Err(Rejected::Forbidden(why));
    }
    let there = garage.course(&exercise.id);
    if there.is_some_and(|c| c.exercise.machine != exercise.machine && c.key.is_some()) {
        return Err(Rejected::Forbidden(
            "expected the machine that the key was made on, found another: make a new exercise for it".into(),
        ));
    }
    let label = if there.is_some() { "change an exercise" } else { "add an exercise" };
    Ok(change(garage, RecordKey::Exercise(exercise.id.clone()), Some(Record::Exercise(Box::new(exercise))), label))
}

pub(super) fn remove_exercise(garage: &Garage, id: ExerciseId) -> Result<Change, Rejected> {
    let there = course(garage, &id)?;
    if there.key.is_some() || !there.sheets.is_empty() {
        return Err(Rejected::Forbidden(
            "expected an exercise without key and sheets, found that it has some: they would be lost; put the folder \
             away by hand if it is not wanted any more"
                .into(),
        ));
    }
    Ok(change(garage, RecordKey::Exercise(id), None, "take an exercise out"))
}

pub(super) fn put_key(garage: &Garage, key: Key) -> Result<Change, Rejected> {
    let there = course(garage, &key.exercise)?;
    let label = if there.key.is_some() { "change the key" } else { "add the key" };
    Ok(change(garage, RecordKey::Key(key.exercise.clone()), Some(Record::Key(Box::new(key))), label))
}

pub(super) fn take_in(garage: &Garage, sheet: Box<Sheet>) -> Result<Change, Rejected> {
    let there = course(garage, &sheet.exercise)?;
    if there.sheets.iter().any(|s| s.id == sheet.id) {
        return Err(Rejected::Forbidden(format!(
            "expected a new sheet, found that the sheet {} of {} is there already: nothing is to be done, or ask for the corrected one",
            sheet.id, sheet.student
        )));
    }
    named("the student", &sheet.student)?;
    let key = RecordKey::Sheet(sheet.exercise.clone(), sheet.id.clone());
    Ok(change(garage, key, Some(Record::Sheet(sheet)), "take a sheet in"))
}

pub(super) fn remove_sheet(garage: &Garage, exercise: ExerciseId, id: SheetId) -> Result<Change, Rejected> {
    if !course(garage, &exercise)?.sheets.iter().any(|s| s.id == id) {
        return Err(Rejected::Missing(format!("the sheet {id}")));
    }
    Ok(change(garage, RecordKey::Sheet(exercise, id), None, "take a sheet out"))
}

/// Notes the moment on every answer that a change gives or takes, where a student works on an exercise, so that the time
/// at each station can be told. A finding written down is an answer too. In any other garage nothing is noted.
pub fn timed(garage: &Garage, mut change: Change, at: NaiveTime) -> Change {
    let RecordKey::Inspection(machine, _) = &change.key else { return change };
    let (Some(Record::Inspection(before)), Some(Record::Inspection(after))) = (&change.before, &mut change.after)
    else {
        return change;
    };
    if garage.exercise_for(machine, &after.kind).is_none() {
        return change;
    }
    let at = at.with_nanosecond(0).unwrap_or(at);
    let named =
        |i: &Inspection| i.answers.keys().chain(i.findings.iter().map(|f| &f.check)).cloned().collect::<Vec<_>>();
    let checks: BTreeSet<CheckRef> = named(before).into_iter().chain(named(after)).collect();
    for check in checks {
        let found = |i: &Inspection| i.findings_of(&check).cloned().collect::<Vec<_>>();
        let is_found = after.findings_of(&check).next().is_some();
        if before.answer(&check) == after.answer(&check) && found(before) == found(after) {
            continue;
        }
        let mut answer = after.answers.remove(&check).unwrap_or_default();
        answer.at = None;
        if is_found || answer != Answer::default() {
            answer.at = Some(at);
            after.answers.insert(check, answer);
        }
    }
    change
}
