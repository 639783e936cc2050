//! Pictures that come from outside the window: dropped on it, or pasted into it.

use egui::{Event, Frame, Ui};

use super::{home, home_words};
use crate::photo::Kind;
use crate::ui::{Action, PhotoSource, UiState, ViewCtx};

/// Takes what was dropped or pasted in this frame, and says where it goes while it is held over the window.
pub fn ui(cx: &ViewCtx<'_>, state: &UiState, actions: &mut Vec<Action>, ui: &mut Ui) {
    let (is_held, dropped, pasted) = ui.input(|i| {
        let dropped: Vec<_> = i.raw.dropped_files.iter().map(|f| PhotoSource::File(f.path().to_owned())).collect();
        let pasted: Vec<_> = i.events.iter().flat_map(pictures).collect();
        (!i.raw.hovered_files.is_empty(), dropped, pasted)
    });
    // What is typed into a field is pasted there; a picture fits into none.
    let is_typing = ui.ctx().text_edit_focused();
    let pasted: Vec<_> =
        pasted.into_iter().filter(|source| !is_typing || matches!(source, PhotoSource::Pixels(_))).collect();
    let from: Vec<PhotoSource> = dropped.into_iter().chain(pasted).collect();
    let Some((machine, home)) = home(cx, state) else {
        if is_held || !from.is_empty() {
            actions
                .push(Action::Tell("Expected a machine for the picture, found none: add or choose one first.".into()));
        }
        return;
    };
    if is_held {
        let area = egui::Area::new(egui::Id::unique("picture held over the window"));
        area.order(egui::Order::Foreground).anchor(egui::Align2::CENTER_CENTER, egui::Vec2::ZERO).show(
            ui.ctx(),
            |ui| {
                Frame::new().fill(cx.tokens.wash).inner_margin(24.0).corner_radius(8.0).show(ui, |ui| {
                    ui.heading(format!("Let go to add it to {}", home_words(cx, &machine, &home)));
                });
            },
        );
    }
    if !from.is_empty() {
        actions.push(Action::AddPhotos { machine, home, from, keep: state.photos.keep });
    }
}

/// The pictures of an event: pixels, or the paths of picture files that a file manager copies as text.
fn pictures(event: &Event) -> Vec<PhotoSource> {
    match event {
        Event::PasteImage(image) => vec![PhotoSource::Pixels(image.clone())],
        Event::Paste(text) => {
            let lines: Vec<&str> = text.lines().map(str::trim).filter(|line| !line.is_empty()).collect();
            let paths: Vec<PhotoSource> = lines.iter().filter_map(|line| path(line)).collect();
            // A text with other words in it is no list of files.
            if paths.len() == lines.len() { paths } else { Vec::new() }
        }
        _ => Vec::new(),
    }
}

fn path(line: &str) -> Option<PhotoSource> {
    let line = line.strip_prefix("file://").unwrap_or(line);
    let (_, ending) = line.rsplit_once('.')?;
    Kind::of_ending(ending)?;
    let path = std::path::PathBuf::from(line.replace("%20", " "));
    path.is_absolute().then_some(PhotoSource::File(path))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_a_list_of_picture_files_is_taken_from_text() {
        let files = |text: &str| pictures(&Event::Paste(text.into())).len();
        assert_eq!(files("/home/me/a.jpg"), 1);
        assert_eq!(files("file:///home/me/a%20b.jpg\n/home/me/c.PNG\n"), 2);
        for other in ["120/70 ZR17", "a.jpg", "/home/me/a.jpg is the front", "/home/me/a.txt", ""] {
            assert_eq!(files(other), 0, "{other}");
        }
    }
}
