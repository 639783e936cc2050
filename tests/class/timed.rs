//! The moment of a student's answer is kept with it, and nobody else's.

use chrono::NaiveTime;
use stemclock::catalogue::Catalogue;
use stemclock::edit::{Command, decide, timed};
use stemclock::garage::{Bay, Course, Garage};
use stemclock::inspection::{Answer, CheckRef, Inspection, Subject};

use crate::bench::{FRONT, exercise, inspection, key, machine, sound};

fn at(time: &str) -> NaiveTime {
    time.parse().unwrap()
}

fn tyre() -> CheckRef {
    CheckRef::new("tyre-look", Subject::Wheel(FRONT))
}

/// A garage with an inspection that nothing is noted in yet.
fn garage(course: Course) -> Garage {
    let mut bay = Bay::new(machine());
    bay.inspections = vec![inspection("2026-10-03-season-s1", Vec::new())];
    Garage { bays: vec![bay], courses: vec![course], ..Garage::default() }
}

fn make(garage: &mut Garage, command: Command, time: &str) -> Inspection {
    let change = decide(garage, Catalogue::builtin(), command).unwrap();
    let change = timed(garage, change, at(time));
    garage.evolve(&change);
    garage.bays[0].inspections[0].clone()
}

fn answer(garage: &Garage, answer: Answer) -> Command {
    let inspection = garage.bays[0].inspections[0].id.clone();
    Command::SetAnswer { machine: machine().id, inspection, check: tyre(), answer }
}

#[test]
fn an_answer_and_a_finding_carry_the_moment_of_their_last_change() {
    let mut student = garage(Course::new(exercise()));
    let sound_at = answer(&student, sound());
    let first = make(&mut student, sound_at, "10:05:00.75");
    assert_eq!(first.answer(&tyre()).unwrap().at, Some(at("10:05:00")), "to the second");
    let finding = key().inspection.findings[0].clone();
    let put = Command::PutFinding(machine().id, first.id.clone(), finding.clone());
    let found = make(&mut student, put, "10:12:00");
    assert_eq!(found.answer(&tyre()).unwrap().at, Some(at("10:12:00")), "a finding is an answer too");
    // The same answer again is no change, and another check keeps its own moment.
    let again = answer(&student, found.answer(&tyre()).unwrap().clone());
    assert_eq!(make(&mut student, again, "11:00:00").answer(&tyre()).unwrap().at, Some(at("10:12:00")));
    // Taken back, nothing is left of it, not even when.
    make(&mut student, Command::RemoveFinding(machine().id, first.id, finding.id), "10:13:00");
    let back = answer(&student, Answer { at: Some(at("10:13:00")), ..Answer::default() });
    assert!(make(&mut student, back, "10:14:00").answers.is_empty());
}

#[test]
fn without_an_exercise_to_answer_no_moment_is_kept() {
    let mut instructors = garage(Course { exercise: exercise(), key: Some(key()), sheets: Vec::new() });
    let mut other_kind = garage(Course::new(exercise()));
    other_kind.courses[0].exercise.kind = "ride".into();
    for garage in [&mut instructors, &mut other_kind] {
        let command = answer(garage, sound());
        assert_eq!(make(garage, command, "10:05:00").answer(&tyre()).unwrap().at, None);
    }
}
