//! The class: exercises made, keyed and handed out, sheets handed in and taken in, scores, and the projector.
//!
//! ```text
//! list      the exercises, and one that was sent     make      a new one from a machine and an inspection
//! key       the key: findings, readings, marking     also      which names count as well
//! tolerance how far a reading may be off             told      what the students are told
//! hand_out  the students' pack, sheets taken in      hand_in   a student's sheet
//! scores    the class: figures, table, most missed   student   one student against the key
//! drawings  plan and clock faces with marks          kept      scores worked out once a change
//! projector one finding at a time, in large type     strip     the time that is left, in every place
//! planted   the removal list of planted defects, with ticks
//! entries   figures and paths that are typed         arrivals  files dropped on the window
//! ```
//!
//! Sends every change as an action. Must not know the store or the app, and does not score.

mod also;
mod arrivals;
mod drawings;
mod entries;
mod hand_in;
mod hand_out;
mod kept;
mod key;
mod list;
mod make;
mod planted;
mod projector;
mod scores;
mod strip;
mod student;
mod told;
mod tolerance;

use egui::{ScrollArea, Ui};

pub use arrivals::arrivals;
pub use strip::strip;

use crate::class::Roster;
use crate::exercise::{ExerciseId, SheetId};
use crate::garage::{Bay, Course};
use crate::history::planted as planted_on;
use crate::inspection::FindingId;
use crate::machine::MachineId;
use crate::ui::widgets::{caption, heading, segments};
use crate::ui::{Action, UiState, ViewCtx};

/// What the panel keeps between frames.
#[derive(Clone, Debug, Default)]
pub struct ClassState {
    /// The exercise in hand.
    course: Option<ExerciseId>,
    /// Whether the list of exercises is shown though one could be in hand.
    is_listing: bool,
    view: View,
    make: make::MakeForm,
    /// The finding of the key that is unfolded.
    open: Option<FindingId>,
    /// Words by which further names are narrowed.
    also_filter: String,
    paths: entries::Paths,
    /// Whether students are numbered instead of named.
    hide_names: bool,
    /// The student whose sheet is looked at.
    student: Option<SheetId>,
    hand_in: hand_in::HandInForm,
    kept: kept::Kept,
    projector: projector::ProjectorState,
    planted: planted::PlantedForm,
}

impl ClassState {
    /// Whether the projector has the window to itself.
    pub fn is_projected(&self) -> bool {
        self.projector.is_on()
    }
    /// Whether the exercise in hand is about another machine than the one in hand.
    pub fn is_about_another(&self, cx: &ViewCtx<'_>, machine: Option<&MachineId>) -> bool {
        let course = self.course.as_ref().and_then(|id| cx.garage.course(id));
        course.is_some_and(|c| Some(&c.exercise.machine) != machine)
    }
    /// Opens the removal list of the exercise that planted a defect on a machine, or of any on that machine.
    fn show_planted(&mut self, cx: &ViewCtx<'_>, bay: &Bay) {
        let mut mine = cx.garage.courses.iter().filter(|c| c.exercise.machine == bay.machine.id);
        let named = planted_on(bay, cx.today).first().map_or("", |p| p.exercise);
        let course = mine.clone().find(|c| c.exercise.id.0 == named).or_else(|| mine.next());
        if let Some(course) = course {
            self.choose(Some(course.exercise.id.clone()));
            self.view = View::Planted;
        }
    }
    /// Takes an exercise in hand.
    fn choose(&mut self, course: Option<ExerciseId>) {
        self.is_listing = course.is_none();
        self.course = course;
        self.open = None;
        self.student = None;
    }
}

/// Which part of an instructor's exercise is shown.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
enum View {
    Key,
    // The key is not the first thing that a projector shows.
    #[default]
    HandOut,
    Planted,
    Scores,
}

const VIEWS: &[(View, &str)] = &[
    (View::Key, "The key"),
    (View::HandOut, "Hand out, take in"),
    (View::Planted, "Planted"),
    (View::Scores, "Scores"),
];

/// Draws the panel.
pub fn ui(cx: &ViewCtx<'_>, state: &mut UiState, actions: &mut Vec<Action>, ui: &mut Ui) {
    settle(cx, &mut state.class);
    let course = state.class.course.as_ref().and_then(|id| cx.garage.course(id));
    let Some(course) = course else {
        state.class.projector.leave();
        scrolled("list", ui, |ui| list::ui(cx, state, actions, ui));
        return;
    };
    // In a large garage a machine's records are read when it is taken in hand; until then nobody knows what is planted.
    if cx.derived.on_disk.machines.contains(&course.exercise.machine) {
        state.machine = Some(course.exercise.machine.clone());
        (state.inspection, state.check, state.finding) = (None, None, None);
        state.class.projector.leave();
        caption(ui, "The records of the exercise's machine are being read.");
        return;
    }
    state.class.kept.keep_up(cx, course);
    if state.class.projector.is_on() {
        projector::ui(cx, course, &mut state.class, ui);
        return;
    }
    head(course, state, ui);
    let is_instructors = course.key.is_some();
    // Each part is scrolled by itself.
    let part = (course.exercise.id.clone(), state.class.view as u8, state.class.student.clone());
    scrolled(part, ui, |ui| match (is_instructors, state.class.view) {
        (false, _) => hand_in::ui(cx, course, state, actions, ui),
        (true, View::Key) => key::ui(cx, course, &mut state.class, actions, ui),
        (true, View::HandOut) => hand_out::ui(course, &mut state.class, actions, ui),
        (true, View::Planted) => planted::ui(cx, course, &mut state.class, actions, ui),
        (true, View::Scores) if state.class.student.is_some() => {
            student::ui(cx, course, &mut state.class, actions, ui);
        }
        (true, View::Scores) => scores::ui(cx, course, &mut state.class, actions, ui),
    });
}

fn scrolled(part: impl std::hash::Hash + std::fmt::Debug, ui: &mut Ui, content: impl FnOnce(&mut Ui)) {
    ScrollArea::vertical().id_salt(part).auto_shrink([false, false]).show(ui, |ui| {
        ui.set_max_width(ui.available_width().min(1240.0));
        content(ui);
    });
}

/// Chooses what is there: where there is one exercise only, as in a student's garage, it is the one in hand.
fn settle(cx: &ViewCtx<'_>, class: &mut ClassState) {
    if class.course.as_ref().is_some_and(|id| cx.garage.course(id).is_none()) {
        class.choose(None);
        class.is_listing = false;
    }
    if class.course.is_none()
        && !class.is_listing
        && let [only] = &cx.garage.courses[..]
    {
        class.choose(Some(only.exercise.id.clone()));
    }
    let sheets = class.course.as_ref().and_then(|id| cx.garage.course(id)).map_or(&[][..], |c| &c.sheets);
    if class.student.as_ref().is_some_and(|id| !sheets.iter().any(|s| &s.id == id)) {
        class.student = None;
    }
}

/// The exercise in hand, its parts, and the way back to the list.
fn head(course: &Course, state: &mut UiState, ui: &mut Ui) {
    let class = &mut state.class;
    ui.horizontal_wrapped(|ui| {
        heading(ui, &course.exercise.title);
        if ui.button("All exercises").clicked() {
            class.choose(None);
        }
        let is_offered = course.key.is_some();
        let is_pressed = is_offered
            && !ui.ctx().text_edit_focused()
            && ui.input_mut(|i| i.consume_key(egui::Modifiers::NONE, egui::Key::P));
        let button = is_offered.then(|| ui.button("Projector (P)").on_hover_text("large, one finding at a time"));
        if is_pressed || button.is_some_and(|b| b.clicked()) {
            class.projector.begin();
            ui.memory_mut(|m| {
                if let Some(id) = m.focused() {
                    m.surrender_focus(id);
                }
            });
        }
    });
    if course.key.is_some()
        && let Some(view) = segments(ui, "Show", &class.view, VIEWS)
    {
        class.view = view;
        class.student = None;
    }
    ui.add_space(4.0);
}

/// How the students of a course are called now.
fn roster(course: &Course, class: &ClassState) -> Roster {
    Roster::of(course, class.hide_names)
}
