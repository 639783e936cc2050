//! The events of a machine, newest first, what the odometer and the parts say of them, and the way to take one back.

use egui::{CollapsingHeader, RichText, Ui};

use super::typed::line;
use crate::edit::Command;
use crate::garage::Bay;
use crate::history::{Lives, OdometerLog};
use crate::inspection::{Event, EventId, EventKind, event_words};
use crate::machine::SCHEMA;
use crate::ui::panels::walk::words;
use crate::ui::theme::strong_family;
use crate::ui::{Action, UiState, ViewCtx};

/// The event that is being taken back.
#[derive(Clone, Debug, Default)]
pub(super) struct LogForm {
    of: Option<EventId>,
    reason: String,
    by: String,
}

/// Draws the list.
pub(super) fn ui(cx: &ViewCtx<'_>, state: &mut UiState, actions: &mut Vec<Action>, ui: &mut Ui, bay: &Bay) {
    let title = format!("What happened so far: {} events", bay.events.len());
    CollapsingHeader::new(title).id_salt("log").show(ui, |ui| {
        notes(cx, ui, bay);
        // As many as a hand scrolls through; the files hold all of them.
        for event in bay.events.iter().rev().take(200) {
            row(cx, state, actions, ui, bay, event);
        }
    });
}

/// What the odometer log and the lives of the parts have to say.
fn notes(cx: &ViewCtx<'_>, ui: &mut Ui, bay: &Bay) {
    let log = OdometerLog::of(bay, cx.today);
    let lives = Lives::of(bay, &log, cx.today);
    let said = log.notes.iter().map(|n| (n.doubt.is_problem(), n.message.clone()));
    let said = said.chain(lives.notes.iter().map(|n| (n.is_problem, n.message.clone())));
    for (is_problem, message) in said.take(20) {
        let text = words::capital(&message);
        let text = RichText::new(format!("{}.", text.trim_end_matches('.'))).small();
        ui.label(if is_problem {
            text.color(cx.tokens.strong).family(strong_family())
        } else {
            text.color(cx.tokens.faint)
        });
    }
}

fn row(cx: &ViewCtx<'_>, state: &mut UiState, actions: &mut Vec<Action>, ui: &mut Ui, bay: &Bay, event: &Event) {
    let by = if event.by.trim().is_empty() { String::new() } else { format!(", {}", event.by.trim()) };
    let mut text = format!("{}{by}: {}.", words::day(event.date), event_words(&event.kind, cx.units()));
    let back = bay.taken_back(&event.id);
    if let Some(back) = back {
        text.push_str(&format!(" Taken back on {}.", words::day(back.date)));
    }
    let color = if back.is_some() { cx.tokens.faint } else { cx.tokens.line };
    ui.push_id(&event.id.0, |ui| {
        ui.label(RichText::new(text).color(color));
        if back.is_some() {
            return;
        }
        CollapsingHeader::new(RichText::new("It was wrong").small()).id_salt("wrong").show(ui, |ui| {
            let form = &mut state.repairs.log;
            if form.of.as_ref() != Some(&event.id) {
                *form = LogForm { of: Some(event.id.clone()), by: cx.inspector.to_owned(), ..LogForm::default() };
            }
            ui.horizontal_wrapped(|ui| {
                line(cx, ui, "What was wrong with it", "a nought too many", &mut form.reason, 260.0);
                line(cx, ui, "Who says so", "name", &mut form.by, 150.0);
            });
            let ready = !form.reason.trim().is_empty() && !form.by.trim().is_empty();
            if ui.add_enabled(ready, egui::Button::new("Take it back")).clicked() {
                let kind = EventKind::TakenBack { event: event.id.clone(), reason: form.reason.trim().to_owned() };
                let id = EventId(format!("{}-taken-back-{}", cx.today, cx.ids.fresh()));
                let by = form.by.trim().to_owned();
                let back = Event { schema: SCHEMA, id, date: cx.today, by, kind };
                actions.push(Action::Edit(Command::Record(bay.machine.id.clone(), back)));
                *form = LogForm::default();
            }
        });
    });
}
