//! An entry with its name at the left: keeps what was typed until it can be read, and says beside it what is wrong.
//!
//! Knows no panel and no record: the caller shows a text and reads the typed one.

use egui::{Key, Ui, vec2};

use super::{caption, trouble, typed_line, typed_lines};

/// Width of the column that holds the names, in points.
pub const NAME_WIDTH: f32 = 168.0;

/// What is kept while a text cannot be read, or is still being typed.
#[derive(Clone, Default)]
struct Draft {
    /// What the record said when typing began; another text there means that the draft is out of date.
    base: String,
    text: String,
    error: Option<String>,
}

/// A named entry. The value is committed by Enter or by leaving the field; Escape takes the typing back.
pub struct Entry<'a> {
    name: &'a str,
    shown: String,
    hint: String,
    width: f32,
    rows: usize,
    note: String,
    spoken: Option<String>,
}

impl<'a> Entry<'a> {
    /// An entry with a name, showing a text.
    pub fn new(name: &'a str, shown: impl Into<String>) -> Self {
        Self {
            name,
            shown: shown.into(),
            hint: String::new(),
            width: 170.0,
            rows: 1,
            note: String::new(),
            spoken: None,
        }
    }
    /// Words shown in the empty field.
    pub fn hint(mut self, hint: impl Into<String>) -> Self {
        self.hint = hint.into();
        self
    }
    /// Width of the field in points.
    pub fn width(mut self, width: f32) -> Self {
        self.width = width;
        self
    }
    /// Several lines; Enter then begins a new one.
    pub fn rows(mut self, rows: usize) -> Self {
        self.rows = rows;
        self
    }
    /// Words at the right of the field, for example the same value in another unit.
    pub fn note(mut self, note: impl Into<String>) -> Self {
        self.note = note.into();
        self
    }
    /// A fuller name for those who cannot see where the field stands.
    pub fn spoken(mut self, spoken: impl Into<String>) -> Self {
        self.spoken = Some(spoken.into());
        self
    }

    /// Draws it; gives the value when it was committed and could be read.
    pub fn show<T>(self, ui: &mut Ui, parse: impl FnOnce(&str) -> Result<T, String>) -> Option<T> {
        let id = ui.make_persistent_id(("draft", self.spoken.as_deref().unwrap_or(self.name)));
        let kept: Option<Draft> = ui.data(|d| d.get_temp(id)).filter(|d: &Draft| d.base == self.shown);
        let mut draft =
            kept.unwrap_or_else(|| Draft { base: self.shown.clone(), text: self.shown.clone(), error: None });
        let mut value = None;
        named(ui, self.name, |ui, name_id| {
            ui.horizontal_wrapped(|ui| {
                let width = self.width.min(ui.available_width());
                let edit = if self.rows > 1 {
                    typed_lines(&mut draft.text).desired_rows(self.rows)
                } else {
                    typed_line(&mut draft.text)
                };
                let edit = edit.id(id.with("field")).desired_width(width).hint_text(self.hint).margin(vec2(8.0, 5.0));
                let response = match (&self.spoken, name_id) {
                    (Some(spoken), _) => {
                        let response = ui.add(edit);
                        name_node(ui, response.id, spoken);
                        response
                    }
                    (None, Some(name_id)) => ui.add(edit).labelled_by(name_id),
                    (None, None) => ui.add(edit),
                };
                if !self.note.is_empty() {
                    caption(ui, &self.note);
                }
                if response.changed() {
                    draft.error = None;
                }
                if response.lost_focus() && ui.input(|i| i.key_pressed(Key::Escape)) {
                    draft.text.clone_from(&self.shown);
                    draft.error = None;
                }
                if draft.text != self.shown && draft.error.is_none() && !response.has_focus() {
                    match parse(draft.text.trim()) {
                        Ok(read) => value = Some(read),
                        Err(error) => draft.error = Some(error),
                    }
                }
            });
            if let Some(error) = &draft.error {
                trouble(ui, error);
            }
        });
        let done = value.is_some() || draft.text == self.shown;
        ui.data_mut(|d| {
            if done {
                d.remove::<Draft>(id);
            } else {
                d.insert_temp(id, draft);
            }
        });
        value
    }
}

/// Gives a widget's accessibility node a name of its own.
fn name_node(ui: &Ui, id: egui::Id, name: &str) {
    ui.ctx().accesskit_node_builder(id, |node| node.set_label(name));
}

/// Draws a name in the left column and something at its right; under each other where there is no room.
pub fn named<R>(ui: &mut Ui, name: &str, content: impl FnOnce(&mut Ui, Option<egui::Id>) -> R) -> R {
    if ui.available_width() < NAME_WIDTH + 190.0 {
        return ui
            .vertical(|ui| {
                let id = ui.label(name).id;
                content(ui, Some(id))
            })
            .inner;
    }
    ui.horizontal_top(|ui| {
        let height = ui.spacing().interact_size.y;
        let id = ui
            .allocate_ui_with_layout(vec2(NAME_WIDTH, height), egui::Layout::left_to_right(egui::Align::Center), |ui| {
                ui.set_min_size(vec2(NAME_WIDTH, height));
                ui.add(egui::Label::new(name).wrap()).id
            })
            .inner;
        ui.vertical(|ui| content(ui, Some(id))).inner
    })
    .inner
}
