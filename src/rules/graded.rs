//! The class of a finding by the catalogue: after the directive where it has an item, raised by practice where that
//! is stricter. Both are shown.

use super::proof::capital;
use super::{Case, Judgement, Outcome, Source};
use crate::catalogue::Fault;
use crate::inspection::{Finding, Severity};

/// The class that the catalogue proposes for a fault, with its sources.
pub fn proposed(case: &Case<'_>, fault: &Fault) -> (Severity, Vec<Source>) {
    let base = match &fault.item {
        Some(item) => case.directive(item),
        None => Source::Practice(String::new()),
    };
    match &fault.practice {
        Some((raised, reason)) if *raised > fault.severity => {
            (*raised, vec![base, Source::Practice(format!("raised to {}: {reason}", raised.word()))])
        }
        _ => (fault.severity, vec![base]),
    }
}

/// What is seen and its class, with the advice that goes with it.
pub(super) fn sentence(fault: &Fault, severity: Severity) -> String {
    capital(&words(fault, severity))
}

/// The same without its capital, to go on in a sentence.
pub(super) fn words(fault: &Fault, severity: Severity) -> String {
    let mut sentence = format!("{}: {}", fault.words, severity.word());
    if severity > fault.severity {
        let by = if fault.item.is_some() { "by the directive" } else { "otherwise" };
        sentence.push_str(&format!(" by common practice ({} {by})", fault.severity.word()));
    }
    sentence.push('.');
    if !fault.advice.is_empty() {
        sentence.push(' ');
        sentence.push_str(&fault.advice);
    }
    sentence
}

/// Judges a finding by the catalogue.
pub(super) fn judge(case: &Case<'_>, finding: &Finding, fault: &Fault) -> Judgement {
    let (severity, sources) = proposed(case, fault);
    let mut judgement =
        Judgement::new("graded-finding", &finding.check, Outcome::Fault(severity), sentence(fault, severity));
    judgement.finding = Some(finding.id.clone());
    judgement.graded_by = sources;
    judgement
}
