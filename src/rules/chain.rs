//! Elongation of a chain from the length over a number of pitches.

use super::proof::{choice, figure, length, number, own_limit};
use super::{Case, Judgement, Outcome, Rule, Source};
use crate::inspection::{Answer, CheckRef, Severity};
use crate::machine::{FinalDrive, LimitKind};
use crate::units::Length;

/// Elongation in per cent that motorcycle handbooks typically allow at most (from memory, high: 1 to 2 %).
const HANDBOOKS: f64 = 2.0;
/// Elongation in per cent that is allowed at most in general (ANSI B29.1 practice, seen with two chain makers).
const GENERAL: f64 = 3.0;
/// With more teeth than this the general figure falls to 200 divided by the teeth (same).
const MANY_TEETH: f64 = 66.0;
/// Fewer pitches than this say nothing (published methods measure 6 to 10 links or more).
const LEAST_PITCHES: f64 = 6.0;

/// Elongation in per cent: 100·(L − N·p)/(N·p).
pub fn elongation_percent(length_mm: f64, pitches: f64, pitch_mm: f64) -> f64 {
    100.0 * (length_mm - pitches * pitch_mm) / (pitches * pitch_mm)
}

/// The general limit in per cent for the teeth of the larger sprocket.
pub fn general_limit_percent(teeth: Option<f64>) -> f64 {
    teeth.filter(|t| *t > MANY_TEETH).map_or(GENERAL, |t| 200.0 / t)
}

/// See the module.
pub(super) struct ChainWear;

impl Rule for ChainWear {
    fn id(&self) -> &'static str {
        "chain-wear"
    }
    fn explain(&self) -> &'static str {
        "Length over a number of pitches against the machine's own figure: above it major, Directive 2014/45/EU item \
         6.1.7. Without one, elongation by practice: over 2 % minor, over 3 % (200 per tooth above 66 teeth) major."
    }
    fn checks(&self) -> &'static [&'static str] {
        &["drive-wear"]
    }
    fn judge(&self, case: &Case<'_>, check: &CheckRef, answer: Option<&Answer>) -> Vec<Judgement> {
        let Some(read) = length(answer, "length") else { return vec![] };
        let shown = case.units.show(read);
        let new = |outcome, sentence: String| {
            Judgement::new(self.id(), check, outcome, sentence).of("length").read(shown.as_str())
        };
        if case.machine.final_drive != FinalDrive::Chain {
            return vec![new(
                Outcome::Refused,
                "A belt is not measured by its length: look at its teeth and edges, and take this reading out.".into(),
            )];
        }
        let (Some(pitches), Some(pitch)) =
            (number(answer, "pitches"), choice(answer, "pitch").as_deref().and_then(pitch_mm))
        else {
            return vec![new(
                Outcome::Refused,
                format!("{shown} says nothing without the number of pitches and the pitch: enter both."),
            )];
        };
        if pitches < LEAST_PITCHES || pitches.fract() != 0.0 || !pitches.is_finite() {
            let found = figure(case, pitches, 1);
            return vec![new(
                Outcome::Refused,
                format!(
                    "Expected a whole number of pitches, {LEAST_PITCHES} or more, found {found}: measure over 20 if you can."
                ),
            )];
        }
        let worn = elongation_percent(read.as_mm(), pitches, pitch);
        let new_length = case.units.show(Length::mm(pitches * pitch));
        if worn < -1.0 {
            return vec![new(
                Outcome::Refused,
                format!(
                    "{shown} is shorter than a new chain over {pitches} pitches, {new_length}: count the pitches again."
                ),
            )];
        }
        let share = format!("{} %", figure(case, worn, 2));
        let by = format!("{shown} over {pitches} pitches, {share} longer than new ({new_length})");
        let own = own_limit(case, LimitKind::ChainLengthMaximum);
        let general = general_limit_percent(number(answer, "teeth"));
        let percent = |p: f64| format!("at most {} %", figure(case, p, 1));
        let handbooks = Source::Practice("handbooks typically allow 1 to 2 % (from memory)".into());
        let makers = Source::Practice("ANSI B29.1 practice as two chain makers give it".into());
        // A hair above the limit by rounding of the last digit is not above it.
        let above = |limit: f64| worn > limit + 1e-6;
        let directive = case.directive("6.1.7");
        vec![match own {
            Some((limit, source)) => {
                let edge = case.units.show(limit);
                let (outcome, sentence) = if read > limit {
                    (
                        Outcome::Fault(Severity::Major),
                        format!(
                            "{by}, more than the manual's {edge}: worn out, major. Replace chain and sprockets as a set."
                        ),
                    )
                } else {
                    (Outcome::Sound, format!("{by}, not more than the manual's {edge}."))
                };
                let apart = case.units.show(Length::mm((read.as_mm() - limit.as_mm()).abs()));
                new(outcome, sentence)
                    .against(format!("at most {edge} over the pitches of the manual"), source)
                    .also(percent(general), makers)
                    .with_margin(format!("{apart} {}", if read > limit { "above" } else { "below" }))
                    .graded(directive)
            }
            None => {
                let first = HANDBOOKS.min(general);
                let (outcome, sentence) = if above(general) {
                    (
                        Outcome::Fault(Severity::Major),
                        format!("{by}: worn out, major. Replace chain and sprockets as a set."),
                    )
                } else if above(first) {
                    (
                        Outcome::Fault(Severity::Minor),
                        format!("{by}: near its end, minor by common practice. Look up the manual's figure."),
                    )
                } else {
                    (Outcome::Sound, format!("{by}."))
                };
                let grade = if outcome == Outcome::Fault(Severity::Minor) { handbooks.clone() } else { directive };
                let apart = figure(case, (worn - first).abs(), 2);
                new(outcome, sentence)
                    .against(percent(first), handbooks)
                    .also(percent(general), makers)
                    .with_margin(format!("{apart} % {}", if above(first) { "above" } else { "below" }))
                    .graded(grade)
            }
        }]
    }
}

/// The pitch in mm of a choice: 1/2, 5/8 or 3/4 in.
pub fn pitch_mm(id: &str) -> Option<f64> {
    match id {
        "half" => Some(12.7),
        "five-eighths" => Some(15.875),
        "three-quarters" => Some(19.05),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::super::fixture::{Bench, outcome_of};
    use super::*;
    use crate::inspection::{Subject, Value};

    fn check() -> CheckRef {
        CheckRef::new("drive-wear", Subject::Machine)
    }

    fn judged(bench: &mut Bench, pitch: &str, mm: f64) -> Judgement {
        bench.read(&check(), "pitch", Value::Choice(pitch.into()));
        bench.read(&check(), "pitches", Value::Number(20.0));
        bench.read(&check(), "length", Value::Length(Length::mm(mm)));
        bench.judgements(&ChainWear, &check()).remove(0)
    }

    #[test]
    fn elongation_agrees_with_the_published_vectors() {
        // Elongation 100 (L − Np)/(Np), by hand; ANSI B29.1 practice.
        for (mm, pitch, percent) in [
            (317.5, 15.875, 0.0),
            (320.675, 15.875, 1.0),
            (323.85, 15.875, 2.0),
            (327.025, 15.875, 3.0),
            (259.08, 12.7, 2.0),
            (388.62, 19.05, 2.0),
        ] {
            assert!((elongation_percent(mm, 20.0, pitch) - percent).abs() < 1e-9, "{mm}");
        }
        assert_eq!(general_limit_percent(Some(45.0)), 3.0);
        assert_eq!(general_limit_percent(Some(80.0)), 2.5, "200/z above 66 teeth");
    }

    #[test]
    fn by_practice_two_per_cent_is_minor_beyond_and_three_major() {
        use Severity::{Major, Minor};
        let mut bench = Bench::new("gb");
        for (pitch, mm, expected) in [
            ("five-eighths", 323.85, None),
            ("five-eighths", 324.0, Some(Minor)),
            ("five-eighths", 327.025, Some(Minor)),
            ("five-eighths", 327.1, Some(Major)),
            ("half", 259.08, None),
            ("three-quarters", 388.62, None),
        ] {
            let judgement = judged(&mut bench, pitch, mm);
            assert_eq!(outcome_of(&judgement), expected, "{mm}: {}", judgement.sentence);
        }
        bench.limit(LimitKind::ChainLengthMaximum, 322.0);
        assert_eq!(outcome_of(&judged(&mut bench, "five-eighths", 322.1)), Some(Major), "the machine's figure binds");
    }

    #[test]
    fn what_was_counted_wrong_is_refused() {
        let mut bench = Bench::new("gb");
        assert_eq!(judged(&mut bench, "five-eighths", 301.6).outcome, Outcome::Refused, "19 pitches, not 20");
        bench.read(&check(), "pitches", Value::Number(2.0));
        assert_eq!(bench.judgements(&ChainWear, &check())[0].outcome, Outcome::Refused);
        bench.machine.final_drive = FinalDrive::Belt;
        assert!(bench.judgements(&ChainWear, &check())[0].sentence.contains("belt"));
    }
}
