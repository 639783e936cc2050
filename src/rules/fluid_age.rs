//! Age of brake and clutch fluid: two years, by common practice.

use chrono::Months;

use super::proof::date;
use super::{Case, Judgement, Outcome, Rule, Source};
use crate::inspection::{Answer, CheckRef, Severity, Subject};
use crate::units::day;

/// Months after which the fluid is changed (common practice; 1 to 2 years seen, moisture 1 to 2 % a year).
pub const CHANGE_AFTER_MONTHS: u32 = 24;

/// See the module.
pub(super) struct FluidAge;

impl Rule for FluidAge {
    fn id(&self) -> &'static str {
        "fluid-age"
    }
    fn explain(&self) -> &'static str {
        "Brake and clutch fluid is changed every two years: common practice, the handbook may ask for less. Older is \
         minor. The date read today goes before the one in the machine's data."
    }
    fn checks(&self) -> &'static [&'static str] {
        &["brake-fluid-age"]
    }
    fn judge(&self, case: &Case<'_>, check: &CheckRef, answer: Option<&Answer>) -> Vec<Judgement> {
        let Subject::Fluid(kind) = check.subject else { return vec![] };
        let read = date(answer, "changed");
        let recorded = case.machine.fluid(kind).and_then(|f| f.changed_on);
        let Some(changed) = read.or(recorded) else { return vec![] };
        let (day, today) = (day::words(changed), case.inspection.date);
        let new = |outcome, sentence: String| {
            let judgement = Judgement::new(self.id(), check, outcome, sentence).read(format!("changed on {day}"));
            // What stands in the data was not looked up today and leaves the check open.
            if read.is_some() { judgement.of("changed") } else { judgement }
        };
        let due = changed.checked_add_months(Months::new(CHANGE_AFTER_MONTHS)).filter(|_| changed <= today);
        let Some(due) = due else {
            return vec![new(
                Outcome::Refused,
                format!("Expected a day up to this inspection, found {day}: look it up again."),
            )];
        };
        let by = day::words(due);
        let practice = || Source::Practice("two years; it takes up one to two per cent of water a year".into());
        let (outcome, sentence) = if today >= due {
            (
                Outcome::Fault(Severity::Minor),
                format!("The {} was changed on {day} and was due by {by}: minor. Have it changed.", kind.word()),
            )
        } else {
            (Outcome::Sound, format!("The {} was changed on {day}; the next change is due by {by}.", kind.word()))
        };
        let days = (due - today).num_days();
        vec![
            new(outcome, sentence)
                .against(format!("changed every {CHANGE_AFTER_MONTHS} months"), practice())
                .with_margin(format!("{} days {}", days.abs(), if days > 0 { "left" } else { "over" }))
                .graded(practice()),
        ]
    }
}

#[cfg(test)]
mod tests {
    use super::super::fixture::Bench;
    use super::*;
    use crate::inspection::Value;
    use crate::machine::FluidKind;

    #[test]
    fn two_years_are_up_on_the_day() {
        // By the calendar: changed 2024-03-01, 24 months, due 2026-03-01.
        let check = CheckRef::new("brake-fluid-age", Subject::Fluid(FluidKind::FrontBrakeFluid));
        let mut bench = Bench::new("gb");
        let day = |text: &str| text.parse().expect("a day");
        bench.read(&check, "changed", Value::Date(day("2024-03-01")));
        for (today, expected) in [
            ("2026-02-28", Outcome::Sound),
            ("2026-03-01", Outcome::Fault(Severity::Minor)),
            ("2024-02-29", Outcome::Refused),
        ] {
            bench.inspection.date = day(today);
            let judgement = bench.judgements(&FluidAge, &check).remove(0);
            assert_eq!(judgement.outcome, expected, "{today}: {}", judgement.sentence);
        }
    }
}
