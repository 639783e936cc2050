//! The report pane: the pages that become the PDF, and what goes in.
//!
//! The pages are laid out here, painted as they are, and handed as they are to the app to be written: what is seen is
//! what is saved. `pages` keeps and paints them, `spec` says what goes in.

mod pages;
mod spec;

use std::collections::BTreeMap;
use std::sync::Arc;

use chrono::{DateTime, FixedOffset};
use egui::{TextEdit, Ui};

use crate::garage::Bay;
use crate::machine::MachineId;
use crate::photo::{PhotoMark, Printed};
use crate::report::block::Paper;
use crate::report::content::{Album, photos_of};
use crate::report::layout::Layout;
use crate::ui::widgets::{caption, choice, named, segments, strong, trouble};
use crate::ui::{Action, UiState, ViewCtx};

use pages::Pages;

/// What the panel keeps between frames.
#[derive(Clone, Debug)]
pub struct ReportState {
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
        Self {
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
    let Some(bay) = cx.bay(state) else {
        strong(ui, "No machine is chosen");
        ui.label("Add a machine at the left, then begin an inspection on the walk-around.");
        return;
    };
    let Some(inspection) = cx.inspection(state) else {
        strong(ui, "Nothing to report yet");
        ui.label(format!(
            "{} has no inspection. Begin one on the walk-around (F1); its record appears here page by page.",
            bay.machine.name
        ));
        return;
    };
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
    let ReportState { pages, told, paper, .. } = &mut state.report;
    pages.keep_up(cx, bay, inspection, *paper, told);
    let width = if ui.available_width() < 560.0 { 170.0 } else { 220.0 };
    egui::Panel::right("what-goes-in")
        .frame(egui::Frame::new().inner_margin(egui::Margin { left: 14, ..egui::Margin::ZERO }))
        .resizable(false)
        .exact_size(width)
        .show_separator_line(false)
        .show(ui, |ui| {
            egui::ScrollArea::vertical().show(ui, |ui| side(cx, state, actions, ui));
        });
    let UiState { report, .. } = state;
    egui::CentralPanel::no_frame().show(ui, |ui| report.pages.ui(report.zoom, cx.tokens, ui));
}

/// What goes in, and where it goes.
fn side(cx: &ViewCtx<'_>, state: &mut UiState, actions: &mut Vec<Action>, ui: &mut Ui) {
    let Some(bay) = cx.bay(state) else { return };
    strong(ui, "Record of an inspection");
    let inspections: Vec<_> = bay
        .inspections
        .iter()
        .rev()
        .map(|i| {
            let kind = cx.catalogue.kind(&i.kind).map_or(i.kind.as_str(), |k| k.name.as_str());
            (Some(i.id.clone()), format!("{} {kind}", i.date))
        })
        .collect();
    if let Some(chosen) = choice(ui, "Inspection", &state.inspection, &inspections) {
        state.inspection = chosen;
        state.check = None;
        state.finding = None;
    }
    if let Some(paper) = segments(ui, "Paper", &state.report.paper, &[(Paper::A4, "A4"), (Paper::Letter, "Letter")]) {
        state.report.paper = paper;
    }
    if let Some(zoom) = segments(ui, "Page size here", &state.report.zoom, ZOOMS) {
        state.report.zoom = zoom;
    }
    ui.add_space(10.0);
    strong(ui, "Save as PDF");
    if ui.button("Save PDF…").clicked() {
        actions.push(Action::ChooseReportFile);
    }
    let mut is_asked = false;
    named(ui, "or type a path", |ui, name_id| {
        let hint = state.report.file_name();
        let edit = TextEdit::singleline(&mut state.report.path).desired_width(f32::INFINITY).hint_text(hint);
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
