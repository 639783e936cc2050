//! Guided mode: the walk-around one check at a time, large, for dirty hands; and the results of a paper sheet typed in
//! one row after the other.
//!
//! ```text
//! kept     where the walk is, as it is kept between two runs of the program
//! course   going on, back, skipping; the plan made, and made anew when something forbids the rest of it
//! ask      the minutes at hand, the plan before it begins, the number of a sheet
//! step     one step: where, what, why, the limit for this machine, last time, the result
//! fields   where the result goes: digits need no field to be looked for
//! again    a finding of an earlier day looked at again, and how it is closed where it is gone
//! finding  what is wrong and where, by keyboard
//! entry    the rows of a sheet
//! done     what is still open at the end
//! parts    large things to press, cautions, the line of time
//! ```
//!
//! Reads, judges and marks with the walk's own widgets; every change goes the one write path.

mod again;
mod ask;
mod course;
mod done;
mod entry;
mod fields;
mod finding;
mod kept;
mod parts;
mod step;

use chrono::NaiveDateTime;
use egui::{Key, Ui};

use super::round::Round;
use crate::inspection::{CheckRef, InspectionId};
use crate::ui::theme::LargeType;
use crate::ui::{Action, UiState, ViewCtx};
pub use kept::{Kept, KeptWalk, Phase};

/// What the guided mode keeps between frames.
#[derive(Clone, Debug, Default)]
pub struct GuidedState {
    /// Whether it has the window.
    pub on: bool,
    /// The walks that were begun, the last one last.
    walks: Vec<KeptWalk>,
    /// The moment of the last frame, for the time used.
    last_seen: Option<NaiveDateTime>,
    /// A check that was called sound: the walk goes on unless its judgement is to be read first.
    go_on: Option<CheckRef>,
    /// The step that the screen showed last, so that another one begins at its head.
    shown: Option<String>,
    /// The step whose cautions are shown in full.
    cautions_of: Option<String>,
    /// What is told below the fields until the next key.
    told: String,
    /// The check whose figures are entered and whose choice is asked now: digits choose there.
    at_choice: Option<CheckRef>,
    /// The inspection of another day, or one that is complete, with which the user chose to go on.
    goes_on_with: Option<InspectionId>,
    /// Whether something was being typed in the last frame.
    was_typing: bool,
    /// The fault that is marked in the list of faults.
    marked: usize,
    /// The number typed so far in the list of faults; it marks one, and Enter takes it.
    number: String,
    /// Whether the place of the finding is settled and its fault is being chosen.
    is_placed: bool,
}

impl GuidedState {
    /// Tells why something was not done.
    pub(super) fn told_why(&mut self, why: String) {
        self.told = why;
    }
    /// The walk of an inspection.
    fn walk(&self, round: &Round<'_>) -> Option<&KeptWalk> {
        self.walks.iter().find(|w| w.machine == round.machine().id && w.inspection == round.inspection.id)
    }
    /// The same, to be changed; begun where there was none.
    fn walk_mut(&mut self, round: &Round<'_>) -> &mut KeptWalk {
        let is_it = |w: &KeptWalk| w.machine == round.machine().id && w.inspection == round.inspection.id;
        let index = self.walks.iter().position(is_it).unwrap_or_else(|| {
            // A handful of walks is remembered; the oldest make room.
            if self.walks.len() >= 12 {
                self.walks.remove(0);
            }
            self.walks.push(KeptWalk::new(round.machine().id.clone(), round.inspection.id.clone()));
            self.walks.len() - 1
        });
        &mut self.walks[index]
    }
}

/// The button in the head of the walk-around that begins or continues the guided walk.
pub(super) fn button(round: &Round<'_>, state: &mut UiState, ui: &mut Ui) {
    let is_begun = state.walk.guided.walk(round).is_some_and(|w| w.phase != Phase::Minutes);
    let words = if is_begun { "Guide me on" } else { "Guide me" };
    if ui.button(words).on_hover_text("One check at a time, by keyboard (key G)").clicked() {
        enter(state, ui);
    }
}

/// The key of that button, wherever in the walk-around one is.
pub(super) fn listen(state: &mut UiState, ui: &Ui) {
    if parts::letter(ui, Key::G) {
        enter(state, ui);
    }
}

/// Gives the window to the guided mode, with the keyboard: what had it, such as the name of the place, would keep Enter.
fn enter(state: &mut UiState, ui: &Ui) {
    ui.memory_mut(|m| {
        if let Some(id) = m.focused() {
            m.surrender_focus(id);
        }
    });
    state.walk.guided.on = true;
    state.walk.guided.shown = None;
    state.walk.guided.last_seen = None;
    state.walk.conditions = None;
}

/// Gives the window back to the walk-around, with the same check in hand.
fn leave(state: &mut UiState) {
    state.walk.guided.on = false;
    state.walk.drafts.focus_next = false;
    state.walk.drafts.seed = None;
}

/// Draws the guided mode.
pub(super) fn ui(round: &Round<'_>, state: &mut UiState, actions: &mut Vec<Action>, ui: &mut Ui) {
    let tokens = round.cx.tokens.large();
    let cx = ViewCtx { tokens: &tokens, ..round.cx };
    let round = &Round { cx, ..*round };
    let large = LargeType::of(ui.ctx().content_rect().size());
    crate::ui::theme::enlarge(ui, &large);
    course::tick(round, state, ui);
    course::keep_to_what_is_allowed(round, state);
    let phase = state.walk.guided.walk_mut(round).phase;
    let is_naming = state.walk.proposal.is_some();
    match phase {
        Phase::Minutes | Phase::Number => {
            let area = egui::ScrollArea::vertical().id_salt("guided-ask").auto_shrink([false, false]);
            area.show(ui, |ui| match phase {
                Phase::Minutes if ask::is_past(round, state) => ask::whether_today(round, state, actions, ui, &large),
                Phase::Minutes => ask::minutes(round, state, ui, &large),
                _ => ask::number(round, state, ui, &large),
            });
        }
        Phase::Ready => ask::ready(round, state, ui, &large),
        Phase::Walk | Phase::Entry if is_naming => finding::ui(round, state, actions, ui, &large),
        Phase::Walk => step::ui(round, state, actions, ui, &large),
        Phase::Entry => entry::ui(round, state, actions, ui, &large),
        Phase::Done => done::ui(round, state, actions, ui, &large),
    }
    // What nobody took in this frame must not fall into a field of the next step.
    state.walk.drafts.seed = None;
    // Escape leaves a field first, and only then the mode.
    let was_typing = std::mem::replace(&mut state.walk.guided.was_typing, ui.text_edit_focused());
    if !was_typing && !ui.text_edit_focused() && !is_naming && parts::pressed(ui, Key::Escape) {
        leave(state);
    }
}
