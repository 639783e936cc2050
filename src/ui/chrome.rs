//! The frame round the panels: places and tools along the top, messages under them, machines at the left, the verdict
//! along the bottom, the place in the middle.

use crate::ui::widgets::typed_line;
use egui::{Margin, Panel, ScrollArea, Ui};

use super::commands::UiCommand;
use super::panels::{self, PLACES};
use super::widgets::{Icon, Press, caption, press, sentence, strong, trouble};
use super::{Action, Note, Place, UiState, ViewCtx, commands};

/// What the top of the window tells besides the view.
pub struct Bar {
    /// How many changes are on their way to disk.
    pub waiting: usize,
    /// Whether a garage is open.
    pub is_open: bool,
    /// How many machines have been read, and of how many, while that goes on.
    pub reading: Option<(usize, usize)>,
}

/// Whether the machine list and a place do not fit side by side, as on a projector at twice the size.
fn is_narrow(ui: &Ui) -> bool {
    ui.ctx().content_rect().width() < 760.0
}

/// Whether one check at a time has the window to itself.
fn is_guided(state: &UiState) -> bool {
    state.place == Place::Walk && state.walk.is_guided() && state.inspection.is_some()
}

/// Whether a class is shown on a projector, which has the window to itself.
fn is_projected(state: &UiState) -> bool {
    state.place == Place::Class && state.class.is_projected()
}

/// A share of the window's height for what must never push the work out of it, in points.
fn share(ui: &Ui, share: f32, least: f32) -> f32 {
    (ui.ctx().content_rect().height() * share).max(least)
}

/// As high as what is in it, up to a height, and scrolled beyond. A panel takes its height from what is in it, so the
/// height must not be taken from the panel.
fn up_to(most: f32) -> ScrollArea {
    ScrollArea::vertical().max_height(most).min_scrolled_height(most)
}

fn mark(place: Place) -> Icon {
    match place {
        Place::Walk => Icon::Wheel,
        Place::Machine => Icon::Machine,
        Place::Report => Icon::Page,
        Place::Garage => Icon::Garage,
        Place::History => Icon::Curve,
        Place::Calendar => Icon::Month,
        Place::Repairs => Icon::Spanner,
        Place::Class => Icon::Board,
    }
}

/// Places at the left; undo, redo, light or dark and the state of the disk at the right.
pub fn top(cx: &ViewCtx<'_>, bar: &Bar, state: &mut UiState, actions: &mut Vec<Action>, ui: &mut Ui) {
    if is_projected(state) {
        return;
    }
    let frame = egui::Frame::new().fill(cx.tokens.paper).inner_margin(Margin::symmetric(10, 5));
    Panel::top("places").frame(frame).show(ui, |ui| {
        let marks_only = ui.available_width() < 860.0;
        ui.horizontal(|ui| {
            ui.spacing_mut().item_spacing.x = 2.0;
            let is_apart = bar.is_open && is_narrow(ui);
            if is_apart {
                let button = Press {
                    mark: None,
                    words: "Machines",
                    name: "Machines",
                    tip: "The list of machines",
                    enabled: true,
                    selected: state.is_listing,
                };
                if press(ui, &button).clicked() {
                    state.is_listing = !state.is_listing;
                }
            }
            for entry in PLACES.iter().filter(|p| bar.is_open || p.place == Place::Garage) {
                let tip = format!("{} ({})", entry.name, entry.key.name());
                let button = Press {
                    mark: Some(mark(entry.place)),
                    words: if marks_only { "" } else { entry.name },
                    name: entry.name,
                    tip: &tip,
                    enabled: true,
                    selected: state.place == entry.place && !(is_apart && state.is_listing),
                };
                if press(ui, &button).clicked() {
                    actions.push(Action::Go(entry.place));
                }
            }
            ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                tool(cx, ui, UiCommand::SwitchTheme, Icon::Theme, true, actions);
                tool(cx, ui, UiCommand::Redo, Icon::Redo, cx.redo.is_some(), actions);
                tool(cx, ui, UiCommand::Undo, Icon::Undo, cx.undo.is_some(), actions);
                ui.add_space(8.0);
                // Without room the words would stand on end; what is not saved is said in a strip of its own.
                if ui.available_width() > 60.0 {
                    caption(ui, saved_words(cx, bar));
                    if let Some((read, of)) = bar.reading {
                        ui.add_space(10.0);
                        let (whole, short) = (format!("{read} of {of} machines read"), format!("{read}/{of} read"));
                        caption(ui, if ui.available_width() > 190.0 { &whole } else { &short });
                    }
                }
            });
        });
    });
}

fn saved_words(cx: &ViewCtx<'_>, bar: &Bar) -> &'static str {
    match (bar.is_open, cx.saved, bar.waiting) {
        (false, ..) => "",
        (true, Err(_), _) => "Not saved",
        (true, Ok(()), 0) => "Saved",
        (true, Ok(()), _) => "Saving",
    }
}

fn tool(cx: &ViewCtx<'_>, ui: &mut Ui, command: UiCommand, mark: Icon, enabled: bool, actions: &mut Vec<Action>) {
    let words = command.words(cx);
    let tip =
        command.shortcut().map_or_else(|| words.clone(), |s| format!("{words} ({})", ui.ctx().format_shortcut(&s)));
    let button = Press { mark: Some(mark), words: "", name: &words, tip: &tip, enabled, selected: false };
    if press(ui, &button).clicked() {
        actions.push(command.action(ui.ctx().theme()));
    }
}

/// Messages, and what to do while the garage cannot be written. They take room; they never stand in the way.
pub fn notices(cx: &ViewCtx<'_>, notes: &[Note], state: &mut UiState, actions: &mut Vec<Action>, ui: &mut Ui) {
    // Messages may name students; they wait until the projector is off.
    if is_projected(state) || (notes.is_empty() && cx.saved.is_ok()) {
        return;
    }
    let frame = egui::Frame::new().fill(cx.tokens.wash).inner_margin(Margin::symmetric(16, 4));
    Panel::top("notices").frame(frame).show_separator_line(false).show(ui, |ui| {
        let most = share(ui, 0.3, 60.0);
        up_to(most).show(ui, |ui| {
            if let Err(why) = cx.saved {
                unsaved(why, state, actions, ui);
            }
            panels::meeting::notices(state, ui);
            // The newest first, and no more than leave room for work. What the strip above says is not said twice.
            let why = cx.saved.as_ref().err();
            let other: Vec<_> = notes.iter().enumerate().rev().filter(|(_, n)| Some(&n.details) != why).collect();
            for (index, note) in other.iter().take(3) {
                ui.push_id(("note", *index), |ui| one_note(note, *index, actions, ui));
            }
            if other.len() > 3 {
                caption(ui, &format!("and {} earlier messages", other.len() - 3));
            }
        });
    });
}

fn one_note(note: &Note, index: usize, actions: &mut Vec<Action>, ui: &mut Ui) {
    ui.horizontal_top(|ui| {
        let width = (ui.available_width() - 48.0).max(60.0);
        ui.vertical(|ui| {
            ui.set_width(width);
            ui.add_space(5.0);
            if note.is_trouble {
                trouble(ui, &note.summary);
            } else {
                strong(ui, &note.summary);
            }
            if !note.details.is_empty() {
                ui.label(sentence(&note.details));
            }
        });
        let button = Press {
            mark: Some(Icon::Close),
            words: "",
            name: "Take this message away",
            tip: "",
            enabled: true,
            selected: false,
        };
        if press(ui, &button).clicked() {
            actions.push(Action::Dismiss(index));
        }
    });
}

fn unsaved(why: &str, state: &mut UiState, actions: &mut Vec<Action>, ui: &mut Ui) {
    trouble(ui, "Your last changes are in this window but not on disk");
    ui.label(sentence(why));
    ui.horizontal_wrapped(|ui| {
        if ui.button("Try again").clicked() {
            actions.push(Action::RetrySave);
        }
        let name = ui.label("or write everything to this folder");
        let field =
            ui.add(typed_line(&mut state.elsewhere).desired_width(260.0).hint_text("a folder")).labelled_by(name.id);
        let is_entered = field.lost_focus() && ui.input(|i| i.key_pressed(egui::Key::Enter));
        let folder = state.elsewhere.trim();
        let is_pressed = ui.add_enabled(!folder.is_empty(), egui::Button::new("Save there")).clicked();
        if (is_entered || is_pressed) && !folder.is_empty() {
            actions.push(Action::SaveElsewhere(folder.into()));
        }
    });
}

/// The machine list at the left; in a narrow window it is a place of its own.
pub fn machines(cx: &ViewCtx<'_>, state: &mut UiState, actions: &mut Vec<Action>, ui: &mut Ui) {
    if is_narrow(ui) || is_guided(state) || is_projected(state) {
        return;
    }
    state.is_listing = false;
    let width = if ui.available_width() < 760.0 { 190.0 } else { 236.0 };
    let frame = egui::Frame::new().fill(cx.tokens.paper).inner_margin(Margin::symmetric(10, 8));
    Panel::left("machines")
        .frame(frame)
        .resizable(false)
        .exact_size(width)
        .show(ui, |ui| panels::machines::ui(cx, state, actions, ui));
}

/// The verdict along the bottom; it stands back for the list, which shows every machine's.
pub fn verdict(cx: &ViewCtx<'_>, state: &mut UiState, actions: &mut Vec<Action>, ui: &mut Ui) {
    if (state.is_listing && is_narrow(ui)) || is_guided(state) || is_projected(state) {
        return;
    }
    // A verdict on another machine would be taken for one on the exercise's.
    if state.place == Place::Class && state.class.is_about_another(cx, state.machine.as_ref()) {
        return;
    }
    let frame = egui::Frame::new().fill(cx.tokens.paper).inner_margin(Margin::symmetric(14, 8));
    let most = share(ui, 0.22, 54.0);
    let before = (state.place, state.check.clone(), state.finding.clone());
    Panel::bottom("verdict").frame(frame).show(ui, |ui| {
        up_to(most).show(ui, |ui| panels::verdict_bar::ui(cx, state, actions, ui));
    });
    if before != (state.place, state.check.clone(), state.finding.clone()) {
        state.is_listing = false;
    }
}

/// The place in the middle.
pub fn middle(cx: &ViewCtx<'_>, state: &mut UiState, actions: &mut Vec<Action>, ui: &mut Ui) {
    let frame = egui::Frame::new().fill(cx.tokens.paper).inner_margin(Margin::symmetric(14, 8));
    egui::CentralPanel::default().frame(frame).show(ui, |ui| {
        beginning(state, ui);
        if state.is_listing {
            panels::machines::ui(cx, state, actions, ui);
        } else if panels::meeting::ui(state, actions, ui) {
            // Two versions of a record have the middle until one is chosen or they are put off.
        } else if panels::photos::viewer(cx, state, actions, ui) {
            // One photo has the middle until it is left.
        } else if let Some(entry) = PLACES.iter().find(|p| p.place == state.place) {
            (entry.ui)(cx, state, actions, ui);
        }
    });
}

/// Where the keyboard stands in a place that was just opened, so that the next Tab takes the first thing in it and not
/// the first of the whole window. It is there only until the focus goes on.
fn beginning(state: &mut UiState, ui: &Ui) {
    let id = egui::Id::unique("beginning of the place");
    let is_arriving = std::mem::take(&mut state.is_arriving) && !ui.ctx().text_edit_focused();
    if !is_arriving && !ui.memory(|m| m.has_focus(id)) {
        return;
    }
    let at = egui::Rect::from_min_size(ui.max_rect().min, egui::Vec2::ZERO);
    let response = ui.interact(at, id, egui::Sense::focusable_noninteractive());
    let name = PLACES.iter().find(|p| p.place == state.place).map_or("", |p| p.name);
    response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Label, true, format!("{name}, from its beginning")));
    if is_arriving {
        response.request_focus();
    }
}

/// What a class must be told in every place: the exercise in hand and the time that is left.
pub fn class(cx: &ViewCtx<'_>, state: &mut UiState, actions: &mut Vec<Action>, ui: &mut Ui) {
    if !is_projected(state) {
        panels::class::strip(cx, state, actions, ui);
    }
}

/// What is dropped on the window or pasted into it: pictures, and in the class exercises and sheets.
pub fn arrivals(cx: &ViewCtx<'_>, state: &UiState, actions: &mut Vec<Action>, ui: &mut Ui) {
    if state.place == Place::Class {
        panels::class::arrivals(state, actions, ui);
        return;
    }
    panels::photos::arrivals(cx, state, actions, ui);
}

/// Keys of every command.
pub fn shortcuts(ui: &Ui, actions: &mut Vec<Action>) {
    commands::listen(ui.ctx(), actions);
}
