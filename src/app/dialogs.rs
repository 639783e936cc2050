//! The system's file dialogs: the only file that names rfd.
//!
//! A dialog may be missing or hang, and a missing one looks like one that was cancelled. So it runs on a thread of its
//! own, its answer comes as an action, and every place that offers one also has a field for a typed path.

use std::path::PathBuf;
use std::sync::mpsc::Sender;
use std::time::{Duration, Instant};

use super::wake::Waker;
use crate::edit::PhotoHome;
use crate::exercise::ExerciseId;
use crate::machine::MachineId;
use crate::photo::{Keep, Kind};
use crate::ui::{Action, ClassItem, PhotoSource, Where};

/// What is asked.
#[derive(Clone, Debug, PartialEq)]
pub enum Question {
    /// A folder that holds a garage.
    GarageFolder {
        /// Where to begin.
        start: Option<PathBuf>,
    },
    /// Picture files for a finding or a machine.
    Pictures {
        /// Whose folder they go into.
        machine: MachineId,
        /// What they are of.
        home: PhotoHome,
        /// What becomes of their metadata.
        keep: Keep,
    },
    /// A file for a report.
    ReportFile {
        /// Where to begin.
        start: Option<PathBuf>,
        /// The name offered.
        name: String,
    },
    /// A file for a calendar.
    CalendarFile {
        /// Where to begin.
        start: Option<PathBuf>,
    },
    /// A file of a class exercise, or the folder to put one into.
    ClassFile {
        /// Where to begin.
        start: Option<PathBuf>,
        /// The exercise.
        exercise: ExerciseId,
        /// What is written.
        what: ClassItem,
    },
    /// Students' sheets.
    Sheets(ExerciseId),
    /// An exercise that was sent.
    Exercise,
}

/// Asks the user by other means than the window's own. Tests answer at once.
pub trait Dialogs: Send {
    /// Asks; the answer is sent as an action, later or never.
    fn ask(&mut self, question: Question, answers: Sender<Action>, waker: Waker);
}

/// The system's dialogs.
#[derive(Clone, Copy, Debug, Default)]
pub struct SystemDialogs;

/// Nobody cancels a dialog this fast: there was none.
const TOO_FAST: Duration = Duration::from_millis(250);

impl Dialogs for SystemDialogs {
    fn ask(&mut self, question: Question, answers: Sender<Action>, waker: Waker) {
        let run = move || {
            let began = Instant::now();
            let answer = match question {
                Question::GarageFolder { start } => {
                    let dialog = rfd::FileDialog::new().set_title("Open a garage");
                    starting(dialog, start).pick_folder().map(Action::OpenGarage)
                }
                Question::Pictures { machine, home, keep } => {
                    let dialog = rfd::FileDialog::new().set_title("Add photos").add_filter("Pictures", Kind::ENDINGS);
                    dialog.pick_files().map(|paths| {
                        let from = paths.into_iter().map(PhotoSource::File).collect();
                        Action::AddPhotos { machine, home, from, keep }
                    })
                }
                Question::ReportFile { start, name } => {
                    let dialog = rfd::FileDialog::new()
                        .set_title("Save the report")
                        .add_filter("PDF", &["pdf"])
                        .set_file_name(name);
                    starting(dialog, start).save_file().map(Action::SaveReport)
                }
                Question::CalendarFile { start } => {
                    let dialog = rfd::FileDialog::new()
                        .set_title("Save for a calendar")
                        .add_filter("iCalendar", &["ics"])
                        .set_file_name("due.ics");
                    starting(dialog, start).save_file().map(Action::SaveCalendar)
                }
                Question::ClassFile { start, exercise, what } => {
                    let dialog = rfd::FileDialog::new().set_title(format!("Save {}", what.words()));
                    let dialog = starting(dialog, start);
                    let chosen = match what.ending() {
                        Some(ending) => {
                            dialog.add_filter(ending, &[ending]).set_file_name(what.name(&exercise)).save_file()
                        }
                        None => dialog.pick_folder(),
                    };
                    chosen.map(|path| Action::ClassFile(exercise, what, Where::Agreed(path)))
                }
                Question::Sheets(exercise) => {
                    let dialog = rfd::FileDialog::new().set_title("Take sheets in").add_filter("Sheets", &["ron"]);
                    dialog.pick_files().map(|paths| Action::TakeInSheets(exercise, paths))
                }
                Question::Exercise => {
                    let dialog = rfd::FileDialog::new().set_title("Open an exercise").add_filter("Exercise", &["zip"]);
                    dialog.pick_file().map(|pack| Action::OpenExercise { pack, to: String::new() })
                }
            };
            let answer = answer.or_else(|| {
                (began.elapsed() < TOO_FAST).then(|| {
                    Action::Tell(
                        "Expected the system's file dialog, found none on this desktop: type the path instead. \
                         For photos its field stands under \"Other ways to add photos\"."
                            .into(),
                    )
                })
            });
            if let Some(answer) = answer
                && answers.send(answer).is_ok()
            {
                waker.wake();
            }
        };
        if let Err(error) = std::thread::Builder::new().name("dialog".into()).spawn(run) {
            log::error!("the dialog thread could not be started: {error}");
        }
    }
}

fn starting(dialog: rfd::FileDialog, start: Option<PathBuf>) -> rfd::FileDialog {
    match start {
        Some(folder) => dialog.set_directory(folder),
        None => dialog,
    }
}
