//! A choice that amounts to a fault is graded as that fault; another choice of the same field is sound.

use super::proof::{capital, choice};
use super::{Case, Judgement, Outcome, Rule, graded};
use crate::catalogue::FieldKind;
use crate::inspection::{Answer, CheckRef};

/// See the module.
pub(super) struct ChoiceRule;

impl Rule for ChoiceRule {
    fn id(&self) -> &'static str {
        "choice"
    }
    fn explain(&self) -> &'static str {
        "A choice that names a fault is graded as the catalogue grades that fault, after Directive 2014/45/EU or \
         common practice. A field none of whose choices names a fault (hot or cold, the stance) is a circumstance and \
         is not judged."
    }
    fn checks(&self) -> &'static [&'static str] {
        &[]
    }
    fn judge(&self, case: &Case<'_>, check: &CheckRef, answer: Option<&Answer>) -> Vec<Judgement> {
        let Some(entry) = case.catalogue.check(&check.check) else { return vec![] };
        let mut judged = Vec::new();
        for field in &entry.fields {
            let FieldKind::Choice(choices) = &field.kind else { continue };
            if choices.iter().all(|c| c.fault.is_none()) {
                continue;
            }
            let chosen = choice(answer, &field.id);
            let Some(chosen) = choices.iter().find(|c| Some(&c.id) == chosen.as_ref()) else { continue };
            let judgement = match chosen.fault.as_deref().and_then(|id| entry.fault(id)) {
                Some(fault) => {
                    let (severity, sources) = graded::proposed(case, fault);
                    let mut judgement =
                        Judgement::new(self.id(), check, Outcome::Fault(severity), graded::sentence(fault, severity));
                    judgement.graded_by = sources;
                    judgement
                }
                None => {
                    let mut judgement = Judgement::new(
                        self.id(),
                        check,
                        Outcome::Sound,
                        format!("{}: {}.", capital(&field.label), chosen.label),
                    );
                    judgement.graded_by.push(match &entry.item {
                        Some(item) => case.directive(item),
                        None => super::Source::Practice(String::new()),
                    });
                    judgement
                }
            };
            judged.push(judgement.of(field.id.as_str()).read(chosen.label.as_str()));
        }
        judged
    }
}
