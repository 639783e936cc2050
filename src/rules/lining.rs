//! Thickness of pads and shoes against the machine's own figure, else against practice.

use super::proof::{choice, length, margin, own_limit};
use super::{Case, Judgement, Outcome, Rule, Source};
use crate::inspection::{Answer, CheckRef, Severity};
use crate::machine::LimitKind;
use crate::units::Length;

/// Least ordinary lining in mm (older British inspection manual, archived text, medium certainty; workshops say 1.5
/// to 2.0).
pub const ORDINARY_MM: f64 = 1.5;
/// Least sintered lining in mm (same).
pub const SINTERED_MM: f64 = 1.0;
/// Below this in mm a lining is dangerous without any figure of its own (current British manual, from memory,
/// low to medium certainty).
const GONE_MM: f64 = 1.0;
/// No lining of a motorcycle is thicker (house figure).
const THICKEST_MM: f64 = 30.0;

/// See the module.
pub(super) struct Lining;

impl Rule for Lining {
    fn id(&self) -> &'static str {
        "lining"
    }
    fn explain(&self) -> &'static str {
        "Lining against the machine's own least figure: at it major, below it dangerous (Directive 2014/45/EU item \
         1.1.13). Without one, against 1.5 mm (sintered 1.0 mm) of the older British manual, marked as practice: at or \
         below it major, below 1.0 mm dangerous."
    }
    fn checks(&self) -> &'static [&'static str] {
        &["brake-lining"]
    }
    fn judge(&self, case: &Case<'_>, check: &CheckRef, answer: Option<&Answer>) -> Vec<Judgement> {
        let Some(read) = length(answer, "thickness") else { return vec![] };
        let shown = case.units.show_depth(read);
        if !(0.0..=THICKEST_MM).contains(&read.as_mm()) {
            let sentence = format!(
                "Expected a lining from 0 to {}, found {shown}: measure the lining alone, without its backing.",
                case.units.show_depth(Length::mm(THICKEST_MM))
            );
            return vec![Judgement::new(self.id(), check, Outcome::Refused, sentence).of("thickness").read(shown)];
        }
        let sintered = choice(answer, "sintered").as_deref() == Some("yes");
        let practice = Length::mm(if sintered { SINTERED_MM } else { ORDINARY_MM });
        let kind = if sintered { "sintered" } else { "ordinary" };
        let practice_source = Source::Practice(format!(
            "{kind} lining by the older British inspection manual (archived text, medium certainty)"
        ));
        let own = check.subject.wheel().and_then(|w| own_limit(case, LimitKind::LiningMinimum(w)));
        let is_own = own.is_some();
        let (limit, source) = own.unwrap_or((practice, practice_source.clone()));
        let dangerous_below = if is_own { limit } else { Length::mm(GONE_MM) };
        let wanted = format!("more than {}", case.units.show_depth(limit));
        let (outcome, sentence) = if read < dangerous_below {
            (
                Outcome::Fault(Severity::Dangerous),
                format!(
                    "{shown} of lining is below {}: dangerous. Renew the linings before it moves.",
                    case.units.show_depth(dangerous_below)
                ),
            )
        } else if read <= limit {
            (
                Outcome::Fault(Severity::Major),
                format!(
                    "{shown} of lining is not more than the least figure, {}: major. Renew the linings.",
                    case.units.show_depth(limit)
                ),
            )
        } else {
            (Outcome::Sound, format!("{shown} of lining is {wanted}."))
        };
        let mut judgement = Judgement::new(self.id(), check, outcome, sentence)
            .of("thickness")
            .read(shown)
            .against(wanted, source)
            .with_margin(margin(case, read, limit))
            .graded(case.directive("1.1.13"));
        if is_own {
            judgement = judgement.also(format!("more than {}", case.units.show_depth(practice)), practice_source);
        }
        vec![judgement]
    }
}

#[cfg(test)]
mod tests {
    use super::super::Status;
    use super::super::fixture::{Bench, outcome_of};
    use super::*;
    use crate::clock::Side;
    use crate::inspection::{CheckState, Subject, Value};
    use crate::machine::{Brake, WheelPosition};

    fn front() -> CheckRef {
        CheckRef::new("brake-lining", Subject::Wheel(WheelPosition::Front))
    }

    fn judged(bench: &mut Bench, mm: f64) -> Judgement {
        bench.read(&front(), "thickness", Value::Length(Length::mm(mm)));
        bench.judgements(&Lining, &front()).remove(0)
    }

    #[test]
    fn at_the_machines_figure_major_and_below_it_dangerous() {
        // Directive 2014/45/EU item 1.1.13.
        use Severity::{Dangerous, Major};
        let mut bench = Bench::new("de");
        bench.limit(LimitKind::LiningMinimum(WheelPosition::Front), 2.0);
        for (mm, expected) in [(2.1, None), (2.0, Some(Major)), (1.9, Some(Dangerous)), (0.0, Some(Dangerous))] {
            let judgement = judged(&mut bench, mm);
            assert_eq!(outcome_of(&judgement), expected, "{mm}: {}", judgement.sentence);
            assert!(matches!(judgement.limit.expect("limit").source, Source::Machine(_)));
        }
    }

    #[test]
    fn without_one_practice_counts_and_says_so() {
        // Older British manual: 1.5 mm ordinary, 1.0 mm sintered (archived text, medium).
        use Severity::{Dangerous, Major};
        let mut bench = Bench::new("gb");
        for (sintered, mm, expected) in [
            ("no", 1.6, None),
            ("no", 1.5, Some(Major)),
            ("no", 1.0, Some(Major)),
            ("no", 0.9, Some(Dangerous)),
            ("yes", 1.1, None),
            ("yes", 1.0, Some(Major)),
            ("yes", 0.9, Some(Dangerous)),
        ] {
            bench.read(&front(), "sintered", Value::Choice(sintered.into()));
            let judgement = judged(&mut bench, mm);
            assert_eq!(outcome_of(&judgement), expected, "{sintered} {mm}: {}", judgement.sentence);
            assert!(judgement.limit.expect("limit").source.words().contains("medium certainty"));
        }
    }

    #[test]
    fn a_thick_lining_does_not_hide_that_nobody_looked_for_oil() {
        let mut bench = Bench::new("gb");
        bench.machine.wheels[0].brakes = vec![Brake::Disc(Side::Left)];
        judged(&mut bench, 4.0);
        let status = |bench: &Bench| bench.assess().result(&front()).expect("asked").status.clone();
        assert_eq!(status(&bench), Status::Unchecked);
        bench.inspection.answers.get_mut(&front()).expect("answered").state = CheckState::Sound;
        assert_eq!(status(&bench), Status::Sound);
    }
}
