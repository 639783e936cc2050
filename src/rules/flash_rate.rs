//! How often the indicators flash.

use super::proof::{figure, number};
use super::{Case, Judgement, Outcome, Rule};
use crate::inspection::{Answer, CheckRef, Severity};

/// Flashes a minute: 90 ± 30 (UN R53, from memory, medium-high; StVZO § 54(1): 1.5 ± 0.5 Hz, seen).
const SLOWEST: f64 = 60.0;
/// See [`SLOWEST`].
const FASTEST: f64 = 120.0;

/// See the module.
pub(super) struct FlashRate;

impl Rule for FlashRate {
    fn id(&self) -> &'static str {
        "flash-rate"
    }
    fn explain(&self) -> &'static str {
        "Indicators flash 90 ± 30 times a minute (UN R53; in Germany StVZO § 54(1)). Outside it minor, Directive \
         2014/45/EU item 4.4.4."
    }
    fn checks(&self) -> &'static [&'static str] {
        &["indicators"]
    }
    fn judge(&self, case: &Case<'_>, check: &CheckRef, answer: Option<&Answer>) -> Vec<Judgement> {
        let Some(rate) = number(answer, "rate").filter(|r| r.is_finite() && *r >= 0.0) else { return vec![] };
        let shown = format!("{} flashes a minute", figure(case, rate, 0));
        let within = (SLOWEST..=FASTEST).contains(&rate);
        let band = format!("{SLOWEST:.0} to {FASTEST:.0} a minute");
        let outcome = if within { Outcome::Sound } else { Outcome::Fault(Severity::Minor) };
        let sentence = match rate {
            _ if within => format!("{shown}, within {band}."),
            r if r < SLOWEST => format!("{shown}, slower than {band}: minor. Look at the battery and the relay."),
            _ => format!("{shown}, faster than {band}: minor. A bulb may be dead or too weak."),
        };
        let source = case.law_or_comparison(self.id(), "UN R53, type approval, from memory");
        let edge = if (rate - SLOWEST).abs() < (rate - FASTEST).abs() { SLOWEST } else { FASTEST };
        let way = if rate < edge { "below" } else { "above" };
        vec![
            Judgement::new(self.id(), check, outcome, sentence)
                .of("rate")
                .read(shown)
                .against(band, source)
                .with_margin(format!("{} {way} {edge:.0}", figure(case, (rate - edge).abs(), 0)))
                .graded(case.directive("4.4.4")),
        ]
    }
}

#[cfg(test)]
mod tests {
    use super::super::Source;
    use super::super::fixture::{Bench, outcome_of};
    use super::*;
    use crate::inspection::{Subject, Value};

    #[test]
    fn sixty_to_a_hundred_and_twenty() {
        // UN R53, from memory: 90 ± 30 flashes a minute.
        let check = CheckRef::new("indicators", Subject::Machine);
        let mut bench = Bench::new("de");
        for (rate, expected) in
            [(59.0, Some(Severity::Minor)), (60.0, None), (120.0, None), (121.0, Some(Severity::Minor))]
        {
            bench.read(&check, "rate", Value::Number(rate));
            let judgement = bench.judgements(&FlashRate, &check).remove(0);
            assert_eq!(outcome_of(&judgement), expected, "{rate}");
            assert!(matches!(judgement.limit.expect("limit").source, Source::Law(_)));
        }
    }
}
