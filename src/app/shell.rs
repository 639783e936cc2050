//! What is open in the window, and how it is started. What is done with it stands in the other files of this room.
//!
//! Knows no native window, so that a test drives the very same thing.

use std::any::Any;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::mpsc::{Receiver, Sender, channel};

use chrono::NaiveDate;

use super::clock::Clock;
use super::dialogs::Dialogs;
use super::disk::Disk;
use super::photos::Batch;
use super::pictures::{Came, Pictures};
use super::printing::Printer;
use super::saving::Saver;
use super::selection::Stamp;
use super::settings::{Homes, Settings};
use super::wake::Waker;
use crate::catalogue::Catalogue;
use crate::edit::History;
use crate::garage::Garage;
use crate::ui::{Action, Derived, Ids, Note, Stale, UiState};

/// What the window is started with; a test puts its own things in.
pub struct Start {
    /// Where settings and the copy of the sample garage are kept.
    pub homes: Homes,
    /// The garage asked for; else the last one, else the sample.
    pub folder: Option<PathBuf>,
    /// The disk.
    pub disk: Arc<dyn Disk>,
    /// The clock.
    pub clock: Box<dyn Clock>,
    /// Makes new ids.
    pub ids: Ids,
    /// The system's dialogs.
    pub dialogs: Box<dyn Dialogs>,
}

/// What is open, and how it is drawn and changed.
pub struct Shell {
    pub(super) garage: Garage,
    pub(super) catalogue: Catalogue,
    /// None while no garage could be opened.
    pub(super) folder: Option<PathBuf>,
    pub(super) unreadable: Vec<String>,
    pub(super) read_only: Option<String>,
    /// Keeps other windows from writing to the folder.
    pub(super) hold: Option<Box<dyn Any + Send>>,
    pub(super) state: UiState,
    pub(super) history: History,
    pub(super) saver: Saver,
    pub(super) printer: Printer,
    pub(super) pictures: Pictures,
    /// What came of pictures and could not be taken yet.
    pub(super) came: Vec<(PathBuf, Came)>,
    /// The pictures that are being added.
    pub(super) batch: Batch,
    pub(super) notes: Vec<Note>,
    pub(super) settings: Settings,
    pub(super) homes: Homes,
    pub(super) disk: Arc<dyn Disk>,
    pub(super) dialogs: Box<dyn Dialogs>,
    pub(super) answers: Sender<Action>,
    pub(super) waker: Waker,
    /// Goes up with every change of the garage.
    pub(super) revision: u64,
    /// What dialogs have answered.
    pub(super) inbox: Receiver<Action>,
    pub(super) clock: Box<dyn Clock>,
    pub(super) ids: Ids,
    pub(super) derived: Derived,
    pub(super) derived_for: Option<Stamp>,
    /// What has to be worked out again.
    pub(super) stale: Stale,
    /// Which machines of a large garage are in memory.
    pub(super) shelf: super::shelf::Shelf,
    pub(super) saved: Result<(), String>,
    pub(super) is_dressed: bool,
    /// A place to open in the next frame, after the field in hand has been read.
    pub(super) going: Option<crate::ui::Place>,
    /// The file that the user was asked about: the same path again means to write over it.
    pub(super) to_replace: Option<PathBuf>,
    /// Where the report goes whose pages are still being made.
    pub(super) report_to: Option<super::reports::ReportTo>,
    pub(super) is_closing: bool,
    /// Whether the user has read what closing would give up.
    pub(super) was_warned_of_closing: bool,
    /// What was changed in this window, for when others change it too.
    pub(super) meetings: super::meeting::Meetings,
    /// Listens for what others change on disk.
    pub(super) watching: Option<super::watching::Watching>,
    /// Goes up with every garage that is opened, so that what comes late is not taken for this one's.
    pub(super) opened: u64,
    /// The walks as they were kept last.
    pub(super) kept: super::keeping::Keeping,
}

impl Shell {
    /// Opens the garage asked for. Whatever goes wrong becomes a note in a window that still opens.
    pub fn start(start: Start) -> Self {
        let Start { homes, folder, disk, clock, ids, dialogs } = start;
        let waker = Waker::default();
        let (answers, inbox) = channel();
        let (settings, complaint) = Settings::read(disk.as_ref(), &homes);
        let mut shell = Self {
            garage: Garage::default(),
            catalogue: Catalogue::builtin().clone(),
            folder: None,
            unreadable: Vec::new(),
            read_only: None,
            hold: None,
            state: UiState::default(),
            history: History::default(),
            saver: Saver::start(disk.clone(), waker.clone()),
            printer: Printer::new(disk.clone(), waker.clone()),
            pictures: Pictures::start(disk.clone(), waker.clone()),
            came: Vec::new(),
            batch: Batch::default(),
            notes: Vec::new(),
            settings,
            homes,
            disk,
            dialogs,
            answers,
            waker,
            revision: 0,
            inbox,
            clock,
            ids,
            derived: Derived::default(),
            derived_for: None,
            stale: Stale::Everything,
            shelf: super::shelf::Shelf::default(),
            saved: Ok(()),
            is_dressed: false,
            going: None,
            to_replace: None,
            report_to: None,
            is_closing: false,
            was_warned_of_closing: false,
            meetings: super::meeting::Meetings::default(),
            watching: None,
            opened: 0,
            kept: super::keeping::Keeping::default(),
        };
        if let Some(complaint) = complaint {
            shell.trouble("The settings could not be read", complaint);
        }
        shell.open_first(folder);
        shell.refresh();
        shell
    }

    /// Writes the settings, and says so when that fails.
    pub(super) fn remember(&mut self) {
        if let Err(error) = self.settings.write(self.disk.as_ref(), &self.homes) {
            self.trouble("The settings could not be saved", error);
        }
    }

    /// The folder that is open, or an empty path.
    pub(super) fn folder_or_none(&self) -> PathBuf {
        self.folder.clone().unwrap_or_default()
    }
    /// The day, by the clock of this window.
    pub(super) fn today(&self) -> NaiveDate {
        self.clock.now().date_naive()
    }
    /// The garage as it is in the window.
    pub fn garage(&self) -> &Garage {
        &self.garage
    }
    /// What is open and selected.
    pub fn state(&self) -> &UiState {
        &self.state
    }
    /// What is open and selected, to be set by a test.
    pub fn state_mut(&mut self) -> &mut UiState {
        &mut self.state
    }
    /// The messages that are shown.
    pub fn notes(&self) -> &[Note] {
        &self.notes
    }
    /// The folder that is open.
    pub fn folder(&self) -> Option<&Path> {
        self.folder.as_deref()
    }
    /// Whether everything is on disk, or why not.
    pub fn saved(&self) -> &Result<(), String> {
        &self.saved
    }
}
