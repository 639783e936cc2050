//! Every command of the window with its words and its key, in one table: buttons and the listener both walk it.

use egui::{Key, KeyboardShortcut, Modifiers};

use super::panels::PLACES;
use super::{Action, Place, ViewCtx};

/// A command that is not tied to one panel.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum UiCommand {
    /// Takes the last change back.
    Undo,
    /// Does it again.
    Redo,
    /// Opens a place.
    Go(Place),
    /// Light to dark and back.
    SwitchTheme,
    /// Closes the window.
    Close,
}

impl UiCommand {
    /// Every command.
    pub fn all() -> Vec<Self> {
        let mut all = vec![Self::Redo, Self::Undo, Self::SwitchTheme, Self::Close];
        all.extend(PLACES.iter().map(|p| Self::Go(p.place)));
        all
    }
    /// Its key.
    pub fn shortcut(self) -> Option<KeyboardShortcut> {
        let key = |modifiers, key| Some(KeyboardShortcut::new(modifiers, key));
        match self {
            Self::Undo => key(Modifiers::COMMAND, Key::Z),
            Self::Redo => key(Modifiers::COMMAND.plus(Modifiers::SHIFT), Key::Z),
            Self::SwitchTheme => key(Modifiers::NONE, Key::F9),
            Self::Close => key(Modifiers::COMMAND, Key::Q),
            Self::Go(place) => PLACES.iter().find(|p| p.place == place).and_then(|p| key(Modifiers::NONE, p.key)),
        }
    }
    /// A second key by which hands know it.
    pub fn other_shortcut(self) -> Option<KeyboardShortcut> {
        (self == Self::Redo).then(|| KeyboardShortcut::new(Modifiers::COMMAND, Key::Y))
    }
    /// What it is called.
    pub fn words(self, cx: &ViewCtx<'_>) -> String {
        match self {
            Self::Undo => cx.undo.map_or_else(|| "Nothing to undo".into(), |what| format!("Undo: {what}")),
            Self::Redo => cx.redo.map_or_else(|| "Nothing to redo".into(), |what| format!("Redo: {what}")),
            Self::SwitchTheme => "Light or dark".into(),
            Self::Close => "Close the window".into(),
            Self::Go(place) => PLACES.iter().find(|p| p.place == place).map_or("", |p| p.name).into(),
        }
    }
    /// Whether a text that is being typed in keeps the key for itself.
    pub fn yields_to_typing(self) -> bool {
        matches!(self, Self::Undo | Self::Redo)
    }
    /// What it asks for.
    pub fn action(self, theme: egui::Theme) -> Action {
        match self {
            Self::Undo => Action::Undo,
            Self::Redo => Action::Redo,
            Self::Go(place) => Action::Go(place),
            Self::Close => Action::Close,
            Self::SwitchTheme => Action::UseTheme(match theme {
                egui::Theme::Dark => egui::Theme::Light,
                egui::Theme::Light => egui::Theme::Dark,
            }),
        }
    }
}

/// Listens for the keys of every command. The most modified come first, or Ctrl+Z would swallow Ctrl+Shift+Z.
pub fn listen(ctx: &egui::Context, actions: &mut Vec<Action>) {
    let is_typing = ctx.text_edit_focused();
    let mut commands = UiCommand::all();
    commands.sort_by_key(|c| {
        std::cmp::Reverse(c.shortcut().map_or(0, |s| u8::from(s.modifiers.shift) + u8::from(s.modifiers.command)))
    });
    for command in commands {
        if is_typing && command.yields_to_typing() {
            continue;
        }
        let keys = [command.shortcut(), command.other_shortcut()];
        if keys.into_iter().flatten().any(|key| ctx.input_mut(|i| i.consume_shortcut(&key))) {
            actions.push(command.action(ctx.theme()));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_two_commands_share_a_key() {
        let mut seen: Vec<(KeyboardShortcut, UiCommand)> = Vec::new();
        for command in UiCommand::all() {
            assert!(command.shortcut().is_some(), "{command:?} has no key");
            for shortcut in [command.shortcut(), command.other_shortcut()].into_iter().flatten() {
                for (other, owner) in &seen {
                    assert_ne!(&shortcut, other, "{command:?} and {owner:?}");
                }
                seen.push((shortcut, command));
            }
        }
        // Keys that the window toolkit takes for zooming.
        for key in [Key::Plus, Key::Minus, Key::Equals, Key::Num0] {
            let zoom = KeyboardShortcut::new(Modifiers::COMMAND, key);
            assert!(seen.iter().all(|(s, _)| *s != zoom), "{key:?} zooms");
        }
    }

    #[test]
    fn every_place_is_one_key_away() {
        for entry in PLACES {
            assert!(UiCommand::Go(entry.place).shortcut().is_some(), "{}", entry.name);
        }
    }
}
