//! What the machine was built without, and what it carries though its like usually does not.

use std::collections::BTreeSet;

use egui::Ui;

use super::Form;
use crate::machine::{Equipment, Machine};
use crate::ui::ViewCtx;
use crate::ui::widgets::{caption, named};

/// The part in a few words.
pub fn summary(_cx: &ViewCtx<'_>, machine: &Machine) -> String {
    let list = |of: &BTreeSet<Equipment>| of.iter().map(|e| e.word()).collect::<Vec<_>>().join(", ");
    let mut parts = Vec::new();
    if !machine.built_without.is_empty() {
        parts.push(format!("built without {}", list(&machine.built_without)));
    }
    if !machine.fitted_with.is_empty() {
        parts.push(format!("with {}", list(&machine.fitted_with)));
    }
    if parts.is_empty() { "what is usual".into() } else { parts.join(" · ") }
}

/// Draws the part.
pub fn ui(form: &mut Form<'_>, ui: &mut Ui) {
    caption(
        ui,
        "Tick only what was never there, not what is missing or broken: a machine is not asked about it any more. What \
         the law of your place asks for is missed all the same.",
    );
    let usual: Vec<Equipment> = Equipment::ALL.iter().copied().filter(|e| e.is_usual(form.machine.layout)).collect();
    let unusual: Vec<Equipment> = Equipment::ALL.iter().copied().filter(|e| !e.is_usual(form.machine.layout)).collect();
    ticks(form, ui, "Built without", &usual, |m| &mut m.built_without);
    if !unusual.is_empty() {
        ticks(form, ui, "Fitted with", &unusual, |m| &mut m.fitted_with);
    }
}

/// A tick for each part, in or out of a set of the machine.
fn ticks(
    form: &mut Form<'_>,
    ui: &mut Ui,
    name: &str,
    parts: &[Equipment],
    set: fn(&mut Machine) -> &mut BTreeSet<Equipment>,
) {
    named(ui, name, |ui, _| {
        ui.horizontal_wrapped(|ui| {
            for part in parts {
                let was = set(form.machine).contains(part);
                let mut is = was;
                ui.checkbox(&mut is, part.word());
                if is != was {
                    form.put(Some(*part), |m, part| {
                        if is {
                            set(m).insert(part);
                        } else {
                            set(m).remove(&part);
                        }
                    });
                }
            }
        });
    });
}
