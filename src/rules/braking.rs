//! Braking efficiency in per cent of the weight, against the minima of the region and of the directive.

use super::proof::{figure, number};
use super::{Case, Judgement, Outcome, Rule, Source};
use crate::catalogue::{BrakingLaw, BrakingMinimum};
use crate::inspection::{Answer, CheckRef, Severity};
use crate::machine::Category;

/// The rear brake alone, any category of class L, per cent (Directive 2014/45/EU annex I, item 1.2.2).
pub const REAR_ALONE: f64 = 25.0;
/// No tyre on a road gives more, in per cent; a larger figure is a slip of the unit (house figure).
pub const MOST_PERCENT: f64 = 150.0;
/// The item of the directive.
const ITEM: &str = "1.2.2";
/// Standard gravity in m/s² (NIST SP 811).
const G: f64 = 9.806_65;

/// Minimum in per cent of both brakes together (Directive 2014/45/EU annex I, item 1.2.2).
pub fn both_together(category: Category) -> f64 {
    match category {
        Category::L1e => 42.0,
        Category::L2e | Category::L6e => 40.0,
        Category::L3e => 50.0,
        Category::L4e => 46.0,
        Category::L5e | Category::L7e => 44.0,
    }
}

/// The class of an efficiency against a minimum: below it major, below half of it dangerous (item 1.2.2). A reading
/// that stands exactly on an edge is not below it, whatever the last binary digit.
pub fn class(percent: f64, minimum: f64) -> Option<Severity> {
    let below = |edge: f64| percent < edge - 1e-9;
    match () {
        () if below(minimum / 2.0) => Some(Severity::Dangerous),
        () if below(minimum) => Some(Severity::Major),
        () => None,
    }
}

/// The minimum that one of two controls has to meet where one gives `one` and the other `other`: the better of the two
/// the first, the worse the second. With the other unread, the figure that this reading can stand for.
pub fn of_control(percent: f64, the_other: Option<f64>, one: f64, other: f64) -> f64 {
    match the_other {
        Some(second) if second > percent => other,
        Some(_) => one,
        None if percent >= one - 1e-9 => one,
        None => other,
    }
}

/// The efficiency in per cent of a stop from a speed in km/h within a distance in metres: v² / (2 s g).
pub fn of_stop(kmh: f64, metres: f64) -> f64 {
    let v = kmh / 3.6;
    100.0 * v * v / (2.0 * metres) / G
}

/// See the module.
pub(super) struct Braking;

impl Rule for Braking {
    fn id(&self) -> &'static str {
        "braking-efficiency"
    }
    fn explain(&self) -> &'static str {
        "Braking efficiency against the minima of the region (Great Britain: one control 30 %, the other 25 %, before \
         1927 one of 30 %; Manitoba: 9 m from 30 km/h), else of Directive 2014/45/EU item 1.2.2: both brakes by category, \
         rear alone 25 %; it has no figure for the front alone. Below it major, below half of it dangerous. The type \
         approval distances of 93/14/EEC judge nothing in service."
    }
    fn checks(&self) -> &'static [&'static str] {
        &["braking-efficiency"]
    }
    fn judge(&self, case: &Case<'_>, check: &CheckRef, answer: Option<&Answer>) -> Vec<Judgement> {
        let read = |field: &str| number(answer, field).filter(|p| p.is_finite() && *p >= 0.0);
        let law = case.region.braking.iter().find(|law| law.is_about(case.machine, case.today));
        let fields = [
            ("both", "both brakes together", None),
            ("front", "the front brake alone", Some("rear")),
            ("rear", "the rear brake alone", Some("front")),
        ];
        let one = |(field, words, twin): (&'static str, &str, Option<&str>)| {
            let percent = read(field)?;
            let brake = Brake { field, words, percent, twin: twin.and_then(read) };
            Some(self.one(case, check, law, &brake))
        };
        fields.into_iter().filter_map(one).collect()
    }
}

/// What was read of one brake, and of the other control where it was read too.
struct Brake<'a> {
    field: &'static str,
    words: &'a str,
    percent: f64,
    twin: Option<f64>,
}

impl Braking {
    fn one(&self, case: &Case<'_>, check: &CheckRef, law: Option<&BrakingLaw>, brake: &Brake<'_>) -> Judgement {
        let shown = format!("{} %", figure(case, brake.percent, 1));
        let new = |outcome, sentence: String| {
            Judgement::new(self.id(), check, outcome, sentence).of(brake.field).read(shown.as_str())
        };
        if brake.percent > MOST_PERCENT {
            let most = figure(case, MOST_PERCENT, 0);
            let sentence = format!(
                "Expected an efficiency of at most {most} %, found {shown}: no tyre holds that on a road, check the unit."
            );
            return new(Outcome::Refused, sentence);
        }
        let by_law = law.and_then(|law| Some((minimum(law, brake)?, law_source(case, law))));
        let by_directive = directive_minimum(case.machine.category, brake.field).map(|m| (m, case.directive(ITEM)));
        let Some((minimum, source)) = by_law.clone().or_else(|| by_directive.clone().filter(|_| !settles(law, brake)))
        else {
            let why = if settles(law, brake) {
                format!("{} asks nothing of it by itself", case.region.rule_words("the law here"))
            } else {
                "the directive has no figure for the front brake alone".into()
            };
            let judgement = new(Outcome::Noted, format!("{shown} by {}: {why}.", brake.words));
            return match by_directive {
                Some((m, source)) => judgement.also(at_least(case, m, brake), source),
                None => judgement,
            };
        };
        let wanted = at_least(case, minimum, brake);
        let (outcome, sentence) = match class(brake.percent, minimum) {
            Some(Severity::Dangerous) => (
                Outcome::Fault(Severity::Dangerous),
                format!("{shown} by {} is less than half of {wanted}: dangerous.", brake.words),
            ),
            Some(severity) => (
                Outcome::Fault(severity),
                format!("{shown} by {} is below {wanted}: {}.", brake.words, severity.word()),
            ),
            None => (Outcome::Sound, format!("{shown} by {} meets {wanted}.{}", brake.words, rest(case, law, brake))),
        };
        let apart = brake.percent - minimum;
        let margin = match apart {
            a if a.abs() < 1e-9 => "exactly at it".to_owned(),
            a => format!("{} points {}", figure(case, a.abs(), 1), if a < 0.0 { "below" } else { "above" }),
        };
        let mut judgement =
            new(outcome, sentence).against(wanted, source).with_margin(margin).graded(case.directive(ITEM));
        if by_law.is_some()
            && let Some((m, source)) = by_directive
        {
            judgement = judgement.also(at_least(case, m, brake), source);
        }
        judgement
    }
}

fn at_least(case: &Case<'_>, minimum: f64, brake: &Brake<'_>) -> String {
    let decimals = usize::from(minimum.fract() > 1e-9);
    format!("the {} % asked of {}", figure(case, minimum, decimals), brake.words)
}

fn law_source(case: &Case<'_>, law: &BrakingLaw) -> Source {
    let mut words = case.region.cite(&law.citation, law.from, law.until);
    if !law.remark.is_empty() {
        words.push_str(&format!(". {}", law.remark.trim_end_matches('.')));
    }
    Source::Law(words)
}

/// What the directive asks of a brake in per cent; nothing of the front alone.
fn directive_minimum(category: Category, field: &str) -> Option<f64> {
    match field {
        "both" => Some(both_together(category)),
        "rear" => Some(REAR_ALONE),
        _ => None,
    }
}

/// What a law asks of a brake in per cent, if it asks anything of it.
fn minimum(law: &BrakingLaw, brake: &Brake<'_>) -> Option<f64> {
    let alone = brake.field != "both";
    match law.minimum {
        BrakingMinimum::EachControl { one, other } if alone => Some(of_control(brake.percent, brake.twin, one, other)),
        // Where one control is enough, the worse of two is not asked for anything.
        BrakingMinimum::OneControl(m) => (!alone || brake.twin.is_none_or(|twin| twin <= brake.percent)).then_some(m),
        BrakingMinimum::Together(m) if !alone => Some(m),
        BrakingMinimum::StopWithin { from, within } if !alone => Some(of_stop(from.as_kmh(), within.as_mm() / 1000.0)),
        _ => None,
    }
}

/// Whether a law says all there is to say of a brake, so that the directive's figure is for comparison only: a law on
/// each control says nothing of both, and a law on both says nothing of one.
fn settles(law: Option<&BrakingLaw>, brake: &Brake<'_>) -> bool {
    law.is_some_and(|law| minimum(law, brake).is_none())
}

/// What is still to be met where one control of two was read and stands below the greater figure.
fn rest(case: &Case<'_>, law: Option<&BrakingLaw>, brake: &Brake<'_>) -> String {
    match law.map(|law| law.minimum) {
        Some(BrakingMinimum::EachControl { one, .. })
            if brake.field != "both" && brake.twin.is_none() && brake.percent < one - 1e-9 =>
        {
            format!(" The other control then has to give {} %.", figure(case, one, 0))
        }
        _ => String::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::super::fixture::{Bench, outcome_of};
    use super::*;
    use crate::inspection::{Subject, Value};
    use Severity::{Dangerous, Major};

    fn check() -> CheckRef {
        CheckRef::new("braking-efficiency", Subject::Machine)
    }

    fn judged(bench: &mut Bench, readings: &[(&str, f64)]) -> Vec<Judgement> {
        bench.inspection.answers.clear();
        for (field, percent) in readings {
            bench.read(&check(), field, Value::Number(*percent));
        }
        bench.judgements(&Braking, &check())
    }

    #[test]
    fn the_directives_minima_by_category_and_half_of_them() {
        // Directive 2014/45/EU annex I, item 1.2.2 (a) 3, as read in RD 920/2017; vectors 2.1, 2.3 and 2.5.
        let mut bench = Bench::new("de");
        for (category, least) in [
            (Category::L1e, 42.0),
            (Category::L2e, 40.0),
            (Category::L3e, 50.0),
            (Category::L4e, 46.0),
            (Category::L5e, 44.0),
            (Category::L6e, 40.0),
            (Category::L7e, 44.0),
        ] {
            bench.machine.category = category;
            for (percent, expected) in [
                (least, None),
                (least - 0.1, Some(Major)),
                (least / 2.0, Some(Major)),
                (least / 2.0 - 0.1, Some(Dangerous)),
            ] {
                let judgement = judged(&mut bench, &[("both", percent)]).remove(0);
                assert_eq!(outcome_of(&judgement), expected, "{category:?}: {}", judgement.sentence);
                assert!(matches!(judgement.limit.expect("limit").source, Source::Directive { in_force: true, .. }));
            }
            for (percent, expected) in [(25.0, None), (24.9, Some(Major)), (12.5, Some(Major)), (12.4, Some(Dangerous))]
            {
                let judgement = judged(&mut bench, &[("rear", percent)]).remove(0);
                assert_eq!(outcome_of(&judgement), expected, "{category:?} rear: {}", judgement.sentence);
            }
        }
        assert_eq!(judged(&mut bench, &[("front", 20.0)])[0].outcome, Outcome::Noted, "no figure for the front alone");
    }

    #[test]
    fn great_britain_asks_thirty_of_one_control_and_twenty_five_of_the_other() {
        // VOSA/DVSA motorcycle inspection manual, brake performance 3.3.
        let mut bench = Bench::new("gb");
        for (front, rear, expected) in [
            (30.0, 25.0, [None, None]),
            (25.0, 30.0, [None, None]),
            (29.9, 25.0, [Some(Major), None]),
            (29.9, 29.0, [Some(Major), None]),
            (45.0, 24.9, [None, Some(Major)]),
            (45.0, 12.4, [None, Some(Dangerous)]),
            (14.9, 12.5, [Some(Dangerous), Some(Major)]),
        ] {
            let found = judged(&mut bench, &[("front", front), ("rear", rear)]);
            let classes: Vec<_> = found.iter().map(outcome_of).collect();
            assert_eq!(classes, expected, "{front} {rear}: {}", found[0].sentence);
            assert!(matches!(found[0].limit.as_ref().expect("limit").source, Source::Law(_)));
        }
        let alone = judged(&mut bench, &[("rear", 27.0)]).remove(0);
        assert!(alone.outcome == Outcome::Sound && alone.sentence.contains("has to give 30 %"), "{}", alone.sentence);
        // The directive's figure for both is for comparison there.
        let both = judged(&mut bench, &[("both", 40.0)]).remove(0);
        assert!(both.outcome == Outcome::Noted && both.others.len() == 1, "{}", both.sentence);
        // First used before 1927: one means of 30 % is enough.
        bench.machine.first_use = chrono::NaiveDate::from_ymd_opt(1926, 12, 31);
        let found = judged(&mut bench, &[("front", 5.0), ("rear", 30.0)]);
        assert_eq!((found[0].outcome.clone(), outcome_of(&found[1])), (Outcome::Noted, None));
        assert_eq!(outcome_of(&judged(&mut bench, &[("rear", 29.0)])[0]), Some(Major));
    }

    #[test]
    fn manitoba_asks_a_stop_within_nine_metres_from_thirty() {
        // Manitoba Public Insurance: 9 m from 30 km/h; (30/3.6)² / 18 = 3.858 m/s², 39.34 % of g.
        assert!((of_stop(30.0, 9.0) - 39.34).abs() < 0.01);
        let mut bench = Bench::new("ca-mb");
        for (percent, expected) in [(39.4, None), (39.3, Some(Major))] {
            assert_eq!(outcome_of(&judged(&mut bench, &[("both", percent)])[0]), expected, "{percent}");
        }
    }

    #[test]
    fn what_no_tyre_holds_is_refused() {
        let mut bench = Bench::new("de");
        assert_eq!(judged(&mut bench, &[("both", 151.0)])[0].outcome, Outcome::Refused);
        assert!(
            judged(&mut bench, &[("both", f64::NAN)]).is_empty() && judged(&mut bench, &[("both", -1.0)]).is_empty()
        );
    }
}
