//! Closing a finding: repaired and looked at again, or withdrawn as recorded by mistake. Either writes an event.

use egui::{RichText, Ui, vec2};

use super::field::chip;
use super::round::Round;
use super::words;
use crate::inspection::{Closing, Event, EventKind, Finding, FindingId, Inspection, closing_words};
use crate::ui::theme::Tokens;
use crate::ui::{Action, UiState};

/// What is being written about the closing of one finding.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct CloseForm {
    /// Whose it is.
    pub of: Option<FindingId>,
    /// Whether it is withdrawn rather than repaired.
    pub withdrawn: bool,
    /// What was done.
    pub work: String,
    /// What the second look showed.
    pub second_look: String,
    /// Why it was no finding.
    pub reason: String,
    /// Who says so.
    pub by: String,
}

impl CloseForm {
    /// The closing, or what is still missing.
    fn closing(&self) -> Result<Closing, &'static str> {
        let filled = |text: &str| !text.trim().is_empty();
        if self.withdrawn {
            return match () {
                () if !filled(&self.reason) => Err("Write why it was no finding."),
                () if !filled(&self.by) => Err("Write the name of the person who withdraws it."),
                () => Ok(Closing::Withdrawn { reason: self.reason.trim().to_owned() }),
            };
        }
        match () {
            () if !filled(&self.work) => Err("Write what was done."),
            () if !filled(&self.second_look) => Err("Write what the second look after the work showed."),
            () => Ok(Closing::Repaired {
                work: self.work.trim().to_owned(),
                second_look: self.second_look.trim().to_owned(),
            }),
        }
    }
}

/// Draws the way to close a finding.
pub(super) fn ui(
    round: &Round<'_>,
    state: &mut UiState,
    actions: &mut Vec<Action>,
    ui: &mut Ui,
    inspection: &Inspection,
    finding: &Finding,
) {
    let tokens = round.cx.tokens;
    egui::CollapsingHeader::new("Close it").id_salt(("close", &finding.id.0)).show(ui, |ui| {
        let form = &mut state.walk.close;
        if form.of.as_ref() != Some(&finding.id) {
            *form = CloseForm { of: Some(finding.id.clone()), by: round.person(), ..CloseForm::default() };
        }
        ui.horizontal_wrapped(|ui| {
            if chip(ui, tokens, !form.withdrawn, "repaired") {
                form.withdrawn = false;
            }
            if chip(ui, tokens, form.withdrawn, "recorded by mistake") {
                form.withdrawn = true;
            }
        });
        if form.withdrawn {
            line(ui, tokens, "Why it was no finding", "mud, not a crack", &mut form.reason);
        } else {
            line(ui, tokens, "What was done", "tyre replaced", &mut form.work);
            line(
                ui,
                tokens,
                "What the second look showed",
                "seated all round, holds its pressure",
                &mut form.second_look,
            );
        }
        line(ui, tokens, "Who closes it", "name", &mut form.by);
        let closing = form.closing();
        let pressed = ui.add_enabled(closing.is_ok(), egui::Button::new("Close the finding")).clicked();
        match closing {
            Ok(closing) if pressed => {
                actions.push(round.close(inspection, &finding.id, closing, &form.by));
                *form = CloseForm::default();
            }
            // A line stands here in either case, or the button would move away under the hand.
            Ok(_) => told(ui, tokens, "It stays in the record, closed."),
            Err(missing) => told(ui, tokens, missing),
        }
    });
}

fn told(ui: &mut Ui, tokens: &Tokens, words: &str) {
    ui.label(RichText::new(words).small().color(tokens.faint));
}

/// Draws how a finding was closed, with the way back: a closing is never edited, it is taken back by a further event.
pub(super) fn closed(
    round: &Round<'_>,
    state: &mut UiState,
    actions: &mut Vec<Action>,
    ui: &mut Ui,
    finding: &FindingId,
    event: &Event,
) {
    let EventKind::FindingClosed { closing, .. } = &event.kind else { return };
    let by = if event.by.is_empty() { String::new() } else { format!(" by {}", event.by) };
    let words = words::capital(&closing_words(closing));
    ui.label(format!("Closed on {}{by}. {words}", words::day(event.date)));
    let tokens = round.cx.tokens;
    egui::CollapsingHeader::new("Open it again").id_salt(("reopen", &event.id.0)).show(ui, |ui| {
        let form = &mut state.walk.close;
        if form.of.as_ref() != Some(finding) {
            *form = CloseForm { of: Some(finding.clone()), by: round.person(), ..CloseForm::default() };
        }
        line(ui, tokens, "What was wrong with the closing", "it leaks again after a day", &mut form.reason);
        line(ui, tokens, "Who says so", "name", &mut form.by);
        let ready = !form.reason.trim().is_empty() && !form.by.trim().is_empty();
        if ui.add_enabled(ready, egui::Button::new("Open the finding again")).clicked() {
            actions.push(round.take_back(&event.id, &form.reason, &form.by));
            *form = CloseForm::default();
        }
        told(ui, tokens, "The closing stays in the record and counts no more.");
    });
}

fn line(ui: &mut Ui, tokens: &Tokens, label: &str, hint: &str, text: &mut String) {
    let label = ui.label(RichText::new(label).small().color(tokens.faint));
    let width = ui.available_width() - 10.0;
    let edit = egui::TextEdit::singleline(text).hint_text(hint).desired_width(width);
    ui.add(edit.min_size(vec2(0.0, tokens.target))).labelled_by(label.id);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_finding_closes_only_with_its_evidence() {
        // Decisions 3: repair plus a second look, or withdrawal with name and evidence.
        let repaired = CloseForm { work: "new tyre".into(), ..CloseForm::default() };
        assert!(repaired.closing().expect_err("no second look").contains("second look"));
        let looked = CloseForm { second_look: "holds".into(), ..repaired };
        assert!(matches!(looked.closing(), Ok(Closing::Repaired { .. })));
        let withdrawn = CloseForm { withdrawn: true, reason: "mud".into(), ..CloseForm::default() };
        assert!(withdrawn.closing().expect_err("no name").contains("name"));
        assert!(CloseForm { by: "Ada".into(), ..withdrawn }.closing().is_ok());
    }
}
