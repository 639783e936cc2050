//! The history of a machine: what was looked at and found when, how its parts wear, and two inspections side by side.
//!
//! ```text
//! timeline   inspections, events and findings from opened to closed     wear      readings, line, interval, limits
//! compare    two inspections, of one machine or of two                  kept      worked out once a change
//! ```

mod compare;
mod kept;
mod timeline;
mod wear;

use egui::{ScrollArea, Ui};

use crate::ui::widgets::{heading, segments, strong};
use crate::ui::{Action, UiState, ViewCtx};

/// What the panel keeps between frames.
#[derive(Clone, Debug, Default)]
pub struct HistoryState {
    view: View,
    /// The series whose plot is shown, by its id.
    series: Option<String>,
    compare: compare::Chosen,
    kept: kept::Kept,
}

/// Which part of the history is shown.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
enum View {
    #[default]
    Timeline,
    Wear,
    Compare,
}

const VIEWS: &[(View, &str)] =
    &[(View::Timeline, "Timeline"), (View::Wear, "Wear and what is left"), (View::Compare, "Compare two")];

/// Draws the panel.
pub fn ui(cx: &ViewCtx<'_>, state: &mut UiState, _actions: &mut Vec<Action>, ui: &mut Ui) {
    let Some(bay) = cx.bay(state) else {
        strong(ui, "No machine is chosen");
        ui.label("Add a machine at the left. Its history begins with its first inspection.");
        return;
    };
    let history = &mut state.history;
    history.kept.keep_up(cx, bay);
    heading(ui, &format!("History of {}", bay.machine.name));
    if let Some(view) = segments(ui, "Show", &history.view, VIEWS) {
        history.view = view;
    }
    ui.add_space(4.0);
    ui.push_id(&bay.machine.id.0, |ui| {
        ScrollArea::vertical().auto_shrink([false, false]).show(ui, |ui| match history.view {
            View::Timeline => timeline::ui(cx, bay, &history.kept, ui),
            View::Wear => wear::ui(cx, &history.kept, &mut history.series, ui),
            View::Compare => compare::ui(cx, bay, &mut history.compare, &mut history.kept, ui),
        });
    });
}
