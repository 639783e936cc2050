//! Writing down the work of a strip-down: what was done, parts, torque figures, by whom, what it cost. The findings stay
//! open until somebody has looked a second time.

use egui::{CollapsingHeader, RichText, Ui};

use super::group::is_ticked;
use super::typed::{day, line, odometer, odometer_doubt};
use crate::edit::Command;
use crate::garage::Bay;
use crate::inspection::{Event, EventId, EventKind, Job, TorqueApplied};
use crate::machine::SCHEMA;
use crate::repair::RepairGroup;
use crate::ui::widgets::Doubted;
use crate::ui::{Action, UiState, ViewCtx};

/// What is typed about the work.
#[derive(Clone, Debug, Default)]
pub(super) struct WorkForm {
    /// Whose it is: machine and strip-down.
    of: Option<(String, String)>,
    day: String,
    work: String,
    parts: String,
    by: String,
    odometer: String,
    /// What of the odometer was doubted when it was to be written down.
    doubted: Doubted,
    cost: String,
    /// Which of the group's fasteners were tightened.
    tightened: Vec<bool>,
}

impl WorkForm {
    /// Whether anything was typed that did not stand there by itself.
    pub(super) fn is_begun(&self) -> bool {
        [&self.work, &self.parts, &self.odometer, &self.cost].iter().any(|text| !text.trim().is_empty())
    }
}

/// Draws the form.
pub(super) fn ui(
    cx: &ViewCtx<'_>,
    state: &mut UiState,
    actions: &mut Vec<Action>,
    ui: &mut Ui,
    bay: &Bay,
    group: &RepairGroup,
) {
    CollapsingHeader::new("Write the work down").id_salt("work").show(ui, |ui| {
        let of = (bay.machine.id.0.clone(), group.key());
        let form = &mut state.repairs.work;
        if form.of.as_ref() != Some(&of) {
            *form = WorkForm {
                of: Some(of),
                by: cx.inspector.to_owned(),
                tightened: vec![false; group.fasteners.len()],
                ..WorkForm::default()
            };
        }
        form.tightened.resize(group.fasteners.len(), false);
        let wide = ui.available_width() - 20.0;
        line(cx, ui, "What was done", "tyre and both bearings replaced", &mut form.work, wide);
        line(cx, ui, "Parts, with commas between", "tyre, two bearings", &mut form.parts, wide);
        ui.horizontal_wrapped(|ui| {
            line(cx, ui, "Day", &cx.today.to_string(), &mut form.day, 100.0);
            line(cx, ui, "Who did it", "name", &mut form.by, 150.0);
            let unit = crate::ui::panels::walk::distance_unit(cx.units()).symbol;
            line(cx, ui, "Odometer", unit, &mut form.odometer, 100.0);
            line(cx, ui, "Cost", "if you like", &mut form.cost, 100.0);
        });
        let doubt = odometer_doubt(cx, bay, &form.day, &form.odometer);
        form.doubted.show(ui, doubt.as_deref());
        for (fastener, tightened) in group.fasteners.iter().zip(&mut form.tightened) {
            let words =
                format!("{} tightened to {}", fastener.figure.fastener, cx.units().show(fastener.figure.torque));
            ui.checkbox(tightened, words);
        }
        let form = state.repairs.work.clone();
        let ready = job(cx, state, bay, group, &form);
        let pressed = ui.add_enabled(ready.is_ok(), egui::Button::new("Write it down as done")).clicked();
        let is_taken = state.repairs.work.doubted.takes(doubt.as_deref(), pressed);
        match ready {
            Ok(event) if is_taken => {
                actions.push(Action::Edit(Command::Record(bay.machine.id.clone(), event)));
                state.repairs.work = WorkForm::default();
            }
            Ok(_) => {
                told(cx, ui, "The findings stay open until the second look; only what the work touched is asked again.")
            }
            Err(missing) => told(cx, ui, &missing),
        }
    });
}

fn told(cx: &ViewCtx<'_>, ui: &mut Ui, words: &str) {
    ui.label(RichText::new(words).small().color(cx.tokens.faint));
}

/// The event that the form describes, or what is missing or cannot be read.
fn job(cx: &ViewCtx<'_>, state: &UiState, bay: &Bay, group: &RepairGroup, form: &WorkForm) -> Result<Event, String> {
    if form.work.trim().is_empty() {
        return Err("Write what was done.".into());
    }
    if form.by.trim().is_empty() {
        return Err("Write who did it.".into());
    }
    let date = day(cx, &form.day)?;
    let odometer = odometer(cx.units(), "Odometer", &form.odometer)?;
    // What was typed of the extension and cannot be read is said, for the record is not edited afterwards.
    let wrench = state.repairs.wrench.wrench().transpose()?;
    let mut torques = Vec::new();
    for (f, _) in group.fasteners.iter().zip(&form.tightened).filter(|(_, done)| **done) {
        torques.push(TorqueApplied {
            fastener: f.figure.fastener.clone(),
            torque: f.figure.torque,
            set_to: wrench.map(|w| w.setting(f.figure.torque)).transpose()?,
        });
    }
    let key = group.key();
    let job = Job {
        jobs: group.jobs.clone(),
        findings: group.items.iter().filter_map(|i| i.finding.clone()).collect(),
        work: form.work.trim().to_owned(),
        parts: form.parts.split(',').map(str::trim).filter(|p| !p.is_empty()).map(str::to_owned).collect(),
        torques,
        steps: group.all_steps().filter(|s| is_ticked(state, bay, &key, s)).cloned().collect(),
        odometer,
        cost: form.cost.trim().to_owned(),
    };
    Ok(Event {
        schema: SCHEMA,
        id: EventId(format!("{date}-job-{}", cx.ids.fresh())),
        date,
        by: form.by.trim().to_owned(),
        kind: EventKind::Job(Box::new(job)),
    })
}
