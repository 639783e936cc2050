//! One strip-down: what it serves, what it needs, its figures, its cautions, and its steps to tick.

use egui::{CollapsingHeader, RichText, Ui};

use super::work;
use crate::garage::Bay;
use crate::repair::{Fastener, RepairGroup, Wrench};
use crate::ui::theme::strong_family;
use crate::ui::{Action, UiState, ViewCtx};

/// Draws it.
pub(super) fn ui(
    cx: &ViewCtx<'_>,
    state: &mut UiState,
    actions: &mut Vec<Action>,
    ui: &mut Ui,
    bay: &Bay,
    group: &RepairGroup,
) {
    let tokens = cx.tokens;
    ui.label(RichText::new(&group.title).family(strong_family()).size(16.5).color(tokens.strong));
    if group.items.len() > 1 {
        let words = format!("One strip-down serves {} of these.", group.items.len());
        ui.label(RichText::new(words).small().color(tokens.faint));
    }
    for item in &group.items {
        super::item(cx, state, ui, bay, item);
    }
    let steps = group.all_steps().count();
    let key = group.key();
    let done = group.all_steps().filter(|s| is_ticked(state, bay, &key, s)).count();
    CollapsingHeader::new(format!("How: {done} of {steps} steps ticked")).id_salt("how").show(ui, |ui| {
        for caution in &group.cautions {
            let title = RichText::new(&caution.title).family(strong_family()).small();
            ui.label(title).on_hover_text(&caution.source);
            ui.label(RichText::new(&caution.text).small());
        }
        phase(cx, ui, "Parts", &group.parts);
        phase(cx, ui, "Tools", &group.tools);
        fasteners(cx, state, ui, &group.fasteners);
        for (title, lines) in [
            ("Before", &group.before),
            ("While it is apart", &group.steps),
            ("Closing it up", &group.close),
            ("Trying it", &group.trial),
        ] {
            if lines.is_empty() {
                continue;
            }
            ui.label(RichText::new(title).small().color(tokens.faint));
            for step in lines {
                let mut ticked = is_ticked(state, bay, &key, step);
                if ui.checkbox(&mut ticked, step.as_str()).changed() {
                    let entry = (bay.machine.id.0.clone(), key.clone(), step.clone());
                    if ticked {
                        state.repairs.ticked.insert(entry);
                    } else {
                        state.repairs.ticked.remove(&entry);
                    }
                }
            }
        }
        asked_again(cx, ui, group);
    });
    work::ui(cx, state, actions, ui, bay, group);
}

/// Whether a step was ticked.
pub(super) fn is_ticked(state: &UiState, bay: &Bay, key: &str, step: &str) -> bool {
    state.repairs.ticked.contains(&(bay.machine.id.0.clone(), key.to_owned(), step.to_owned()))
}

fn phase(cx: &ViewCtx<'_>, ui: &mut Ui, title: &str, lines: &[String]) {
    if lines.is_empty() {
        return;
    }
    ui.label(RichText::new(title).small().color(cx.tokens.faint));
    ui.label(lines.join("; "));
}

fn fasteners(cx: &ViewCtx<'_>, state: &UiState, ui: &mut Ui, fasteners: &[Fastener]) {
    ui.label(RichText::new("Torque").small().color(cx.tokens.faint));
    if fasteners.is_empty() {
        ui.label("No figure for it is in the machine's data: look it up in the manual, and enter it (F2).");
    }
    let wrench = state.repairs.wrench.wrench().and_then(Result::ok);
    for fastener in fasteners {
        ui.label(fastener_words(cx, fastener, wrench.as_ref()));
    }
}

fn fastener_words(cx: &ViewCtx<'_>, fastener: &Fastener, wrench: Option<&Wrench>) -> String {
    let figure = &fastener.figure;
    let mut words = format!("{}: {} ({})", figure.fastener, cx.units().show(figure.torque), figure.source);
    match wrench.map(|w| w.setting(figure.torque)) {
        Some(Ok(set)) => words.push_str(&format!("; with the extension set the wrench to {}", cx.units().show(set))),
        Some(Err(why)) => words.push_str(&format!("; {why}")),
        None => {}
    }
    words
}

fn asked_again(cx: &ViewCtx<'_>, ui: &mut Ui, group: &RepairGroup) {
    let mut titles: Vec<String> = Vec::new();
    for check in &group.asks {
        let title = cx.catalogue.check(&check.check).map_or_else(
            || check.to_string(),
            |c| {
                let part = check.subject.words();
                if part.is_empty() { c.title.clone() } else { format!("{}, {part}", c.title) }
            },
        );
        titles.push(title);
    }
    ui.label(RichText::new("Asked again after it").small().color(cx.tokens.faint));
    ui.label(RichText::new(titles.join("; ")).small());
}
