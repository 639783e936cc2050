//! The files of a class exercise: the students' pack, the sheets that come back, the scores. Must not score.

use std::path::{Path, PathBuf};

use super::dialogs::Question;
use super::paths;
use super::shell::Shell;
use crate::class::{self, Roster, Score};
use crate::edit::{Command, decide};
use crate::exercise::ExerciseId;
use crate::garage::Course;
use crate::report::block::DocumentSpec;
use crate::report::content::{Album, ClassInput, Options, Privacy, ReportCx, class_report, student_sheet};
use crate::store::Standing;
use crate::ui::{ClassItem, Place, Where};

impl Shell {
    /// Writes a file of an exercise, where the user wants it.
    pub(super) fn class_file(&mut self, exercise: ExerciseId, what: ClassItem, to: Where) {
        let name = what.name(&exercise);
        let path = match to {
            Where::Ask => {
                let start = self.folder.as_ref().and_then(|f| f.parent()).map(ToOwned::to_owned);
                let question = Question::ClassFile { start, exercise, what };
                self.dialogs.ask(question, self.answers.clone(), self.waker.clone());
                return;
            }
            Where::Typed(typed) => self.agreed(Path::new(&typed), &name, what.ending()),
            Where::Agreed(path) => Some(match what.ending() {
                Some(ending) => paths::with_ending(&path, ending),
                None => path.join(name),
            }),
        };
        let Some(path) = path else { return };
        if let ClassItem::Report { hide_names } | ClassItem::Reports { hide_names } = what {
            let is_each = matches!(what, ClassItem::Reports { .. });
            let written = self
                .class_documents(&exercise, hide_names, is_each, &path)
                .and_then(|documents| self.printer.write_documents(path, documents));
            if let Err(error) = written {
                self.trouble(format!("{} could not be written", capital(what.words())), error);
            }
            return;
        }
        match self.write_class_file(&exercise, &what, &path) {
            Ok(next) => self.tell(format!("{} is in {}", capital(what.words()), path.display()), next),
            Err(error) => {
                self.trouble(format!("{} could not be written to {}", capital(what.words()), path.display()), error);
            }
        }
    }

    /// Gives what to do next with what was written.
    fn write_class_file(&self, exercise: &ExerciseId, what: &ClassItem, path: &Path) -> Result<String, String> {
        let folder = self.folder.clone().unwrap_or_default();
        let course = self.course(exercise)?;
        match what {
            ClassItem::Pack | ClassItem::PackFolder => {
                if path.starts_with(&folder) {
                    return Err(
                        "expected a place outside the garage's folder, found one inside, where it would become \
                                part of the garage: choose another place"
                            .into(),
                    );
                }
                let students = class::pack(&self.garage, &course.exercise).ok_or_else(|| {
                    format!(
                        "expected the exercise's machine in the garage, found no {}: take it back from a backup, or \
                         make a new exercise",
                        course.exercise.machine
                    )
                })?;
                match what {
                    ClassItem::Pack => self.disk.write_pack(path, &students, &folder)?,
                    _ => self.disk.write_pack_folder(path, &students, &folder)?,
                }
                Ok("Nothing of the key is in it. Give it to the students; they open it under Class, walk round the \
                    machine and send one file back."
                    .into())
            }
            ClassItem::Table { hide_names } => {
                let (key, bay) = (course.key.as_ref(), self.garage.bay(&course.exercise.machine));
                let (Some(key), Some(bay)) = (key, bay) else {
                    return Err("expected the key and the machine of the exercise, found one of them missing: scores \
                                are made in the instructor's garage"
                        .into());
                };
                let results = class::results(course, key, &bay.machine, &self.catalogue, &self.garage.info.units)
                    .map_err(|e| format!("{e}: mend the key"))?;
                let roster = Roster::of(course, *hide_names);
                let table = class::table(key, &results.scores, &|score| roster.name(&score.sheet))?;
                self.disk.write_file(path, &table)?;
                Ok("One row a student; any spreadsheet opens it.".into())
            }
            // Pages are made on the saving thread.
            ClassItem::Report { .. } | ClassItem::Reports { .. } => Ok(String::new()),
            ClassItem::Sheet(sheet) => {
                self.disk.write_sheet(path, sheet)?;
                Ok("Send this one file to your instructor.".into())
            }
        }
    }

    /// The class report to a file, or a sheet for each student to files of a folder; laid out where they are written.
    fn class_documents(
        &self,
        exercise: &ExerciseId,
        hide_names: bool,
        is_each: bool,
        path: &Path,
    ) -> Result<Vec<(PathBuf, DocumentSpec)>, String> {
        let now = self.clock.now();
        let photos = Album::default();
        let cx = ReportCx {
            garage: &self.garage,
            catalogue: &self.catalogue,
            today: now.date_naive(),
            now,
            paper: self.state.report.paper(),
            photos: &photos,
            options: Options { privacy: Privacy { people: hide_names, ..Privacy::NONE }, ..Options::default() },
        };
        let input = ClassInput::new(&cx, self.course(exercise)?).map_err(|e| e.to_string())?;
        if !is_each {
            return Ok(vec![(path.to_owned(), class_report(&input))]);
        }
        if input.results.scores.is_empty() {
            return Err("expected sheets that are marked, found none: take the students' sheets in first".into());
        }
        let file = |score: &Score| path.join(format!("{}.pdf", input.roster.file(&score.sheet)));
        Ok(input.results.scores.iter().map(|score| (file(score), student_sheet(&input, score))).collect())
    }

    fn course(&self, exercise: &ExerciseId) -> Result<&Course, String> {
        self.garage.course(exercise).ok_or_else(|| {
            format!("expected the exercise {exercise} in this garage, found none: choose it again from the list")
        })
    }

    /// Takes sheets in. One that cannot be is named with why, and the rest goes on.
    pub(super) fn take_in_sheets(&mut self, exercise: &ExerciseId, from: &[PathBuf]) {
        let (mut taken, mut refused) = (0_usize, Vec::new());
        for path in from {
            let path = paths::meant(path);
            let name = path.file_name().unwrap_or(path.as_os_str()).to_string_lossy().into_owned();
            let sheet = self.disk.read_sheet(&path).and_then(|sheet| {
                if &sheet.exercise != exercise {
                    return Err(format!(
                        "expected a sheet of the exercise {exercise}, found one of {}: ask for the right file, or open \
                         the other exercise",
                        sheet.exercise
                    ));
                }
                let command = Command::TakeInSheet(Box::new(sheet));
                decide(&self.garage, &self.catalogue, command.clone()).map_err(|e| e.to_string())?;
                Ok(command)
            });
            match sheet {
                Ok(command) => {
                    self.edit(command);
                    taken += 1;
                }
                Err(why) => refused.push((name, why)),
            }
        }
        for (name, why) in refused {
            self.trouble(format!("{name} was not taken in"), why);
        }
        match taken {
            0 => {}
            1 => self.tell("1 sheet taken in", ""),
            n => self.tell(format!("{n} sheets taken in"), ""),
        }
    }

    /// Unpacks an exercise that was sent and opens it.
    pub(super) fn open_exercise(&mut self, pack: &Path, to: &str) {
        let pack = paths::meant(pack);
        let to = match to.trim() {
            "" => pack.with_extension(""),
            typed => paths::meant(Path::new(typed)),
        };
        // The folder form of a pack is a garage already.
        if self.disk.look(&pack) == Standing::Folder {
            self.open(pack.clone());
        } else if let Err(error) = self.disk.unpack(&pack, &to) {
            self.trouble(format!("{} could not be opened", pack.display()), error);
            return;
        } else {
            self.open(to);
        }
        // Whoever is judged by them should know at the door.
        let own = self.catalogue.own_words();
        if !own.is_empty() && !self.garage.courses.is_empty() {
            let what = if self.catalogue.is_changed() { "changed" } else { "made" };
            self.tell_of_garage(format!("This exercise brings rules that its garage {what}"), own.join("; "));
        }
        if !self.garage.courses.is_empty() {
            self.state.place = Place::Class;
        }
    }
}

/// With a capital at the beginning.
fn capital(words: &str) -> String {
    crate::ui::widgets::sentence(words)
}
