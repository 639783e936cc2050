//! Fluids, with the stance and the temperature in which each level is read.

use egui::Ui;

use super::Form;
use crate::machine::{Fluid, FluidKind, FluidState, Machine, Stance};
use crate::ui::ViewCtx;
use crate::ui::widgets::{caption, choice, day_field, strong, words_field};

/// The part in a few words.
pub fn summary(_cx: &ViewCtx<'_>, machine: &Machine) -> String {
    if machine.fluids.is_empty() {
        return "none named yet".into();
    }
    machine.fluids.iter().map(|f| f.kind.word()).collect::<Vec<_>>().join(", ")
}

/// Draws the part.
pub fn ui(form: &mut Form<'_>, ui: &mut Ui) {
    caption(ui, "A level counts only in the stance and at the temperature that the service manual asks for.");
    let mut removed = None;
    for index in 0..form.machine.fluids.len() {
        let fluid = form.machine.fluids[index].clone();
        ui.push_id(fluid.kind.id(), |ui| {
            ui.horizontal(|ui| {
                strong(ui, fluid.kind.word());
                if ui.small_button("Remove").on_hover_text(format!("Remove the {}", fluid.kind.word())).clicked() {
                    removed = Some(index);
                }
            });
            let grade = words_field(ui, "Grade", &fluid.grade, "for example DOT 4", 170.0);
            put(form, index, grade, |f, v| f.grade = v);
            let stances: Vec<(Stance, String)> = Stance::ALL.iter().map(|s| (*s, s.word().to_owned())).collect();
            let stance = choice(ui, "Level is read", &fluid.stance, &stances);
            put(form, index, stance, |f, v| f.stance = v);
            let states: Vec<(FluidState, String)> = FluidState::ALL.iter().map(|s| (*s, s.word().to_owned())).collect();
            let state = choice(ui, "Temperature", &fluid.state, &states);
            put(form, index, state, |f, v| f.state = v);
            let changed = day_field(ui, "Last changed", fluid.changed_on, form.cx.today);
            put(form, index, changed, |f, v| f.changed_on = v);
            ui.add_space(8.0);
        });
    }
    form.put(removed, |m, index| {
        m.fluids.remove(index);
    });
    add(form, ui);
}

/// A button for each fluid that the machine does not have yet. The stance and state are only where one usually
/// begins (common practice); the manual's own are set afterwards.
fn add(form: &mut Form<'_>, ui: &mut Ui) {
    let missing: Vec<FluidKind> = FluidKind::ALL.into_iter().filter(|k| form.machine.fluid(*k).is_none()).collect();
    if missing.is_empty() {
        return;
    }
    ui.horizontal_wrapped(|ui| {
        ui.label("Add");
        for kind in missing {
            if ui.button(kind.word()).clicked() {
                let stance = if form.machine.stands.centre { Stance::CentreStand } else { Stance::Upright };
                let state = if kind.is_brake_fluid() { FluidState::Any } else { FluidState::Cold };
                let fluid = Fluid { kind, grade: String::new(), stance, state, changed_on: None };
                form.put(Some(fluid), |m, fluid| m.fluids.push(fluid));
            }
        }
    });
}

fn put<T>(form: &mut Form<'_>, index: usize, committed: Option<T>, put: impl FnOnce(&mut Fluid, T)) {
    form.put(committed, |m, value| {
        if let Some(fluid) = m.fluids.get_mut(index) {
            put(fluid, value);
        }
    });
}
