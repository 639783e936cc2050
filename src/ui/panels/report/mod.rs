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
    /// The marks of each photo that was looked for, found or not.
    pub looked_for: BTreeMap<String, Vec<PhotoMark>>,
    /// The photos, ready for their pages.
    pub photos: Album,
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
    /// The photos of a machine that the report wants and nobody has looked for yet, each with its marks.
    pub fn wanted_photos(&self, bay: &Bay) -> Vec<(String, Vec<PhotoMark>)> {
        let is_same = self.told.machine.as_ref() == Some(&bay.machine.id);
        let is_new = |(n, marks): &(String, Vec<PhotoMark>)| !is_same || self.told.looked_for.get(n) != Some(marks);
        photos_of(bay).into_iter().filter(is_new).collect()
    }
    /// Takes a photo that was wanted, or the reason why there is none.
    pub fn take_photo(&mut self, bay: &Bay, name: &str, marks: Vec<PhotoMark>, photo: Result<Printed, String>) {
        if self.told.machine.as_ref() != Some(&bay.machine.id) {
            self.told = Told { now: self.told.now, machine: Some(bay.machine.id.clone()), ..Told::default() };
        }
        self.told.looked_for.insert(name.to_owned(), marks);
        self.told.photos.put(name, photo);
    }
    /// The pages that are shown.
    pub fn layout(&self) -> Option<Arc<Layout>> {
        self.pages.layout()
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
