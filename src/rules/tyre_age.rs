//! Age of a tyre from its date code: trade advice, never law, and it lowers nothing.

use super::proof::{choice, wheel};
use super::{Case, Judgement, Outcome, Rule, Source};
use crate::inspection::{Answer, CheckRef, Severity};
use crate::units::day;

/// From this age in months a tyre is inspected every year (trade associations' advice, seen through secondary pages).
pub const INSPECT_FROM_MONTHS: i32 = 5 * 12;
/// At this age in months a tyre is replaced, whatever it looks like (same advice; some say 6 years).
pub const REPLACE_AT_MONTHS: i32 = 10 * 12;

/// See the module.
pub(super) struct TyreAge;

impl Rule for TyreAge {
    fn id(&self) -> &'static str {
        "tyre-age"
    }
    fn explain(&self) -> &'static str {
        "Age by the week and year on the sidewall (49 CFR 574.5). From five years inspected yearly, at ten years \
         replaced: trade advice, no law for motorcycles. Being young proves nothing."
    }
    fn checks(&self) -> &'static [&'static str] {
        &["tyre-age"]
    }
    fn judge(&self, case: &Case<'_>, check: &CheckRef, answer: Option<&Answer>) -> Vec<Judgement> {
        let Some(tyre) = wheel(case, check).and_then(|w| w.tyre.as_ref()) else { return vec![] };
        let day = case.inspection.date;
        let advice = || Source::Practice("trade advice, seen in secondary sources; no law for motorcycles".into());
        let Some(tin) = tyre.tin else {
            // Without a code there is nothing that the sidewall can agree with.
            let confirmed = choice(answer, "code").as_deref() == Some("as-recorded");
            let outcome = if confirmed { Outcome::Refused } else { Outcome::Noted };
            let way_out = "The machine's data hold no date code for this tyre: enter the last four figures of the \
                           identification number on its sidewall.";
            return vec![Judgement::new(self.id(), check, outcome, way_out).of("code")];
        };
        let Some(months) = tin.age_months(day) else {
            let sentence = format!(
                "The date code {tin} is later than this inspection, {}: read the sidewall again and correct the \
                 machine's data.",
                day::words(day)
            );
            return vec![Judgement::new(self.id(), check, Outcome::Refused, sentence).of("code")];
        };
        let age = format!("{} years {} months old (code {tin})", months / 12, months % 12);
        let (outcome, sentence) = if months >= REPLACE_AT_MONTHS {
            (
                Outcome::Fault(Severity::Minor),
                format!("{age}: ten years or more. Have it replaced, whatever it looks like."),
            )
        } else if months >= INSPECT_FROM_MONTHS {
            (Outcome::Noted, format!("{age}: from five years on it is inspected every year, inside and out."))
        } else {
            (Outcome::Sound, format!("{age}: below five years. Being young proves nothing of its state."))
        };
        let years = |months: i32| format!("{} years", months / 12);
        vec![
            Judgement::new(self.id(), check, outcome, format!("The tyre is {sentence}"))
                .read(age)
                .with_margin(if months < REPLACE_AT_MONTHS {
                    format!("{} until replaced", span(REPLACE_AT_MONTHS - months))
                } else {
                    format!("{} over", span(months - REPLACE_AT_MONTHS))
                })
                .against(format!("replaced at {}", years(REPLACE_AT_MONTHS)), advice())
                .also(format!("inspected yearly from {}", years(INSPECT_FROM_MONTHS)), advice())
                .graded(advice()),
        ]
    }
}

/// A span of months in words: `3 years 2 months`.
fn span(months: i32) -> String {
    let count = |n: i32, what: &str| format!("{n} {what}{}", if n == 1 { "" } else { "s" });
    match (months / 12, months % 12) {
        (0, m) => count(m, "month"),
        (y, 0) => count(y, "year"),
        (y, m) => format!("{} {}", count(y, "year"), count(m, "month")),
    }
}

#[cfg(test)]
mod tests {
    use super::super::fixture::Bench;
    use super::*;
    use crate::inspection::{Subject, Value};
    use crate::machine::WheelPosition;
    use crate::tyre::TinDate;

    #[test]
    fn five_years_are_noted_and_ten_are_a_minor_fault() {
        let check = CheckRef::new("tyre-age", Subject::Wheel(WheelPosition::Front));
        let mut bench = Bench::new("gb");
        bench.fit_tyre(0, "120/70 ZR17 M/C 58W");
        // Inspected on 25 November 2026. Week 48 of 2016 began on Sunday 27 November 2016 (1 January was a Friday).
        for (code, expected) in [
            ("4824", Outcome::Sound),
            ("4819", Outcome::Noted),
            ("4816", Outcome::Noted),
            ("4716", Outcome::Fault(Severity::Minor)),
            ("259", Outcome::Fault(Severity::Minor)),
            ("0127", Outcome::Refused),
        ] {
            if let Some(tyre) = &mut bench.machine.wheels[0].tyre {
                tyre.tin = Some(TinDate::parse(code).expect("a code"));
            }
            let judgement = bench.judgements(&TyreAge, &check).remove(0);
            assert_eq!(judgement.outcome, expected, "{code}: {}", judgement.sentence);
            assert!(expected == Outcome::Refused || !judgement.margin.is_empty(), "{code} says how far it is");
        }
    }

    #[test]
    fn a_code_that_nobody_entered_cannot_be_confirmed() {
        let check = CheckRef::new("tyre-age", Subject::Wheel(WheelPosition::Front));
        let mut bench = Bench::new("gb");
        bench.fit_tyre(0, "120/70 ZR17 M/C 58W");
        assert_eq!(bench.judgements(&TyreAge, &check)[0].outcome, Outcome::Noted);
        bench.read(&check, "code", Value::Choice("as-recorded".into()));
        assert_eq!(bench.judgements(&TyreAge, &check)[0].outcome, Outcome::Refused);
    }
}
