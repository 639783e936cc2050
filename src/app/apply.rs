//! Carries actions out. The only way from a panel to the garage: decided, applied, noted for undo, queued for disk.

use std::path::Path;

use super::dialogs::Question;
use super::opening::LOOK_ONLY;
use super::paths;
use super::reports::ReportTo;
use super::shell::Shell;
use crate::edit::{Change, Command, Record, RecordKey, decide, timed};
use crate::ui::{Action, Place, Stale};

/// The heading of the message that it still does when a change is to be saved.
const NOT_FROM_HERE: &str = "This garage cannot be written from this window yet";

impl Shell {
    /// Carries out one action after the other.
    pub(super) fn apply_all(&mut self, actions: Vec<Action>) {
        for action in actions {
            self.apply(action);
        }
        self.mend_selection();
    }

    /// Carries out one action.
    pub fn apply(&mut self, action: Action) {
        match action {
            Action::Edit(command) => {
                self.edit(command);
            }
            Action::Undo => {
                if let Some(change) = self.history.undo() {
                    self.follow(&change);
                    self.make(change);
                }
            }
            Action::Redo => {
                if let Some(change) = self.history.redo() {
                    self.follow(&change);
                    self.make(change);
                }
            }
            Action::ChooseGarage => {
                let start = self.folder.as_ref().and_then(|f| f.parent()).map(ToOwned::to_owned);
                self.dialogs.ask(Question::GarageFolder { start }, self.answers.clone(), self.waker.clone());
            }
            Action::OpenGarage(folder) => self.open(paths::meant(&folder)),
            Action::OpenSample => self.open_sample(),
            Action::CreateGarage(folder) => self.create(paths::meant(&folder)),
            Action::ChooseReportFile => {
                let start = self.folder.clone();
                let name = self.state.report.file_name();
                self.dialogs.ask(Question::ReportFile { start, name }, self.answers.clone(), self.waker.clone());
            }
            Action::SaveReport(path) => self.send_report(ReportTo::File(paths::with_pdf_ending(&path))),
            Action::SaveReportAt(typed) => self.save_report_at(Path::new(&typed)),
            Action::ChooseCalendarFile => {
                let start = self.folder.clone();
                self.dialogs.ask(Question::CalendarFile { start }, self.answers.clone(), self.waker.clone());
            }
            Action::SaveCalendar(path) => self.save_calendar(&paths::with_ending(&path, "ics")),
            Action::SaveCalendarAt(typed) => self.save_calendar_at(Path::new(&typed)),
            Action::ChoosePhotos(machine, home, keep) => {
                let question = Question::Pictures { machine, home, keep };
                self.dialogs.ask(question, self.answers.clone(), self.waker.clone());
            }
            Action::AddPhotos { machine, home, from, keep } => self.add_photos(machine, home, from, keep),
            Action::StopPhotos => self.pictures.stop(),
            Action::SavePhotoCopy { machine, photo, path } => self.save_photo_copy(machine, photo, &path),
            Action::SavePicturesAt(typed) => {
                self.send_report(ReportTo::Pictures(paths::meant(Path::new(&typed))));
            }
            Action::ClassFile(exercise, what, to) => self.class_file(exercise, what, to),
            Action::ChooseSheets(exercise) => {
                self.dialogs.ask(Question::Sheets(exercise), self.answers.clone(), self.waker.clone());
            }
            Action::TakeInSheets(exercise, paths) => self.take_in_sheets(&exercise, &paths),
            Action::ChooseExercise => {
                self.dialogs.ask(Question::Exercise, self.answers.clone(), self.waker.clone());
            }
            Action::OpenExercise { pack, to } => self.open_exercise(&pack, &to),
            Action::RetrySave => self.retry(),
            Action::SaveElsewhere(folder) => self.save_elsewhere(paths::meant(&folder)),
            Action::Settle(key, choice) => self.choose(key, choice),
            Action::Tell(words) => self.tell(words, ""),
            Action::Dismiss(index) => {
                if index < self.notes.len() {
                    self.notes.remove(index);
                }
            }
            Action::Go(place) => self.state.place = place,
            // These need the window and are seen to where it is at hand.
            Action::UseTheme(_) | Action::Close => {}
        }
    }

    /// Decides a command and does it. Gives whether it was done.
    pub(super) fn edit(&mut self, command: Command) -> bool {
        if self.folder.is_none() {
            self.trouble(
                "No garage is open",
                "Expected an open garage, found none: open a folder, or make a new garage.",
            );
            return false;
        }
        if command.machine().cloned().is_some_and(|id| !self.bring(&id)) {
            return false;
        }
        let inspector = inspector_of(&command);
        let added = added(&command);
        match decide(&self.garage, &self.catalogue, command) {
            Err(rejected) => {
                self.trouble("That was not done", rejected.to_string());
                false
            }
            // A field that was typed over with the same words is no change to undo.
            Ok(change) if Record::are_same(change.before.as_ref(), change.after.as_ref()) => true,
            Ok(change) => {
                let change = timed(&self.garage, change, self.clock.now().time());
                self.make(change.clone());
                self.history.push(change);
                if let Some(inspector) = inspector.filter(|i| !i.trim().is_empty() && *i != self.settings.inspector) {
                    self.settings.inspector = inspector;
                    self.remember();
                }
                if let Some((machine, inspection)) = added {
                    if inspection.is_none() {
                        self.state.place = Place::Machine;
                        self.state.is_arriving = true;
                    }
                    self.state.machine = Some(machine);
                    self.state.inspection = inspection;
                }
                true
            }
        }
    }

    /// Applies a change, and notes what has to be worked out again.
    pub(super) fn evolved(&mut self, change: &Change) {
        self.garage.evolve(change);
        match &change.key {
            RecordKey::Machine(id) | RecordKey::Inspection(id, _) | RecordKey::Event(id, _) => self.stale.add(id),
            // The units and the kinds count for every machine.
            RecordKey::Garage | RecordKey::Own(_) => self.stale = Stale::Everything,
            RecordKey::Exercise(_) | RecordKey::Key(_) | RecordKey::Sheet(..) => {}
        }
    }

    /// Applies a change and sends it to disk.
    fn make(&mut self, change: Change) {
        self.evolved(&change);
        self.shelf.changed_by(&change.key);
        self.meetings.changed_here(&change.key);
        if matches!(change.key, RecordKey::Own(_)) {
            // `decide` has made sure that the catalogue takes them.
            self.catalogue = self.catalogue.with_own(self.garage.own.iter()).0;
        }
        self.revision += 1;
        match (&self.read_only, &self.folder) {
            (None, Some(folder)) => self.saver.push(change, &folder.clone()),
            _ => self.saver.hold(change),
        }
    }

    /// Goes to where a change that is taken back or made again can be seen.
    fn follow(&mut self, change: &Change) {
        match &change.key {
            RecordKey::Own(_) => self.state.place = Place::Garage,
            RecordKey::Exercise(_) | RecordKey::Key(_) | RecordKey::Sheet(..) => self.state.place = Place::Class,
            RecordKey::Garage => {}
            RecordKey::Machine(machine) | RecordKey::Event(machine, _) => {
                if self.state.machine.as_ref() != Some(machine) {
                    self.state.machine = Some(machine.clone());
                    self.state.inspection = None;
                }
            }
            RecordKey::Inspection(machine, inspection) => {
                self.state.machine = Some(machine.clone());
                self.state.inspection = Some(inspection.clone());
            }
        }
    }

    fn retry(&mut self) {
        match (&self.read_only, &self.folder) {
            (None, Some(folder)) => self.saver.retry(&folder.clone()),
            (Some(_), Some(folder)) if self.saver.waiting() == 0 => self.open(folder.clone()),
            (Some(_), Some(folder)) => self.take_hold(&folder.clone()),
            (_, None) => {}
        }
    }

    /// Holds the garage for writing, once the window that held it is closed; then what waits here is written. What was
    /// written meanwhile is compared with each change, as at every save, and never written over.
    fn take_hold(&mut self, folder: &Path) {
        match self.disk.open(folder) {
            Ok(found) if found.read_only.is_none() => {
                (self.hold, self.read_only) = (Some(found.hold), None);
                self.notes.retain(|n| n.summary != LOOK_ONLY && n.summary != NOT_FROM_HERE);
                self.saver.retry(folder);
            }
            Ok(found) => {
                let why = found.read_only.unwrap_or_default();
                self.tell(
                    NOT_FROM_HERE,
                    format!("{why} What you changed stays here: try again then, or save a copy to another folder."),
                );
            }
            Err(error) => self.trouble(NOT_FROM_HERE, error),
        }
    }

    /// Saves the report where the user typed. Nothing that is there is written over before the user has seen its name.
    fn save_report_at(&mut self, typed: &Path) {
        let name = self.state.report.file_name();
        if let Some(path) = self.agreed(typed, &name, Some("pdf")) {
            self.send_report(ReportTo::File(path));
        }
    }
}

/// The person named in a command, to be offered next time.
fn inspector_of(command: &Command) -> Option<String> {
    match command {
        Command::StartInspection(_, inspection) => Some(inspection.inspector.clone()),
        Command::SetConditions { inspector, .. } => Some(inspector.clone()),
        _ => None,
    }
}

/// What a command adds, to be opened at once.
fn added(command: &Command) -> Option<(crate::machine::MachineId, Option<crate::inspection::InspectionId>)> {
    match command {
        Command::AddMachine(machine) => Some((machine.id.clone(), None)),
        Command::StartInspection(machine, inspection) => Some((machine.clone(), Some(inspection.id.clone()))),
        _ => None,
    }
}
