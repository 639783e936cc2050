//! Which sheets can be scored, and why the others cannot: each is named, the rest goes on. Must not know files.

use serde_json::Value;

use super::pack::for_students;
use crate::exercise::{Exercise, Sheet, SheetId};
use crate::machine::Machine;

/// A sheet that is not scored.
#[derive(Clone, Debug, PartialEq)]
pub struct Refused {
    /// Which.
    pub sheet: SheetId,
    /// Who handed it in.
    pub student: String,
    /// Expected, found, and the way out.
    pub why: String,
}

/// Parts the sheets that can be scored from the others. Of two sheets of one student the one begun later counts.
pub fn sort_sheets<'a>(exercise: &Exercise, machine: &Machine, sheets: &'a [Sheet]) -> (Vec<&'a Sheet>, Vec<Refused>) {
    // Notes and photos that a student added to the machine change nothing that is asked.
    let given = for_students(machine);
    let mut refused = Vec::new();
    let mut good: Vec<&Sheet> = Vec::new();
    for sheet in sheets {
        let mut refuse = |why: String| {
            refused.push(Refused { sheet: sheet.id.clone(), student: sheet.student.clone(), why });
        };
        if sheet.exercise != exercise.id {
            refuse(format!(
                "expected a sheet of the exercise {}, found one of {}: ask for the right file, or put it with its own exercise",
                exercise.id, sheet.exercise
            ));
        } else if sheet.student.trim().is_empty() {
            refuse("expected the student's name, found none: write it into the file".into());
        } else if for_students(&sheet.machine) != given {
            refuse(format!(
                "expected the machine as it was handed out, found another value in {}: the student has edited it, or you have since; make both alike",
                differing(&given, &for_students(&sheet.machine))
            ));
        } else if sheet.inspection.kind != exercise.kind {
            refuse(format!(
                "expected an inspection of the kind {}, found {}: ask the student for the right one",
                exercise.kind, sheet.inspection.kind
            ));
        } else {
            good.push(sheet);
        }
    }
    let same = |a: &Sheet, b: &Sheet| a.student.trim().to_lowercase() == b.student.trim().to_lowercase();
    // Of two sheets of one walk the one with the later answer is the corrected one.
    let answered = |s: &Sheet| s.inspection.answers.values().filter_map(|a| a.at).max();
    let begun = |s: &Sheet| (s.inspection.date, s.inspection.started, answered(s), s.id.clone());
    let (kept, twice): (Vec<&Sheet>, Vec<&Sheet>) =
        good.iter().partition(|a| !good.iter().any(|b| same(a, b) && begun(b) > begun(a)));
    for sheet in twice {
        refused.push(Refused {
            sheet: sheet.id.clone(),
            student: sheet.student.clone(),
            // Without the name: where names are hidden, this is shown all the same.
            why: "expected one sheet from each student, found two or more from this one: the one begun last is scored, or of one walk the one answered last; if they are two people, write their names apart".into(),
        });
    }
    (kept, refused)
}

/// So many parts are named at most.
const NAMED: usize = 6;

/// The parts of a machine's record that differ, down to the field, in the record's own words and none of the sheet's,
/// which may name the student.
fn differing(given: &Machine, found: &Machine) -> String {
    let mut parts = Vec::new();
    match (serde_json::to_value(given), serde_json::to_value(found)) {
        (Ok(given), Ok(found)) => differ(&given, &found, "", &mut parts),
        (given, found) => log::warn!("machines cannot be told apart: {:?}, {:?}", given.err(), found.err()),
    }
    let more = parts.len().saturating_sub(NAMED);
    parts.truncate(NAMED);
    match (parts.is_empty(), more) {
        (true, _) => "its record".into(),
        (false, 0) => parts.join(", "),
        (false, more) => format!("{} and {more} more", parts.join(", ")),
    }
}

fn differ(given: &Value, found: &Value, at: &str, into: &mut Vec<String>) {
    let below = |name: &str| format!("{at} {}", name.replace('_', " ")).trim().to_owned();
    match (given, found) {
        (same, other) if same == other => {}
        (Value::Object(a), Value::Object(b)) => {
            for (name, one) in a {
                differ(one, b.get(name).unwrap_or(&Value::Null), &below(name), into);
            }
            // What only the sheet has, that may be a name of the student's own.
            if b.keys().any(|name| !a.contains_key(name)) {
                into.push(if at.is_empty() { "a part more".to_owned() } else { format!("{at} (more)") });
            }
        }
        (Value::Array(a), Value::Array(b)) if a.len() == b.len() => {
            for (index, (one, other)) in a.iter().zip(b).enumerate() {
                let position = one.get("position").and_then(Value::as_str).map(str::to_lowercase);
                differ(one, other, &below(&position.unwrap_or_else(|| (index + 1).to_string())), into);
            }
        }
        _ => into.push(at.to_owned()),
    }
}
