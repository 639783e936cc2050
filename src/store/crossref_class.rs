//! What a class exercise, its key and its sheets say of other records and of the catalogue. Must not touch files.

use super::crossref;
use super::layout::{EXERCISES, KINDS, MACHINES};
use super::validate::Sheet as Problems;
use crate::catalogue::Catalogue;
use crate::exercise::{Key, Mark, ReadingMark};
use crate::garage::{Course, Garage};
use crate::inspection::{FindingId, Value};
use crate::machine::Machine;

/// Minutes of the hour-hand clock in half a turn: no two places on a wheel are further apart.
const HALF_WHEEL: f64 = 360.0;

/// An exercise with what belongs to it. Numbers below zero are refused where the record is read.
pub(super) fn course(problems: &mut Problems<'_>, garage: &Garage, course: &Course, catalogue: &Catalogue) {
    let exercise = &course.exercise;
    let folder = format!("{EXERCISES}/{}", exercise.id);
    let path = format!("{folder}/exercise.ron");
    if catalogue.kind(&exercise.kind).is_none() && !problems.has_unread(KINDS, catalogue) {
        let known: Vec<&str> = catalogue.kinds.iter().map(|k| k.id.as_str()).collect();
        let message = format!(
            "expected a kind of inspection ({}), found \"{}\": write one of these",
            known.join(", "),
            exercise.kind
        );
        problems.note(&path, &format!("\"{}\"", exercise.kind), message);
    }
    if let Some(message) = exercise.wrong_limit() {
        problems.note(&path, "minutes:", message);
    }
    let bay = garage.bay(&exercise.machine);
    if bay.is_none() {
        let message = format!("expected a machine of this garage, found \"{}\": correct the id", exercise.machine);
        let record = format!("{MACHINES}/{}/machine.ron", exercise.machine);
        problems.points_nowhere(&path, &format!("\"{}\"", exercise.machine), &record, message);
    }
    for sheet in course.sheets.iter().filter(|s| s.exercise != exercise.id) {
        let message = format!(
            "expected a sheet of the exercise {}, found one of {}: put it with its own, or take it out",
            exercise.id, sheet.exercise
        );
        problems.note(&format!("{folder}/sheets/{}.ron", sheet.id), &format!("\"{}\"", sheet.exercise), message);
    }
    if let (Some(bay), Some(held)) = (bay, &course.key) {
        let path = format!("{folder}/key.ron");
        let machine = format!("{MACHINES}/{}", bay.machine.id);
        crossref::contents(problems, &machine, &path, &bay.machine, &held.inspection, catalogue);
        key(problems, &path, held, &exercise.kind, catalogue);
        for reading in &held.readings {
            marked(problems, &path, &bay.machine, held, reading, catalogue);
        }
    }
}

fn key(problems: &mut Problems<'_>, path: &str, key: &Key, kind: &str, catalogue: &Catalogue) {
    if key.inspection.kind != kind {
        let message = format!(
            "expected a key of the kind of the exercise ({kind}), found {}: no sheet can be held against it; make both alike",
            key.inspection.kind
        );
        problems.note(path, "kind:", message);
    }
    for (finding, mark) in &key.marks {
        mark_of(problems, path, key, finding, mark, catalogue);
    }
    let marking = &key.marking;
    for (what, share) in [
        ("misplaced", marking.misplaced),
        ("other_name", marking.other_name),
        ("other_severity", marking.other_severity),
    ] {
        if share > 1.0 {
            let message = format!("expected a share from 0 to 1, found {share}: write how much of the weight is left");
            problems.note(path, &format!("{what}:"), message);
        }
    }
}

fn mark_of(
    problems: &mut Problems<'_>,
    path: &str,
    key: &Key,
    finding: &FindingId,
    mark: &Mark,
    catalogue: &Catalogue,
) {
    let needle = format!("\"{finding}\": (");
    if !key.inspection.findings.iter().any(|f| &f.id == finding) {
        let message = format!(
            "expected a finding of the key, found \"{finding}\", so its mark counts for nothing: correct the id, or take the mark out"
        );
        problems.note(path, &needle, message);
    }
    if mark.near_minutes > HALF_WHEEL {
        let message = format!(
            "expected at most {HALF_WHEEL} minutes of the hour-hand clock, half the wheel, found {}: any place would count",
            mark.near_minutes
        );
        problems.note(path, &needle, message);
    }
    for also in &mark.also {
        let is_known = also
            .trim()
            .split_once(':')
            .is_some_and(|(check, fault)| catalogue.check(check).is_some_and(|c| c.fault(fault).is_some()));
        if !is_known && !problems.has_unread(KINDS, catalogue) {
            let message = format!(
                "expected a further name as check:fault of the catalogue, as in tyre-look:puncture, found \"{also}\": correct it"
            );
            problems.note(path, &format!("\"{also}\""), message);
        }
    }
}

/// A marked reading: the key itself must hold it, and its tolerance be of its kind.
fn marked(
    problems: &mut Problems<'_>,
    path: &str,
    machine: &Machine,
    key: &Key,
    mark: &ReadingMark,
    catalogue: &Catalogue,
) {
    let needle = format!("check: \"{}\"", mark.check);
    let Some(check) = crossref::known_check(problems, path, machine, &mark.check, catalogue) else { return };
    if check.field(&mark.field).is_none() {
        let known: Vec<&str> = check.fields.iter().map(|f| f.id.as_str()).collect();
        let message = format!(
            "expected a reading of {} ({}), found \"{}\": correct the name",
            mark.check,
            known.join(", "),
            mark.field
        );
        return problems.note(path, &needle, message);
    }
    let held = key.inspection.answer(&mark.check).and_then(|a| a.readings.get(&mark.field));
    match (held, &mark.within) {
        (None, _) => {
            let message = format!(
                "expected the reading \"{}\" of {} in the key's own answers, found none, so nobody is marked by it: read it, or take the mark out",
                mark.field, mark.check
            );
            problems.note(path, &needle, message);
        }
        (Some(held), Some(within)) if !is_of_one_kind(held, within) => {
            let message = format!(
                "expected a tolerance of the kind of the reading \"{}\" of {}, found another kind: write it as the reading is written",
                mark.field, mark.check
            );
            problems.note(path, &needle, message);
        }
        _ => {}
    }
}

/// Whether a tolerance can be held against a reading: what is read round the wheel in lengths takes a length.
fn is_of_one_kind(reading: &Value, within: &Value) -> bool {
    let takes_length = matches!(reading, Value::Tread(_) | Value::Dial(..));
    std::mem::discriminant(reading) == std::mem::discriminant(within)
        || (takes_length && matches!(within, Value::Length(_)))
}
