//! Free play of throttle and clutch lever against the machine's own figures.

use super::proof::{length, margin, own_limit};
use super::{Case, Judgement, Outcome, Rule, Source};
use crate::inspection::{Answer, CheckRef, Severity};
use crate::machine::LimitKind;
use crate::units::Length;

/// Throttle play in mm that is usual at the grip's rim (common practice, from memory): for comparison only.
const USUAL_THROTTLE_MM: (f64, f64) = (2.0, 6.0);

/// See the module.
pub(super) struct LeverPlay;

impl Rule for LeverPlay {
    fn id(&self) -> &'static str {
        "lever-play"
    }
    fn explain(&self) -> &'static str {
        "Free play of the throttle and of a clutch cable against the machine's own figures: outside them minor, by \
         common practice. No play at all at the throttle is major: it opens when the bars are turned."
    }
    fn checks(&self) -> &'static [&'static str] {
        &["throttle", "clutch-lever"]
    }
    fn judge(&self, case: &Case<'_>, check: &CheckRef, answer: Option<&Answer>) -> Vec<Judgement> {
        let Some(read) = length(answer, "play") else { return vec![] };
        let throttle = check.check == "throttle";
        let shown = case.units.show_depth(read);
        let new = |outcome, sentence: String| {
            Judgement::new(self.id(), check, outcome, sentence).of("play").read(shown.as_str())
        };
        if read.as_mm() < 0.0 {
            return vec![new(
                Outcome::Refused,
                format!("Expected a play of zero or more, found {shown}: measure it again."),
            )];
        }
        let (least, most) = if throttle {
            (own_limit(case, LimitKind::ThrottlePlayMinimum), own_limit(case, LimitKind::ThrottlePlayMaximum))
        } else {
            (None, own_limit(case, LimitKind::ClutchPlayMaximum))
        };
        let practice = |why: &str| Source::Practice(why.into());
        if read.as_mm() == 0.0 {
            let (severity, why) = if throttle {
                (Severity::Major, "without play the throttle opens when the bars are turned")
            } else {
                (Severity::Minor, "without play the clutch slips as it warms up")
            };
            let sentence = format!("No play at all, {}: {why}. Adjust it.", severity.word());
            return vec![
                new(Outcome::Fault(severity), sentence).against("some play", practice(why)).graded(practice(why)),
            ];
        }
        let low = least.as_ref().filter(|(l, _)| read < *l);
        let high = most.as_ref().filter(|(m, _)| read > *m);
        let Some((limit, source)) = low.or(high).or(most.as_ref()).or(least.as_ref()).cloned() else {
            let judgement = new(
                Outcome::Noted,
                format!(
                    "{shown} cannot be judged: the play that the manual asks for is not known. Enter it with its page."
                ),
            );
            let (from, to) = USUAL_THROTTLE_MM;
            return vec![if throttle {
                let usual =
                    format!("{} to {}", case.units.show_depth(Length::mm(from)), case.units.show_depth(Length::mm(to)));
                judgement.also(usual, practice("usual at the grip's rim (from memory), for comparison only"))
            } else {
                judgement
            }];
        };
        let edge = case.units.show_depth(limit);
        let (outcome, sentence) = if low.is_some() {
            (Outcome::Fault(Severity::Minor), format!("{shown} of play is less than {edge}: minor. Adjust it."))
        } else if high.is_some() {
            (Outcome::Fault(Severity::Minor), format!("{shown} of play is more than {edge}: minor. Adjust it."))
        } else {
            (Outcome::Sound, format!("{shown} of play is what the manual allows."))
        };
        let bound = if low.is_some() || most.is_none() { "at least" } else { "at most" };
        let mut judgement = new(outcome, sentence)
            .against(format!("{bound} {edge}"), source)
            .with_margin(margin(case, read, limit))
            .graded(practice("outside the manual's figure it is adjusted"));
        if let (true, Some((least, from))) = (bound == "at most", least) {
            judgement = judgement.also(format!("at least {}", case.units.show_depth(least)), from);
        }
        vec![judgement]
    }
}

#[cfg(test)]
mod tests {
    use super::super::fixture::{Bench, outcome_of};
    use super::*;
    use crate::inspection::{Subject, Value};

    #[test]
    fn play_goes_by_the_manual_and_none_is_worse() {
        let check = CheckRef::new("throttle", Subject::Machine);
        let mut bench = Bench::new("gb");
        let judged = |bench: &mut Bench, mm: f64| {
            bench.read(&check, "play", Value::Length(Length::mm(mm)));
            bench.judgements(&LeverPlay, &check).remove(0)
        };
        assert_eq!(judged(&mut bench, 3.0).outcome, Outcome::Noted, "the manual's figure is not known");
        bench.limit(LimitKind::ThrottlePlayMinimum, 2.0);
        bench.limit(LimitKind::ThrottlePlayMaximum, 4.0);
        for (mm, expected) in [
            (2.0, None),
            (4.0, None),
            (1.9, Some(Severity::Minor)),
            (4.1, Some(Severity::Minor)),
            (0.0, Some(Severity::Major)),
        ] {
            assert_eq!(outcome_of(&judged(&mut bench, mm)), expected, "{mm}");
        }
    }
}
