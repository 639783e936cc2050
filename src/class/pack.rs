//! What the students get: the exercise and the machine, and nothing else of the instructor's garage. Must not know
//! files.

use crate::exercise::Exercise;
use crate::garage::{Bay, Course, Garage, GarageInfo};
use crate::machine::Machine;

/// The machine as the students get it: without the owner's notes and papers, which are nobody's business and may tell
/// what was planted.
pub fn for_students(machine: &Machine) -> Machine {
    Machine { archived: false, vin: None, registration: None, notes: String::new(), ..machine.clone() }
}

/// The garage of the students' pack: one machine without a past, one exercise without its key. None where the
/// exercise's machine is not in the garage.
pub fn pack(garage: &Garage, exercise: &Exercise) -> Option<Garage> {
    let machine = &garage.bay(&exercise.machine)?.machine;
    let info = GarageInfo { name: exercise.title.clone(), units: garage.info.units.clone(), ..GarageInfo::default() };
    Some(Garage {
        info,
        bays: vec![Bay::new(for_students(machine))],
        courses: vec![Course::new(exercise.clone())],
        ..Garage::default()
    })
}
