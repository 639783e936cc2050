//! A record that was changed in this window and on disk: both versions side by side, and the choice between them.

mod lines;

use egui::{Label, RichText, ScrollArea, Ui};

use crate::edit::RecordKey;
use crate::ui::widgets::{Icon, Press};
use crate::ui::widgets::{caption, heading, press, sentence, strong, tokens, trouble};
use crate::ui::{Action, UiState};

pub use lines::{Row, differing};

/// What becomes of two versions of a record.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Choice {
    /// What this window has is written.
    Mine,
    /// What is on disk is taken, and what this window had is in the undo.
    Theirs,
    /// What is on disk is taken, and what this window had becomes a record of its own.
    Both,
}

/// What stands on disk.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Theirs {
    /// Nothing any more.
    Gone,
    /// Another version.
    Changed,
    /// Something that cannot be read, with the place and the way out.
    Unreadable(String),
}

/// Two versions of a record.
#[derive(Clone, Debug, PartialEq)]
pub struct Meeting {
    /// Which record.
    pub key: RecordKey,
    /// What it is called: `the machine Tourer`.
    pub what: String,
    /// What stands on disk.
    pub theirs: Theirs,
    /// The lines in which they differ, mine and theirs.
    pub rows: Vec<Row>,
    /// Whether both can be kept.
    pub can_be_both: bool,
}

/// What the window keeps of them.
#[derive(Clone, Debug, Default)]
pub struct MeetingState {
    /// All records of which there are two versions.
    pub list: Vec<Meeting>,
    /// The one that is compared in the middle.
    pub comparing: Option<RecordKey>,
}

/// One line a record in the strip of messages, with a button that shows both.
pub fn notices(state: &mut UiState, ui: &mut Ui) {
    let meeting = &mut state.meeting;
    for one in &meeting.list {
        ui.horizontal_wrapped(|ui| {
            let words = match one.theirs {
                Theirs::Gone => format!("{} was changed here and removed on disk", one.what),
                Theirs::Changed => format!("{} was changed here and on disk", one.what),
                Theirs::Unreadable(_) => format!("{} was changed here, and its file on disk cannot be read", one.what),
            };
            trouble(ui, &sentence(&words));
            let name = format!("Look at both versions of {}", one.what);
            let button = Press {
                mark: Some(Icon::Page),
                words: "Look at both",
                name: &name,
                tip: &name,
                enabled: true,
                selected: false,
            };
            if press(ui, &button).clicked() {
                meeting.comparing = Some(one.key.clone());
            }
        });
    }
}

/// Draws the comparison in the middle, if one is open.
pub fn ui(state: &mut UiState, actions: &mut Vec<Action>, ui: &mut Ui) -> bool {
    let meeting = &mut state.meeting;
    let Some(one) = meeting.list.iter().find(|one| Some(&one.key) == meeting.comparing.as_ref()) else {
        meeting.comparing = None;
        return false;
    };
    let mut choice = None;
    let mut is_later =
        !ui.ctx().text_edit_focused() && ui.input_mut(|i| i.consume_key(egui::Modifiers::NONE, egui::Key::Escape));
    heading(ui, &sentence(&one.what));
    ui.label(
        "It was changed in this window and on disk. Nothing is written over before you have chosen; what you do not \
         choose can be taken back by undo as long as the window is open.",
    );
    ui.add_space(6.0);
    ui.horizontal_wrapped(|ui| {
        if ui.button("Keep mine").on_hover_text("Write what this window has.").clicked() {
            choice = Some(Choice::Mine);
        }
        let theirs = match one.theirs {
            Theirs::Gone => "Let it be removed",
            _ => "Take what is on disk",
        };
        let can_take = !matches!(one.theirs, Theirs::Unreadable(_));
        let button = ui.add_enabled(can_take, egui::Button::new(theirs));
        if button.on_disabled_hover_text("It cannot be read: mend the file first.").clicked() {
            choice = Some(Choice::Theirs);
        }
        if one.can_be_both {
            let button = ui.button("Keep both").on_hover_text("Mine becomes an inspection of its own.");
            if button.clicked() {
                choice = Some(Choice::Both);
            }
        }
        is_later |=
            ui.button("Later").on_hover_text("Key Escape. Mine stays in this window, theirs on disk.").clicked();
    });
    ui.add_space(8.0);
    if let Theirs::Unreadable(why) = &one.theirs {
        trouble(ui, why);
        caption(
            ui,
            "Mend the file in a text editor, and this goes by itself. Keep mine sets the file aside whole first.",
        );
    } else {
        side_by_side(one, ui);
    }
    if let Some(choice) = choice {
        actions.push(Action::Settle(one.key.clone(), choice));
    }
    if choice.is_some() || is_later {
        meeting.comparing = None;
    }
    true
}

fn side_by_side(one: &Meeting, ui: &mut Ui) {
    let t = tokens(ui);
    let cell = |ui: &mut Ui, line: Option<&String>, is_shared: bool| {
        let words = RichText::new(line.map_or("", String::as_str)).monospace();
        let words = if is_shared { words.color(t.faint) } else { words.color(t.strong) };
        ui.add(Label::new(words).wrap());
    };
    ScrollArea::vertical().auto_shrink([false, false]).show(ui, |ui| {
        ui.columns(2, |sides| {
            strong(&mut sides[0], "Mine, in this window");
            let gone = one.theirs == Theirs::Gone;
            strong(&mut sides[1], if gone { "On disk: it is not there any more" } else { "On disk" });
        });
        for row in &one.rows {
            ui.columns(2, |sides| {
                cell(&mut sides[0], row.mine.as_ref(), row.is_shared());
                cell(&mut sides[1], row.theirs.as_ref(), row.is_shared());
            });
        }
    });
}
