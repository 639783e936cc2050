//! Inside diameter of a drum against the figure cast in it or in the manual.

use super::proof::{length, own_limit};
use super::worn::Worn;
use super::{Case, Judgement, Rule};
use crate::inspection::{Answer, CheckRef};
use crate::machine::LimitKind;

/// See the module.
pub(super) struct Drum;

impl Rule for Drum {
    fn id(&self) -> &'static str {
        "drum"
    }
    fn explain(&self) -> &'static str {
        "Inside diameter against the figure cast in the drum or in the manual: at it major, above it dangerous \
         (Directive 2014/45/EU item 1.1.14)."
    }
    fn checks(&self) -> &'static [&'static str] {
        &["drum"]
    }
    fn judge(&self, case: &Case<'_>, check: &CheckRef, answer: Option<&Answer>) -> Vec<Judgement> {
        let (Some(read), Some(wheel)) = (length(answer, "diameter"), check.subject.wheel()) else { return vec![] };
        let part = Worn {
            rule: self.id(),
            field: "diameter",
            part: "drum",
            limit: own_limit(case, LimitKind::DrumMaximum(wheel)),
            least: false,
            way_out: "It is often cast in the drum; else see the service manual.",
        };
        vec![part.judge(case, check, read)]
    }
}

#[cfg(test)]
mod tests {
    use super::super::fixture::{Bench, outcome_of};
    use super::*;
    use crate::inspection::{Severity, Subject, Value};
    use crate::machine::WheelPosition;
    use crate::units::Length;

    const FRONT: WheelPosition = WheelPosition::Front;

    #[test]
    fn a_drum_wears_outward() {
        let check = CheckRef::new("drum", Subject::Wheel(FRONT));
        let mut bench = Bench::new("de");
        bench.limit(LimitKind::DrumMaximum(FRONT), 111.0);
        for (mm, expected) in [(110.5, None), (111.0, Some(Severity::Major)), (111.1, Some(Severity::Dangerous))] {
            bench.read(&check, "diameter", Value::Length(Length::mm(mm)));
            assert_eq!(outcome_of(&bench.judgements(&Drum, &check)[0]), expected, "{mm}");
        }
    }
}
