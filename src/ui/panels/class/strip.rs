//! What is said along the top while a student works: the exercise, and the time that is left.

use std::time::Duration;

use egui::{Margin, Panel, RichText, Ui};

use crate::inspection::Inspection;
use crate::ui::theme::strong_family;
use crate::ui::{Action, Place, UiState, ViewCtx};

/// Draws the strip, where an inspection in hand answers an exercise.
pub fn strip(cx: &ViewCtx<'_>, state: &UiState, actions: &mut Vec<Action>, ui: &mut Ui) {
    let (Some(bay), Some(inspection)) = (cx.bay(state), cx.inspection(state)) else { return };
    let Some(exercise) = cx.garage.exercise_for(&bay.machine.id, &inspection.kind) else { return };
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
