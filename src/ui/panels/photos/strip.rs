//! The photos of one thing, small, and the ways to add more.

use egui::{Align2, FontId, Rect, Role, Sense, Ui, WidgetInfo, pos2, vec2};

use super::shelf::{Picture, SMALL};
use super::{PhotosState, overlay, viewer};
use crate::edit::PhotoHome;
use crate::machine::MachineId;
use crate::photo::{Keep, PhotoRef};
use crate::ui::theme;
use crate::ui::widgets::{caption, trouble, typed_line};
use crate::ui::{Action, PhotoSource, Place, ViewCtx};

/// Width and height of a small picture in points.
const SIZE: egui::Vec2 = vec2(100.0, 75.0);

/// Draws the photos of a finding or a machine, and how to add some.
pub fn ui(
    cx: &ViewCtx<'_>,
    state: &mut PhotosState,
    place: Place,
    actions: &mut Vec<Action>,
    ui: &mut Ui,
    (machine, home): (&MachineId, &PhotoHome),
    photos: &[PhotoRef],
) {
    let mut refused = Vec::new();
    ui.horizontal_wrapped(|ui| {
        for (index, photo) in photos.iter().enumerate() {
            let picture = state.shelf.get(machine, &photo.file, SMALL);
            if let Picture::Refused(why) = &picture {
                refused.push(format!("{}: {why}", photo.file));
            }
            let name = format!("Photo {} of {}{}", index + 1, photos.len(), about(photo));
            if small(cx, ui, photo, &picture, &name) {
                state.viewing = Some(viewer::Viewing::new(place, machine, home, photo));
            }
        }
    });
    for why in refused {
        trouble(ui, &why);
    }
    if cx.garage.bay(machine).is_some_and(|bay| bay.machine.read_only.is_some()) {
        return;
    }
    if let Some((done, count)) = state.at_work {
        ui.horizontal_wrapped(|ui| {
            caption(ui, &format!("Adding picture {} of {count}", (done + 1).min(count)));
            if ui.button("Stop").clicked() {
                actions.push(Action::StopPhotos);
            }
        });
    }
    adding(cx, state, actions, ui, machine, home);
}

/// The ways to add photos.
fn adding(
    cx: &ViewCtx<'_>,
    state: &mut PhotosState,
    actions: &mut Vec<Action>,
    ui: &mut Ui,
    machine: &MachineId,
    home: &PhotoHome,
) {
    let tip = "Or drop pictures on the window, or paste one with Ctrl+V";
    if ui.button("Add photos…").on_hover_text(tip).clicked() {
        actions.push(Action::ChoosePhotos(machine.clone(), home.clone(), state.keep));
    }
    egui::CollapsingHeader::new("Other ways to add photos").id_salt(("photos", home)).show(ui, |ui| {
        caption(ui, "Drop pictures on the window, paste one with Ctrl+V, or type where it is.");
        let name = ui.label("Path of a picture");
        let width = ui.available_width() - 10.0;
        let edit = typed_line(&mut state.path).hint_text("~/front-wheel.jpg").desired_width(width);
        let field = ui.add(edit.min_size(vec2(0.0, cx.tokens.target))).labelled_by(name.id);
        let is_entered = field.lost_focus() && ui.input(|i| i.key_pressed(egui::Key::Enter));
        let path = state.path.trim().to_owned();
        let is_pressed = ui.add_enabled(!path.is_empty(), egui::Button::new("Add this picture")).clicked();
        if (is_entered || is_pressed) && !path.is_empty() {
            let from = vec![PhotoSource::File(path.into())];
            actions.push(Action::AddPhotos { machine: machine.clone(), home: home.clone(), from, keep: state.keep });
            state.path.clear();
        }
        let mut everything = state.keep == Keep::Everything;
        if ui.checkbox(&mut everything, "keep place, serial number and owner in the file").changed() {
            state.keep = if everything { Keep::Everything } else { Keep::PictureOnly };
        }
        caption(
            ui,
            if everything {
                "The file is kept byte for byte. What you print or hand on is clean all the same."
            } else {
                "They are left out of the copy that goes into the garage; the picture is turned upright."
            },
        );
    });
}

/// What is said of a photo beside its number.
fn about(photo: &PhotoRef) -> String {
    let mut words = String::new();
    if !photo.words.trim().is_empty() {
        words.push_str(&format!(": {}", photo.words.trim()));
    }
    match photo.marks.len() {
        0 => {}
        1 => words.push_str(", 1 mark"),
        n => words.push_str(&format!(", {n} marks")),
    }
    words
}

/// A small picture to press. Gives whether it was.
fn small(cx: &ViewCtx<'_>, ui: &mut Ui, photo: &PhotoRef, picture: &Picture, name: &str) -> bool {
    let tokens = cx.tokens;
    let (rect, response) = ui.allocate_exact_size(SIZE, Sense::click());
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, name));
    let painter = ui.painter_at(rect.expand(2.0));
    painter.rect_filled(rect, 4.0, tokens.wash);
    let words = |text: &str| {
        painter.text(rect.center(), Align2::CENTER_CENTER, text, FontId::proportional(12.0), tokens.faint);
    };
    match picture {
        Picture::There(texture) => {
            let size = texture.size_vec2();
            let scale = (rect.width() / size.x).min(rect.height() / size.y);
            let on = Rect::from_center_size(rect.center(), size * scale);
            let whole = Rect::from_min_max(pos2(0.0, 0.0), pos2(1.0, 1.0));
            painter.image(texture.id(), on, whole, theme::UNTINTED);
            let inside = painter.with_clip_rect(on);
            photo.marks.iter().for_each(|mark| overlay::mark(&inside, *mark, on, tokens));
        }
        Picture::Asked => words("coming"),
        Picture::Refused(_) => words("cannot be shown"),
    }
    if response.has_focus() || response.hovered() {
        let stroke = egui::Stroke::new(2.0, tokens.accent);
        painter.rect_stroke(rect, 4.0, stroke, egui::StrokeKind::Inside);
    }
    response
        .on_hover_text(if photo.words.trim().is_empty() { "See it large, draw on it" } else { photo.words.trim() })
        .clicked()
}
