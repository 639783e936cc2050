//! What a panel asks for. The app carries the actions out after drawing.

use std::path::PathBuf;
use std::sync::Arc;

use super::panels::meeting::Choice;
use crate::edit::{Command, PhotoHome, RecordKey};
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
