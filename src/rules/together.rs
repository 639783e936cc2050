//! Several faults of one class in one area of inspection: their effect together may be graded one class higher, Directive
//! 2014/45/EU article 7(3) (from memory, high). The program only proposes it; a person says whether it is so.

use std::collections::BTreeMap;

use super::verdict::{Because, count};
use super::{Case, Source};
use crate::inspection::{FindingId, Severity};

/// The areas of annex I by the first figure of their items, in our own words.
const AREAS: [&str; 9] = [
    "what identifies the machine",
    "the brakes",
    "the steering",
    "the rider's view",
    "lamps and electrics",
    "axles, wheels, tyres and suspension",
    "frame, engine room and fittings",
    "other equipment",
    "noise, gas and leaks",
];

/// How the reason of a confirmed proposal ends.
const TAKEN: &str = "taken together";

/// Faults of one class in one area that may together count as the next class.
#[derive(Clone, Debug, PartialEq)]
pub struct Together {
    /// The area, in words.
    pub area: &'static str,
    /// Their class.
    pub class: Severity,
    /// The class that they may count as together.
    pub to: Severity,
    /// The faults, two at least.
    pub because: Vec<Because>,
}

impl Together {
    /// The proposal as a sentence that leaves the decision to a person.
    pub fn sentence(&self) -> String {
        format!(
            "{} in one area, {}: if together they are worse than each by itself, they count as {}. That is for you to say.",
            count(self.because.len(), &format!("{} fault", self.class.word())),
            self.area,
            self.to.word()
        )
    }
    /// The reason that stands in the record where a person confirms it.
    pub fn reason(&self) -> String {
        format!("{} of {} {TAKEN}", count(self.because.len(), &format!("{} fault", self.class.word())), self.area)
    }
    /// Whether the reason of an overruling is that of a confirmed proposal, however many faults there were then.
    pub fn is_reason(reason: &str) -> bool {
        reason.trim().ends_with(TAKEN)
    }
    /// Where the proposal comes from.
    pub fn source(&self, case: &Case<'_>) -> Source {
        let here = if case.region.directive_binds(case.today) { "" } else { "; not law here" };
        Source::Practice(format!("graded after Directive 2014/45/EU, article 7(3){here}"))
    }
}

/// What may be taken together among the reasons of one inspection: in each area the worst class that two or more of them
/// have, unless it is dangerous already or one of them has been raised above it.
pub(super) fn together(case: &Case<'_>, because: &[Because]) -> Vec<Together> {
    let mut found = Vec::new();
    let faults = case.inspection.findings.iter().map(|f| (&f.id, f.fault.as_str())).collect();
    for (number, area) in AREAS.into_iter().enumerate() {
        let here: Vec<&Because> = because.iter().filter(|b| area_of(case, b, &faults) == Some(number)).collect();
        let Some(class) = here.iter().map(|b| b.severity).max() else { continue };
        let to = match class {
            Severity::Minor => Severity::Major,
            Severity::Major => Severity::Dangerous,
            Severity::Dangerous => continue,
        };
        let because: Vec<Because> = here.into_iter().filter(|b| b.severity == class).cloned().collect();
        if because.len() >= 2 {
            found.push(Together { area, class, to, because });
        }
    }
    found
}

/// The area of a reason: by the item of its fault, else of its check; none where the directive has no item for it.
fn area_of(case: &Case<'_>, because: &Because, faults: &BTreeMap<&FindingId, &str>) -> Option<usize> {
    let check = case.catalogue.check(&because.check.check)?;
    let fault = because.finding.as_ref().and_then(|id| faults.get(id));
    let of_fault = fault.and_then(|fault| check.fault(fault)).and_then(|fault| fault.item.as_ref());
    of_fault.or(check.item.as_ref())?.split('.').next()?.parse().ok().filter(|n| *n < AREAS.len())
}

#[cfg(test)]
mod tests {
    use super::super::fixture::Bench;
    use super::*;
    use crate::inspection::{CheckRef, Finding, FindingId, Overrule, Place, Station, Subject};

    fn find(bench: &mut Bench, check: &str, fault: &str) {
        let id = FindingId(format!("f-{}", bench.inspection.findings.len()));
        bench.inspection.findings.push(Finding {
            id,
            check: CheckRef::new(check, Subject::Machine),
            fault: fault.into(),
            place: Place::Part { station: Station::Tail, part: String::new() },
            size: None,
            note: String::new(),
            overrule: None,
            photos: vec![],
        });
    }

    #[test]
    fn two_faults_of_one_class_in_one_area_are_proposed_and_a_person_confirms() {
        // Directive 2014/45/EU article 7(3).
        let mut bench = Bench::new("de");
        find(&mut bench, "stop-lamp", "lens-slight");
        assert!(bench.assess().together.is_empty(), "one fault alone");
        find(&mut bench, "horn", "weak");
        assert!(bench.assess().together.is_empty(), "another area");
        find(&mut bench, "plate-lamp", "loose");
        let proposed = bench.assess().together;
        assert_eq!(proposed.len(), 1, "{proposed:?}");
        assert_eq!(
            (proposed[0].area, proposed[0].class, proposed[0].to),
            ("lamps and electrics", Severity::Minor, Severity::Major)
        );
        assert!(proposed[0].sentence().starts_with("2 minor faults in one area"), "{}", proposed[0].sentence());
        // Nothing is raised by itself.
        assert_eq!(bench.assess().verdict.because[0].severity, Severity::Minor);
        // Confirmed by raising one of them: the proposal has been answered.
        bench.inspection.findings[0].overrule =
            Some(Overrule { severity: Severity::Major, reason: proposed[0].reason(), by: "owner".into() });
        let after = bench.assess();
        assert!(after.together.is_empty());
        assert_eq!(after.verdict.because[0].severity, Severity::Major);
    }

    #[test]
    fn major_ones_may_count_as_dangerous_and_dangerous_ones_as_nothing_more() {
        let mut bench = Bench::new("gb");
        find(&mut bench, "brake-hoses", "chafed");
        find(&mut bench, "brake-hoses", "porous");
        find(&mut bench, "brake-hoses", "misplaced");
        let proposed = bench.assess().together;
        assert_eq!(
            (proposed[0].to, proposed[0].because.len()),
            (Severity::Dangerous, 2),
            "the minor one is not counted"
        );
        assert!(proposed[0].source(&bench.case()).words().contains("not law here"));
        find(&mut bench, "brake-hoses", "leak");
        assert!(bench.assess().together.is_empty(), "it is dangerous already");
    }
}
