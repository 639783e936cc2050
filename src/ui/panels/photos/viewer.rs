//! One photo seen large: zoomed and moved by mouse and keys, with arrows, circles and blur boxes drawn over it.
//!
//! Marks are data of the record; the file stays as it is. They are burnt into what is printed or handed on.

use egui::{Key, RichText, Ui, vec2};

use super::canvas::{self, Canvas};
use super::home_words;
use crate::edit::{Command, PhotoHome, photos};
use crate::machine::MachineId;
use crate::photo::{PhotoMark, PhotoRef};
use crate::ui::widgets::{Press, caption, press, strong, typed_line, typed_lines};
use crate::ui::{Action, Place, UiState, ViewCtx};

/// What the hand does on the photo.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) enum Tool {
    /// Moves it.
    #[default]
    Move,
    /// Draws an arrow.
    Arrow,
    /// Draws a circle.
    Circle,
    /// Draws a box that hides.
    Blur,
}

const TOOLS: [(Tool, &str, &str); 4] = [
    (Tool::Move, "Move", "Drag the photo; the wheel and + − zoom, 0 shows all of it"),
    (Tool::Arrow, "Arrow", "Drag from where it begins to what it points to"),
    (Tool::Circle, "Circle", "Drag from its middle outwards"),
    (
        Tool::Blur,
        "Blur box",
        "Drag over a plate, a face or a house: it is one flat colour in all that leaves the garage",
    ),
];

/// The photo that is seen, and how.
#[derive(Clone, Debug)]
pub struct Viewing {
    pub(super) machine: MachineId,
    pub(super) home: PhotoHome,
    file: String,
    /// The place from which it was opened; another place shuts it.
    place: Place,
    tool: Tool,
    canvas: Canvas,
    words: String,
    copy_to: String,
    is_new: bool,
}

impl Viewing {
    pub(super) fn new(place: Place, machine: &MachineId, home: &PhotoHome, photo: &PhotoRef) -> Self {
        Self {
            machine: machine.clone(),
            home: home.clone(),
            file: photo.file.clone(),
            place,
            tool: Tool::default(),
            canvas: Canvas::default(),
            words: photo.words.clone(),
            copy_to: String::new(),
            is_new: true,
        }
    }
}

/// Draws the photo that is seen large, where one is. Gives whether it took the place in the middle.
pub fn ui(cx: &ViewCtx<'_>, state: &mut UiState, actions: &mut Vec<Action>, ui: &mut Ui) -> bool {
    let Some(mut viewing) = state.photos.viewing.take() else { return false };
    if viewing.place != state.place || state.machine.as_ref() != Some(&viewing.machine) {
        return false;
    }
    let list = photos(cx.garage, &viewing.machine, &viewing.home).unwrap_or_default();
    let Some(index) = list.iter().position(|p| p.file == viewing.file) else { return false };
    let photo = &list[index];
    let is_fixed = cx.garage.bay(&viewing.machine).is_some_and(|bay| bay.machine.read_only.is_some());
    let is_typing = ui.ctx().text_edit_focused();
    let mut is_shut = !is_typing && ui.input_mut(|i| i.consume_key(egui::Modifiers::NONE, Key::Escape));
    let mut step = 0_isize;
    if !is_typing {
        step += isize::from(ui.input(|i| i.key_pressed(Key::PageDown)));
        step -= isize::from(ui.input(|i| i.key_pressed(Key::PageUp)));
    }
    let mut changed = photo.clone();
    ui.horizontal_wrapped(|ui| {
        is_shut |= ui.button("Back").on_hover_text("Key Escape").clicked();
        strong(
            ui,
            &format!("Photo {} of {}: {}", index + 1, list.len(), home_words(cx, &viewing.machine, &viewing.home)),
        );
        if list.len() > 1 {
            step -= isize::from(ui.add_enabled(index > 0, egui::Button::new("Previous")).clicked());
            step += isize::from(ui.add_enabled(index + 1 < list.len(), egui::Button::new("Next")).clicked());
        }
    });
    ui.horizontal_wrapped(|ui| {
        for (tool, words, tip) in TOOLS {
            if is_fixed && tool != Tool::Move {
                continue;
            }
            let selected = viewing.tool == tool;
            let button = Press { mark: None, words, name: words, tip, enabled: true, selected };
            if press(ui, &button).clicked() {
                viewing.tool = tool;
            }
        }
        ui.separator();
        if ui.button("Smaller").on_hover_text("Key −").clicked() {
            viewing.canvas.zoom_by(1.0 / canvas::STEP);
        }
        if ui.button("Larger").on_hover_text("Key +").clicked() {
            viewing.canvas.zoom_by(canvas::STEP);
        }
        if ui.button("All of it").on_hover_text("Key 0").clicked() {
            viewing.canvas.show_all();
        }
    });
    let side = if ui.available_width() < 640.0 { 180.0 } else { 230.0 };
    egui::Panel::right("about-photo").resizable(false).exact_size(side).show_separator_line(false).show(ui, |ui| {
        egui::ScrollArea::vertical().id_salt("about-photo").show(ui, |ui| {
            about(cx, &mut viewing, &mut changed, is_fixed, actions, ui);
            is_shut |= removing(&viewing, is_fixed, actions, ui);
        });
    });
    let drawn = egui::CentralPanel::no_frame()
        .show(ui, |ui| {
            let picture = state.photos.shelf.get(&viewing.machine, &photo.file, super::shelf::LARGE);
            viewing.canvas.ui(cx.tokens, ui, &picture, &photo.marks, viewing.tool, std::mem::take(&mut viewing.is_new))
        })
        .inner;
    changed.marks.extend(drawn.filter(|mark| mark.is_seen()));
    if changed != *photo {
        actions.push(Action::Edit(Command::PutPhoto(viewing.machine.clone(), viewing.home.clone(), changed)));
    }
    let next = index.saturating_add_signed(step).min(list.len() - 1);
    if next != index {
        viewing = Viewing { is_new: false, ..Viewing::new(state.place, &viewing.machine, &viewing.home, &list[next]) };
    }
    if !is_shut {
        state.photos.viewing = Some(viewing);
    }
    true
}

/// What it shows in words, its marks, and a copy with them.
fn about(
    cx: &ViewCtx<'_>,
    viewing: &mut Viewing,
    changed: &mut PhotoRef,
    is_fixed: bool,
    actions: &mut Vec<Action>,
    ui: &mut Ui,
) {
    let small = |ui: &mut Ui, words: &str| ui.label(RichText::new(words).small().color(cx.tokens.faint));
    let width = ui.available_width() - 12.0;
    if is_fixed {
        ui.label(&changed.words);
    } else {
        let label = small(ui, "What it shows");
        let edit =
            typed_lines(&mut viewing.words).desired_rows(2).desired_width(width).hint_text("cut, seen from behind");
        let field = ui.add(edit).labelled_by(label.id);
        if field.lost_focus() && viewing.words.trim() != changed.words {
            changed.words = viewing.words.trim().to_owned();
        }
    }
    ui.add_space(6.0);
    if changed.marks.is_empty() {
        small(ui, "No marks. They are drawn over the photo; the file itself stays as it is.");
    }
    let mut gone = None;
    for (index, mark) in changed.marks.iter().enumerate() {
        ui.horizontal(|ui| {
            ui.label(format!("{}. {}", index + 1, mark.word()));
            if !is_fixed && ui.small_button(format!("Remove mark {}", index + 1)).clicked() {
                gone = Some(index);
            }
        });
    }
    if let Some(index) = gone {
        changed.marks.remove(index);
    }
    if changed.marks.iter().any(|mark: &PhotoMark| mark.hides()) {
        small(
            ui,
            "The garage keeps the photo whole. Reports and copies have the boxes filled, and nothing can be read out of them.",
        );
    }
    ui.add_space(6.0);
    egui::CollapsingHeader::new("Save a copy to hand on").show(ui, |ui| {
        let label = small(ui, "A JPEG at full size, marks and boxes burnt in, nothing else in it. Where to");
        let edit = typed_line(&mut viewing.copy_to).desired_width(width - 20.0).hint_text("~/for-sale.jpg");
        ui.add(edit.min_size(vec2(0.0, cx.tokens.target))).labelled_by(label.id);
        let path = viewing.copy_to.trim();
        if ui.add_enabled(!path.is_empty(), egui::Button::new("Save the copy")).clicked() {
            let photo = changed.clone();
            actions.push(Action::SavePhotoCopy { machine: viewing.machine.clone(), photo, path: path.to_owned() });
        }
    });
}

fn removing(viewing: &Viewing, is_fixed: bool, actions: &mut Vec<Action>, ui: &mut Ui) -> bool {
    if is_fixed {
        return false;
    }
    ui.add_space(10.0);
    let is_pressed = ui.button("Take this photo away").clicked();
    if is_pressed {
        let file = viewing.file.clone();
        actions.push(Action::Edit(Command::RemovePhoto(viewing.machine.clone(), viewing.home.clone(), file)));
    }
    caption(ui, "Undo brings it back; its file stays in the garage's folder.");
    is_pressed
}
