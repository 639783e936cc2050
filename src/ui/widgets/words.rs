//! Words in the window: headings, captions and troubles, each in one way.

use egui::{Label, RichText, Ui, vec2};

use crate::ui::theme::{Tokens, strong_family};

/// The tokens of the theme in use.
pub fn tokens(ui: &Ui) -> Tokens {
    Tokens::of(ui.ctx().theme())
}

/// A large heading.
pub fn heading(ui: &mut Ui, words: &str) {
    let strong = tokens(ui).strong;
    ui.label(RichText::new(words).heading().color(strong));
}

/// Words in the heavier face.
pub fn strong(ui: &mut Ui, words: &str) {
    let color = tokens(ui).strong;
    ui.label(RichText::new(words).family(strong_family()).color(color));
}

/// Words as a sentence of their own: with a capital at the beginning.
pub fn sentence(words: &str) -> String {
    let mut letters = words.chars();
    match letters.next() {
        // A file name at the head, as in `machines/x.ron:3:1`, stays as it is written.
        Some(first) if !words.split(' ').next().unwrap_or_default().contains(['/', '.', ':']) => {
            first.to_uppercase().chain(letters).collect()
        }
        _ => words.to_owned(),
    }
}

/// Small words that stand back.
pub fn caption(ui: &mut Ui, words: &str) {
    let color = tokens(ui).faint;
    ui.add(Label::new(RichText::new(words).small().color(color)).wrap());
}

/// What was expected, what was found and the way out, beside the place where it happened. A bar at the left sets it
/// apart, so that it does not rest on a colour.
pub fn trouble(ui: &mut Ui, words: &str) {
    let t = tokens(ui);
    ui.horizontal(|ui| {
        ui.add_space(8.0);
        let response = ui.add(Label::new(RichText::new(words).color(t.strong)).wrap());
        let bar =
            egui::Rect::from_min_size(response.rect.left_top() - vec2(8.0, 0.0), vec2(3.0, response.rect.height()));
        ui.painter().rect_filled(bar, 1.0, t.strong);
    });
}
