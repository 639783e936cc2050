//! How much risk a check takes away: the class of the worst fault it can find, raised by what is open, due or skipped.

use std::collections::BTreeSet;

use super::Request;
use crate::catalogue::Check;
use crate::inspection::{CheckRef, Severity};
use crate::rules::{Case, assess, standing};

/// The weight of a check, with what raised it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Weight {
    /// Points of risk taken away by doing it.
    pub points: u32,
    /// Why it weighs more than its class alone, in words.
    pub raised: Vec<&'static str>,
}

/// What is known of a machine that raises the weight of its checks.
pub(super) struct Known {
    open: BTreeSet<CheckRef>,
    skipped: BTreeSet<CheckRef>,
}

impl Known {
    /// What the records say.
    pub fn of(request: &Request<'_>) -> Self {
        let bay = request.bay;
        let standing = standing(bay, request.catalogue, request.units, request.today);
        let mut open: BTreeSet<CheckRef> = standing.open.iter().map(|o| o.finding.check.clone()).collect();
        open.extend(standing.verdict.iter().flat_map(|v| v.because.iter().map(|b| b.check.clone())));
        let last = bay.inspections.iter().rposition(|i| Some(&i.id) != request.inspection);
        let skipped = last.map_or_else(BTreeSet::new, |at| {
            let (earlier, inspection) = (&bay.inspections[..at], &bay.inspections[at]);
            let case = Case::new(&bay.machine, inspection, earlier, request.catalogue, request.units, request.today);
            assess(&case).results.into_iter().filter(|r| r.status.is_open()).map(|r| r.check).collect()
        });
        Self { open, skipped }
    }
    /// The weight of a check. Each class counts three times the one below; an open finding doubles it, falling due and
    /// having been skipped last time add a half each. Our own scale, common practice in its order only.
    pub fn weight(&self, request: &Request<'_>, reference: &CheckRef, check: &Check) -> Weight {
        let base = match worst(check) {
            Some(Severity::Dangerous) => 90,
            Some(Severity::Major) => 30,
            Some(Severity::Minor) | None => 10,
        };
        let mut weight = Weight { points: base, raised: Vec::new() };
        if self.open.contains(reference) {
            weight.points += base;
            weight.raised.push("a finding is open");
        }
        if request.due.contains(reference) {
            weight.points += base / 2;
            weight.raised.push("it falls due");
        }
        if self.skipped.contains(reference) {
            weight.points += base / 2;
            weight.raised.push("it was skipped last time");
        }
        weight
    }
}

/// The class of the worst fault that a check can find, by the directive or by practice.
fn worst(check: &Check) -> Option<Severity> {
    check.faults.iter().map(|f| f.practice.as_ref().map_or(f.severity, |(raised, _)| f.severity.max(*raised))).max()
}
