//! The parking brake: its efficiency in per cent of the greatest mass.

use super::proof::{figure, number, points};
use super::{Case, Judgement, Outcome, Rule, braking};
use crate::inspection::{Answer, CheckRef, Severity};

/// A parking brake gives at least this much of the greatest mass, per cent (Directive 2014/45/EU, item 1.4.2).
const PARKING: f64 = 16.0;

/// See the module.
pub(super) struct ParkingBrake;

impl Rule for ParkingBrake {
    fn id(&self) -> &'static str {
        "parking-brake"
    }
    fn explain(&self) -> &'static str {
        "The efficiency of the parking brake: 16 % of the greatest authorised mass, else major; below half of that \
         dangerous, Directive 2014/45/EU item 1.4.2."
    }
    fn checks(&self) -> &'static [&'static str] {
        &["parking-brake"]
    }
    fn judge(&self, case: &Case<'_>, check: &CheckRef, answer: Option<&Answer>) -> Vec<Judgement> {
        let Some(percent) = number(answer, "efficiency").filter(|p| p.is_finite() && *p >= 0.0) else { return vec![] };
        let shown = format!("{} %", figure(case, percent, 1));
        let new = |outcome, sentence: String| {
            Judgement::new(self.id(), check, outcome, sentence).of("efficiency").read(shown.as_str())
        };
        if percent > braking::MOST_PERCENT {
            let most = figure(case, braking::MOST_PERCENT, 0);
            return vec![new(Outcome::Refused, format!("Expected at most {most} %, found {shown}: check the unit."))];
        }
        let (outcome, sentence) = match braking::class(percent, PARKING) {
            Some(Severity::Dangerous) => (
                Outcome::Fault(Severity::Dangerous),
                format!("The parking brake gives {shown}, less than half of {PARKING:.0} %: dangerous."),
            ),
            Some(severity) => (
                Outcome::Fault(severity),
                format!("The parking brake gives {shown}, below {PARKING:.0} %: {}.", severity.word()),
            ),
            None => (Outcome::Sound, format!("The parking brake gives {shown}, {PARKING:.0} % or more.")),
        };
        vec![
            new(outcome, sentence)
                .against(format!("at least {PARKING:.0} %"), case.directive("1.4.2"))
                .with_margin(points(case, percent, PARKING))
                .graded(case.directive("1.4.2")),
        ]
    }
}

#[cfg(test)]
mod tests {
    use super::super::fixture::{Bench, outcome_of};
    use super::*;
    use crate::inspection::{Subject, Value};
    use Severity::{Dangerous, Major};

    #[test]
    fn a_parking_brake_gives_sixteen_per_cent() {
        // Directive 2014/45/EU annex I, item 1.4.2.
        let check = CheckRef::new("parking-brake", Subject::Machine);
        let mut bench = Bench::new("de");
        for (percent, expected) in [(16.0, None), (15.9, Some(Major)), (8.0, Some(Major)), (7.9, Some(Dangerous))] {
            bench.read(&check, "efficiency", Value::Number(percent));
            assert_eq!(outcome_of(&bench.judgements(&ParkingBrake, &check)[0]), expected, "{percent}");
        }
    }
}
