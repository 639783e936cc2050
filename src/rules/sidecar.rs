//! How a sidecar stands to its machine: toe-in and lean-out against the builder's figures.

use super::proof::{length, margin, own_limit};
use super::{Case, Judgement, Outcome, Rule, Source};
use crate::inspection::{Answer, CheckRef, Severity};
use crate::machine::LimitKind;
use crate::units::Length;

/// Toe-in in mm that is usual over the wheelbase (common practice, from memory): for comparison only.
const USUAL_TOE_MM: (f64, f64) = (15.0, 30.0);
/// More than this over a board or a plumb line is a slip of the unit, in mm (house figure).
const MOST_MM: f64 = 300.0;

/// See the module.
pub(super) struct SidecarAlignment;

impl Rule for SidecarAlignment {
    fn id(&self) -> &'static str {
        "sidecar-alignment"
    }
    fn explain(&self) -> &'static str {
        "Toe-in and lean-out of an outfit against the figures of its builder: outside them minor, Directive 2014/45/EU \
         item 2.4. Without figures nothing is judged; what is usual is common practice, for comparison."
    }
    fn checks(&self) -> &'static [&'static str] {
        &["sidecar-alignment"]
    }
    fn judge(&self, case: &Case<'_>, check: &CheckRef, answer: Option<&Answer>) -> Vec<Judgement> {
        let toe = ("toe-in", LimitKind::SidecarToeMinimum, LimitKind::SidecarToeMaximum);
        let lean = ("lean-out", LimitKind::SidecarLeanMinimum, LimitKind::SidecarLeanMaximum);
        let one = |(field, least, most)| Some(self.one(case, check, field, length(answer, field)?, (least, most)));
        [toe, lean].into_iter().filter_map(one).collect()
    }
}

impl SidecarAlignment {
    fn one(
        &self,
        case: &Case<'_>,
        check: &CheckRef,
        field: &'static str,
        read: Length,
        (least, most): (LimitKind, LimitKind),
    ) -> Judgement {
        let shown = case.units.show_depth(read);
        let new = |outcome, sentence: String| {
            Judgement::new(self.id(), check, outcome, sentence).of(field).read(shown.as_str())
        };
        if read.as_mm().abs() > MOST_MM {
            let most = case.units.show_depth(Length::mm(MOST_MM));
            return new(
                Outcome::Refused,
                format!("Expected a {field} of at most {most}, found {shown}: measure it again."),
            );
        }
        let (least, most) = (own_limit(case, least), own_limit(case, most));
        let low = least.as_ref().filter(|(l, _)| read < *l);
        let high = most.as_ref().filter(|(m, _)| read > *m);
        let Some((limit, source)) = low.or(high).or(most.as_ref()).or(least.as_ref()).cloned() else {
            let sentence = format!(
                "{field} {shown} cannot be judged: enter the least and the greatest figure of the outfit's builder."
            );
            let judgement = new(Outcome::Noted, super::proof::capital(&sentence));
            let (from, to) = USUAL_TOE_MM;
            return if field == "toe-in" {
                let show = |mm| case.units.show_depth(Length::mm(mm));
                let usual = Source::Practice("usual over the wheelbase (from memory), for comparison only".into());
                judgement.also(format!("{} to {}", show(from), show(to)), usual)
            } else {
                judgement
            };
        };
        let edge = case.units.show_depth(limit);
        let (outcome, bound, way) = match (low, high) {
            (Some(_), _) => (Outcome::Fault(Severity::Minor), "at least", "less than"),
            (None, Some(_)) => (Outcome::Fault(Severity::Minor), "at most", "more than"),
            (None, None) if most.is_some() => (Outcome::Sound, "at most", "not more than"),
            (None, None) => (Outcome::Sound, "at least", "not less than"),
        };
        let class = if outcome == Outcome::Sound { "" } else { ": minor. Set it before it eats the tyres" };
        let sentence = super::proof::capital(&format!("{field} {shown}, {way} {edge}{class}."));
        new(outcome, sentence)
            .against(format!("{bound} {edge}"), source)
            .with_margin(margin(case, read, limit))
            .graded(case.directive("2.4"))
    }
}

#[cfg(test)]
mod tests {
    use super::super::fixture::{Bench, outcome_of};
    use super::*;
    use crate::inspection::{Subject, Value};

    #[test]
    fn the_builders_figures_bind_and_without_them_nothing_does() {
        // Directive 2014/45/EU annex I, item 2.4: outside the maker's data minor.
        let check = CheckRef::new("sidecar-alignment", Subject::Machine);
        let mut bench = Bench::new("de");
        bench.read(&check, "toe-in", Value::Length(Length::mm(40.0)));
        assert_eq!(bench.judgements(&SidecarAlignment, &check)[0].outcome, Outcome::Noted);
        bench.limit(LimitKind::SidecarToeMinimum, 15.0);
        bench.limit(LimitKind::SidecarToeMaximum, 25.0);
        bench.limit(LimitKind::SidecarLeanMaximum, 30.0);
        for (field, mm, expected) in [
            ("toe-in", 15.0, None),
            ("toe-in", 25.0, None),
            ("toe-in", 14.0, Some(Severity::Minor)),
            ("toe-in", 26.0, Some(Severity::Minor)),
            ("toe-in", -5.0, Some(Severity::Minor)),
            ("lean-out", 30.0, None),
            ("lean-out", 31.0, Some(Severity::Minor)),
        ] {
            bench.inspection.answers.clear();
            bench.read(&check, field, Value::Length(Length::mm(mm)));
            let judgement = bench.judgements(&SidecarAlignment, &check).remove(0);
            assert_eq!(outcome_of(&judgement), expected, "{field} {mm}: {}", judgement.sentence);
        }
        bench.read(&check, "lean-out", Value::Length(Length::metres(3.0)));
        assert_eq!(bench.judgements(&SidecarAlignment, &check)[0].outcome, Outcome::Refused);
    }
}
