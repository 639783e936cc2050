//! What a panel asks for. The app carries the actions out after drawing.

use std::path::PathBuf;
use std::sync::Arc;

use super::panels::meeting::Choice;
use crate::edit::{Command, PhotoHome, RecordKey};
use crate::exercise::{ExerciseId, Sheet};
use crate::machine::MachineId;
use crate::photo::{Keep, PhotoRef};

/// A wish of the user, from any panel.
#[derive(Clone, Debug, PartialEq)]
#[allow(clippy::large_enum_variant, reason = "a handful are made a frame, and none is kept")]
pub enum Action {
    /// Change the garage by the one write path.
    Edit(Command),
    /// Take the last change back.
    Undo,
    /// Do it again.
    Redo,
    /// Ask for a folder with the system's dialog and open it.
    ChooseGarage,
    /// Open the garage in this folder.
    OpenGarage(PathBuf),
    /// Make a new, empty garage in this folder and open it.
    CreateGarage(PathBuf),
    /// Write the report that is shown to this file, which the user has agreed to write over if it is there.
    SaveReport(PathBuf),
    /// Write the report that is shown to this path, as it was typed. A file that is there is written over only when
    /// the same path is asked for again.
    SaveReportAt(String),
    /// Write the report that is shown as one picture a page into this folder, as it was typed.
    SavePicturesAt(String),
    /// Open the user's own copy of the sample garage; it is made where there is none yet.
    OpenSample,
    /// Ask for a file name with the system's dialog and write the report that is shown.
    ChooseReportFile,
    /// Ask for a file name with the system's dialog and write what falls due as a calendar file.
    ChooseCalendarFile,
    /// Write what falls due to this file, which the user has agreed to write over if it is there.
    SaveCalendar(PathBuf),
    /// Write what falls due to this path, as it was typed; over a file only when the same path is asked for again.
    SaveCalendarAt(String),
    /// Ask for pictures with the system's dialog and add them to a finding or a machine.
    ChoosePhotos(MachineId, PhotoHome, Keep),
    /// Add pictures to a finding or a machine.
    AddPhotos {
        /// Whose folder they go into.
        machine: MachineId,
        /// What they are of.
        home: PhotoHome,
        /// Where they come from.
        from: Vec<PhotoSource>,
        /// What becomes of their metadata.
        keep: Keep,
    },
    /// Leave the pictures that are still to be added or made ready.
    StopPhotos,
    /// Write a copy of a photo with its marks burnt in, to be handed on. A file that is there is written over only when
    /// the same path is asked for again.
    SavePhotoCopy {
        /// Whose it is.
        machine: MachineId,
        /// The photo with its marks.
        photo: PhotoRef,
        /// The path as it was typed.
        path: String,
    },
    /// Write a file of a class exercise.
    ClassFile(ExerciseId, ClassItem, Where),
    /// Ask for students' sheets with the system's dialog and take them in.
    ChooseSheets(ExerciseId),
    /// Take students' sheets in, each from its file.
    TakeInSheets(ExerciseId, Vec<PathBuf>),
    /// Ask for an exercise that was sent, with the system's dialog, unpack it and open it.
    ChooseExercise,
    /// Unpack an exercise that was sent and open it; into a folder beside it where none is typed.
    OpenExercise {
        /// The zip file.
        pack: PathBuf,
        /// The new folder as it was typed.
        to: String,
    },
    /// Try to write again what could not be written.
    RetrySave,
    /// Write the whole garage to another folder, because this one cannot be written.
    SaveElsewhere(PathBuf),
    /// Choose between the two versions of a record that was changed in this window and on disk.
    Settle(RecordKey, Choice),
    /// Show this message to the user.
    Tell(String),
    /// Take a message away, by its place in the list.
    Dismiss(usize),
    /// Use light or dark from now on.
    UseTheme(egui::Theme),
    /// Close the window, once everything is on disk.
    Close,
    /// Open a place of the window, once what is being typed has been read.
    Go(super::Place),
}

/// A file of a class exercise.
#[derive(Clone, Debug, PartialEq)]
pub enum ClassItem {
    /// What the students get, as one zip file.
    Pack,
    /// The same as a folder.
    PackFolder,
    /// The scores for a spreadsheet.
    Table {
        /// Whether the students are numbered instead of named.
        hide_names: bool,
    },
    /// The report of the class as a PDF.
    Report {
        /// Whether the students are numbered instead of named.
        hide_names: bool,
    },
    /// A sheet for each student as a PDF, in a folder.
    Reports {
        /// Whether the students are numbered instead of named.
        hide_names: bool,
    },
    /// What a student hands in.
    Sheet(Box<Sheet>),
}

impl ClassItem {
    /// The ending of its name; none for a folder.
    pub fn ending(&self) -> Option<&'static str> {
        match self {
            Self::Pack => Some("zip"),
            Self::Table { .. } => Some("csv"),
            Self::Report { .. } => Some("pdf"),
            Self::Sheet(_) => Some("ron"),
            Self::PackFolder | Self::Reports { .. } => None,
        }
    }
    /// The name offered.
    pub fn name(&self, exercise: &ExerciseId) -> String {
        match self {
            Self::Pack => format!("{exercise}.zip"),
            Self::PackFolder => exercise.0.clone(),
            Self::Table { .. } => format!("{exercise}-scores.csv"),
            Self::Report { .. } => format!("{exercise}-class.pdf"),
            Self::Reports { .. } => format!("{exercise}-students"),
            Self::Sheet(sheet) => format!("{}.ron", sheet.id),
        }
    }
    /// What it is, in words.
    pub fn words(&self) -> &'static str {
        match self {
            Self::Pack | Self::PackFolder => "the exercise for the students",
            Self::Table { .. } => "the scores",
            Self::Report { .. } => "the class report",
            Self::Reports { .. } => "the students' sheets",
            Self::Sheet(_) => "the sheet",
        }
    }
}

/// Where a file goes.
#[derive(Clone, Debug, PartialEq)]
pub enum Where {
    /// Ask with the system's dialog.
    Ask,
    /// To this path as it was typed; over a file only when the same path is asked for again.
    Typed(String),
    /// To this path, which the user has agreed to write over if it is there.
    Agreed(PathBuf),
}

/// Where a picture comes from.
#[derive(Clone, Debug, PartialEq)]
pub enum PhotoSource {
    /// A file.
    File(PathBuf),
    /// The clipboard.
    Pixels(Arc<egui::ColorImage>),
}

impl PhotoSource {
    /// What it is called in a message.
    pub fn name(&self) -> String {
        match self {
            Self::File(path) => path.file_name().unwrap_or(path.as_os_str()).to_string_lossy().into_owned(),
            Self::Pixels(_) => "the pasted picture".into(),
        }
    }
}
