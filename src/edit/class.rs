//! Deciding the commands of a class: exercises, keys and sheets. Must not score.

use super::decide::{bay_machine, change, named};
use super::{Change, Record, RecordKey, Rejected};
use crate::exercise::{Exercise, ExerciseId, Key, Sheet, SheetId};
use crate::garage::{Course, Garage};

fn course<'a>(garage: &'a Garage, id: &ExerciseId) -> Result<&'a Course, Rejected> {
    garage.course(id).ok_or_else(|| Rejected::Missing(format!("the exercise {id}")))
}

pub(super) fn put_exercise(garage: &Garage, exercise: Exercise) -> Result<Change, Rejected> {
    named("the exercise", &exercise.title)?;
    bay_machine(garage, &exercise.machine)?;
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
        return Err(Rejected::Taken(format!("the sheet {} of {}", sheet.id, sheet.student)));
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
