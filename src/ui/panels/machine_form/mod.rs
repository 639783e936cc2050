//! The machine's data: layout, wheels, brakes, fluids, limits and torque figures, each with its source.
//!
//! ```text
//! identity   what it is: layout, category, papers                fluids    levels: stance and temperature
//! wheels     one wheel at a time: rim, brakes, placard           limits    service limits with their sources
//! tyre       the tyre of that wheel                              torques   torque figures with their sources
//! drive      drive, brakes, power, stands                        source    where a figure comes from
//! plan       the machine drawn as it is typed         equipment what it was built without
//! services   what comes round, and dates of papers
//! region     the rules in force, and what another one changes
//! ```
//!
//! Every part edits a copy of the machine; when anything in it was changed, the whole is one command.

mod drive;
mod equipment;
mod fluids;
mod identity;
mod limits;
mod plan;
mod region;
mod services;
mod source;
mod torques;
mod tyre;
mod wheels;

use std::collections::BTreeSet;

use egui::{ScrollArea, Ui};

use crate::edit::{Command, PhotoHome};
use crate::machine::{LimitKind, Machine, WheelPosition};
use crate::ui::panels::calculator::beside::{self, Beside};
use crate::ui::panels::calculator::{self, CalculatorState};
use crate::ui::widgets::{Entry, caption, heading, section, strong};
use crate::ui::{Action, UiState, ViewCtx};

/// What the panel keeps between frames.
#[derive(Clone, Debug)]
pub struct MachineFormState {
    /// The parts that are open, by their names.
    open: BTreeSet<&'static str>,
    /// A limit about to be added: what it is about and the figure typed.
    new_limit: Option<LimitKind>,
    new_figure: String,
    limit_complaint: Option<String>,
    /// A torque about to be added.
    new_fastener: String,
    new_torque: String,
    torque_complaint: Option<String>,
    /// What the last switch of the region changed, until it is read.
    switched: Option<region::Switched>,
}

impl Default for MachineFormState {
    fn default() -> Self {
        Self {
            open: BTreeSet::from(["What it is", "Wheels"]),
            new_limit: None,
            new_figure: String::new(),
            limit_complaint: None,
            new_fastener: String::new(),
            new_torque: String::new(),
            torque_complaint: None,
            switched: None,
        }
    }
}

/// What every part of the form is handed: the view, the copy that is edited, and the form's own state.
struct Form<'a> {
    cx: &'a ViewCtx<'a>,
    machine: &'a mut Machine,
    keep: &'a mut MachineFormState,
    wheel: &'a mut Option<WheelPosition>,
    calculators: &'a mut CalculatorState,
    is_changed: bool,
}

impl Form<'_> {
    /// Puts a value that was committed, if any, in its place.
    fn put<T>(&mut self, committed: Option<T>, put: impl FnOnce(&mut Machine, T)) {
        if let Some(value) = committed {
            put(self.machine, value);
            self.is_changed = true;
        }
    }
}

impl Form<'_> {
    /// The calculators of a part, filled from the machine as it is typed.
    fn offers(&mut self, ui: &mut Ui, part: &'static str, wheel: Option<usize>) {
        let wheel = wheel.and_then(|index| self.machine.wheels.get(index));
        let beside = Beside { machine: self.machine, answer: None, conditions: None, check: None, wheel };
        let offers = beside::part(part, &beside);
        let at = wheel.map_or("", |w| w.position.word());
        let place = format!("{}|form|{part}|{at}", self.machine.id);
        calculator::ui(self.calculators, self.cx.tokens, self.cx.today, ui, &place, &offers);
    }
}

/// A part of the form: its name, what is in it in a few words, and how it is drawn.
struct Part {
    name: &'static str,
    summary: fn(&ViewCtx<'_>, &Machine) -> String,
    ui: fn(&mut Form<'_>, &mut Ui),
}

/// The parts in the order of the form.
const PARTS: &[Part] = &[
    Part { name: "What it is", summary: identity::summary, ui: identity::ui },
    Part { name: "Wheels", summary: wheels::summary, ui: wheels::ui },
    Part { name: "Drive, brakes and battery", summary: drive::summary, ui: drive::ui },
    Part { name: "Equipment", summary: equipment::summary, ui: equipment::ui },
    Part { name: "Fluids", summary: fluids::summary, ui: fluids::ui },
    Part { name: "Service limits", summary: limits::summary, ui: limits::ui },
    Part { name: "Torque figures", summary: torques::summary, ui: torques::ui },
    Part { name: "Services and dates", summary: services::summary, ui: services::ui },
    Part { name: "Papers", summary: identity::papers_summary, ui: identity::papers_ui },
    Part { name: "Notes", summary: notes_summary, ui: notes_ui },
];

/// The part with the photos of the machine; they are added and marked one by one, beside the copy that is edited.
const PHOTOS: &str = "Photos";

fn photos_summary(machine: &Machine) -> String {
    match machine.photos.len() {
        0 => String::new(),
        1 => "1 photo".into(),
        n => format!("{n} photos"),
    }
}

fn notes_summary(_cx: &ViewCtx<'_>, machine: &Machine) -> String {
    machine.notes.lines().next().unwrap_or_default().to_owned()
}

fn notes_ui(form: &mut Form<'_>, ui: &mut Ui) {
    let entry = Entry::new("What else is to be known", form.machine.notes.clone()).rows(4).width(420.0);
    let committed = entry.show(ui, |text| Ok(text.to_owned()));
    form.put(committed, |m, notes| m.notes = notes);
}

/// Draws the panel.
pub fn ui(cx: &ViewCtx<'_>, state: &mut UiState, actions: &mut Vec<Action>, ui: &mut Ui) {
    let Some(bay) = cx.bay(state) else {
        strong(ui, "No machine is chosen");
        ui.label("Add a machine at the left. Its name and the layout of its wheels are enough to begin.");
        return;
    };
    let mut machine = bay.machine.clone();
    let UiState { machine_form, wheel, photos, place, calculator, .. } = state;
    let mut form =
        Form { cx, machine: &mut machine, keep: machine_form, wheel, calculators: calculator, is_changed: false };
    // Everything inside is apart for each machine, so that what is half typed for one never shows at another.
    ui.push_id(&bay.machine.id.0, |ui| {
        let plan = (ui.available_width() * 0.3).min(260.0);
        if ui.available_width() > 620.0 {
            let height = (ui.available_height() - 70.0).clamp(160.0, plan * 1.7);
            egui::Panel::right("plan-of-machine")
                .frame(egui::Frame::new().inner_margin(egui::Margin { left: 14, top: 6, ..egui::Margin::ZERO }))
                .resizable(false)
                .show_separator_line(false)
                .exact_size(plan)
                .show(ui, |ui| plan::ui(&mut form, egui::vec2(plan - 14.0, height), ui));
        }
        ScrollArea::vertical().auto_shrink([false, false]).show(ui, |ui| {
            ui.set_max_width(ui.available_width().min(900.0));
            heading(ui, &form.machine.name.clone());
            caption(
                ui,
                "Type figures with their unit, as in 36 psi, 2.5 mm or 4/32. What is left empty is not known, and what \
                 is not known is never judged.",
            );
            ui.add_space(6.0);
            for part in PARTS {
                let is_open = form.keep.open.contains(part.name);
                let summary = (part.summary)(cx, form.machine);
                if section(ui, part.name, &summary, is_open, |ui| (part.ui)(&mut form, ui))
                    && !form.keep.open.remove(part.name)
                {
                    form.keep.open.insert(part.name);
                }
            }
            let is_open = form.keep.open.contains(PHOTOS);
            let of = (&bay.machine.id, &PhotoHome::Machine);
            let strip = |ui: &mut Ui| super::photos::strip(cx, photos, *place, actions, ui, of, &bay.machine.photos);
            if section(ui, PHOTOS, &photos_summary(&bay.machine), is_open, strip) && !form.keep.open.remove(PHOTOS) {
                form.keep.open.insert(PHOTOS);
            }
            ui.add_space(30.0);
        });
    });
    if form.is_changed {
        actions.push(Action::Edit(Command::EditMachine(machine)));
    }
}
