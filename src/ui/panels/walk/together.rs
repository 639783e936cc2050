//! Faults of one area that may count as more together: the proposal, and the press by which a person confirms it.

use egui::{RichText, Ui};

use super::round::Round;
use crate::edit::Command;
use crate::inspection::Overrule;
use crate::rules::{Because, Together};
use crate::ui::Action;
use crate::ui::theme::strong_family;

/// The proposals for the inspection in hand, of faults that nobody has closed.
pub(super) fn open(round: &Round<'_>) -> Vec<Together> {
    let all = round.cx.derived.assessment.as_ref().map_or(&[][..], |a| a.together.as_slice());
    let open = |b: &Because| b.finding.as_ref().is_none_or(|id| round.bay.closing(id).is_none());
    let left = all.iter().cloned().map(|mut t| {
        t.because.retain(open);
        t
    });
    left.filter(|t| t.because.len() >= 2).collect()
}

/// Draws the proposals; nothing where there are none.
pub(super) fn ui(round: &Round<'_>, actions: &mut Vec<Action>, ui: &mut Ui) {
    let tokens = round.cx.tokens;
    for (index, proposal) in open(round).into_iter().enumerate() {
        ui.push_id(("together", index), |ui| {
            ui.add_space(4.0);
            ui.label(RichText::new("Taken together").family(strong_family()).color(tokens.strong));
            ui.label(proposal.sentence());
            for because in &proposal.because {
                ui.label(RichText::new(&because.words).small());
            }
            ui.label(RichText::new(proposal.source(&round.case()).words()).small().color(tokens.faint));
            if ui.button(format!("Yes, they count as {}", proposal.to.word())).clicked()
                && let Some(first) = proposal.because.first()
            {
                actions.extend(confirm(round, &proposal, first));
            }
        });
    }
}

/// Raises one of the faults, with the others as the reason: the record then says both.
fn confirm(round: &Round<'_>, proposal: &Together, first: &Because) -> Option<Action> {
    let overrule = Overrule { severity: proposal.to, reason: proposal.reason(), by: round.person() };
    match &first.finding {
        Some(id) => {
            let mut finding = round.inspection.findings.iter().find(|f| &f.id == id)?.clone();
            finding.overrule = Some(overrule);
            Some(round.put(finding))
        }
        None => Some(Action::Edit(Command::Overrule(
            round.machine().id.clone(),
            round.inspection.id.clone(),
            first.check.clone(),
            Some(overrule),
        ))),
    }
}
