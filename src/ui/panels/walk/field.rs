//! A field that is typed into and read when it is left or Enter is pressed, with what could not be read said beside it.

use egui::text_edit::TextEditState;
use egui::{Key, Ui, vec2};

use super::drafts::Drafts;
use crate::ui::theme::Tokens;
use crate::ui::widgets::typed_line;

/// What came out of a field in this frame.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Typed<T> {
    /// Nothing new.
    Nothing,
    /// The text was emptied.
    Cleared,
    /// This was read.
    Read(T),
}

/// How a field looks.
pub(super) struct FieldLook<'a> {
    /// The field's own key among the drafts.
    pub key: &'a str,
    /// What it is called; also its name for screen readers.
    pub label: &'a str,
    /// What an entry looks like, shown while it is empty.
    pub hint: &'a str,
    /// What the record holds, as text.
    pub shown: &'a str,
    /// Width of the field in points.
    pub width: f32,
    /// Whether the label stands above the field, or is only its name for screen readers.
    pub label_above: bool,
}

/// Draws the field. `read` turns the text into a value or says what was expected.
pub(super) fn field<T>(
    ui: &mut Ui,
    tokens: &Tokens,
    drafts: &mut Drafts,
    look: &FieldLook<'_>,
    read: impl Fn(&str) -> Result<T, String>,
) -> Typed<T> {
    asking(ui, tokens, drafts, look, |text, _| read(text))
}

/// The same where a text may be doubted: `read` is told whether Enter was pressed again on a text that was refused.
pub(super) fn asking<T>(
    ui: &mut Ui,
    tokens: &Tokens,
    drafts: &mut Drafts,
    look: &FieldLook<'_>,
    read: impl Fn(&str, bool) -> Result<T, String>,
) -> Typed<T> {
    let mut text = drafts.text_or(look.key, look.shown);
    let edit = typed_line(&mut text)
        .id_salt(("walk-field", look.key))
        .hint_text(look.hint)
        .desired_width(look.width)
        .min_size(vec2(0.0, tokens.target));
    // A cell of a grid is as narrow as its figure.
    let edit = if look.label_above {
        edit
    } else {
        let margin = egui::Margin::symmetric(3, 2);
        edit.margin(margin).font(egui::TextStyle::Small).align(egui::Align2::CENTER_CENTER)
    };
    let response = if look.label_above {
        ui.vertical(|ui| {
            let label = ui.label(egui::RichText::new(look.label).small().color(tokens.faint));
            ui.add(edit).labelled_by(label.id)
        })
        .inner
    } else {
        let cell = vec2(look.width, tokens.target - 2.0);
        ui.name_inputs(look.label, |ui| ui.add_sized(cell, edit))
    };
    let is_passed = drafts.open_only && drafts.seed.is_some() && !look.shown.is_empty();
    if (drafts.focus_next && !is_passed) || drafts.focus_key.as_deref() == Some(look.key) {
        drafts.focus_next = false;
        drafts.focus_key = None;
        response.request_focus();
        if let Some(seed) = drafts.seed.take() {
            cursor_behind(ui, response.id, seed.chars().count());
            drafts.set(look.key, seed);
            ui.ctx().request_repaint();
        }
    }
    if response.changed() {
        drafts.set(look.key, text.clone());
    }
    let Some(draft) = drafts.get(look.key).map(str::to_owned) else {
        // Enter on an unchanged field moves on like Enter on a new one.
        if response.lost_focus() && ui.input(|i| i.key_pressed(Key::Enter)) {
            drafts.focus_next = true;
            drafts.read_new = false;
        }
        return Typed::Nothing;
    };
    let entered = response.lost_focus() && ui.input(|i| i.key_pressed(Key::Enter));
    if response.lost_focus() && ui.input(|i| i.key_pressed(Key::Escape)) {
        drafts.clear(look.key);
        return Typed::Nothing;
    }
    if response.has_focus() {
        if let Some(why) = drafts.refused(look.key).filter(|_| look.label_above) {
            trouble(ui, tokens, why);
        }
        return Typed::Nothing;
    }
    if draft.trim() == look.shown.trim() {
        drafts.clear(look.key);
        drafts.focus_next = entered;
        drafts.read_new = false;
        return Typed::Nothing;
    }
    if draft.trim().is_empty() {
        drafts.clear(look.key);
        drafts.focus_next = entered;
        drafts.read_new = true;
        return Typed::Cleared;
    }
    let is_again = entered && drafts.refused(look.key).is_some();
    match read(&draft, is_again) {
        Ok(value) => {
            drafts.clear(look.key);
            drafts.focus_next = entered;
            drafts.read_new = true;
            Typed::Read(value)
        }
        Err(message) => {
            if look.label_above {
                trouble(ui, tokens, &message);
            } else {
                // In a grid the reason stands below the grid; a frame says which cell it is about.
                let stroke = egui::Stroke::new(2.0, tokens.strong);
                ui.painter().rect_stroke(response.rect, 2.0, stroke, egui::StrokeKind::Outside);
            }
            drafts.refuse(look.key, message);
            if entered {
                response.request_focus();
            }
            Typed::Nothing
        }
    }
}

/// What is typed next goes behind what stands there.
fn cursor_behind(ui: &Ui, id: egui::Id, chars: usize) {
    let mut state = TextEditState::load(ui.ctx(), id).unwrap_or_default();
    let end = egui::text::CCursor::new(chars);
    state.cursor.set_char_range(Some(egui::text::CCursorRange::one(end)));
    state.store(ui.ctx(), id);
}

/// What was expected, what was found and the way out, set apart by a bar at the left and not by a colour.
pub(super) fn trouble(ui: &mut Ui, tokens: &Tokens, words: &str) {
    ui.horizontal(|ui| {
        ui.add_space(8.0);
        let response = ui.add(egui::Label::new(egui::RichText::new(words).small().color(tokens.strong)).wrap());
        let rect = response.rect;
        let bar = egui::Rect::from_min_size(rect.left_top() - vec2(8.0, 0.0), vec2(3.0, rect.height()));
        ui.painter().rect_filled(bar, 1.0, tokens.strong);
    });
}

/// One of a few answers, as a chip to press; true when it was pressed.
pub(super) fn chip(ui: &mut Ui, tokens: &Tokens, selected: bool, label: &str) -> bool {
    chip_named(ui, tokens, selected, label, label)
}

/// A chip whose words are shorter than its name.
pub(super) fn chip_named(ui: &mut Ui, tokens: &Tokens, selected: bool, label: &str, name: &str) -> bool {
    let button = egui::Button::selectable(selected, label).min_size(vec2(tokens.target, tokens.target));
    let button = if selected { button } else { button.fill(tokens.wash) };
    let response = ui.add(button.frame_when_inactive(true));
    if name == label {
        return response.clicked();
    }
    response.widget_info(|| egui::WidgetInfo::selected(egui::Role::Button, true, selected, name));
    response.on_hover_text(name).clicked()
}
