//! Exercises made, packed and unpacked, sheets handed in and taken in.

use std::path::Path;

use chrono::{DateTime, FixedOffset};
use serde_json::json;

use super::args::ClassArgs;
use crate::class::pack as students_garage;
use crate::cli::answer::{Answer, Failure};
use crate::cli::garage;
use crate::edit::{Command, decide};
use crate::exercise::{Exercise, ExerciseId, Key, Sheet, SheetId};
use crate::garage::{Course, Garage};
use crate::machine::SCHEMA;
use crate::store::{self, Form, Opened};

fn fail(error: impl std::fmt::Display) -> Failure {
    Failure(error.to_string())
}

/// Finds an exercise by its id, its title, or the beginning of either.
pub(in crate::cli) fn course<'a>(garage: &'a Garage, wanted: Option<&str>) -> Result<&'a Course, Failure> {
    let text = wanted.unwrap_or_default().trim().to_lowercase();
    let named = |c: &&Course| {
        let keys = [c.exercise.id.0.to_lowercase(), c.exercise.title.to_lowercase()];
        text.is_empty() || keys.iter().any(|k| k.starts_with(&text))
    };
    let found: Vec<&Course> = garage.courses.iter().filter(named).collect();
    let list = |courses: &mut dyn Iterator<Item = &Course>| {
        courses.map(|c| format!("{} ({})", c.exercise.id, c.exercise.title)).collect::<Vec<_>>().join(", ")
    };
    match found[..] {
        [one] => Ok(one),
        [] if garage.courses.is_empty() => Err(Failure::expected(
            "a class exercise in this garage",
            "none",
            "make one with --new TITLE --machine MACHINE, or in the window",
        )),
        [] => Err(Failure::expected(
            "an exercise",
            format!("no \"{}\"", wanted.unwrap_or_default().trim()),
            &format!("name one by its id or title: {}", list(&mut garage.courses.iter())),
        )),
        _ => Err(Failure::expected(
            "one exercise",
            format!("{} that it may be", list(&mut found.iter().copied())),
            "name it by its id",
        )),
    }
}

pub(super) fn write(folder: &Path, opened: &mut Opened, command: Command) -> Result<(), Failure> {
    let change = decide(&opened.garage, &opened.catalogue, command).map_err(fail)?;
    store::save(folder, &change).map_err(fail)?;
    opened.garage.evolve(&change);
    Ok(())
}

pub(super) fn open_to_write(folder: &Path) -> Result<Opened, Failure> {
    let opened = store::open(folder).map_err(fail)?;
    match &opened.lock.read_only_because {
        Some(why) => Err(Failure(why.clone())),
        None => Ok(opened),
    }
}

/// The random part of an id, so that two people do not share one.
fn random() -> String {
    format!("{:04x}", fastrand::Rng::new().u16(..))
}

/// Makes an exercise whose key is an inspection that is there.
pub(super) fn make(args: &ClassArgs, title: &str, now: DateTime<FixedOffset>) -> Result<Answer, Failure> {
    let mut opened = open_to_write(&args.folder)?;
    let bay = garage::machine(&opened.garage, args.machine.as_deref().unwrap_or_default())?;
    let inspection = garage::inspection(bay, args.inspection.as_deref())?.0.clone();
    let id = ExerciseId::of(title, &random());
    let exercise = Exercise {
        schema: SCHEMA,
        id: id.clone(),
        title: title.to_owned(),
        machine: bay.machine.id.clone(),
        kind: inspection.kind.clone(),
        date: now.date_naive(),
        minutes: args.minutes,
        task: String::new(),
    };
    let machine = bay.machine.name.clone();
    let count = inspection.findings.len();
    let key = Key::of(id.clone(), inspection);
    write(&args.folder, &mut opened, Command::PutExercise(exercise))?;
    write(&args.folder, &mut opened, Command::PutKey(key))?;
    Ok(Answer {
        text: format!(
            "Exercise {id} on {machine}, with a key of {count} findings. Set what counts in exercises/{id}/key.ron or in the window, then pack it with --key {id} --pack FILE.zip.\n"
        ),
        json: json!({ "exercise": id.0, "findings": count }),
        ..Answer::default()
    })
}

/// Whether a pack is to be one zip file; else it is a folder.
pub(super) fn is_zip(to: &Path) -> bool {
    to.extension().is_some_and(|e| e.eq_ignore_ascii_case("zip"))
}

/// Writes the students' pack.
pub(super) fn pack(args: &ClassArgs, key: &str, to: &Path) -> Result<Answer, Failure> {
    let opened = garage::read(&args.folder)?;
    let exercise = &course(&opened.garage, Some(key))?.exercise;
    let students = students_garage(&opened.garage, exercise).ok_or_else(|| {
        Failure::expected(
            "the exercise's machine in the garage",
            format!("no {}", exercise.machine),
            "take the machine back from a backup, or make a new exercise",
        )
    })?;
    if is_zip(to) {
        store::write_pack(to, &students, &args.folder).map_err(fail)?;
    } else {
        store::write_pack_folder(to, &students, &args.folder).map_err(fail)?;
    }
    Ok(Answer {
        text: format!(
            "{}: the exercise \"{}\" without its key.\n{}",
            to.display(),
            exercise.title,
            garage::own_rules(&opened.catalogue)
        ),
        json: json!({
            "exercise": exercise.id.0,
            "written": to.display().to_string(),
            "own_rules": opened.catalogue.own_words(),
        }),
        warnings: garage::warnings(&opened),
        ..Answer::default()
    })
}

/// Unpacks a students' pack into a new folder.
pub(super) fn unpack(pack: &Path, to: &Path) -> Result<Answer, Failure> {
    store::outside(to, "the unpacked exercise").and_then(|()| store::unpack(pack, to)).map_err(fail)?;
    let opened = garage::read(to)?;
    let titles: Vec<&str> = opened.garage.courses.iter().map(|c| c.exercise.title.as_str()).collect();
    Ok(Answer {
        text: format!(
            "{}: {}. Open it with stemclock {0}\n{}",
            to.display(),
            titles.join(", "),
            garage::own_rules(&opened.catalogue)
        ),
        json: json!({
            "folder": to.display().to_string(),
            "exercises": titles,
            "own_rules": opened.catalogue.own_words(),
        }),
        warnings: garage::warnings(&opened),
        ..Answer::default()
    })
}

/// Writes a student's sheet.
pub(super) fn hand_in(args: &ClassArgs, to: &Path) -> Result<Answer, Failure> {
    let opened = garage::read(&args.folder)?;
    let exercise = &course(&opened.garage, None)?.exercise;
    let bay = garage::machine(&opened.garage, &exercise.machine.0)?;
    let inspection = garage::inspection(bay, args.inspection.as_deref())?.0;
    if inspection.kind != exercise.kind {
        return Err(Failure::expected(
            &format!("an inspection of the kind {}", exercise.kind),
            &inspection.kind,
            "name the right one with --inspection",
        ));
    }
    store::may_write(to, Form::Sheet).map_err(fail)?;
    let student = args.student.as_deref().unwrap_or_default().trim().to_owned();
    if student.is_empty() {
        return Err(Failure::expected("a name", "none", "write it as in --student \"Kim\""));
    }
    let id = SheetId::of(&student, &random());
    let sheet = Sheet {
        schema: SCHEMA,
        id,
        exercise: exercise.id.clone(),
        student: student.clone(),
        machine: bay.machine.clone(),
        inspection: inspection.clone(),
    };
    store::write_sheet(to, &sheet).map_err(fail)?;
    Ok(Answer {
        text: format!("{}: the sheet of {student} for \"{}\". Send this file back.\n", to.display(), exercise.title),
        json: json!({ "written": to.display().to_string(), "exercise": exercise.id.0, "student": student }),
        warnings: garage::warnings(&opened),
        ..Answer::default()
    })
}

/// Takes sheets in; gives what was wrong with those that could not be. The rest goes on. Where names are hidden, a file
/// is told by its place in the row, for its name and what is wrong with it may name the student.
pub(super) fn take_in(args: &ClassArgs, key: &str) -> Result<Vec<String>, Failure> {
    let mut opened = open_to_write(&args.folder)?;
    let id = course(&opened.garage, Some(key))?.exercise.id.clone();
    let mut refused = Vec::new();
    for (index, path) in args.take_in.iter().enumerate() {
        let mut names = vec![path.display().to_string()];
        let taken = store::read_sheet(path).map_err(fail).and_then(|sheet| {
            names.extend([sheet.id.0.clone(), sheet.student.trim().to_owned()]);
            if sheet.exercise != id {
                return Err(Failure::expected(
                    &format!("a sheet of the exercise {id}"),
                    format!("one of {}", sheet.exercise),
                    "ask for the right file, or name the other exercise",
                ));
            }
            write(&args.folder, &mut opened, Command::TakeInSheet(Box::new(sheet)))
        });
        if let Err(failure) = taken {
            let mut words = format!("{} was not taken in: {}", path.display(), failure.0);
            if args.hide_names {
                let place = format!("sheet {} of {}", index + 1, args.take_in.len());
                for name in names.iter().filter(|name| !name.is_empty()) {
                    words = words.replace(name, &place);
                }
            }
            refused.push(words);
        }
    }
    Ok(refused)
}
