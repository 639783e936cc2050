//! The walk-around: the machine in plan, the wheel as a clock, the tread unrolled, the checks, and what is in hand.
//!
//! Sends every change as an action; keeps only what is chosen and what is being typed. Must not know the store or the app.

mod again;
mod check_form;
mod checks;
mod closing;
mod conditions;
mod drafts;
mod face_view;
mod field;
mod finding_form;
mod guided;
mod in_hand;
mod mark;
mod place_entry;
mod place_form;
mod placed;
mod plan_view;
mod pointer;
mod proof;
mod proposal;
mod reading_fields;
mod round;
pub(super) mod select;
mod size_field;
mod start;
mod station_view;
mod strip_view;
mod survey;
mod together;
mod torque_list;
mod turns;
mod valve;
mod wheel_view;
pub(super) mod words;

use std::collections::BTreeMap;

pub use guided::{Kept, KeptWalk, Phase};

use chrono::NaiveDate;
use egui::{Panel, RichText, Ui};

use crate::clock::Spot;
use crate::garage::Bay;
use crate::history::odometer::doubt_of;
use crate::inspection::{CheckRef, FindingId, InspectionId, Station, Zone};
use crate::machine::WheelPosition;
use crate::ui::{Action, UiState, ViewCtx};
use crate::units::Distance;
use round::Round;

/// What the panel keeps between frames.
#[derive(Clone, Debug, Default)]
pub struct WalkState {
    /// Texts being typed.
    drafts: drafts::Drafts,
    /// One check at a time, large.
    guided: guided::GuidedState,
    /// A place that waits for its fault.
    proposal: Option<proposal::Proposal>,
    /// Words by which its faults are narrowed.
    fault_filter: String,
    /// The station one stands at.
    station: Option<Station>,
    /// The part in front, where there is too little room for all of them.
    turn: turns::Turn,
    /// Whether the checks of every place are unfolded.
    unfold_all: bool,
    /// Whether the checks of the place in view are folded away, so that the other places are in sight.
    folded: bool,
    /// Whether the list of checks is to bring the one in hand into sight.
    scroll_to_check: bool,
    /// Whether the reason why a check could not be done is being written.
    could_not_open: bool,
    /// The check for which that was opened; another check in hand shuts it.
    could_not_of: Option<CheckRef>,
    /// The check, finding and whether a place is being named, as the pane at the right showed them last.
    in_hand: (Option<CheckRef>, Option<FindingId>, bool),
    /// A check whose last field was just left by Enter: the walk goes on unless its judgement is to be read first.
    go_on: Option<CheckRef>,
    /// Whether the first open check is taken in hand once the inspection is assessed.
    take_first: bool,
    /// Whether another inspection is being chosen or begun.
    choosing: bool,
    /// What is typed about a new inspection.
    start: start::StartForm,
    /// What is typed about the conditions, while their form is open.
    conditions: Option<conditions::Form>,
    /// What is typed about closing a finding.
    close: closing::CloseForm,
    /// A class being set by a person.
    overrule: finding_form::OverruleForm,
    /// Fluid levels not yet said whole.
    levels: BTreeMap<CheckRef, reading_fields::LevelDraft>,
    /// At how many places a survey is read: by check and field where it was chosen, by the key of its field where it was
    /// only offered.
    places: BTreeMap<String, usize>,
    /// Where the valves of parked wheels stand.
    valves: BTreeMap<WheelPosition, Spot>,
    /// Whether the wheel is being turned to where its valve stands.
    turning: bool,
    /// A marker being dragged.
    drag: Option<placed::Drag>,
    /// The place under the pointer or being typed, told in words in this frame.
    live: Option<(Zone, Spot)>,
    /// The zone of the place that is typed.
    entry_zone: Option<Zone>,
    /// The inspection for which all this is kept; another one begins anew.
    of: Option<InspectionId>,
}

impl WalkState {
    /// What is typed here and is in no record, in words.
    pub fn unwritten(&self) -> impl Iterator<Item = String> {
        self.drafts.all_refused().map(|text| format!("“{text}” in a field of the walk-around, which could not be read"))
    }
    /// Whether the guided mode has the window to itself.
    pub fn is_guided(&self) -> bool {
        self.guided.on
    }
    /// Opens the form for a new inspection of a kind.
    pub fn begin(&mut self, kind: &str, inspector: &str) {
        self.start = start::StartForm::of_kind(kind, inspector);
        self.choosing = true;
    }
}

/// The unit in which the user likes distances.
pub fn distance_unit(units: &crate::units::Preferences) -> &'static crate::units::Unit {
    reading_fields::unit_of::<crate::units::Distance>(units)
}

/// What the odometer log will say of a reading that is being typed; none where it cannot be read yet, which the form says.
pub fn odometer_doubt(
    cx: &ViewCtx<'_>,
    bay: &Bay,
    (date, typed): (NaiveDate, &str),
    except: Option<&InspectionId>,
) -> Option<String> {
    match Distance::parse(typed, Some(distance_unit(cx.units()))) {
        Ok(shown) => doubt_of(bay, (date, shown), except, cx.today),
        Err(_) => None,
    }
}

/// Draws the panel.
pub fn ui(cx: &ViewCtx<'_>, state: &mut UiState, actions: &mut Vec<Action>, ui: &mut Ui) {
    let Some(bay) = cx.bay(state) else {
        empty(cx, ui);
        return;
    };
    let Some(round) = Round::of(cx, state).filter(|_| !state.walk.choosing) else {
        egui::CentralPanel::default_margins().show(ui, |ui| {
            let is_left = start::is_left(ui);
            if state.inspection.is_some()
                && (ui.button("Back to the inspection in hand").on_hover_text("Key Escape").clicked() || is_left)
            {
                state.walk.choosing = false;
            }
            start::ui(cx, state, actions, ui, bay);
        });
        return;
    };
    settle(&round, state);
    reading_fields::send_left_behind(&round, state, actions);
    if state.walk.guided.on {
        guided::ui(&round, state, actions, ui);
        return;
    }
    checks::keys(&round, state, actions, ui);
    guided::listen(state, ui);
    let width = ui.available_width();
    if width < turns::BELOW {
        turns::ui(&round, state, actions, ui);
        return;
    }
    let pane = (width * 0.3).clamp(246.0, 330.0);
    Panel::right("walk-in-hand").resizable(false).exact_size(pane).show(ui, |ui| {
        if state.walk.conditions.is_some() {
            egui::ScrollArea::vertical()
                .id_salt("conditions")
                .show(ui, |ui| conditions::ui(&round, state, actions, ui));
        } else {
            in_hand::ui(&round, state, actions, ui);
        }
    });
    let edge = egui::Frame::new().inner_margin(egui::Margin { left: 0, right: 8, top: 0, bottom: 0 });
    egui::CentralPanel::no_frame().frame(edge).show(ui, |ui| {
        head(&round, state, ui);
        let list = (ui.available_width() * 0.36).clamp(184.0, 400.0);
        let left = if list > 290.0 { 10 } else { 0 };
        let column = egui::Frame::new().inner_margin(egui::Margin { left, right: 6, top: 4, bottom: 0 });
        Panel::left("walk-places").frame(column).resizable(false).exact_size(list).show(ui, |ui| {
            let plan = (ui.available_height() * 0.42).clamp(150.0, 400.0);
            plan_view::ui(&round, state, ui, plan);
            ui.separator();
            checks::ui(&round, state, ui);
        });
        let beside = egui::Frame::new().inner_margin(egui::Margin { left: 10, right: 2, top: 2, bottom: 0 });
        egui::CentralPanel::no_frame().frame(beside).show(ui, |ui| match (state.wheel, state.walk.station) {
            (Some(wheel), _) => wheel_view::ui(&round, state, actions, ui, wheel),
            (None, Some(station)) => station_view::ui(&round, state, actions, ui, station),
            (None, None) => {}
        });
    });
}

/// Nothing is chosen yet: says what to do first.
fn empty(cx: &ViewCtx<'_>, ui: &mut Ui) {
    egui::CentralPanel::default_margins().show(ui, |ui| {
        ui.add_space(24.0);
        let words = if cx.garage.bays.is_empty() { "Add a machine first" } else { "Choose a machine at the left" };
        ui.label(RichText::new(words).heading().color(cx.tokens.strong));
        ui.label(
            "Then you walk round it here: the machine from above, each wheel as a clock, and every check in its place.",
        );
    });
}

/// Brings what is chosen in line with the inspection in hand.
fn settle(round: &Round<'_>, state: &mut UiState) {
    state.walk.live = None;
    let anew = state.walk.of.as_ref() != Some(&round.inspection.id);
    if anew {
        state.walk.of = Some(round.inspection.id.clone());
        state.walk.proposal = None;
        state.walk.conditions = None;
        state.walk.levels.clear();
        state.walk.valves.clear();
        state.walk.turning = false;
        state.walk.drag = None;
    }
    let has_wheel = |w: &WheelPosition| round.machine().wheel(*w).is_some();
    state.wheel = state.wheel.filter(has_wheel);
    if state.finding.as_ref().is_some_and(|id| round.finding(id).is_none()) {
        state.finding = None;
    }
    if state.walk.could_not_of != state.check {
        state.walk.could_not_of.clone_from(&state.check);
        state.walk.could_not_open = false;
    }
    if state.walk.take_first
        && let Some(first) = select::next_open(round.results(), None)
    {
        state.walk.take_first = false;
        select::check(state, first);
    }
    if state.wheel.is_none() && state.walk.station.is_none() {
        state.wheel = round.machine().wheels.first().map(|w| w.position);
        state.walk.station = state.wheel.map(Station::of_wheel);
    }
    // Another machine is shown by the same place; where that is a wheel, by its clock.
    if anew && state.wheel.is_none() && state.check.is_none() {
        let here = |w: &&crate::machine::Wheel| Some(Station::of_wheel(w.position)) == state.walk.station;
        state.wheel = round.machine().wheels.iter().find(here).map(|w| w.position);
    }
}

/// What is seen today does not belong into the record of another day: says so, and offers to begin one of today.
fn of_another_day(round: &Round<'_>, state: &mut UiState, ui: &mut Ui) {
    if round.inspection.date >= round.cx.today {
        return;
    }
    let words = format!("What you note here is kept under {}.", words::day(round.inspection.date));
    ui.label(RichText::new(words).small().color(round.cx.tokens.faint));
    if ui.button("Begin one of today").clicked() {
        state.walk.choosing = true;
    }
}

fn head(round: &Round<'_>, state: &mut UiState, ui: &mut Ui) {
    let tokens = round.cx.tokens;
    let kind =
        round.catalogue().kind(&round.inspection.kind).map_or(round.inspection.kind.as_str(), |k| k.name.as_str());
    ui.horizontal_wrapped(|ui| {
        // In a small window the list of machines at the left says the name.
        let narrow = ui.max_rect().width() < 640.0;
        if narrow {
            ui.spacing_mut().button_padding.x = 6.0;
            ui.spacing_mut().item_spacing.x = 5.0;
        } else {
            ui.label(RichText::new(&round.machine().name).heading().color(tokens.strong));
        }
        let title = format!("{} · {}", words::day(round.inspection.date), kind);
        if ui.button(title).on_hover_text("Choose another inspection, or begin one").clicked() {
            state.walk.choosing = true;
        }
        let open = state.walk.conditions.is_some();
        if ui.add(egui::Button::new("Conditions").selected(open)).clicked() {
            state.walk.conditions = (!open).then(|| conditions::form(round));
        }
        guided::button(round, state, ui);
        let unfold = state.walk.unfold_all;
        let toggle = egui::Button::new("All checks").selected(unfold);
        if ui.add(toggle).on_hover_text("Unfold the checks of every place").clicked() {
            state.walk.unfold_all = !unfold;
        }
    });
}
