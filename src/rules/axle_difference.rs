//! Two tyres of one axle may not differ too far in tread, where the law of the region gives a figure.

use super::proof::{margin, own_unit, tread};
use super::tread::{depths, least};
use super::{Case, Judgement, Outcome, Rule, Source};
use crate::inspection::{Answer, CheckRef, Severity, Subject};
use crate::machine::WheelPosition;
use crate::units::Length;

/// See the module.
pub(super) struct AxleDifference;

impl Rule for AxleDifference {
    fn id(&self) -> &'static str {
        "axle-difference"
    }
    fn explain(&self) -> &'static str {
        "The least tread of the two tyres of one axle, read in the same inspection, against the greatest difference that \
         the law of the region allows (France: 5 mm). Beyond it major: the law gives no class, so by common practice."
    }
    fn checks(&self) -> &'static [&'static str] {
        &["tyre-tread"]
    }
    fn judge(&self, case: &Case<'_>, check: &CheckRef, answer: Option<&Answer>) -> Vec<Judgement> {
        let Some((law, most)) = case.law(self.id()).and_then(|law| Some((law, law.figure?))) else { return vec![] };
        let Some(other) = check.subject.wheel().and_then(twin) else { return vec![] };
        let there = CheckRef::new(check.check.clone(), Subject::Wheel(other));
        let of = |answer| tread(answer, "depths").and_then(|points| least(&depths(&points)));
        let (Some(here), Some(there)) = (of(answer), of(case.inspection.answer(&there))) else { return vec![] };
        let apart = Length::mm((here.depth.as_mm() - there.depth.as_mm()).abs());
        let (shown, at_most) = (case.units.show_depth(apart), own_unit(case, most));
        let pair = format!(
            "{} here and {} at the {} wheel, each at its thinnest",
            case.units.show_depth(here.depth),
            case.units.show_depth(there.depth),
            other.word()
        );
        let (outcome, sentence) = if apart > most {
            (
                Outcome::Fault(Severity::Major),
                format!(
                    "The tyres of this axle differ by {shown} ({pair}), more than {at_most}: major. Replace the worn one."
                ),
            )
        } else {
            (Outcome::Sound, format!("The tyres of this axle differ by {shown} ({pair}), not more than {at_most}."))
        };
        // It names no field: that two tyres are alike does not make either of them deep enough.
        vec![
            Judgement::new(self.id(), check, outcome, sentence)
                .read(shown)
                .against(
                    format!("at most {at_most}"),
                    Source::Law(case.region.cite(&law.citation, law.from, law.until)),
                )
                .with_margin(margin(case, apart, most))
                .graded(Source::Practice("the law gives no class".into())),
        ]
    }
}

/// The other wheel of an axle with two.
fn twin(wheel: WheelPosition) -> Option<WheelPosition> {
    match wheel {
        WheelPosition::FrontLeft => Some(WheelPosition::FrontRight),
        WheelPosition::FrontRight => Some(WheelPosition::FrontLeft),
        WheelPosition::RearLeft => Some(WheelPosition::RearRight),
        WheelPosition::RearRight => Some(WheelPosition::RearLeft),
        WheelPosition::Front | WheelPosition::Rear | WheelPosition::Sidecar => None,
    }
}

#[cfg(test)]
mod tests {
    use super::super::fixture::{Bench, outcome_of};
    use super::*;
    use crate::clock::Spot;
    use crate::inspection::{TreadPoint, Value, Zone};
    use crate::machine::{Layout, Machine, MachineId};

    fn at(wheel: WheelPosition) -> CheckRef {
        CheckRef::new("tyre-tread", Subject::Wheel(wheel))
    }

    fn grooves(mm: f64) -> Value {
        let spot = Spot::from_degrees(0.0).expect("the valve");
        Value::Tread(vec![TreadPoint { spot, depths: vec![(Zone::Centre, Length::mm(mm))] }])
    }

    #[test]
    fn two_tyres_of_one_axle_may_differ_by_five_millimetres_in_france() {
        // French order, article JORFARTI000038987859.
        for (region, left, right, expected) in [
            ("fr", 7.0, 2.0, Some(None)),
            ("fr", 7.1, 2.0, Some(Some(Severity::Major))),
            ("fr", 2.0, 7.1, Some(Some(Severity::Major))),
            ("gb", 9.0, 2.0, None),
        ] {
            let mut bench = Bench::new(region);
            bench.machine = Machine::new(MachineId("t".into()), "Three", Layout::TwoFront);
            bench.machine.region = region.into();
            bench.read(&at(WheelPosition::FrontLeft), "depths", grooves(left));
            assert!(bench.judgements(&AxleDifference, &at(WheelPosition::FrontLeft)).is_empty(), "one tyre alone");
            bench.read(&at(WheelPosition::FrontRight), "depths", grooves(right));
            for wheel in [WheelPosition::FrontLeft, WheelPosition::FrontRight] {
                let judged = bench.judgements(&AxleDifference, &at(wheel));
                assert_eq!(judged.first().map(outcome_of), expected, "{region} {left} {right}");
            }
            bench.read(&at(WheelPosition::Rear), "depths", grooves(right));
            assert!(bench.judgements(&AxleDifference, &at(WheelPosition::Rear)).is_empty(), "alone on its axle");
        }
    }
}
