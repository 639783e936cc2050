//! The length of a cut in a tyre: longer than 25 mm or a tenth of the section width, whichever is greater, and reaching
//! ply or cord, is against the law of Great Britain.

use super::proof::marking;
use super::{Case, Judgement, Outcome, Rule};
use crate::catalogue::Fault;
use crate::inspection::{Answer, CheckRef, Finding, Severity};
use crate::units::Length;

/// The least length that counts in mm (SI 1986/1078 regulation 27(1)).
const LENGTH_MM: f64 = 25.0;
/// The share of the section width that counts where it is more (same).
const SHARE_OF_WIDTH: f64 = 0.10;
const CITATION: &str = "Road Vehicles (Construction and Use) Regulations 1986, SI 1986/1078, regulation 27(1)";

/// The length of a cut that the regulation allows, for a section width in mm.
pub fn allowed_mm(section_width_mm: f64) -> f64 {
    LENGTH_MM.max(SHARE_OF_WIDTH * section_width_mm)
}

/// See the module.
pub(super) struct TyreCut;

impl Rule for TyreCut {
    fn id(&self) -> &'static str {
        "tyre-cut"
    }
    fn explain(&self) -> &'static str {
        "A cut longer than 25 mm or 10 % of the section width, whichever is greater, and reaching ply or cord: SI \
         1986/1078 regulation 27(1), law in Great Britain, elsewhere shown for comparison. The directive's class of the \
         cut stands beside it and is not lowered."
    }
    fn checks(&self) -> &'static [&'static str] {
        &["tyre-look"]
    }
    fn judge(&self, _: &Case<'_>, _: &CheckRef, _: Option<&Answer>) -> Vec<Judgement> {
        vec![]
    }
    fn judge_finding(&self, case: &Case<'_>, finding: &Finding, fault: &Fault) -> Option<Judgement> {
        if finding.check.check != "tyre-look" || !matches!(fault.id.as_str(), "cut" | "cut-cord" | "nick") {
            return None;
        }
        let size = finding.size?;
        let width = marking(case, &finding.check).map(|m| m.size.width_mm);
        let allowed = Length::mm(allowed_mm(width.unwrap_or(0.0)));
        let law = case.is_law(self.id());
        let the_law = case.region.rule_words("the law");
        let (long, reaches) = (size > allowed, fault.id == "cut-cord");
        let (shown, limit) = (case.units.show_depth(size), case.units.show_depth(allowed));
        let outcome = if long && reaches && law { Outcome::Fault(Severity::Major) } else { Outcome::Noted };
        let mut sentence = match (long, reaches) {
            (true, true) if law => {
                format!("{shown} long and down to ply or cord: longer than the {limit} that {the_law} allows.")
            }
            (true, true) => format!("{shown} long and down to ply or cord: longer than {limit}."),
            (true, false) => {
                format!("{shown} is longer than {limit}: look with a blunt probe whether it reaches ply or cord.")
            }
            (false, _) => format!("{shown} is not longer than {limit}; its class by the directive stands."),
        };
        if width.is_none() {
            sentence.push_str(" The tyre's size is not known; a wide tyre may have a greater figure.");
        }
        let source = case.law_or_comparison(self.id(), CITATION);
        let mut judgement = Judgement::new(self.id(), &finding.check, outcome, sentence)
            .read(shown)
            .against(format!("at most {limit} where it reaches ply or cord"), source.clone())
            .with_margin(super::proof::margin(case, size, allowed))
            .graded(source);
        judgement.finding = Some(finding.id.clone());
        Some(judgement)
    }
}

#[cfg(test)]
mod tests {
    use super::super::fixture::Bench;
    use super::*;
    use crate::clock::{Side, Spot};
    use crate::inspection::{FindingId, Place, Subject, Zone};
    use crate::machine::WheelPosition;

    fn found(bench: &mut Bench, fault: &str, mm: f64) -> Judgement {
        let position = WheelPosition::Front;
        bench.inspection.findings = vec![Finding {
            id: FindingId("f1".into()),
            check: CheckRef::new("tyre-look", Subject::Wheel(position)),
            fault: fault.into(),
            place: Place::Wheel { position, zone: Zone::Sidewall(Side::Left), spot: Some(Spot::VALVE) },
            size: Some(Length::mm(mm)),
            note: String::new(),
            overrule: None,
            photos: vec![],
        }];
        let assessment = bench.assess();
        let check = bench.inspection.findings[0].check.clone();
        let result = assessment.result(&check).expect("asked");
        result.judgements.iter().find(|j| j.rule == "tyre-cut").expect("judged").clone()
    }

    #[test]
    fn a_long_cut_to_the_cord_breaks_the_law_in_great_britain() {
        // SI 1986/1078 regulation 27(1): 25 mm or 10 % of the section width, whichever is greater.
        let mut bench = Bench::new("gb");
        bench.fit_tyre(0, "120/70 ZR17 58W");
        assert_eq!(found(&mut bench, "cut-cord", 25.0).outcome, Outcome::Noted);
        assert_eq!(found(&mut bench, "cut-cord", 26.0).outcome, Outcome::Fault(Severity::Major));
        assert_eq!(found(&mut bench, "cut", 26.0).outcome, Outcome::Noted);
        bench.fit_tyre(0, "330/30 R17 80V");
        assert_eq!(found(&mut bench, "cut-cord", 32.0).outcome, Outcome::Noted, "10 % of 330 mm is 33 mm");
        assert_eq!(found(&mut bench, "cut-cord", 34.0).outcome, Outcome::Fault(Severity::Major));
        let mut bench = Bench::new("de");
        bench.fit_tyre(0, "120/70 ZR17 58W");
        let judgement = found(&mut bench, "cut-cord", 40.0);
        assert_eq!(judgement.outcome, Outcome::Noted);
        assert!(judgement.limit.expect("limit").source.words().contains("not law here"));
    }
}
