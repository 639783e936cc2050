//! What falls due over all machines, overdue first, then month by month; and the same as a file for a calendar.

use std::sync::Arc;

use chrono::{Datelike, NaiveDate};
use egui::{RichText, ScrollArea, Ui};

use crate::forecast::{Due, DueKind, When, months_on};
use crate::machine::MachineId;
use crate::ui::widgets::{caption, heading, named, seen_only, strong, typed_line};
use crate::ui::{Action, Place, UiState, ViewCtx};

/// What the panel keeps between frames.
#[derive(Clone, Debug, Default)]
pub struct CalendarState {
    /// The path typed for the file.
    path: String,
    /// What falls due, worked out once a change.
    kept: Option<Kept>,
}

/// The list, and of which garage and day it is.
#[derive(Clone, Debug)]
struct Kept {
    revision: (u64, u64),
    today: NaiveDate,
    items: Arc<[Due]>,
}

impl CalendarState {
    /// The list of today, worked out anew only when the garage or the day has changed.
    fn items(&mut self, cx: &ViewCtx<'_>) -> Arc<[Due]> {
        let revision = (cx.derived.revision, cx.derived.arrivals);
        let is_fresh = self.kept.as_ref().is_some_and(|k| k.revision == revision && k.today == cx.today);
        if !is_fresh {
            let items = cx.derived.due(cx.garage, cx.catalogue, cx.today);
            self.kept = Some(Kept { revision, today: cx.today, items: items.into() });
        }
        self.kept.as_ref().map_or_else(|| Arc::from([]), |k| k.items.clone())
    }
}

/// Draws the panel.
pub fn ui(cx: &ViewCtx<'_>, state: &mut UiState, actions: &mut Vec<Action>, ui: &mut Ui) {
    let mut gone_to = None;
    ScrollArea::vertical().auto_shrink([false, false]).show(ui, |ui| {
        ui.set_max_width(ui.available_width().min(900.0));
        heading(ui, "What falls due");
        caption(
            ui,
            "Over all machines in use. Wear is an estimate and no verdict: measure before you rely on it. The handbook \
             and the law go before common practice.",
        );
        save(state, actions, ui);
        if let Some((read, of)) = cx.derived.far() {
            caption(
                ui,
                &format!("{read} of {of} machines have been read; what falls due on the others is still to come."),
            );
        }
        let items = state.calendar.items(cx);
        let is_long = items.len() > LONG;
        if items.is_empty() {
            ui.add_space(10.0);
            strong(ui, "Nothing is known to fall due");
            ui.label(
                "Enter services, dates of papers and fluids in the machine's data (F2), and measure what wears at two \
                 inspections or more.",
            );
        }
        for (title, group) in groups(&items, cx.today) {
            ui.add_space(10.0);
            strong(ui, &title);
            for item in group {
                if is_long {
                    seen_only(ui, (&item.machine, &item.id), ROW, |ui| row(cx, item, &mut gone_to, ui));
                } else {
                    row(cx, item, &mut gone_to, ui);
                }
            }
        }
        let beyond = items.iter().filter(|i| i.when == When::Later).count();
        if beyond > 0 {
            ui.add_space(10.0);
            caption(ui, &format!("{beyond} more fall due after the next twelve months; the file holds them too."));
        }
    });
    if let Some((machine, kind)) = gone_to {
        if state.machine.as_ref() != Some(&machine) {
            (state.machine, state.inspection, state.check, state.finding) = (Some(machine), None, None, None);
        }
        actions.push(Action::Go(if kind == DueKind::Wear { Place::History } else { Place::Machine }));
    }
}

/// From this length on only the rows that are seen are drawn.
const LONG: usize = 200;
/// How high a row is thought to be before it is drawn, in points.
const ROW: f32 = 42.0;

/// The groups in order: overdue, each month of the next twelve, then what has no day.
fn groups(items: &[Due], today: NaiveDate) -> Vec<(String, Vec<&Due>)> {
    let mut groups = vec![("Overdue".to_owned(), items.iter().filter(|i| i.when == When::Overdue).collect::<Vec<_>>())];
    let first = today.with_day(1).unwrap_or(today);
    for month in 0..=12 {
        let Some(from) = months_on(first, month) else { continue };
        let is_of = |day: NaiveDate| day.year() == from.year() && day.month() == from.month();
        let mine = items.iter().filter(|i| i.when == When::WithinAYear && i.date.is_some_and(is_of)).collect();
        groups.push((from.format("%B %Y").to_string(), mine));
    }
    for (when, title) in
        [(When::ByDistance, "By distance, no day can be given"), (When::Unknown, "Not known when: never taken down")]
    {
        groups.push((title.to_owned(), items.iter().filter(|i| i.when == when).collect()));
    }
    groups.retain(|(_, mine)| !mine.is_empty());
    groups
}

fn row(cx: &ViewCtx<'_>, item: &Due, gone_to: &mut Option<(MachineId, DueKind)>, ui: &mut Ui) {
    ui.horizontal_wrapped(|ui| {
        let words = RichText::new(format!("{}: {}", item.name, item.what)).color(cx.tokens.strong);
        let pressed = ui.link(words).on_hover_text(format!("{} of {}", item.kind.word(), item.name));
        if pressed.clicked() {
            *gone_to = Some((item.machine.clone(), item.kind));
        }
        ui.label(item.by_words(cx.units()));
    });
    caption(ui, &format!("{} · {} ({})", item.kind.word(), item.why.trim_end_matches('.'), item.source));
}

/// Where the file goes: by the system's dialog or to a typed path.
fn save(state: &mut UiState, actions: &mut Vec<Action>, ui: &mut Ui) {
    let mut is_asked = false;
    if ui.button("Save for a calendar…").on_hover_text("An iCalendar file, .ics, for the calendar you use.").clicked()
    {
        actions.push(Action::ChooseCalendarFile);
    }
    named(ui, "or type a path", |ui, name_id| {
        ui.horizontal_wrapped(|ui| {
            let width = 320.0_f32.min((ui.available_width() - 110.0).max(120.0));
            let edit = typed_line(&mut state.calendar.path).desired_width(width).hint_text("due.ics");
            let response = ui.add(edit);
            let response = match name_id {
                Some(id) => response.labelled_by(id),
                None => response,
            };
            is_asked = response.lost_focus() && ui.input(|i| i.key_pressed(egui::Key::Enter));
            let is_typed = !state.calendar.path.trim().is_empty();
            is_asked |= ui.add_enabled(is_typed, egui::Button::new("Save it there")).clicked();
        });
    });
    let path = state.calendar.path.trim();
    if is_asked && !path.is_empty() {
        actions.push(Action::SaveCalendarAt(path.to_owned()));
    }
}
