//! Which sheets can be scored, and why the others cannot: each is named, the rest goes on. Must not know files.

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
                "expected the machine as it was handed out, found another {}: the student has edited it, or you have since; make both alike",
                differing(&given, &sheet.machine)
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

/// The parts of a machine's record that differ, in the record's own words.
fn differing(given: &Machine, found: &Machine) -> String {
    let pairs: [(&str, bool); 12] = [
        ("machine", given.id != found.id),
        ("name", given.name != found.name),
        ("layout", given.layout != found.layout),
        ("category", given.category != found.category),
        ("region", given.region != found.region),
        ("drive", given.final_drive != found.final_drive || given.power != found.power),
        ("wheels", given.wheels != found.wheels),
        ("fluids", given.fluids != found.fluids),
        ("limits", given.limits != found.limits),
        ("torque figures", given.torques != found.torques),
        ("battery", given.battery != found.battery || given.nominal_voltage != found.nominal_voltage),
        ("brakes", given.front_brake != found.front_brake || given.rear_brake != found.rear_brake),
    ];
    let differing: Vec<&str> = pairs.iter().filter(|(_, differs)| *differs).map(|(name, _)| *name).collect();
    if differing.is_empty() { "record of it".into() } else { differing.join(", ") }
}
