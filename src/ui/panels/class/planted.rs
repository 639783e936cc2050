//! Defects planted on the machine for a class: the removal list, ticked out one by one with a second look.

use egui::Ui;

use super::{ClassState, entries};
use crate::class::{not_in_key, words};
use crate::edit::Command;
use crate::garage::{Bay, Course};
use crate::history::{Planted, planted};
use crate::inspection::{Event, EventId, EventKind};
use crate::machine::SCHEMA;
use crate::ui::widgets::{caption, sentence, strong, trouble};
use crate::ui::{Action, ViewCtx};

/// What is typed about planted defects.
#[derive(Clone, Debug, Default)]
pub(super) struct PlantedForm {
    what: String,
    remove: String,
    /// Who plants or takes out; none before it is typed.
    by: Option<String>,
    /// The one that is being ticked out.
    ticked: Option<EventId>,
    look: String,
}

/// Draws it.
pub(super) fn ui(cx: &ViewCtx<'_>, course: &Course, class: &mut ClassState, actions: &mut Vec<Action>, ui: &mut Ui) {
    let Some(bay) = cx.garage.bay(&course.exercise.machine) else { return };
    strong(ui, "Removal list");
    caption(
        ui,
        "What was planted on the real machine for the class. Until each is ticked out with a second look at its place, \
         the machine reads \"do not ride, class exercise\", whatever else is known of it. Keep its ignition key with you.",
    );
    let form = &mut class.planted;
    form.by.get_or_insert_with(|| cx.inspector.to_owned());
    let still_in = planted(bay, cx.today);
    if still_in.is_empty() {
        ui.label(format!("Nothing is planted on {} now.", bay.machine.name));
    } else {
        trouble(ui, &sentence(&banner_words(still_in.len())));
    }
    for one in &still_in {
        ui.push_id(&one.event.id.0, |ui| {
            row(cx, bay, one, form, actions, ui);
            // Another exercise has another key.
            if one.exercise == course.exercise.id.0
                && let Some(why) = not_in_key(cx.catalogue, course.key.as_ref(), one.what)
            {
                ui.indent("not in the key", |ui| caption(ui, &why));
            }
        });
    }
    ui.add_space(12.0);
    plant(cx, course, bay, form, actions, ui);
}

/// What the machine reads while so many are in.
pub(super) fn banner_words(n: usize) -> String {
    match n {
        1 => "do not ride, class exercise: 1 planted defect is still in".into(),
        n => format!("do not ride, class exercise: {n} planted defects are still in"),
    }
}

/// One that is still in, with its tick.
fn row(cx: &ViewCtx<'_>, bay: &Bay, one: &Planted<'_>, form: &mut PlantedForm, actions: &mut Vec<Action>, ui: &mut Ui) {
    let id = &one.event.id;
    let mut is_ticked = form.ticked.as_ref() == Some(id);
    if ui.checkbox(&mut is_ticked, sentence(one.what.trim())).changed() {
        form.ticked = is_ticked.then(|| id.clone());
        form.look.clear();
    }
    ui.indent("how", |ui| {
        caption(ui, &format!("Taken out so: {} Planted {}.", stopped(one.remove), one.event.date));
        if !is_ticked {
            return;
        }
        entries::text(ui, "What the second look showed", "the place as it is now", &mut form.look, 320.0);
        let by = form.by.get_or_insert_default();
        entries::text(ui, "Who looked", "name", by, 200.0);
        let is_said = !form.look.trim().is_empty() && !by.trim().is_empty();
        if ui.add_enabled(is_said, egui::Button::new("It is out")).clicked() {
            let kind = EventKind::Unplanted { planted: id.clone(), look: form.look.trim().to_owned() };
            actions.push(record(cx, bay, "unplanted", kind, by));
            form.ticked = None;
            form.look.clear();
        }
    });
}

/// A further one goes on the list, best before it goes on the machine.
fn plant(cx: &ViewCtx<'_>, course: &Course, bay: &Bay, form: &mut PlantedForm, actions: &mut Vec<Action>, ui: &mut Ui) {
    strong(ui, "Put one on the list");
    caption(
        ui,
        "Before it goes on the machine. Plant nothing that could hurt who walks round it, and nothing that this list does not name.",
    );
    let known: Vec<&str> = planted(bay, cx.today).iter().map(|p| p.what).collect();
    let findings = course.key.iter().flat_map(|k| &k.inspection.findings);
    let of_key: Vec<String> = findings.map(|f| words::finding_words(cx.catalogue, f)).collect();
    ui.horizontal_wrapped(|ui| {
        for words in of_key.iter().filter(|w| !known.contains(&w.as_str())) {
            if ui.small_button(words).on_hover_text("from the key").clicked() {
                form.what.clone_from(words);
            }
        }
    });
    entries::text(ui, "What, and where", "a screw in the front tyre at 4:30 from the right", &mut form.what, 420.0);
    entries::text(ui, "How it is taken out", "pulled with pliers; it sits in the rubber only", &mut form.remove, 420.0);
    let by = form.by.get_or_insert_default();
    entries::text(ui, "Who plants it", "name", by, 200.0);
    let is_said = !form.what.trim().is_empty() && !form.remove.trim().is_empty();
    if ui.add_enabled(is_said, egui::Button::new("Put it on the list")).clicked() {
        let kind = EventKind::Planted {
            exercise: course.exercise.id.0.clone(),
            what: form.what.trim().to_owned(),
            remove: form.remove.trim().to_owned(),
        };
        actions.push(record(cx, bay, "planted", kind, by));
        form.what.clear();
        form.remove.clear();
    }
}

fn record(cx: &ViewCtx<'_>, bay: &Bay, what: &str, kind: EventKind, by: &str) -> Action {
    let id = EventId(format!("{}-{what}-{}", cx.today, cx.ids.fresh()));
    let event = Event { schema: SCHEMA, id, date: cx.today, by: by.trim().to_owned(), kind };
    Action::Edit(Command::Record(bay.machine.id.clone(), event))
}

/// With a full stop at its end.
fn stopped(words: &str) -> String {
    format!("{}.", words.trim().trim_end_matches('.'))
}
