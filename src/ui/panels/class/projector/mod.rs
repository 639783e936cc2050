//! The class on a projector: one finding at a time in large type, the key hidden until it is revealed, by keyboard only.
//!
//! ```text
//! slide     what one step shows        finding   a finding of the key, hidden or revealed
//! ```

mod finding;
mod slide;

use egui::{Key as Pressed, Ui};

use super::ClassState;
use super::kept::Marked;
use crate::class::Roster;
use crate::exercise::Key;
use crate::garage::Course;
use crate::machine::Machine;
use crate::ui::ViewCtx;
use crate::ui::widgets::{sentence, trouble};

/// What the projector keeps between frames.
#[derive(Clone, Debug, Default)]
pub(super) struct ProjectorState {
    on: bool,
    /// The step: 0 is the title, then the findings of the key, the class at the end.
    at: usize,
    /// Whether the key of this step is shown.
    revealed: bool,
}

impl ProjectorState {
    /// Whether it has the window.
    pub fn is_on(&self) -> bool {
        self.on
    }
    /// Gives it the window, from the title on.
    pub fn begin(&mut self) {
        *self = Self { on: true, at: 0, revealed: false };
    }
    /// Gives the window back.
    pub fn leave(&mut self) {
        self.on = false;
    }
    /// Steps on or back between the first step and the last; a new step is hidden.
    fn step(&mut self, forth: bool, last: usize) {
        let to = if forth { (self.at + 1).min(last) } else { self.at.saturating_sub(1) };
        if to != self.at {
            self.at = to;
            self.revealed = false;
        }
    }
}

/// Sizes of type on the projector. At two metres from a window of 1600 by 1000 points everything is at least 32 points
/// high; a smaller window has less in proportion.
#[derive(Clone, Copy, Debug)]
pub(super) struct Large {
    /// What the step is called.
    pub title: f32,
    /// Everything else.
    pub body: f32,
    /// How many times a drawing of the usual size is enlarged, so that its least words are as high.
    pub drawing: f32,
}

impl Large {
    /// The sizes for a window.
    fn of(window: egui::Vec2) -> Self {
        let share = (window.x / 1600.0).min(window.y / 1000.0).clamp(0.35, 2.5);
        // The least words of a clock face are 8.5 points high.
        Self { title: 50.0 * share, body: 34.0 * share, drawing: 32.0 / 8.5 * share }
    }
}

/// What a step is made of.
pub(super) struct Show<'a> {
    /// What the window may look at.
    pub cx: &'a ViewCtx<'a>,
    /// The exercise.
    pub course: &'a Course,
    /// Its key.
    pub key: &'a Key,
    /// Its machine.
    pub machine: &'a Machine,
    /// The scores.
    pub marked: &'a Marked,
    /// How the students are called.
    pub names: Roster,
    /// Sizes of type.
    pub large: Large,
    /// Whether the key is shown.
    pub revealed: bool,
}

/// Draws the step in hand.
pub(super) fn ui(cx: &ViewCtx<'_>, course: &Course, class: &mut ClassState, ui: &mut Ui) {
    let bay = cx.garage.bay(&course.exercise.machine);
    let marked = match class.kept.marked() {
        Some(Ok(marked)) => marked,
        Some(Err(why)) => {
            class.projector.leave();
            return trouble(ui, &sentence(&why));
        }
        None => return class.projector.leave(),
    };
    let (Some(key), Some(bay)) = (&course.key, bay) else { return class.projector.leave() };
    let last = key.inspection.findings.len() + 1;
    class.projector.at = class.projector.at.min(last);
    keys(class, last, ui);
    let show = Show {
        cx,
        course,
        key,
        machine: &bay.machine,
        marked: &marked,
        names: super::roster(course, class),
        large: Large::of(ui.ctx().content_rect().size()),
        revealed: class.projector.revealed,
    };
    slide::legend(&show, ui);
    match class.projector.at {
        0 => slide::title(&show, ui),
        at => match key.inspection.findings.get(at - 1) {
            Some(one) => finding::ui(&show, at, one, ui),
            None => slide::class(&show, ui),
        },
    }
}

/// The keys: arrows step, Space hides and reveals, N hides names, Escape leaves.
fn keys(class: &mut ClassState, last: usize, ui: &Ui) {
    let pressed = |key| ui.input_mut(|i| i.consume_key(egui::Modifiers::NONE, key));
    if pressed(Pressed::ArrowRight) || pressed(Pressed::ArrowDown) || pressed(Pressed::PageDown) {
        class.projector.step(true, last);
    }
    if pressed(Pressed::ArrowLeft) || pressed(Pressed::ArrowUp) || pressed(Pressed::PageUp) {
        class.projector.step(false, last);
    }
    if pressed(Pressed::Space) {
        class.projector.revealed = !class.projector.revealed;
    }
    if pressed(Pressed::N) {
        class.hide_names = !class.hide_names;
    }
    if pressed(Pressed::Escape) {
        class.projector.leave();
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn everything_is_at_least_32_points_high_where_the_projector_shows_1600_by_1000() {
        let large = Large::of(egui::vec2(1600.0, 1000.0));
        assert!(large.title >= 32.0 && large.body >= 32.0);
        // The least words of a clock face of the usual kind: "12 is the valve" at 8.5 points.
        assert!(8.5 * large.drawing >= 32.0 - 1e-3);
    }

    #[test]
    fn steps_stay_between_the_title_and_the_class_and_a_new_one_is_hidden() {
        let mut projector = ProjectorState::default();
        projector.begin();
        projector.revealed = true;
        projector.step(false, 3);
        assert!(projector.at == 0 && projector.revealed, "there is nothing before the title");
        for at in [1, 2, 3, 3] {
            projector.revealed = false;
            projector.step(true, 3);
            assert_eq!(projector.at, at);
        }
        projector.revealed = true;
        projector.step(false, 3);
        assert!(projector.at == 2 && !projector.revealed);
    }
}
