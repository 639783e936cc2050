//! Large things to press, cautions, the line of time.

use egui::{Key, RichText, Ui, vec2};

use super::super::round::Round;
use super::super::words;
use super::kept::KeptWalk;
use crate::guide::Leg;
use crate::ui::UiState;
use crate::ui::theme::{LargeType, Tokens, strong_family};

/// Whether a key was pressed; it is taken, so that nothing else sees it.
pub(super) fn pressed(ui: &Ui, key: Key) -> bool {
    ui.input_mut(|i| i.consume_key(egui::Modifiers::NONE, key))
}

/// Whether a letter was pressed that is no text being typed.
pub(super) fn letter(ui: &Ui, key: Key) -> bool {
    !ui.text_edit_focused() && pressed(ui, key)
}

/// A large button with its key; true when it was pressed or its key was.
pub(super) fn act(ui: &mut Ui, tokens: &Tokens, words: &str, key: Key, selected: bool) -> bool {
    let shown = format!("{words}  {}", key.name());
    let button = egui::Button::new(RichText::new(shown)).selected(selected);
    let response = ui.add(button.min_size(vec2(tokens.target, tokens.target)));
    response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, true, words));
    response.clicked() || letter(ui, key)
}

/// The button of the key Enter, which counts while no other thing has the keyboard.
pub(super) fn forth(ui: &mut Ui, tokens: &Tokens, words: &str) -> bool {
    let is_free = ui.memory(|m| m.focused().is_none());
    let button = egui::Button::new(format!("{words}  Enter")).selected(true);
    let response = ui.add(button.min_size(vec2(tokens.target, tokens.target)));
    response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, true, words));
    response.clicked() || (is_free && pressed(ui, Key::Enter))
}

/// The button that gives the window back; the key Escape does the same wherever nothing is being typed.
pub(super) fn away(ui: &mut Ui, tokens: &Tokens) -> bool {
    let button = egui::Button::new("Leave  Esc").min_size(vec2(0.0, tokens.target));
    let response = ui.add(button);
    response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, true, "Back to the whole machine"));
    response.clicked()
}

/// The cautions of a step, each with its words; they stand there for as long as the step does.
pub(super) fn cautions(round: &Round<'_>, ui: &mut Ui, ids: &[String]) {
    let tokens = round.cx.tokens;
    for caution in ids.iter().filter_map(|id| round.catalogue().caution(id)) {
        let frame = egui::Frame::new().fill(tokens.wash).stroke(egui::Stroke::new(1.5, tokens.strong));
        frame.inner_margin(8.0).corner_radius(4.0).show(ui, |ui| {
            ui.set_width(ui.available_width());
            ui.label(RichText::new(&caution.title).family(strong_family()).color(tokens.strong));
            ui.label(RichText::new(&caution.text).small());
        });
    }
}

/// The cautions of a check: its own in full, those that only its set-up brings in a line each until they are asked for.
pub(super) fn cautions_of_step(round: &Round<'_>, state: &mut UiState, ui: &mut Ui, leg: &Leg) {
    let tokens = round.cx.tokens;
    let own = round.entry(&leg.check).map_or(&[][..], |e| e.cautions.as_slice());
    let (own, of_setup): (Vec<String>, Vec<String>) = leg.cautions.iter().cloned().partition(|id| own.contains(id));
    cautions(round, ui, &own);
    if of_setup.is_empty() {
        return;
    }
    let is_open = state.walk.guided.cautions_of.as_ref() == Some(&leg.key());
    if is_open {
        cautions(round, ui, &of_setup);
    } else {
        for caution in of_setup.iter().filter_map(|id| round.catalogue().caution(id)) {
            let text = RichText::new(&caution.title).small().family(strong_family()).color(tokens.strong);
            ui.add(egui::Label::new(text).truncate());
        }
    }
    let words = if is_open { "Cautions in a line each" } else { "Cautions in full" };
    if act(ui, tokens, words, Key::U, is_open) {
        state.walk.guided.cautions_of = (!is_open).then(|| leg.key());
    }
}

/// Seconds in whole minutes, as one says them.
pub(super) fn minutes(seconds: u32) -> String {
    format!("{} min", (f64::from(seconds) / 60.0).round())
}

/// Where the walk is, and its time.
pub(super) fn time_line(round: &Round<'_>, walk: &KeptWalk, ui: &mut Ui) {
    let checks = walk.legs.iter().filter(|l| !l.is_change());
    let all = checks.count();
    let upto = walk.legs.iter().take(walk.at + 1).filter(|l| !l.is_change()).count().max(1);
    let mut parts = vec![format!("{} · check {} of {all}", round.machine().name, upto.min(all))];
    parts.push(format!("{} used", minutes(walk.used)));
    if let Some(given) = walk.minutes {
        let given = given.saturating_mul(60);
        parts.push(match given.checked_sub(walk.used) {
            Some(left) => format!("{} left", minutes(left)),
            None => format!("{} over", minutes(walk.used - given)),
        });
    }
    let left = walk.minutes.map(|given| given.saturating_mul(60).saturating_sub(walk.used));
    let still = minutes(walk.still());
    parts.push(match left.and_then(|left| walk.still().checked_sub(left)).filter(|beyond| *beyond >= 60) {
        Some(beyond) => format!("{still} still to do: {} more than there is", minutes(beyond)),
        None => format!("{still} still to do"),
    });
    ui.label(RichText::new(parts.join(" · ")).color(round.cx.tokens.faint));
}

/// How many checks, and how many findings of an earlier day, a walk has.
pub(super) fn counted(walk: &KeptWalk) -> String {
    let checks = words::count(walk.legs.iter().filter(|l| l.is_check()).count(), "check", "checks");
    match walk.legs.iter().filter(|l| l.again.is_some()).count() {
        0 => checks,
        n => format!("{checks} and {}", words::count(n, "finding to look at again", "findings to look at again")),
    }
}

/// That required checks are left out, and what the verdict will be.
pub(super) fn unchecked(walk: &KeptWalk) -> Option<String> {
    let left = match walk.unchecked {
        0 => return None,
        1 => "1 required check is left out and stays unchecked".to_owned(),
        n => format!("{n} required checks are left out and stay unchecked"),
    };
    Some(format!("{left}: the verdict will be \"not yet decided\"."))
}

/// A line in the large title face.
pub(super) fn title(ui: &mut Ui, tokens: &Tokens, large: &LargeType, words: &str) {
    let text = RichText::new(words).family(strong_family()).size(large.title).color(tokens.strong);
    ui.add(egui::Label::new(text).wrap());
}

/// A small label over what follows.
pub(super) fn over(ui: &mut Ui, tokens: &Tokens, words: &str) {
    ui.label(RichText::new(words).small().color(tokens.faint));
}

/// A list of points, the first few and how many more there are.
pub(super) fn some(ui: &mut Ui, tokens: &Tokens, points: &[String], most: usize) {
    for point in points.iter().take(most) {
        ui.label(RichText::new(words::capital(point)).small().color(tokens.line));
    }
    if points.len() > most {
        ui.label(RichText::new(format!("and {} more", points.len() - most)).small().color(tokens.faint));
    }
}
