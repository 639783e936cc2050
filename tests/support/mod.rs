//! The window driven without a display: the same shell as the program's, with its own folders, a stopped clock and
//! seeded ids.
#![allow(dead_code, reason = "each test binary takes what it needs")]

use std::path::{Path, PathBuf};
use std::sync::mpsc::Sender;
use std::sync::{Arc, Mutex};

use chrono::DateTime;
use egui::accesskit::Role;
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;
use stemclock::app::{Dialogs, Disk, Homes, Look, Question, RealDisk, Settings, Shell, Start, StoppedClock, Waker};
use stemclock::garage::GarageInfo;
use stemclock::store;
use stemclock::ui::{Action, Ids};

/// The day on which every test is run.
pub const NOW: &str = "2026-11-25T10:30:00+01:00";

/// Answers every question of the window with what the test put in.
#[derive(Clone, Default)]
pub struct Answers {
    /// What was asked.
    pub asked: Arc<Mutex<Vec<Question>>>,
    /// What is answered next.
    pub answer: Arc<Mutex<Option<Action>>>,
}

impl Dialogs for Answers {
    fn ask(&mut self, question: Question, answers: Sender<Action>, waker: Waker) {
        self.asked.lock().expect("no panic while locked").push(question);
        if let Some(answer) = self.answer.lock().expect("no panic while locked").take() {
            answers.send(answer).expect("the window listens");
            waker.wake();
        }
    }
}

/// A user's folders in a temporary place, with an empty garage in it.
pub struct Bench {
    /// Removed at the end.
    pub folder: tempfile::TempDir,
    /// What dialogs answer.
    pub answers: Answers,
}

impl Bench {
    /// An empty garage.
    pub fn new() -> Self {
        let folder = tempfile::tempdir().expect("a temporary folder");
        store::create(&folder.path().join("garage"), &GarageInfo::default()).expect("an empty garage");
        Self { folder, answers: Answers::default() }
    }
    /// The garage's folder.
    pub fn garage(&self) -> PathBuf {
        self.folder.path().join("garage")
    }
    /// The user's folders.
    pub fn homes(&self) -> Homes {
        let at = |name: &str| self.folder.path().join(name);
        Homes { config: at("config"), data: at("data"), cache: at("cache") }
    }
    /// A fresh user, who gets a copy of the sample garage.
    pub fn sample(&self) -> Shell {
        self.shell(None)
    }
    /// Light or dark, as if chosen in an earlier run.
    pub fn remember_look(&self, look: Look) {
        store::make_folder(&self.homes().config).expect("a settings folder");
        let settings = Settings { look, ..Settings::default() };
        settings.write(&RealDisk, &self.homes()).expect("settings");
    }
    /// The shell on a garage, with the real disk.
    pub fn shell(&self, folder: Option<&Path>) -> Shell {
        self.shell_on(folder, Arc::new(RealDisk))
    }
    /// The shell on a garage, with a disk of the test's making.
    pub fn shell_on(&self, folder: Option<&Path>, disk: Arc<dyn Disk>) -> Shell {
        Shell::start(Start {
            homes: self.homes(),
            folder: folder.map(ToOwned::to_owned),
            disk,
            clock: Box::new(StoppedClock(DateTime::parse_from_rfc3339(NOW).expect("a moment"))),
            ids: Ids::seeded(7),
            dialogs: Box::new(self.answers.clone()),
        })
    }
}

/// A window on a shell, of a size in points, drawn into nothing.
pub fn window<'a>(shell: Shell, size: [f32; 2]) -> Harness<'a, Shell> {
    open(Harness::builder(), shell, size)
}

/// The same, painted by a graphics card or by a program that stands in for one.
pub fn painted_window<'a>(shell: Shell, size: [f32; 2]) -> Harness<'a, Shell> {
    open(Harness::builder().wgpu(), shell, size)
}

fn open<'a>(builder: egui_kittest::HarnessBuilder<Shell>, shell: Shell, size: [f32; 2]) -> Harness<'a, Shell> {
    let mut harness =
        builder.with_size(size).with_max_steps(16).with_context_setup(stemclock::ui::theme::install).build_ui_state(
            |ui, shell: &mut Shell| {
                shell.logic(ui.ctx());
                shell.ui(ui);
            },
            shell,
        );
    harness.run();
    harness
}

/// Lets threads finish and the window come to rest, so that nothing moves between looking and pressing.
pub fn rest(harness: &mut Harness<'_, Shell>) {
    harness.state_mut().settle_all();
    harness.run();
}

/// Types into a field, over what is there, and presses Enter.
pub fn fill(harness: &mut Harness<'_, Shell>, label: &str, text: &str) {
    rest(harness);
    harness.get_by_role_and_label(Role::TextInput, label).focus();
    harness.run();
    harness.key_press_modifiers(egui::Modifiers::COMMAND, egui::Key::A);
    harness.run();
    harness.get_by_role_and_label(Role::TextInput, label).type_text(text);
    harness.run();
    harness.key_press(egui::Key::Enter);
    harness.run();
}

/// The text in a field.
pub fn value(harness: &Harness<'_, Shell>, label: &str) -> String {
    harness.get_by_role_and_label(Role::TextInput, label).value().unwrap_or_default()
}

/// Presses what carries a label.
pub fn press(harness: &mut Harness<'_, Shell>, label: &str) {
    rest(harness);
    harness.get_by_label(label).click();
    harness.run();
}
