//! Torque figures of this machine, each with its source.

use egui::Ui;

use super::{Form, source};
use crate::machine::{LimitSource, Machine, TorqueFigure};
use crate::ui::ViewCtx;
use crate::ui::widgets::{QuantityField, caption, named, read_liked, trouble, typed_line, words_field};
use crate::units::Torque;

/// The part in a few words.
pub fn summary(cx: &ViewCtx<'_>, machine: &Machine) -> String {
    if machine.torques.is_empty() {
        return "none yet".into();
    }
    let figures: Vec<String> =
        machine.torques.iter().map(|t| format!("{} {}", t.fastener, cx.units().show(t.torque))).collect();
    figures.join(" · ")
}

/// The span of a torque on a vehicle of this size, beyond which it is a slip of the hand (common practice).
fn bounds() -> (Torque, Torque) {
    (Torque::newton_metres(0.1), Torque::newton_metres(1000.0))
}

/// Draws the part.
pub fn ui(form: &mut Form<'_>, ui: &mut Ui) {
    let prefs = form.cx.units();
    let mut removed = None;
    for index in 0..form.machine.torques.len() {
        let figure = form.machine.torques[index].clone();
        ui.push_id(("torque", index), |ui| {
            let fastener = words_field(ui, "Fastener", &figure.fastener, "for example rear axle nut", 230.0);
            put(form, index, fastener, |t, v| t.fastener = v);
            let torque = QuantityField::new("Torque", Some(figure.torque), prefs)
                .between(bounds().0, bounds().1)
                .needed("type one, or press Remove this figure to take it away")
                .show(ui)
                .flatten();
            put(form, index, torque, |t, v| t.torque = v);
            let from = source::field(ui, "The torque is from", &figure.source);
            put(form, index, from, |t, v| t.source = v);
            if ui.small_button("Remove this figure").clicked() {
                removed = Some(index);
            }
            ui.add_space(8.0);
        });
    }
    form.put(removed, |m, index| {
        m.torques.remove(index);
    });
    add(form, ui);
    form.offers(ui, "torques", None);
}

fn add(form: &mut Form<'_>, ui: &mut Ui) {
    let prefs = form.cx.units();
    caption(ui, "Add a figure: the fastener, then its torque.");
    named(ui, "New fastener", |ui, name_id| {
        let edit = typed_line(&mut form.keep.new_fastener).desired_width(230.0);
        let response = ui.add(edit.hint_text("for example rear axle nut"));
        if let Some(id) = name_id {
            response.labelled_by(id);
        }
    });
    let mut is_asked = false;
    named(ui, "Its torque", |ui, name_id| {
        ui.horizontal_wrapped(|ui| {
            let edit = typed_line(&mut form.keep.new_torque).desired_width(120.0);
            let response = ui.add(edit.hint_text("65 N·m"));
            let response = match name_id {
                Some(id) => response.labelled_by(id),
                None => response,
            };
            is_asked = response.lost_focus() && ui.input(|i| i.key_pressed(egui::Key::Enter));
            is_asked |= ui.button("Add this figure").clicked();
        });
        if let Some(complaint) = &form.keep.torque_complaint {
            trouble(ui, complaint);
        }
    });
    if !is_asked {
        return;
    }
    let fastener = form.keep.new_fastener.trim().to_owned();
    let torque = read_liked(&form.keep.new_torque, prefs, bounds());
    form.keep.torque_complaint = match (fastener.is_empty(), torque) {
        (true, _) => Some("expected the name of the fastener, found none: type it first".into()),
        (_, Err(error)) => Some(error),
        (_, Ok(None)) => Some("expected a torque, found nothing: type one, as in 65 N·m".into()),
        (false, Ok(Some(torque))) => {
            let figure = TorqueFigure { fastener, torque, source: LimitSource::Manual(String::new()) };
            form.put(Some(figure), |m, figure| m.torques.push(figure));
            form.keep.new_fastener.clear();
            form.keep.new_torque.clear();
            None
        }
    };
}

fn put<T>(form: &mut Form<'_>, index: usize, committed: Option<T>, put: impl FnOnce(&mut TorqueFigure, T)) {
    form.put(committed, |m, value| {
        if let Some(figure) = m.torques.get_mut(index) {
            put(figure, value);
        }
    });
}
