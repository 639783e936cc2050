//! Which garage is open: the one asked for, the last one, or a copy of the sample; and changing to another.

use std::path::PathBuf;
use std::time::Duration;

use super::meeting::Meetings;
use super::photos::Batch;
use super::shell::Shell;
use super::watching::Watching;
use crate::edit::History;
use crate::garage::GarageInfo;
use crate::ui::{Place, Stale};

/// How long the window waits for what is on its way to disk before another garage is opened.
const LEAVING: Duration = Duration::from_secs(2);

/// The heading of the message that another window holds the garage.
pub(super) const LOOK_ONLY: &str = "This garage is open to look at only";

impl Shell {
    /// Opens the garage of a fresh start. A folder on the command line is opened or complained of; it is never
    /// silently replaced by another.
    pub(super) fn open_first(&mut self, asked: Option<PathBuf>) {
        if let Some(folder) = asked {
            // Whole, because it is remembered and the next run may start elsewhere.
            self.open(super::paths::meant(&folder));
        } else if let Some(folder) = self.settings.folder.clone() {
            self.open(folder);
        } else {
            self.open_sample();
        }
        self.mend_selection();
        if self.folder.is_none() {
            self.state.place = Place::Garage;
        }
    }

    /// Opens the user's copy of the sample garage, made on the first run.
    pub(super) fn open_sample(&mut self) {
        let folder = self.homes.sample_garage();
        match self.disk.copy_sample(&folder) {
            Ok(()) => {
                self.open(folder.clone());
                if self.folder.as_ref() == Some(&folder) {
                    self.tell_of_garage(
                        "This is your own copy of the sample garage. Open or make another under Garage.",
                        "",
                    );
                }
            }
            Err(error) => self.trouble("The sample garage could not be copied", error),
        }
    }

    /// What keeps the garage open, if something does: what is not on disk yet would end up in another one, or nowhere.
    fn kept_open_by(&mut self) -> Option<&'static str> {
        if self.saver.waiting() > 0 || self.saver.is_copying() || self.pictures.is_keeping() {
            self.settle_within(LEAVING);
        }
        if self.saver.is_copying() {
            Some(
                "Expected the copy of the garage in its other folder, found that it is still being written: wait until \
                 it is there, then open the other garage.",
            )
        } else if self.saver.waiting() > 0 {
            Some(
                "Expected every change on disk, found some that could not be written: try again or save to another \
                 folder first, then open the other garage.",
            )
        } else if self.pictures.is_keeping() {
            Some(
                "Expected every photo in its folder, found that some are still being written: wait until they are there \
                 or stop them, then open the other garage.",
            )
        } else {
            None
        }
    }

    /// Opens a garage. What is open stays open where that fails, or where something of it is not on disk.
    pub(super) fn open(&mut self, folder: PathBuf) {
        if let Some(why) = self.kept_open_by() {
            self.trouble("The garage stays open", why);
            return;
        }
        // Another window must not hold what this one is about to open again.
        let is_same = self.folder.as_ref().is_some_and(|open| self.disk.is_same_place(open, &folder));
        if is_same {
            self.hold = None;
        }
        // Heard before it is read, so that nothing falls between the two.
        let opened = self.opened + 1;
        self.saver.begin_afresh();
        let watching = Watching::start(self.disk.clone(), folder.clone(), opened, self.saver.ear());
        match self.disk.open(&folder) {
            Ok(found) => {
                self.notes.retain(|n| !n.is_of_garage);
                self.watching = Some(watching);
                self.opened = opened;
                self.meetings = Meetings::default();
                self.garage = found.garage;
                self.catalogue = found.catalogue;
                self.unreadable = found.unreadable;
                let kept = found.set_aside.iter().map(|copy| {
                    format!("{copy}: a copy that was kept when the record was saved; compare the two, then remove it")
                });
                self.unreadable.extend(kept);
                self.read_only = found.read_only;
                self.hold = Some(found.hold);
                self.history = History::default();
                self.batch = Batch::default();
                self.revision += 1;
                self.stale = Stale::Everything;
                self.folder = Some(folder.clone());
                self.set_shelf(found.is_light, folder.clone());
                let place = self.state.place;
                self.state = crate::ui::UiState { place, ..Default::default() };
                self.mend_selection();
                self.tell_of_troubles();
                self.take_up_walks();
                self.mend_selection();
                if self.settings.folder.as_ref() != Some(&folder) {
                    self.settings.folder = Some(folder);
                    self.remember();
                }
            }
            Err(error) => {
                if is_same {
                    // It is no longer held for writing; what is changed from here on waits in the window.
                    self.read_only = Some(error.clone());
                }
                self.trouble(format!("The garage {} could not be opened", folder.display()), error);
            }
        }
    }

    fn tell_of_troubles(&mut self) {
        self.tell_of_unreadable();
        if let Some(why) = self.read_only.clone() {
            self.trouble_of_garage(LOOK_ONLY, why);
        }
    }

    /// Says how many files could not be read.
    pub(super) fn tell_of_unreadable(&mut self) {
        match self.unreadable.len() {
            0 => {}
            1 => self.trouble_of_garage("One file needs you; the rest is open", self.unreadable[0].clone()),
            n => self.trouble_of_garage(
                format!("{n} files need you; the rest is open"),
                "They are left as they are and listed under Garage, each with its line and the way out.",
            ),
        }
    }

    /// Makes an empty garage and opens it.
    pub(super) fn create(&mut self, folder: PathBuf) {
        let name = folder.file_name().map_or_else(|| "Garage".to_owned(), |n| n.to_string_lossy().into_owned());
        let info = GarageInfo { name, units: self.garage.info.units.clone(), ..GarageInfo::default() };
        match self.disk.create(&folder, &info) {
            Ok(()) => self.open(folder),
            Err(error) => self.trouble(format!("A garage could not be made in {}", folder.display()), error),
        }
    }

    /// Writes everything into another folder, which becomes the open one when that is done.
    pub(super) fn save_elsewhere(&mut self, folder: PathBuf) {
        if self.folder.as_ref().is_some_and(|open| self.disk.is_same_place(open, &folder)) {
            self.trouble(
                "That is the same folder",
                "Expected another folder than the one that cannot be written: type one on another disk, for example.",
            );
        } else if self.pictures.is_keeping() {
            self.trouble(
                "The garage cannot be written elsewhere yet",
                "Expected every photo in its folder, found that some are still being written: wait until they are there \
                 or stop them, then save it there.",
            );
        } else if self.saver.is_copying() {
            self.trouble(
                "The garage is being written elsewhere already",
                "Expected one copy at a time, found one that is still being written: wait until it is there.",
            );
        } else if !self.bring_all() {
            // What is wrong has been said.
        } else if let Err(error) = self.saver.write_all(self.folder.clone(), folder, &self.garage) {
            self.trouble("The garage could not be written elsewhere", error);
        }
    }

    /// The whole garage has been written into another folder: what waited for the old one is there now.
    pub(super) fn moved_to(&mut self, folder: PathBuf, left: &[String]) {
        let waited = self.saver.forget_copied();
        // What was changed while the copy was being written goes after it.
        self.saver.retry(&folder);
        let news = self.saver.settle(&folder, Duration::from_secs(10));
        self.hear(news);
        if self.saver.waiting() == 0 {
            self.open(folder.clone());
        }
        if self.folder.as_ref() == Some(&folder) {
            let is_there = "Every record, every photo and whatever else stood in the old folder is there, but for names \
                            that begin with a point; the old folder is left as it was.";
            let summary = format!("The garage is now in {}", folder.display());
            if left.is_empty() {
                self.tell(summary, is_there);
            } else {
                let more = left.len().saturating_sub(4);
                let more = if more > 0 { format!("; and {more} more") } else { String::new() };
                let first = left.iter().take(4).cloned().collect::<Vec<_>>().join("; ");
                self.trouble(summary, format!("Left behind in the old folder: {first}{more}. {is_there}"));
            }
        } else {
            // The old folder is still the one in hand, and these are not in it.
            self.saver.wait_again(waited);
            self.trouble(
                format!("The garage is not whole in {}", folder.display()),
                "Expected the last changes in the copy too, found that they could not be written there: they wait in \
                 this window. Try again, or save it to another folder.",
            );
        }
    }
}
