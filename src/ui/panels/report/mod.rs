//! The report pane: which report, the pages that become the PDF, and what goes in.
//!
//! The pages are laid out here, painted as they are, and handed as they are to the app to be written: what is seen is
//! what is saved. `pages` keeps and shows them, `bookmarks` lists their headings, `spec` says what goes in; `job` makes
//! them and `painter` paints them, each on a thread of its own.

mod bookmarks;
mod job;
mod pages;
mod painter;
mod spec;

use std::collections::BTreeMap;
use std::sync::Arc;
use std::time::Duration;

use chrono::{DateTime, FixedOffset};
use egui::Ui;

use crate::garage::Bay;
use crate::inspection::{Inspection, InspectionId};
use crate::machine::MachineId;
use crate::photo::{PhotoMark, Printed};
use crate::report::block::Paper;
use crate::report::content::{Album, photos_of};
use crate::report::content::{KINDS, Options, ReportKind, Takes, kind};
use crate::report::layout::Layout;
use crate::ui::widgets::{caption, choice, named, segments, strong, trouble, typed_line, yes_no};
use crate::ui::{Action, UiState, ViewCtx};

use pages::Pages;
use spec::{Order, Snapshot};

/// What the panel keeps between frames.
#[derive(Clone, Debug)]
pub struct ReportState {
    kind: &'static ReportKind,
    options: Options,
    /// The inspection to compare with; none for the one before.
    earlier: Option<InspectionId>,
    paper: Paper,
    zoom: Zoom,
    /// The path typed for the file.
    path: String,
    pages: Pages,
    /// What only the app knows.
    told: Told,
}

/// What the app tells the report: panels know neither the clock's place nor files.
#[derive(Clone, Debug, Default)]
pub struct Told {
    /// The moment, with the offset of the place.
    pub now: DateTime<FixedOffset>,
    /// The machine whose photos these are.
    pub machine: Option<MachineId>,
    /// The marks of each photo that was asked for.
    pub asked_for: BTreeMap<String, Vec<PhotoMark>>,
    /// The marks of each photo that has come, or is known not to.
    pub looked_for: BTreeMap<String, Vec<PhotoMark>>,
    /// The photos, ready for their pages.
    pub photos: Album,
    /// Whether photos were left out because the user stopped.
    pub is_stopped: bool,
    /// How many photos have come, the same one twice where its marks were changed.
    pub came: usize,
}

impl Default for ReportState {
    fn default() -> Self {
        let kind = &KINDS[0];
        Self {
            kind,
            options: Options::of(kind),
            earlier: None,
            paper: Paper::A4,
            zoom: Zoom::Width,
            path: String::new(),
            pages: Pages::default(),
            told: Told::default(),
        }
    }
}

impl ReportState {
    /// The name offered for the file.
    pub fn file_name(&self) -> String {
        self.pages.name()
    }
    /// The paper that is liked.
    pub fn paper(&self) -> Paper {
        self.paper
    }
    /// The moment, told by the app before every frame.
    pub fn tell_now(&mut self, now: DateTime<FixedOffset>) {
        self.told.now = now;
    }
    /// The photos of a machine that the report wants and nobody has been asked for yet, each with its marks. They count
    /// as asked for from here on.
    pub fn wanted_photos(&mut self, bay: &Bay) -> Vec<(String, Vec<PhotoMark>)> {
        if self.told.machine.as_ref() != Some(&bay.machine.id) {
            self.told = Told { now: self.told.now, machine: Some(bay.machine.id.clone()), ..Told::default() };
        }
        let all = photos_of(bay);
        self.told.asked_for.retain(|name, _| all.contains_key(name));
        let is_new = |(name, marks): &(String, Vec<PhotoMark>)| self.told.asked_for.get(name) != Some(marks);
        let wanted: Vec<_> = all.into_iter().filter(is_new).collect();
        self.told.asked_for.extend(wanted.iter().cloned());
        wanted
    }
    /// Takes a photo that was wanted, or the reason why there is none. One that is no longer wanted so is left.
    pub fn take_photo(
        &mut self,
        machine: &MachineId,
        name: &str,
        marks: Vec<PhotoMark>,
        photo: Result<Printed, String>,
    ) {
        let is_wanted = self.told.machine.as_ref() == Some(machine) && self.told.asked_for.get(name) == Some(&marks);
        if is_wanted {
            self.told.looked_for.insert(name.to_owned(), marks);
            self.told.photos.put(name, photo);
            self.told.came += 1;
        }
    }
    /// Notes that photos were left out because the user stopped, so that they can be asked for again.
    pub fn note_stopped(&mut self) {
        self.told.is_stopped = true;
    }
    /// How many photos were asked for and have not come yet.
    pub fn photos_waiting(&self) -> usize {
        let has_come = |(name, marks): &(&String, &Vec<PhotoMark>)| self.told.looked_for.get(*name) == Some(*marks);
        self.told.asked_for.iter().filter(|photo| !has_come(photo)).count()
    }
    /// Waits until the pages that were ordered are made, at most for a while.
    pub fn settle(&mut self, most: Duration) {
        self.pages.settle(most);
    }
    /// Waits until the pages in view are painted, at most for a while.
    pub fn settle_painting(&self, most: Duration) {
        self.pages.settle_painting(most);
    }
    /// Whether pages that were ordered are still being made.
    pub fn is_making(&self) -> bool {
        self.pages.is_making()
    }
    /// The pages that are shown.
    pub fn layout(&self) -> Option<Arc<Layout>> {
        // Pages from before a photo was marked would show what a blur box is to hide.
        self.pages.layout().filter(|_| self.photos_waiting() == 0)
    }
}

/// How large a page is shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Zoom {
    /// The whole page at once.
    Page,
    /// As wide as the pane, and no wider than is good to read.
    Width,
    /// Twice that.
    Double,
}

/// The zooms that are offered.
const ZOOMS: &[(Zoom, &str)] = &[(Zoom::Page, "whole"), (Zoom::Width, "width"), (Zoom::Double, "double")];

/// Draws the panel.
pub fn ui(cx: &ViewCtx<'_>, state: &mut UiState, actions: &mut Vec<Action>, ui: &mut Ui) {
    if state.report.kind.make.needs_machine()
        && let Some(bay) = cx.bay(state)
    {
        if state.report.told.machine.as_ref() != Some(&bay.machine.id) && !photos_of(bay).is_empty() {
            // Another machine was chosen in this frame; its photos are asked for after it.
            return;
        }
        let (waiting, count) = (state.report.photos_waiting(), state.report.told.asked_for.len());
        if waiting > 0 {
            strong(ui, "The photos are being made ready for the pages");
            ui.label(format!("{} of {count} are ready.", count - waiting));
            if ui.button("Stop, and leave out the rest").clicked() {
                actions.push(Action::StopPhotos);
            }
            return;
        }
    }
    let order = Order::of(cx, state);
    let ReportState { pages, told, kind, .. } = &mut state.report;
    let kind = *kind;
    pages.keep_up(order, |order| Snapshot::take(cx, order, kind, told), ui);
    let width = if ui.available_width() < 560.0 { 170.0 } else { 220.0 };
    egui::Panel::right("what-goes-in")
        .frame(egui::Frame::new().inner_margin(egui::Margin { left: 14, ..egui::Margin::ZERO }))
        .resizable(false)
        .exact_size(width)
        .show_separator_line(false)
        .show(ui, |ui| {
            egui::ScrollArea::vertical().show(ui, |ui| side(cx, state, actions, ui));
        });
    let lacks_inspection = kind.make.needs_inspection() && cx.inspection(state).is_none();
    let UiState { report, .. } = state;
    egui::CentralPanel::no_frame().show(ui, |ui| {
        if lacks_inspection {
            strong(ui, "Nothing to report yet");
            ui.label(
                "This report needs an inspection. Begin one on the walk-around (F1); its pages appear here. The garage's \
                 own sheet needs none.",
            );
        } else if let Some(why) = report.pages.lacking().map(ToOwned::to_owned) {
            strong(ui, "No pages");
            trouble(ui, &why);
        }
        if let Some((done, of)) = report.pages.far() {
            ui.horizontal_wrapped(|ui| {
                let words = if of == 0 { "Making the pages".to_owned() } else { format!("Making the pages: {done} of {of} parts") };
                caption(ui, &words);
                if ui.button("Stop").clicked() {
                    report.pages.stop();
                }
            });
        }
        report.pages.ui(report.zoom, cx.tokens, ui);
    });
}

/// What goes in, and where it goes.
fn side(cx: &ViewCtx<'_>, state: &mut UiState, actions: &mut Vec<Action>, ui: &mut Ui) {
    strong(ui, "What goes in");
    let kinds: Vec<(&str, String)> = KINDS.iter().map(|kind| (kind.id, kind.title.to_owned())).collect();
    if let Some(chosen) = choice(ui, "Report", &state.report.kind.id, &kinds).and_then(kind) {
        state.report.kind = chosen;
        state.report.options = Options::of(chosen);
    }
    let asked = state.report.kind;
    caption(ui, &format!("{}.", asked.what));
    if asked.make.needs_inspection()
        && let Some(bay) = cx.bay(state)
    {
        inspections(cx, bay, state, ui);
    }
    if asked.takes.contains(&Takes::Privacy) {
        let privacy = &mut state.report.options.privacy;
        named(ui, "Left out, here and in the attached record", |ui, _| {
            ui.checkbox(&mut privacy.vin, "identification number");
            ui.checkbox(&mut privacy.registration, "registration");
            ui.checkbox(&mut privacy.people, "names of people");
            ui.checkbox(&mut privacy.place, "the place");
        });
    }
    if asked.takes.contains(&Takes::Names) {
        let hidden = &mut state.report.options.privacy.people;
        named(ui, "Students", |ui, _| ui.checkbox(hidden, "numbered instead of named"));
    }
    if asked.takes.contains(&Takes::Minors) {
        let counted = state.report.options.count_minors;
        if let Some(counted) = yes_no(ui, "Minor findings", "only say how many there are", counted) {
            state.report.options.count_minors = counted;
        }
    }
    if asked.takes.contains(&Takes::Minutes) {
        minutes(&mut state.report.options, ui);
    }
    if let Some(paper) = segments(ui, "Paper", &state.report.paper, &[(Paper::A4, "A4"), (Paper::Letter, "Letter")]) {
        state.report.paper = paper;
    }
    if let Some(zoom) = segments(ui, "Page size here", &state.report.zoom, ZOOMS) {
        state.report.zoom = zoom;
    }
    save(state, actions, ui);
    bookmarks::ui(&mut state.report.pages, ui);
}

/// How many minutes there are for the walk, and what comes where the required checks take longer.
fn minutes(options: &mut Options, ui: &mut Ui) {
    let words = |minutes: u32| (Some(minutes), format!("{minutes} minutes"));
    let mut all = vec![(None, "as long as it takes".to_owned())];
    all.extend([10, 15, 20, 30, 40, 60, 90, 120].map(words));
    if let Some(chosen) = choice(ui, "Minutes at hand", &options.minutes, &all) {
        options.minutes = chosen;
        options.part &= chosen.is_some();
    }
    if options.minutes.is_some() {
        let ways = [(false, "all required checks"), (true, "only what fits, most risk first")];
        if let Some(part) = segments(ui, "Where the required checks take longer", &options.part, &ways) {
            options.part = part;
        }
    }
}

/// Which inspection, and which one to compare it with.
fn inspections(cx: &ViewCtx<'_>, bay: &Bay, state: &mut UiState, ui: &mut Ui) {
    let named = |i: &Inspection| {
        let kind = cx.catalogue.kind(&i.kind).map_or(i.kind.as_str(), |k| k.name.as_str());
        (Some(i.id.clone()), format!("{} {kind}", i.date))
    };
    let all: Vec<_> = bay.inspections.iter().rev().map(named).collect();
    if let Some(chosen) = choice(ui, "Inspection", &state.inspection, &all) {
        state.inspection = chosen;
        state.check = None;
        state.finding = None;
    }
    if state.report.kind.make.needs_earlier() {
        let before = bay.inspections.iter().take_while(|i| Some(&i.id) != state.inspection.as_ref());
        let mut earlier = vec![(None, "the one before".to_owned())];
        earlier.extend(before.map(named).collect::<Vec<_>>().into_iter().rev());
        if let Some(chosen) = choice(ui, "Compared with", &state.report.earlier, &earlier) {
            state.report.earlier = chosen;
        }
    }
}

/// Where it goes: a PDF, pictures, the clipboard.
fn save(state: &mut UiState, actions: &mut Vec<Action>, ui: &mut Ui) {
    ui.add_space(10.0);
    strong(ui, "Save as PDF");
    if ui.button("Save PDF…").clicked() {
        actions.push(Action::ChooseReportFile);
    }
    let mut is_asked = false;
    named(ui, "or type a path", |ui, name_id| {
        let hint = state.report.file_name();
        let edit = typed_line(&mut state.report.path).desired_width(f32::INFINITY).hint_text(hint);
        let response = ui.add(edit);
        let response = match name_id {
            Some(id) => response.labelled_by(id),
            None => response,
        };
        is_asked = response.lost_focus() && ui.input(|i| i.key_pressed(egui::Key::Enter));
        let button = egui::Button::new("Save there");
        is_asked |= ui.add_enabled(!state.report.path.trim().is_empty(), button).clicked();
    });
    let path = state.report.path.trim();
    if is_asked && !path.is_empty() {
        actions.push(Action::SaveReportAt(path.to_owned()));
    }
    let button = egui::Button::new("Save pictures there");
    let is_typed = !state.report.path.trim().is_empty();
    if ui.add_enabled(is_typed, button).on_hover_text("a folder; one PNG file a page").clicked() {
        actions.push(Action::SavePicturesAt(state.report.path.trim().to_owned()));
    }
    if ui.button("Copy the words").on_hover_text("as plain text, for a listing").clicked() {
        ui.ctx().copy_text(state.report.pages.text().to_owned());
        actions.push(Action::Tell("The words of the report are on the clipboard".into()));
    }
    if state.report.told.is_stopped {
        trouble(ui, "Photos are left out, because their making was stopped.");
        if ui.button("Bring them in after all").clicked() {
            let Told { now, .. } = state.report.told;
            state.report.told = Told { now, ..Told::default() };
        }
    }
    if let Some(layout) = state.report.layout() {
        let n = layout.pages.len();
        caption(ui, &format!("{n} page{} of {}", if n == 1 { "" } else { "s" }, paper_words(state.report.paper)));
        for missing in &layout.missing {
            trouble(ui, &missing.message());
        }
    }
}

fn paper_words(paper: Paper) -> &'static str {
    match paper {
        Paper::A4 => "A4",
        Paper::Letter => "US Letter",
    }
}
