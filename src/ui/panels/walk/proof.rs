//! A judgement with its proof: the mark and the sentence at once, reading, limit, source and margin on demand.

use egui::{RichText, Ui};

use super::mark;
use crate::rules::{Judgement, Outcome};
use crate::ui::theme::Tokens;

/// Draws a judgement.
pub(super) fn judgement(ui: &mut Ui, tokens: &Tokens, judgement: &Judgement, salt: usize) {
    ui.horizontal_top(|ui| {
        match &judgement.outcome {
            Outcome::Fault(severity) => mark::severity(ui, tokens, Some(*severity), 16.0),
            Outcome::Sound => mark::severity(ui, tokens, None, 16.0),
            Outcome::Noted | Outcome::Refused => mark::note(ui, tokens, 16.0),
        }
        ui.vertical(|ui| {
            let lead = match &judgement.outcome {
                // Where the sentence itself names the class, it is not said twice.
                Outcome::Fault(severity) if judgement.sentence.contains(severity.word()) => String::new(),
                Outcome::Fault(severity) => format!("{} · ", super::words::capital(severity.word())),
                Outcome::Sound => "Sound · ".to_owned(),
                Outcome::Refused => "Not taken as a reading · ".to_owned(),
                Outcome::Noted => String::new(),
            };
            ui.label(format!("{lead}{}", judgement.sentence));
            let lines = lines(judgement);
            if !lines.is_empty() {
                egui::CollapsingHeader::new(RichText::new("Proof").small()).id_salt(("proof", salt)).show(ui, |ui| {
                    for (what, words) in &lines {
                        ui.horizontal_wrapped(|ui| {
                            ui.label(RichText::new(*what).small().color(tokens.faint));
                            ui.label(RichText::new(words).small());
                        });
                    }
                });
            }
        });
    });
}

/// The lines of the proof: what each is, and its words.
fn lines(judgement: &Judgement) -> Vec<(&'static str, String)> {
    let mut lines = Vec::new();
    if !judgement.reading.is_empty() {
        lines.push(("Read", judgement.reading.clone()));
    }
    if let Some(limit) = &judgement.limit {
        lines.push(("Limit", limit.value.clone()));
        lines.push(("From", limit.source.words()));
    }
    if !judgement.margin.is_empty() {
        lines.push(("Margin", judgement.margin.clone()));
    }
    for other in &judgement.others {
        lines.push(("Also", format!("{}, by {}", other.value, other.source.words())));
    }
    for source in &judgement.graded_by {
        lines.push(("Class by", source.words()));
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::inspection::{CheckRef, Severity, Subject};
    use crate::rules::Source;

    #[test]
    fn the_proof_names_reading_limit_source_margin_and_class() {
        let check = CheckRef::new("tyre-pressure", Subject::Machine);
        let judged = Judgement::new("r", &check, Outcome::Fault(Severity::Minor), "Low.")
            .read("33 psi")
            .against("36 psi", Source::Machine("placard".into()))
            .with_margin("3 psi below")
            .graded(Source::Practice(String::new()));
        let whats: Vec<_> = lines(&judged).into_iter().map(|(what, _)| what).collect();
        assert_eq!(whats, ["Read", "Limit", "From", "Margin", "Class by"]);
        assert!(lines(&Judgement::new("r", &check, Outcome::Noted, "Said.")).is_empty());
    }
}
