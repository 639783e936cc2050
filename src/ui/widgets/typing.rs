//! Fields for typing words: none takes more than a record may hold, so that nothing is typed that could not be kept.

use egui::TextEdit;

use crate::guard::limits::{LINE_CHARS, TEXT_CHARS};

/// A field for words on one line.
pub fn typed_line(text: &mut String) -> TextEdit<'_> {
    TextEdit::singleline(text).char_limit(LINE_CHARS.size())
}

/// A field for words of several lines.
pub fn typed_lines(text: &mut String) -> TextEdit<'_> {
    TextEdit::multiline(text).char_limit(TEXT_CHARS.size())
}

#[cfg(test)]
mod tests {
    use egui::Role;
    use egui_kittest::Harness;
    use egui_kittest::kittest::Queryable as _;

    use super::*;

    #[test]
    fn a_field_takes_no_more_than_a_record_holds() {
        let ui = |ui: &mut egui::Ui, words: &mut [String; 2]| {
            let [name, note] = words;
            let label = ui.label("Name");
            ui.add(typed_line(name)).labelled_by(label.id);
            let label = ui.label("Note");
            ui.add(typed_lines(note)).labelled_by(label.id);
        };
        let builder = Harness::builder().with_size([400.0, 300.0]).with_context_setup(crate::ui::theme::install);
        let mut harness = builder.build_ui_state(ui, [String::new(), String::new()]);
        for (name, most) in [("Name", LINE_CHARS), ("Note", TEXT_CHARS)] {
            let role = if name == "Name" { Role::TextInput } else { Role::MultilineTextInput };
            harness.get_by_role_and_label(role, name).focus();
            harness.run();
            harness.get_by_role_and_label(role, name).type_text(&"é".repeat(most.size() + 1));
            harness.run();
        }
        let lengths = harness.state().each_ref().map(|words| words.chars().count());
        assert_eq!(lengths, [LINE_CHARS.size(), TEXT_CHARS.size()]);
    }
}
