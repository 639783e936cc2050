//! What is open in the window, and one frame of it: take in what threads have done, draw, apply what was asked.
//!
//! Knows no native window, so that a test drives the very same thing.

use std::any::Any;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::mpsc::{Receiver, Sender, channel};
use std::time::Duration;

use chrono::NaiveDate;

use super::clock::Clock;
use super::dialogs::Dialogs;
use super::disk::Disk;
use super::photos::Batch;
use super::pictures::{Came, Pictures};
use super::saving::{Saver, Written};
use super::settings::{Homes, Look, Settings};
use super::wake::Waker;
use crate::catalogue::Catalogue;
use crate::edit::History;
use crate::garage::Garage;
use crate::inspection::InspectionId;
use crate::machine::MachineId;
use crate::ui::theme::Tokens;
use crate::ui::{Action, Derived, Ids, Note, Stale, UiState, ViewCtx, chrome};

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
    inbox: Receiver<Action>,
    pub(super) clock: Box<dyn Clock>,
    pub(super) ids: Ids,
    pub(super) derived: Derived,
    derived_for: Option<Stamp>,
    /// What has to be worked out again.
    pub(super) stale: Stale,
    /// Which machines of a large garage are in memory.
    pub(super) shelf: super::shelf::Shelf,
    saved: Result<(), String>,
    is_dressed: bool,
    /// A place to open in the next frame, after the field in hand has been read.
    pub(super) going: Option<crate::ui::Place>,
    /// The file that the user was asked about: the same path again means to write over it.
    pub(super) to_replace: Option<PathBuf>,
    /// Where the report goes whose pages are still being made.
    pub(super) report_to: Option<super::reports::ReportTo>,
    is_closing: bool,
    was_warned_of_closing: bool,
    /// What was changed in this window, for when others change it too.
    pub(super) meetings: super::meeting::Meetings,
    /// Listens for what others change on disk.
    pub(super) watching: Option<super::watching::Watching>,
    /// Goes up with every garage that is opened, so that what comes late is not taken for this one's.
    pub(super) opened: u64,
    /// The walks as they were kept last.
    pub(super) kept: super::keeping::Keeping,
}

/// What the derived view was worked out for.
#[derive(Clone, Debug, PartialEq)]
struct Stamp {
    revision: u64,
    machine: Option<MachineId>,
    inspection: Option<InspectionId>,
    today: NaiveDate,
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

    /// Gives a window its fonts and colours. The first frame is then laid out with them.
    pub fn dress(&mut self, ctx: &egui::Context) {
        if !self.is_dressed {
            self.waker.attach(ctx);
            crate::ui::theme::install(ctx);
            self.put_look_on(ctx);
            self.is_dressed = true;
        }
    }

    /// Before drawing: takes in what threads have done, and sees to the closing of the window.
    pub fn logic(&mut self, ctx: &egui::Context) {
        self.dress(ctx);
        let news = self.saver.poll(&self.folder_or_none());
        self.hear(news);
        if self.saver.waiting() == 0 && self.was_warned_of_closing {
            self.was_warned_of_closing = false;
            self.notes.retain(|n| n.summary != NOT_SAVED);
        }
        let answers: Vec<Action> = self.inbox.try_iter().collect();
        self.apply_all(answers);
        self.hear_pictures(Some(ctx));
        self.hear_shelf();
        self.refresh();
        self.bring_photos();
        if ctx.input(|i| i.viewport().close_requested()) {
            self.see_to_closing(ctx);
        }
    }

    /// Draws one frame and applies what was asked in it.
    pub fn ui(&mut self, ui: &mut egui::Ui) {
        let going = self.going.take();
        let mut actions = Vec::new();
        let tokens = Tokens::of(ui.ctx().theme());
        let now = self.clock.now().naive_local();
        let folder = self.folder_or_none();
        let is_open = self.folder.is_some();
        self.state.report.tell_now(self.clock.now());
        self.write_report_if_made();
        // The state is taken out while panels draw, so that they may change it while they look at the rest.
        let mut state = std::mem::take(&mut self.state);
        {
            let cx = view(self, &folder, &tokens, now);
            let bar = chrome::Bar { waiting: self.saver.waiting(), is_open, reading: self.derived.far() };
            chrome::top(&cx, &bar, &mut state, &mut actions, ui);
            chrome::notices(&cx, &self.notes, &mut state, &mut actions, ui);
            if is_open {
                chrome::class(&cx, &mut state, &mut actions, ui);
                chrome::verdict(&cx, &mut state, &mut actions, ui);
                chrome::machines(&cx, &mut state, &mut actions, ui);
            }
        }
        self.state = state;
        let drawn_for = self.derived_for.clone();
        // A machine chosen at the left is brought and assessed before the middle is drawn.
        self.mend_selection();
        self.refresh();
        let mut state = std::mem::take(&mut self.state);
        {
            let cx = view(self, &folder, &tokens, now);
            if !is_open {
                state.place = crate::ui::Place::Garage;
            }
            chrome::middle(&cx, &mut state, &mut actions, ui);
            if is_open {
                chrome::arrivals(&cx, &state, &mut actions, ui);
            }
        }
        self.state = state;
        chrome::shortcuts(ui, &mut actions);
        let is_eventful = !actions.is_empty();
        for action in actions {
            match action {
                Action::Go(place) => self.go(place, ui.ctx()),
                Action::Close => ui.ctx().send_viewport_cmd(egui::ViewportCommand::Close),
                Action::UseTheme(theme) => {
                    self.settings.look = if theme == egui::Theme::Dark { Look::Dark } else { Look::Light };
                    self.put_look_on(ui.ctx());
                    self.remember();
                }
                other => self.apply(other),
            }
        }
        // The field that was left in the last frame has been read in this one.
        if let Some(place) = going {
            self.state.place = place;
        }
        self.mend_selection();
        self.refresh();
        self.bring_photos();
        self.keep_walks();
        if is_eventful || going.is_some() || drawn_for != self.derived_for {
            ui.ctx().request_repaint();
        }
    }

    /// Opens a place; while a field is being typed in, the field is left and read first.
    fn go(&mut self, place: crate::ui::Place, ctx: &egui::Context) {
        self.state.is_listing = false;
        self.state.is_arriving = true;
        match ctx.memory(|m| m.focused()) {
            Some(id) if ctx.text_edit_focused() => {
                ctx.memory_mut(|m| m.surrender_focus(id));
                self.going = Some(place);
            }
            _ => self.state.place = place,
        }
    }

    fn put_look_on(&self, ctx: &egui::Context) {
        ctx.set_theme(match self.settings.look {
            Look::System => egui::ThemePreference::System,
            Look::Light => egui::ThemePreference::Light,
            Look::Dark => egui::ThemePreference::Dark,
        });
    }

    /// Works out again what follows from the garage, where something has changed.
    pub(super) fn refresh(&mut self) {
        self.show_meetings();
        let today = self.today();
        let stamp = Stamp {
            revision: self.revision,
            machine: self.state.machine.clone(),
            inspection: self.state.inspection.clone(),
            today,
        };
        if self.derived_for.as_ref() != Some(&stamp) {
            if self.derived_for.as_ref().is_none_or(|old| old.today != today) {
                self.stale = Stale::Everything;
            }
            let stale = std::mem::take(&mut self.stale);
            self.derived.update(&self.garage, &self.catalogue, &self.state, today, &stale);
            self.derived.revision = self.revision;
            self.derived_for = Some(stamp);
            if stale == Stale::Everything {
                self.read_the_shelf();
            }
        }
        self.saved = match (self.saver.trouble(), self.saver.waiting(), &self.read_only) {
            (Some(trouble), _, _) => Err(trouble.to_owned()),
            (None, 1.., Some(why)) => Err(why.clone()),
            _ => Ok(()),
        };
    }

    /// Chooses what is there where what was chosen is gone, or nothing was chosen yet.
    pub(super) fn mend_selection(&mut self) {
        let state = &mut self.state;
        let is_there = state.machine.as_ref().is_some_and(|id| self.garage.bay(id).is_some());
        if !is_there {
            let bays = &self.garage.bays;
            let last = bays.iter().find(|b| self.settings.machine.as_ref() == Some(&b.machine.id.0));
            let listed = last.or(bays.iter().find(|b| !b.machine.archived)).or(bays.first());
            state.machine = listed.map(|b| b.machine.id.clone());
            state.inspection = None;
        }
        self.bring_in_hand();
        let state = &mut self.state;
        let bay = state.machine.as_ref().and_then(|id| self.garage.bay(id));
        let inspection = state.inspection.as_ref().and_then(|id| bay?.inspection(id));
        match inspection {
            None => {
                state.inspection = bay.and_then(|b| b.latest()).map(|i| i.id.clone());
                state.finding = None;
                state.check = None;
            }
            Some(inspection) => {
                // One of an earlier day may be in hand too, to say whether it is still there.
                let of_this = |id| inspection.findings.iter().any(|f| &f.id == id);
                let is_known = |id| of_this(id) || inspection.carried.contains_key(id);
                if state.finding.as_ref().is_some_and(|id| !is_known(id)) {
                    state.finding = None;
                }
            }
        }
        if state.wheel.is_some_and(|w| bay.is_none_or(|b| b.machine.wheel(w).is_none())) {
            state.wheel = None;
        }
    }

    /// The window was asked to close: everything typed is read and written first; what cannot be written is said once.
    fn see_to_closing(&mut self, ctx: &egui::Context) {
        if ctx.text_edit_focused() && !self.is_closing {
            if let Some(id) = ctx.memory(|m| m.focused()) {
                ctx.memory_mut(|m| m.surrender_focus(id));
            }
            self.is_closing = true;
            ctx.send_viewport_cmd(egui::ViewportCommand::CancelClose);
            ctx.send_viewport_cmd(egui::ViewportCommand::Close);
            ctx.request_repaint();
            return;
        }
        self.pictures.stop();
        let came = self.pictures.settle(Duration::from_secs(5));
        self.came.extend(came);
        self.hear_pictures(Some(ctx));
        if self.report_to.is_some() {
            self.state.report.settle(Duration::from_secs(30));
            self.write_report_if_made();
        }
        let news = self.saver.settle(&self.folder_or_none(), Duration::from_secs(5));
        let is_told = news.iter().any(|n| matches!(n, Written::Report(_, Err(_)) | Written::All(_, Err(_))));
        self.hear(news);
        self.refresh();
        if is_told {
            // What could not be written has just been said, and is to be read.
            self.is_closing = false;
            ctx.send_viewport_cmd(egui::ViewportCommand::CancelClose);
        } else if self.saver.waiting() > 0 && !self.was_warned_of_closing {
            self.was_warned_of_closing = true;
            self.is_closing = false;
            ctx.send_viewport_cmd(egui::ViewportCommand::CancelClose);
            let waiting = match self.saver.waiting() {
                1 => "One change is only in this window. Save it".to_owned(),
                n => format!("{n} changes are only in this window. Save them"),
            };
            self.trouble_of_garage(
                NOT_SAVED,
                format!("{waiting} to another folder, or close the window again to give up what is not saved."),
            );
        }
    }

    /// Notes the machine in hand for the next start.
    pub fn remember_machine(&mut self) {
        let machine = self.state.machine.as_ref().map(|id| id.0.clone());
        if machine.is_some() && self.settings.machine != machine {
            self.settings.machine = machine;
            self.remember();
        }
    }

    /// Waits until everything is written or stuck. For the end of the program, and for tests.
    pub fn settle(&mut self) {
        let came = self.pictures.settle(Duration::from_secs(60));
        self.came.extend(came);
        self.hear_pictures(None);
        self.settle_shelf(Duration::from_secs(600));
        self.state.report.settle(Duration::from_secs(30));
        self.state.report.settle_painting(Duration::from_secs(30));
        self.write_report_if_made();
        let news = self.saver.settle(&self.folder_or_none(), Duration::from_secs(10));
        self.hear(news);
        self.refresh();
    }

    /// Tells what the saving thread has done.
    pub(super) fn hear(&mut self, news: Vec<Written>) {
        for written in news {
            match written {
                Written::One(Ok(None)) => {}
                Written::One(Ok(Some(copy))) => self.trouble(
                    "A file was changed by somebody else meanwhile",
                    format!(
                        "Expected the file as it was read, found it changed. What this window knows is saved, and what \
                         was there is kept whole in {}: compare the two, then remove the copy.",
                        copy.display()
                    ),
                ),
                Written::Met(key, _) => log::warn!("{} was changed on disk too", self.what(&key)),
                Written::Looked(opened, found) => self.look_came(opened, found),
                Written::Unwatched(opened, why) => self.is_unwatched(opened, why),
                // The strip under the tabs shows it for as long as it lasts.
                Written::One(Err(error)) => log::error!("a change could not be saved: {error}"),
                Written::All(folder, Ok(())) => self.moved_to(folder),
                Written::All(folder, Err(error)) => {
                    self.trouble(format!("The garage could not be written to {}", folder.display()), error);
                }
                Written::Report(path, Ok(notes)) => {
                    self.tell(format!("The report is in {}", path.display()), notes.join("; "));
                }
                Written::Aside(Ok(())) => {}
                Written::Aside(Err(error)) => self.trouble("Where the walk is could not be kept", error),
                Written::Report(path, Err(error)) => {
                    self.trouble(format!("The report could not be written to {}", path.display()), error);
                }
            }
        }
    }

    /// Shows a message.
    pub(super) fn tell(&mut self, summary: impl Into<String>, details: impl Into<String>) {
        self.note(Note { summary: summary.into(), details: details.into(), is_trouble: false, is_of_garage: false });
    }
    /// Shows a message about the garage that is open; it goes when one is opened afresh.
    pub(super) fn tell_of_garage(&mut self, summary: impl Into<String>, details: impl Into<String>) {
        self.note(Note { summary: summary.into(), details: details.into(), is_trouble: false, is_of_garage: true });
    }
    /// Shows a message about something that went wrong.
    pub(super) fn trouble(&mut self, summary: impl Into<String>, details: impl Into<String>) {
        self.warn(summary.into(), details.into(), false);
    }
    /// Shows a message about the garage that is open; it goes when one is opened afresh.
    pub(super) fn trouble_of_garage(&mut self, summary: impl Into<String>, details: impl Into<String>) {
        self.warn(summary.into(), details.into(), true);
    }
    fn warn(&mut self, summary: String, details: String, is_of_garage: bool) {
        log::warn!("{summary}: {details}");
        self.note(Note { summary, details, is_trouble: true, is_of_garage });
    }
    fn note(&mut self, note: Note) {
        self.notes.retain(|n| n != &note);
        self.notes.push(note);
    }
    /// Writes the settings, and says so when that fails.
    pub(super) fn remember(&mut self) {
        if let Err(error) = self.settings.write(self.disk.as_ref(), &self.homes) {
            self.trouble("The settings could not be saved", error);
        }
    }

    fn folder_or_none(&self) -> PathBuf {
        self.folder.clone().unwrap_or_default()
    }
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

/// The heading of the warning before the window is closed with changes that are not on disk.
const NOT_SAVED: &str = "Not everything is saved";

fn view<'a>(shell: &'a Shell, folder: &'a Path, tokens: &'a Tokens, now: chrono::NaiveDateTime) -> ViewCtx<'a> {
    ViewCtx {
        garage: &shell.garage,
        folder,
        catalogue: &shell.catalogue,
        derived: &shell.derived,
        today: now.date(),
        now,
        tokens,
        ids: &shell.ids,
        unreadable: &shell.unreadable,
        undo: shell.history.undo_label(),
        redo: shell.history.redo_label(),
        saved: &shell.saved,
        inspector: &shell.settings.inspector,
    }
}
