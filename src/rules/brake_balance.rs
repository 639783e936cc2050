//! The two brakes of one axle against each other.

use super::proof::{figure, number, points};
use super::{Case, Judgement, Outcome, Rule};
use crate::inspection::{Answer, CheckRef, Severity};
use crate::machine::Layout;

/// The weaker wheel of an axle gives at least this much of the other, per cent (Directive 2014/45/EU, item 1.2.1).
const SHARE: f64 = 70.0;
/// On a steered axle, less than this is dangerous (same).
const SHARE_STEERED: f64 = 50.0;

/// See the module.
pub(super) struct BrakeBalance;

impl Rule for BrakeBalance {
    fn id(&self) -> &'static str {
        "brake-balance"
    }
    fn explain(&self) -> &'static str {
        "Two wheels of one axle: the weaker gives at least 70 % of the other, else major; on a steered axle below 50 %, \
         and no effort at all at a wheel, dangerous, Directive 2014/45/EU item 1.2.1."
    }
    fn checks(&self) -> &'static [&'static str] {
        &["brake-balance"]
    }
    fn judge(&self, case: &Case<'_>, check: &CheckRef, answer: Option<&Answer>) -> Vec<Judgement> {
        let read = |field: &str| number(answer, field).filter(|p| p.is_finite() && *p >= 0.0);
        let new = |outcome, sentence: String| Judgement::new(self.id(), check, outcome, sentence).of("left");
        let (left, right) = match (read("left"), read("right")) {
            (Some(left), Some(right)) => (left, right),
            (None, None) => return vec![],
            _ => return vec![new(Outcome::Noted, "The axle is judged once both wheels are read.".into())],
        };
        let (less, more) = (left.min(right), left.max(right));
        if more <= 0.0 {
            let sentence = "Expected a force above zero at one wheel at least, found none at either: read it again, or \
                            record that the brake has no effect.";
            return vec![new(Outcome::Refused, sentence.into())];
        }
        let share = 100.0 * less / more;
        let steered = case.machine.layout == Layout::TwoFront;
        let weaker = if left < right { "left" } else { "right" };
        let shown = format!("{} %", figure(case, share, 1));
        let (outcome, sentence) = match share {
            _ if less <= 0.0 => {
                (Outcome::Fault(Severity::Dangerous), format!("The {weaker} wheel does not brake at all: dangerous."))
            }
            s if steered && s < SHARE_STEERED - 1e-9 => (
                Outcome::Fault(Severity::Dangerous),
                format!(
                    "The {weaker} wheel gives {shown} of the other, below {SHARE_STEERED:.0} % on a steered axle: dangerous."
                ),
            ),
            s if s < SHARE - 1e-9 => (
                Outcome::Fault(Severity::Major),
                format!("The {weaker} wheel gives {shown} of the other, below {SHARE:.0} %: major."),
            ),
            _ => (Outcome::Sound, format!("The weaker wheel gives {shown} of the other, {SHARE:.0} % or more.")),
        };
        vec![
            new(outcome, sentence)
                .read(shown)
                .against(format!("at least {SHARE:.0} %"), case.directive("1.2.1"))
                .with_margin(points(case, share, SHARE))
                .graded(case.directive("1.2.1")),
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
    fn an_axle_whose_wheels_brake_unlike_each_other() {
        // Directive 2014/45/EU annex I, item 1.2.1 (read in RD 920/2017).
        let check = CheckRef::new("brake-balance", Subject::Machine);
        for (layout, left, right, expected) in [
            (Layout::TwoFront, 70.0, 100.0, None),
            (Layout::TwoFront, 69.9, 100.0, Some(Major)),
            (Layout::TwoFront, 50.0, 100.0, Some(Major)),
            (Layout::TwoFront, 100.0, 49.9, Some(Dangerous)),
            (Layout::Trike, 100.0, 49.9, Some(Major)),
            (Layout::Trike, 100.0, 0.0, Some(Dangerous)),
        ] {
            let mut bench = Bench::new("de");
            bench.machine.layout = layout;
            bench.read(&check, "left", Value::Number(left));
            assert_eq!(bench.judgements(&BrakeBalance, &check)[0].outcome, Outcome::Noted);
            bench.read(&check, "right", Value::Number(right));
            assert_eq!(outcome_of(&bench.judgements(&BrakeBalance, &check)[0]), expected, "{left} {right}");
        }
        let mut bench = Bench::new("de");
        bench.read(&check, "left", Value::Number(0.0));
        bench.read(&check, "right", Value::Number(0.0));
        assert_eq!(bench.judgements(&BrakeBalance, &check)[0].outcome, Outcome::Refused);
    }
}
