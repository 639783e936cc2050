//! What is said along the top in every place: that a machine carries planted defects and is not ridden; and while a
//! student works the exercise and the time that is left.

use std::time::Duration;

use egui::{Margin, Panel, RichText, Ui};

use super::planted::banner_words;
use crate::drawing::notch::Mark;
use crate::garage::{Bay, Course};
use crate::history::planted;
use crate::inspection::{Inspection, Severity};
use crate::ui::theme::strong_family;
use crate::ui::widgets::notch;
use crate::ui::{Action, Place, UiState, ViewCtx};

/// Draws the strips: where the machine in hand carries planted defects, and where an inspection in hand answers an
/// exercise.
pub fn strip(cx: &ViewCtx<'_>, state: &mut UiState, actions: &mut Vec<Action>, ui: &mut Ui) {
    banner(cx, state, actions, ui);
    exercise(cx, state, actions, ui);
}

/// The machine is not ridden until every planted defect is out.
fn banner(cx: &ViewCtx<'_>, state: &mut UiState, actions: &mut Vec<Action>, ui: &mut Ui) {
    let Some(bay) = cx.bay(state) else { return };
    let still_in = planted(bay, cx.today).len();
    if still_in == 0 {
        return;
    }
    let frame = egui::Frame::new().fill(cx.tokens.wash).stroke(egui::Stroke::new(2.0, cx.tokens.strong));
    let frame = frame.inner_margin(Margin::symmetric(16, 4));
    Panel::top("planted-strip").frame(frame).show_separator_line(false).show(ui, |ui| {
        ui.horizontal_wrapped(|ui| {
            let (rect, _) = ui.allocate_exact_size(egui::vec2(22.0, 22.0), egui::Sense::hover());
            notch(ui.painter(), rect.min, 22.0, Mark::Found(Severity::Dangerous), cx.tokens);
            let words = format!("{}: {}", bay.machine.name, banner_words(still_in));
            ui.label(RichText::new(words).family(strong_family()).color(cx.tokens.strong));
            if ui.small_button("Removal list (F7)").clicked() {
                state.class.show_planted(cx, bay);
                actions.push(Action::Go(Place::Class));
            }
        });
    });
}

/// The exercise that the inspection in hand answers, and its time.
fn exercise(cx: &ViewCtx<'_>, state: &mut UiState, actions: &mut Vec<Action>, ui: &mut Ui) {
    let Some(bay) = cx.bay(state) else { return };
    let answered = cx.inspection(state).and_then(|i| Some((i, cx.garage.exercise_for(&bay.machine.id, &i.kind)?)));
    let Some((inspection, exercise)) = answered else { return to_begin(cx, bay, state, actions, ui) };
    let words = match used(inspection, cx) {
        Some(used) => {
            // The minute changes of itself.
            ui.ctx().request_repaint_after(Duration::from_secs(15));
            time_words(used, exercise.minutes)
        }
        None => String::new(),
    };
    let frame = egui::Frame::new().fill(cx.tokens.wash).inner_margin(Margin::symmetric(16, 3));
    Panel::top("class-strip").frame(frame).show_separator_line(false).show(ui, |ui| {
        ui.horizontal_wrapped(|ui| {
            let strong = |words: &str| RichText::new(words).family(strong_family()).color(cx.tokens.strong);
            ui.label(strong(&format!("Class exercise: {}", exercise.title)));
            if !words.is_empty() {
                ui.label(strong(&words));
            }
            if state.place != Place::Class && ui.small_button("Task and handing in (F7)").clicked() {
                actions.push(Action::Go(Place::Class));
            }
        });
    });
}

/// The exercise that a student has not begun: what is asked, by which kind of inspection, and how it begins. On its own
/// page all of that is said anyway.
fn to_begin(cx: &ViewCtx<'_>, bay: &Bay, state: &UiState, actions: &mut Vec<Action>, ui: &mut Ui) {
    let is_open = |c: &&Course| {
        let exercise = &c.exercise;
        let is_begun = bay.inspections.iter().any(|i| i.kind == exercise.kind);
        c.key.is_none() && exercise.machine == bay.machine.id && !is_begun
    };
    let Some(exercise) = cx.garage.courses.iter().find(is_open).map(|c| &c.exercise) else { return };
    if state.place == Place::Class {
        return;
    }
    let kind = cx.catalogue.kind(&exercise.kind).map_or(exercise.kind.as_str(), |k| k.name.as_str());
    let frame = egui::Frame::new().fill(cx.tokens.wash).inner_margin(Margin::symmetric(16, 3));
    Panel::top("class-to-begin").frame(frame).show_separator_line(false).show(ui, |ui| {
        ui.horizontal_wrapped(|ui| {
            let title = format!("Class exercise: {}", exercise.title);
            ui.label(RichText::new(title).family(strong_family()).color(cx.tokens.strong));
            if !exercise.task.trim().is_empty() {
                ui.label(exercise.task.trim());
            }
            ui.label(format!("Begin an inspection of the kind \"{kind}\" on {}.", bay.machine.name));
            if ui.small_button("To the exercise (F7)").clicked() {
                actions.push(Action::Go(Place::Class));
            }
        });
    });
}

/// Whole minutes since an inspection of today began; none where nobody knows when.
pub(super) fn used(inspection: &Inspection, cx: &ViewCtx<'_>) -> Option<i64> {
    let begun = inspection.date.and_time(inspection.started?);
    let minutes = (cx.now - begun).num_minutes();
    (0..24 * 60).contains(&minutes).then_some(minutes)
}

/// `12 min left of 40`, or how far over.
fn time_words(used: i64, limit: Option<u32>) -> String {
    let Some(limit) = limit else { return format!("{used} min so far") };
    match i64::from(limit) - used {
        left if left > 0 => format!("{left} min left of {limit}"),
        0 => "The time is over: hand in".into(),
        over => format!("The time is over by {} min: hand in", -over),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn time_is_told_as_what_is_left() {
        assert_eq!(time_words(0, Some(40)), "40 min left of 40");
        assert_eq!(time_words(39, Some(40)), "1 min left of 40");
        assert_eq!(time_words(40, Some(40)), "The time is over: hand in");
        assert_eq!(time_words(52, Some(40)), "The time is over by 12 min: hand in");
        assert_eq!(time_words(52, None), "52 min so far");
    }
}
