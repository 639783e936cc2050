//! Run-out of a rim, sideways and up and down, against the machine's own figure and the published test figures.

use super::dial::{LEAST_PLACES, survey, swing};
use super::proof::{margin, own_limit, wheel};
use super::{Case, Judgement, Outcome, Rule, Source};
use crate::inspection::{Answer, CheckRef, Severity};
use crate::machine::{LimitKind, RimMaterial, Wheel};
use crate::units::Length;

/// Lateral run-out of a steel rim in mm (DVSA inspection manual for motorcycles 5.2.2, as read).
const LATERAL_STEEL_MM: f64 = 4.0;
/// Lateral run-out of an aluminium rim in mm (same); other light materials are held to it too, by practice.
const LATERAL_LIGHT_MM: f64 = 2.0;
/// Radial run-out in mm (same).
const RADIAL_MM: f64 = 3.0;
const MANUAL: &str = "DVSA inspection manual for motorcycles, 5.2.2";

/// See the module.
pub(super) struct RimRunout;

impl Rule for RimRunout {
    fn id(&self) -> &'static str {
        "rim-runout"
    }
    fn explain(&self) -> &'static str {
        "Total run-out of the rim against the machine's own figure, and against the British test manual's: 4 mm \
         sideways for steel, 2 mm for aluminium, 3 mm out of round. The stricter binds. Over it is major, Directive \
         2014/45/EU item 5.2.2."
    }
    fn checks(&self) -> &'static [&'static str] {
        &["rim-runout"]
    }
    fn judge(&self, case: &Case<'_>, check: &CheckRef, answer: Option<&Answer>) -> Vec<Judgement> {
        let Some(wheel) = wheel(case, check) else { return vec![] };
        [("lateral", "sideways"), ("radial", "out of round")]
            .into_iter()
            .filter_map(|(field, word)| self.one(case, check, answer, wheel, (field, word)))
            .collect()
    }
}

/// The limits of a rim one way, `lateral` or `radial`, the stricter first.
pub(super) fn limits(case: &Case<'_>, wheel: &Wheel, way: &str) -> Vec<(Length, Source)> {
    let (kind, manual) = match (way, wheel.rim.material) {
        ("radial", _) => (LimitKind::RimRadialMaximum(wheel.position), RADIAL_MM),
        (_, RimMaterial::Steel) => (LimitKind::RimLateralMaximum(wheel.position), LATERAL_STEEL_MM),
        (_, RimMaterial::Aluminium | RimMaterial::Magnesium | RimMaterial::Composite) => {
            (LimitKind::RimLateralMaximum(wheel.position), LATERAL_LIGHT_MM)
        }
    };
    let mut limits = vec![(Length::mm(manual), case.law_or_comparison("rim-runout", MANUAL))];
    limits.extend(own_limit(case, kind));
    limits.sort_by(|a, b| a.0.base().total_cmp(&b.0.base()));
    limits
}

impl RimRunout {
    fn one(
        &self,
        case: &Case<'_>,
        check: &CheckRef,
        answer: Option<&Answer>,
        wheel: &Wheel,
        (field, word): (&str, &str),
    ) -> Option<Judgement> {
        let points = survey(answer, field)?;
        let Some(found) = swing(points) else {
            let sentence = format!(
                "Run-out {word} was read at {} places: read it at {LEAST_PLACES} or more round the rim.",
                points.len()
            );
            return Some(Judgement::new(self.id(), check, Outcome::Refused, sentence).of(field));
        };
        let mut limits = limits(case, wheel, field).into_iter();
        let (limit, source) = limits.next()?;
        let (total, most) = (case.units.show_depth(found.total), case.units.show_depth(limit));
        let over = found.total > limit;
        let sentence = if over {
            format!(
                "The {} rim runs out {total} {word}, more than {most} ({}): major.",
                wheel.rim.material.word(),
                found.places()
            )
        } else {
            format!(
                "The {} rim runs out {total} {word}, not more than {most} ({}).",
                wheel.rim.material.word(),
                found.places()
            )
        };
        let outcome = if over { Outcome::Fault(Severity::Major) } else { Outcome::Sound };
        let mut judgement = Judgement::new(self.id(), check, outcome, sentence)
            .of(field)
            .read(format!("{total} {word}"))
            .against(format!("at most {most}"), source)
            .with_margin(margin(case, found.total, limit))
            .graded(case.directive("5.2.2"));
        for (other, source) in limits {
            judgement = judgement.also(format!("at most {}", case.units.show_depth(other)), source);
        }
        Some(judgement)
    }
}

#[cfg(test)]
mod tests {
    use super::super::fixture::{Bench, outcome_of};
    use super::*;
    use crate::clock::{Side, Spot};
    use crate::inspection::{DialPoint, Subject, Value};
    use crate::machine::WheelPosition;

    fn front() -> CheckRef {
        CheckRef::new("rim-runout", Subject::Wheel(WheelPosition::Front))
    }

    /// A rim that swings by this much in mm, read at eight places.
    fn swinging(mm: f64) -> Value {
        let points = (0..8).map(|i| DialPoint {
            spot: Spot::from_degrees(45.0 * f64::from(i)).expect("finite"),
            reading: Length::mm(if i == 3 { mm } else { 0.0 }),
        });
        Value::Dial(Side::Right, points.collect())
    }

    fn judged(bench: &mut Bench, field: &str, mm: f64) -> Judgement {
        bench.inspection.answers.clear();
        bench.read(&front(), field, swinging(mm));
        bench.judgements(&RimRunout, &front()).remove(0)
    }

    #[test]
    fn steel_may_swing_four_and_aluminium_two() {
        // DVSA inspection manual for motorcycles 5.2.2.
        use Severity::Major;
        let mut bench = Bench::new("gb");
        for (material, field, mm, expected) in [
            (RimMaterial::Steel, "lateral", 4.0, None),
            (RimMaterial::Steel, "lateral", 4.1, Some(Major)),
            (RimMaterial::Aluminium, "lateral", 2.0, None),
            (RimMaterial::Aluminium, "lateral", 2.1, Some(Major)),
            (RimMaterial::Steel, "radial", 3.0, None),
            (RimMaterial::Aluminium, "radial", 3.1, Some(Major)),
        ] {
            bench.machine.wheels[0].rim.material = material;
            let judgement = judged(&mut bench, field, mm);
            assert_eq!(outcome_of(&judgement), expected, "{field} {mm}: {}", judgement.sentence);
        }
    }

    #[test]
    fn the_machines_own_figure_binds_where_it_is_stricter() {
        let mut bench = Bench::new("gb");
        bench.limit(LimitKind::RimLateralMaximum(WheelPosition::Front), 0.5);
        let judgement = judged(&mut bench, "lateral", 0.6);
        assert_eq!(outcome_of(&judgement), Some(Severity::Major));
        assert!(matches!(judgement.limit.expect("limit").source, Source::Machine(_)));
        assert!(matches!(judgement.others[0].source, Source::Law(_)));
    }

    #[test]
    fn three_places_are_refused() {
        let mut bench = Bench::new("gb");
        let Value::Dial(side, points) = swinging(1.0) else { unreachable!("a dial") };
        bench.read(&front(), "lateral", Value::Dial(side, points[..3].to_vec()));
        assert_eq!(bench.judgements(&RimRunout, &front())[0].outcome, Outcome::Refused);
    }
}
