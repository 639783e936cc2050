//! How much risk a check takes away: the class of the worst fault it can find, raised by what is open, due or skipped.

use std::collections::BTreeSet;

use super::Request;
use crate::catalogue::Check;
use crate::inspection::{CheckRef, Inspection, Severity};
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
        // One that is being made, or in which nobody has said anything, skipped nothing.
        let is_over = |i: &Inspection| {
            Some(&i.id) != request.inspection
                && i.date < request.today
                && !(i.answers.is_empty() && i.findings.is_empty())
        };
        let last = bay.inspections.iter().rposition(is_over);
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::Catalogue;
    use crate::garage::Bay;
    use crate::inspection::{Answer, CheckState, InspectionId, Subject};
    use crate::machine::{Layout, Machine, MachineId, WheelPosition};
    use crate::units::Preferences;

    #[test]
    fn an_inspection_that_is_only_begun_skipped_nothing() {
        let day = |month, day| chrono::NaiveDate::from_ymd_opt(2026, month, day).expect("a day");
        let tyre = |wheel| CheckRef::new("tyre-look", Subject::Wheel(wheel));
        let (front, rear) = (tyre(WheelPosition::Front), tyre(WheelPosition::Rear));
        let inspection = |id: &str, day| Inspection::new(InspectionId(id.into()), "ride", day);
        let sound = || Answer { state: CheckState::Sound, ..Answer::default() };
        let mut spring = inspection("spring", day(4, 2));
        spring.answers.insert(front.clone(), sound());
        let machine = Machine::new(MachineId("m-1".into()), "Bench", Layout::Solo);
        let mut bay = Bay { machine, inspections: vec![spring], events: Vec::new(), unread: Vec::new() };
        let skipped = |bay: &Bay| {
            let (catalogue, units) = (Catalogue::builtin(), Preferences::default());
            let kind = catalogue.kind("ride").expect("a kind");
            let request = Request::new(bay, catalogue, &units, kind, day(11, 25));
            let known = Known::of(&request);
            let check = catalogue.check("tyre-look").expect("a check");
            [&front, &rear].map(|one| known.weight(&request, one, check).raised.contains(&"it was skipped last time"))
        };
        assert_eq!(skipped(&bay), [false, true], "in spring the rear tyre was left out");
        bay.inspections.push(inspection("empty", day(11, 24)));
        assert_eq!(skipped(&bay), [false, true], "in one without an answer nothing was looked at nor skipped");
        let mut today = inspection("today", day(11, 25));
        today.answers.insert(rear.clone(), sound());
        bay.inspections.push(today);
        assert_eq!(skipped(&bay), [false, true], "and the one of today is still being made");
    }
}
