//! A new exercise from the machine in hand and one of its inspections, which becomes the key.

use egui::Ui;

use super::entries;
use crate::edit::Command;
use crate::exercise::{EXERCISE_MINUTES, Exercise, ExerciseId, Key};
use crate::inspection::{Inspection, InspectionId};
use crate::machine::SCHEMA;
use crate::ui::widgets::{caption, choice, strong};
use crate::ui::{Action, UiState, ViewCtx};

/// What is typed about a new exercise.
#[derive(Clone, Debug, Default)]
pub(super) struct MakeForm {
    title: String,
    task: String,
    minutes: String,
    /// The inspection; none for the one in hand.
    inspection: Option<InspectionId>,
}

/// Draws the form.
pub(super) fn ui(cx: &ViewCtx<'_>, state: &mut UiState, actions: &mut Vec<Action>, ui: &mut Ui) {
    strong(ui, "Make an exercise");
    let Some(bay) = cx.bay(state) else {
        ui.label("Add a machine at the left first.");
        return;
    };
    if bay.inspections.is_empty() {
        ui.label(format!(
            "{} has no inspection yet. Walk round it once yourself (F1) and note what there is to find: that becomes the \
             key. Another machine is chosen at the left.",
            bay.machine.name
        ));
        return;
    }
    caption(ui, &format!("From {}; another machine is chosen at the left.", bay.machine.name));
    let form = &mut state.class.make;
    entries::text(ui, "Title", "Walk round the tourer", &mut form.title, 320.0);
    let in_hand = form.inspection.clone().filter(|id| bay.inspection(id).is_some());
    let current = in_hand.or_else(|| state.inspection.clone()).or_else(|| bay.latest().map(|i| i.id.clone()));
    let all: Vec<_> = bay.inspections.iter().rev().map(|i| (Some(i.id.clone()), inspection_words(cx, i))).collect();
    if let Some(chosen) = choice(ui, "The key is", &current, &all) {
        form.inspection = chosen;
    }
    entries::lines(ui, "Task", "what you tell the students", &mut form.task, 420.0);
    entries::text(ui, "Time limit", "minutes; empty for none", &mut form.minutes, 220.0);
    let inspection = current.as_ref().and_then(|id| bay.inspection(id));
    let minutes = minutes(&form.minutes);
    let lacking = match (&minutes, form.title.trim().is_empty()) {
        (Err(why), _) => Some(why.clone()),
        (Ok(_), true) => Some("Expected a title, found none: type one.".into()),
        (Ok(_), false) => None,
    };
    let is_ready = lacking.is_none() && inspection.is_some();
    let is_pressed = ui.add_enabled(is_ready, egui::Button::new("Make the exercise")).clicked();
    if let Some(lacking) = &lacking {
        caption(ui, lacking);
    }
    if let (true, Ok(minutes), Some(inspection)) = (is_pressed, minutes, inspection) {
        let random: String = cx.ids.fresh().chars().take(4).collect();
        let id = ExerciseId::of(form.title.trim(), &random);
        let exercise = Exercise {
            schema: SCHEMA,
            id: id.clone(),
            title: form.title.trim().to_owned(),
            machine: bay.machine.id.clone(),
            kind: inspection.kind.clone(),
            date: cx.today,
            minutes,
            task: form.task.trim().to_owned(),
        };
        actions.push(Action::Edit(Command::PutExercise(exercise)));
        actions.push(Action::Edit(Command::PutKey(Key::of(id.clone(), inspection.clone()))));
        state.class.make = MakeForm::default();
        state.class.choose(Some(id));
        state.class.view = super::View::Key;
    }
}

fn inspection_words(cx: &ViewCtx<'_>, inspection: &Inspection) -> String {
    let kind = cx.catalogue.kind(&inspection.kind).map_or(inspection.kind.as_str(), |k| k.name.as_str());
    let n = inspection.findings.len();
    format!("{} {kind}, {n} finding{}", inspection.date, if n == 1 { "" } else { "s" })
}

/// A time limit: whole minutes, or none.
pub(super) fn minutes(text: &str) -> Result<Option<u32>, String> {
    let figure = text.trim().trim_end_matches("minutes").trim_end_matches("min").trim();
    if figure.is_empty() {
        return Ok(None);
    }
    match figure.parse::<u32>() {
        Ok(n) if EXERCISE_MINUTES.contains(&n) => Ok(Some(n)),
        _ => Err(format!("expected whole minutes from 1 to 600, found \"{figure}\": type the figure, or none")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_time_limit_is_whole_minutes_or_none() {
        assert_eq!((minutes(""), minutes("40 min"), minutes(" 25 ")), (Ok(None), Ok(Some(40)), Ok(Some(25))));
        for slip in ["0", "-3", "soon", "9999", "2.5"] {
            assert!(minutes(slip).expect_err(slip).contains("expected whole minutes"), "{slip}");
        }
    }
}
