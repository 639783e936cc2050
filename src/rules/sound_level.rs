//! The sound level at a stand, against the figure of the machine's papers.

use super::proof::{figure, number};
use super::{Case, Judgement, Outcome, Rule, Source};
use crate::inspection::{Answer, CheckRef, Severity};

/// A sound level outside this band was not read from a meter, in dB(A) (house figure).
const SOUND: (f64, f64) = (30.0, 140.0);
const NOISE_ITEM: &str = "8.1.1";

/// See the module.
pub(super) struct SoundLevel;

impl Rule for SoundLevel {
    fn id(&self) -> &'static str {
        "sound-level"
    }
    fn explain(&self) -> &'static str {
        "The sound level at a stand against the figure of the machine's papers: above it major, Directive 2014/45/EU item \
         8.1.1. There is no general figure."
    }
    fn checks(&self) -> &'static [&'static str] {
        &["noise-level"]
    }
    fn judge(&self, case: &Case<'_>, check: &CheckRef, answer: Option<&Answer>) -> Vec<Judgement> {
        let read = |field: &str| number(answer, field).filter(|p| p.is_finite() && *p >= 0.0);
        let Some(level) = read("level") else { return vec![] };
        let shown = format!("{} dB(A)", figure(case, level, 1));
        let new = |outcome, sentence: String| {
            vec![Judgement::new(self.id(), check, outcome, sentence).of("level").read(shown.as_str())]
        };
        let permitted = read("permitted");
        let odd = [Some(level), permitted].into_iter().flatten().find(|l| !(SOUND.0..=SOUND.1).contains(l));
        if let Some(odd) = odd {
            let found = figure(case, odd, 1);
            return new(
                Outcome::Refused,
                format!("Expected a level of {:.0} to {:.0} dB(A), found {found}: read it again.", SOUND.0, SOUND.1),
            );
        }
        let Some(permitted) = permitted else {
            return new(
                Outcome::Noted,
                format!("{shown} cannot be judged: enter the figure that the papers or the plate permit."),
            );
        };
        let most = format!("{} dB(A)", figure(case, permitted, 1));
        let over = level > permitted + 1e-9;
        let (outcome, sentence) = if over {
            (Outcome::Fault(Severity::Major), format!("{shown}, louder than the {most} of its papers: major."))
        } else {
            (Outcome::Sound, format!("{shown}, not louder than the {most} of its papers."))
        };
        let mut judged = new(outcome, sentence);
        judged[0].limit =
            Some(super::LimitUsed { value: format!("at most {most}"), source: Source::Machine("its papers".into()) });
        judged[0].margin =
            format!("{} dB {}", figure(case, (level - permitted).abs(), 1), if over { "above" } else { "below" });
        judged[0].graded_by.push(case.directive(NOISE_ITEM));
        judged
    }
}

#[cfg(test)]
mod tests {
    use super::super::fixture::{Bench, outcome_of};
    use super::*;
    use crate::inspection::{Subject, Value};
    use Severity::Major;

    #[test]
    fn sound_is_judged_by_the_papers_alone() {
        let check = CheckRef::new("noise-level", Subject::Machine);
        let mut bench = Bench::new("de");
        bench.read(&check, "level", Value::Number(93.0));
        assert_eq!(bench.judgements(&SoundLevel, &check)[0].outcome, Outcome::Noted);
        for (permitted, expected) in [(93.0, None), (92.9, Some(Major))] {
            bench.read(&check, "permitted", Value::Number(permitted));
            assert_eq!(outcome_of(&bench.judgements(&SoundLevel, &check)[0]), expected, "{permitted}");
        }
        bench.read(&check, "permitted", Value::Number(9.3));
        assert_eq!(bench.judgements(&SoundLevel, &check)[0].outcome, Outcome::Refused, "a slipped point");
    }
}
