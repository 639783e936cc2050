//! What a panel asks for. The app carries the actions out after drawing.

use std::path::PathBuf;

use crate::edit::Command;

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
    /// Try to write again what could not be written.
    RetrySave,
    /// Write the whole garage to another folder, because this one cannot be written.
    SaveElsewhere(PathBuf),
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
