//! A keyboard: keys pressed and words typed into whatever listens.

use egui::{Event, Key};
use egui_kittest::Harness;

/// Presses a key.
pub fn key<S>(window: &mut Harness<'_, S>, key: Key) {
    window.key_press(key);
    window.run();
}

/// Types as on a keyboard.
pub fn type_in<S>(window: &mut Harness<'_, S>, text: &str) {
    window.event(Event::Text(text.into()));
    window.run();
}
