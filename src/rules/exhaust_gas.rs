//! Carbon monoxide and lambda of the exhaust against the papers or the directive's fallback.

use super::proof::{choice, figure, number};
use super::{Case, Judgement, Outcome, Rule, Source};
use crate::inspection::{Answer, CheckRef, Severity};

/// Lambda with a controlled catalyst (Directive 2014/45/EU annex I, item 8.2.1.2: 1 ± 0.03).
const LAMBDA: (f64, f64) = (0.97, 1.03);
/// More than this is no exhaust gas but a slip of the unit, in per cent (house figure).
const MOST_CO: f64 = 20.0;
const GAS_ITEM: &str = "8.2.1.2";

/// The greatest carbon monoxide in per cent at idle and, with a controlled catalyst, at fast idle (item 8.2.1.2; which
/// of two rows counts goes by the day of first use).
fn fallback(engine: &str) -> Option<(f64, Option<f64>)> {
    match engine {
        "plain-old" => Some((4.5, None)),
        "plain" => Some((3.5, None)),
        "controlled" => Some((0.5, Some(0.3))),
        "controlled-new" => Some((0.3, Some(0.2))),
        _ => None,
    }
}

/// See the module.
pub(super) struct ExhaustGas;

impl Rule for ExhaustGas {
    fn id(&self) -> &'static str {
        "exhaust-gas"
    }
    fn explain(&self) -> &'static str {
        "Carbon monoxide at idle and fast idle and lambda against the figure of the papers, else against the fallback of \
         Directive 2014/45/EU item 8.2.1.2 for the kind of engine. Above it major. Not for two-strokes."
    }
    fn checks(&self) -> &'static [&'static str] {
        &["emissions"]
    }
    fn judge(&self, case: &Case<'_>, check: &CheckRef, answer: Option<&Answer>) -> Vec<Judgement> {
        let read = |field: &str| number(answer, field).filter(|p| p.is_finite() && *p >= 0.0);
        let engine = choice(answer, "engine");
        let papers = read("permitted").map(|p| (p, Source::Machine("its papers".into())));
        let limits = engine.as_deref().and_then(fallback);
        let by_directive = |limit: f64| (limit, case.directive(GAS_ITEM));
        let idle = papers.or_else(|| limits.map(|(idle, _)| by_directive(idle)));
        let fast = limits.and_then(|(_, fast)| fast).map(by_directive);
        let mut judged = Vec::new();
        for (field, words, limit) in [("co", "at idle", idle), ("co-fast", "at fast idle", fast.clone())] {
            let Some(percent) = read(field) else { continue };
            let shown = format!("{} % carbon monoxide {words}", figure(case, percent, 2));
            let new = |outcome, sentence: String| {
                Judgement::new(self.id(), check, outcome, sentence).of(field).read(shown.as_str())
            };
            judged.push(match limit {
                _ if percent > MOST_CO => new(
                    Outcome::Refused,
                    format!("Expected at most {MOST_CO:.0} % of carbon monoxide, found {shown}: check the unit."),
                ),
                None => new(Outcome::Noted, format!("{shown} cannot be judged: {}.", without(engine.as_deref()))),
                Some((limit, source)) => {
                    let most = format!("{} %", figure(case, limit, 1));
                    let over = percent > limit + 1e-9;
                    let (outcome, sentence) = if over {
                        (Outcome::Fault(Severity::Major), format!("{shown}, more than {most}: major."))
                    } else {
                        (Outcome::Sound, format!("{shown}, not more than {most}."))
                    };
                    let way = if over { "above" } else { "below" };
                    new(outcome, sentence)
                        .against(format!("at most {most}"), source)
                        .with_margin(format!("{} points {way}", figure(case, (percent - limit).abs(), 2)))
                        .graded(case.directive(GAS_ITEM))
                }
            });
        }
        if let Some(lambda) = read("lambda") {
            judged.push(self.lambda(case, check, lambda, fast.is_some(), engine.as_deref()));
        }
        judged
    }
}

impl ExhaustGas {
    fn lambda(&self, case: &Case<'_>, check: &CheckRef, lambda: f64, asked: bool, engine: Option<&str>) -> Judgement {
        let shown = format!("lambda {}", figure(case, lambda, 2));
        let (from, to) = LAMBDA;
        let band = format!("{} to {}", figure(case, from, 2), figure(case, to, 2));
        let new = |outcome, sentence: String| {
            Judgement::new(self.id(), check, outcome, sentence).of("lambda").read(shown.as_str())
        };
        if !asked {
            let why = if engine.is_none() { without(engine) } else { "it is asked of controlled catalysts only" };
            return new(Outcome::Noted, format!("{shown} is not judged: {why}."));
        }
        let within = lambda >= from - 1e-9 && lambda <= to + 1e-9;
        let (outcome, sentence) = if within {
            (Outcome::Sound, format!("{shown}, within {band}."))
        } else {
            (Outcome::Fault(Severity::Major), format!("{shown}, outside {band}: major."))
        };
        let edge = if lambda < 1.0 { from } else { to };
        let words = format!("{} from the nearer edge", figure(case, (lambda - edge).abs(), 2));
        let judgement = new(outcome, sentence).against(band, case.directive(GAS_ITEM)).with_margin(words);
        judgement.graded(case.directive(GAS_ITEM))
    }
}

/// Why a gas reading is not judged.
fn without(engine: Option<&str>) -> &'static str {
    match engine {
        Some("two-stroke") => "the general limits are not for two-strokes; enter the figure of the papers",
        Some(_) => "this kind of engine has no limit there",
        None => "say what kind of engine it is, or enter the figure of the papers",
    }
}

#[cfg(test)]
mod tests {
    use super::super::fixture::{Bench, outcome_of};
    use super::*;
    use crate::inspection::{Subject, Value};
    use Severity::Major;

    #[test]
    fn gas_is_judged_by_the_kind_of_engine_and_the_papers_go_first() {
        // Directive 2014/45/EU annex I, item 8.2.1.2.
        let check = CheckRef::new("emissions", Subject::Machine);
        for (engine, field, value, expected) in [
            ("plain-old", "co", 4.5, None),
            ("plain-old", "co", 4.6, Some(Major)),
            ("plain", "co", 3.5, None),
            ("plain", "co", 3.6, Some(Major)),
            ("controlled", "co", 0.5, None),
            ("controlled", "co", 0.6, Some(Major)),
            ("controlled", "co-fast", 0.3, None),
            ("controlled", "co-fast", 0.31, Some(Major)),
            ("controlled-new", "co", 0.31, Some(Major)),
            ("controlled-new", "co-fast", 0.2, None),
            ("controlled", "lambda", 0.97, None),
            ("controlled", "lambda", 1.04, Some(Major)),
        ] {
            let mut bench = Bench::new("de");
            bench.read(&check, "engine", Value::Choice(engine.into()));
            bench.read(&check, field, Value::Number(value));
            let judgement = bench.judgements(&ExhaustGas, &check).remove(0);
            assert_eq!(outcome_of(&judgement), expected, "{engine} {field} {value}: {}", judgement.sentence);
        }
        let mut bench = Bench::new("de");
        bench.read(&check, "co", Value::Number(3.0));
        assert_eq!(bench.judgements(&ExhaustGas, &check)[0].outcome, Outcome::Noted, "of an engine that is not named");
        bench.read(&check, "engine", Value::Choice("two-stroke".into()));
        assert_eq!(bench.judgements(&ExhaustGas, &check)[0].outcome, Outcome::Noted, "no limits for two-strokes");
        bench.read(&check, "permitted", Value::Number(2.5));
        let judgement = bench.judgements(&ExhaustGas, &check).remove(0);
        assert_eq!(outcome_of(&judgement), Some(Major));
        assert!(matches!(judgement.limit.expect("limit").source, Source::Machine(_)));
        bench.read(&check, "co", Value::Number(45.0));
        assert_eq!(bench.judgements(&ExhaustGas, &check)[0].outcome, Outcome::Refused);
    }
}
