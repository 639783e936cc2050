//! What the students get: the exercise and the machine, and nothing else of the instructor's garage. Must not know
//! files.

use crate::exercise::Exercise;
use crate::garage::{Bay, Course, Garage, GarageInfo};
use crate::machine::Machine;

/// The machine as the students get it: without the owner's notes, photos and papers, which are nobody's business and may
/// tell what was planted. A machine whose history came out of a report is one that they can go over like any other.
pub fn for_students(machine: &Machine) -> Machine {
    Machine {
        archived: false,
        read_only: None,
        vin: None,
        registration: None,
        insured_until: None,
        notes: String::new(),
        photos: Vec::new(),
        ..machine.clone()
    }
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
