//! Repairs: what is to be put right, one strip-down for several findings, with parts, figures, cautions and the steps to
//! tick; and what happened between inspections, recorded as events.
//!
//! Sends every change as an action; keeps only what is typed and ticked. Must not know the store or the app.

mod group;
mod happened;
mod log;
mod typed;
mod work;

use std::collections::BTreeSet;

use egui::{RichText, ScrollArea, Ui};

use crate::garage::Bay;
use crate::repair::{RepairItem, RepairList};
use crate::ui::panels::walk::select;
use crate::ui::widgets::{caption, heading, seen_only, segments, strong};
use crate::ui::{Action, Place, UiState, ViewCtx};

/// What the panel keeps between frames.
#[derive(Clone, Debug, Default)]
pub struct RepairsState {
    /// Whether the whole garage is listed rather than the machine in hand.
    is_whole: bool,
    /// The steps that were ticked: machine, strip-down, step.
    ticked: BTreeSet<(String, String, String)>,
    /// The extension in hand, as typed.
    wrench: typed::WrenchForm,
    /// The work being written down.
    work: work::WorkForm,
    /// The event being written down.
    happened: happened::HappenedForm,
    /// The event being taken back.
    log: log::LogForm,
}

impl RepairsState {
    /// What is typed here and is in no record, in words.
    pub fn unwritten(&self) -> impl Iterator<Item = String> {
        let work = self.work.is_begun().then(|| "the work that is being written down under Repairs".to_owned());
        let happened = self.happened.is_begun().then(|| "what happened, half written down under Repairs".to_owned());
        work.into_iter().chain(happened)
    }
}

/// From so many machines on only those that are seen are drawn.
const LONG: usize = 24;
/// How high a machine is thought to be before it is drawn, in points.
const MACHINE: f32 = 60.0;

/// Draws the place.
pub fn ui(cx: &ViewCtx<'_>, state: &mut UiState, actions: &mut Vec<Action>, ui: &mut Ui) {
    ScrollArea::vertical().id_salt("repairs").auto_shrink([false, false]).show(ui, |ui| {
        ui.set_max_width(ui.available_width().min(860.0));
        heading(ui, "What to put right");
        let of = [(false, "this machine"), (true, "the whole garage")];
        if let Some(whole) = segments(ui, "Show", &state.repairs.is_whole, &of) {
            state.repairs.is_whole = whole;
        }
        caption(
            ui,
            "The machine's service manual goes before every line here. A job that you are not trained for belongs to a \
             licensed workshop.",
        );
        state.repairs.wrench.ui(cx, ui);
        if state.repairs.is_whole {
            let is_long = cx.garage.bays.len() > LONG;
            for bay in cx.garage.bays.iter().filter(|b| !b.machine.archived) {
                ui.add_space(10.0);
                let mut of_machine = |ui: &mut Ui| machine(cx, state, actions, ui, bay, false);
                if is_long {
                    seen_only(ui, &bay.machine.id.0, MACHINE, of_machine);
                } else {
                    ui.push_id(&bay.machine.id.0, &mut of_machine);
                }
            }
            return;
        }
        match cx.bay(state) {
            Some(bay) => {
                machine(cx, state, actions, ui, bay, true);
                ui.add_space(14.0);
                happened::ui(cx, state, actions, ui, bay);
                ui.add_space(14.0);
                log::ui(cx, state, actions, ui, bay);
            }
            None => {
                strong(ui, "Choose a machine at the left");
                ui.label("Its repairs are listed here once something was found.");
            }
        }
    });
}

fn list<'a>(cx: &ViewCtx<'a>, bay: &Bay) -> Option<&'a RepairList> {
    cx.derived.rows.iter().find(|r| r.id == bay.machine.id).map(|r| &r.repairs)
}

fn machine(cx: &ViewCtx<'_>, state: &mut UiState, actions: &mut Vec<Action>, ui: &mut Ui, bay: &Bay, is_alone: bool) {
    let Some(list) = list(cx, bay) else { return };
    if !is_alone {
        strong(ui, &bay.machine.name);
    }
    if list.groups.is_empty() && list.waiting.is_empty() && list.unplaced.is_empty() && list.watched.is_empty() {
        caption(ui, "Nothing is open. What nobody has looked at is not listed here: see the walk-around (F1).");
    }
    for group in &list.groups {
        ui.add_space(8.0);
        ui.push_id(group.key(), |ui| group::ui(cx, state, actions, ui, bay, group));
    }
    for (title, items) in [
        ("Repaired, the second look is to come", &list.waiting),
        ("Watched", &list.watched),
        ("No job is known for it: ask a workshop", &list.unplaced),
    ] {
        if items.is_empty() {
            continue;
        }
        ui.add_space(8.0);
        strong(ui, title);
        for item in items {
            self::item(cx, state, ui, bay, item);
        }
    }
    let again = cx.derived.rows.iter().find(|r| r.id == bay.machine.id).and_then(|r| r.verdict.as_ref());
    let again = again.map_or(0, |v| v.asked_again.len());
    if again > 0 {
        ui.add_space(8.0);
        let words = format!("{again} checks are asked again after work.");
        ui.label(words);
        if ui.button("Begin the second look").clicked() {
            state.machine = Some(bay.machine.id.clone());
            state.walk.begin("work", cx.inspector);
            actions.push(Action::Go(Place::Walk));
        }
    }
}

/// A finding or reading in one line; a press takes it in hand on the walk-around.
fn item(cx: &ViewCtx<'_>, state: &mut UiState, ui: &mut Ui, bay: &Bay, item: &RepairItem) {
    ui.horizontal(|ui| {
        let size = 16.0;
        let (rect, _) = ui.allocate_exact_size(egui::vec2(size, size + 4.0), egui::Sense::hover());
        let mark = crate::drawing::notch::drawing(crate::drawing::notch::Mark::Found(item.severity), size);
        crate::ui::widgets::paint(ui.painter(), &mark, rect.min + egui::vec2(0.0, 2.0), 1.0, cx.tokens);
        let words = format!("{}: {}", item.severity.word(), item.words);
        let button = egui::Button::new(RichText::new(words).size(14.0)).wrap().frame_when_inactive(false);
        if ui.add(button).on_hover_text("Take it in hand on the walk-around").clicked() {
            state.machine = Some(bay.machine.id.clone());
            state.place = Place::Walk;
            let found = item.finding.as_ref().and_then(|f| bay.finding(&f.finding));
            if state.inspection.as_ref().is_none_or(|i| bay.inspection(i).is_none()) {
                state.inspection = bay.latest().map(|i| i.id.clone());
            }
            match found {
                Some((inspection, finding)) => select::finding(state, inspection, finding),
                None => state.check = Some(item.check.clone()),
            }
        }
    });
}
