//! Slack of chain or belt against the machine's own range. Read in another stance than the manual's it is no reading
//! (house rule 10).

use super::dial::round;
use super::proof::{choice, length, margin, own_limit};
use super::{Case, Judgement, Outcome, Rule, Source};
use crate::inspection::{Answer, CheckRef, Severity};
use crate::machine::{FinalDrive, LimitKind, Stance};
use crate::units::Length;

/// Slack of a street machine's chain in mm (from memory; it depends on the machine): shown for comparison only.
const STREET_CHAIN_MM: (f64, f64) = (25.0, 40.0);
/// Below this share of the least slack there is hardly any left: major by practice (house figure).
const HARDLY_ANY: f64 = 0.5;
/// Above this share of the greatest slack it slaps and wears: major by practice (house figure).
const FAR_TOO_SLACK: f64 = 1.5;
/// Above this share it may come off: dangerous after item 6.1.7 (house figure for its "very serious risk").
const MAY_COME_OFF: f64 = 2.0;

/// See the module.
pub(super) struct DriveSlack;

impl Rule for DriveSlack {
    fn id(&self) -> &'static str {
        "drive-slack"
    }
    fn explain(&self) -> &'static str {
        "Slack of chain or belt at its tightest and its loosest place against the range of the machine's manual, in \
         the stance of the manual; read in another stance it is refused. Outside the range minor, far outside major by \
         common practice; twice the greatest slack may come off, dangerous, Directive 2014/45/EU item 6.1.7."
    }
    fn checks(&self) -> &'static [&'static str] {
        &["drive-slack"]
    }
    fn judge(&self, case: &Case<'_>, check: &CheckRef, answer: Option<&Answer>) -> Vec<Judgement> {
        // A survey round the wheel has a tightest and a loosest place too; of two figures the worse one counts.
        let (least, greatest) = round(answer, "round").unzip();
        let worse = |a: Option<Length>, b: Option<Length>, low: bool| match (a, b) {
            (Some(a), Some(b)) => Some(if (a < b) == low { a } else { b }),
            (one, other) => one.or(other),
        };
        let tightest = worse(length(answer, "tightest"), least, true);
        let loosest = worse(length(answer, "loosest"), greatest, false);
        if tightest.is_none() && loosest.is_none() {
            return vec![];
        }
        let first = if tightest.is_some() { "tightest" } else { "loosest" };
        if let Some(why) = refusal(case, answer, tightest, loosest) {
            return vec![Judgement::new(self.id(), check, Outcome::Refused, why).of(first)];
        }
        let least = own_limit(case, LimitKind::DriveSlackMinimum);
        let most = own_limit(case, LimitKind::DriveSlackMaximum);
        if least.is_none() && most.is_none() {
            return vec![self.no_figure(case, check, first)];
        }
        let mut judged = Vec::new();
        for (field, read, word) in [("tightest", tightest, "tightest"), ("loosest", loosest, "loosest")] {
            if let Some(read) = read {
                judged.push(self.one(case, check, (field, word), read, least.as_ref(), most.as_ref()));
            }
        }
        judged
    }
}

/// Why the readings are no readings, with the way out.
fn refusal(
    case: &Case<'_>,
    answer: Option<&Answer>,
    tightest: Option<Length>,
    loosest: Option<Length>,
) -> Option<String> {
    if let Some(read) = [tightest, loosest].into_iter().flatten().find(|r| r.as_mm() < 0.0) {
        return Some(format!(
            "Expected a slack of zero or more, found {}: measure it again.",
            case.units.show_depth(read)
        ));
    }
    if let Some((tight, loose)) = tightest.zip(loosest).filter(|(t, l)| l < t) {
        return Some(format!(
            "The loosest place, {}, has less slack than the tightest, {}: are they swapped?",
            case.units.show_depth(loose),
            case.units.show_depth(tight)
        ));
    }
    let wanted = case.machine.slack_stance?;
    match choice(answer, "stance").as_deref().and_then(stance) {
        Some(found) if found == wanted => None,
        Some(found) => Some(format!(
            "Read {}, but the manual reads the slack of this machine {}: measure it again so.",
            found.word(),
            wanted.word()
        )),
        None => Some(format!("Say how the machine stood; the manual reads its slack {}.", wanted.word())),
    }
}

fn stance(id: &str) -> Option<Stance> {
    Some(match id {
        "side-stand" => Stance::SideStand,
        "upright" => Stance::Upright,
        "centre-stand" => Stance::CentreStand,
        "rear-raised" => Stance::RearRaised,
        "rider-aboard" => Stance::RiderAboard,
        _ => return None,
    })
}

impl DriveSlack {
    fn one(
        &self,
        case: &Case<'_>,
        check: &CheckRef,
        (field, word): (&str, &str),
        read: Length,
        least: Option<&(Length, Source)>,
        most: Option<&(Length, Source)>,
    ) -> Judgement {
        let shown = case.units.show_depth(read);
        let drive = case.machine.final_drive.word();
        let low = least.filter(|(l, _)| read < *l);
        let high = most.filter(|(m, _)| read > *m);
        let mut practice = None;
        let (outcome, sentence) = if let Some((limit, _)) = low {
            let share = read.as_mm() / limit.as_mm();
            let edge = case.units.show_depth(*limit);
            if share < HARDLY_ANY {
                practice = Some("hardly any slack loads bearings and drive until one gives way");
                (
                    Outcome::Fault(Severity::Major),
                    format!("{shown} at the {word} place is far below {edge}: the {drive} is much too tight, major."),
                )
            } else {
                practice = Some("outside the manual's range");
                (
                    Outcome::Fault(Severity::Minor),
                    format!("{shown} at the {word} place is below {edge}: the {drive} is too tight, minor. Adjust it."),
                )
            }
        } else if let Some((limit, _)) = high {
            let share = read.as_mm() / limit.as_mm();
            let edge = case.units.show_depth(*limit);
            if share > MAY_COME_OFF {
                (
                    Outcome::Fault(Severity::Dangerous),
                    format!(
                        "{shown} at the {word} place is more than twice {edge}: the {drive} may come off, dangerous."
                    ),
                )
            } else if share > FAR_TOO_SLACK {
                practice = Some("far outside the manual's range");
                (
                    Outcome::Fault(Severity::Major),
                    format!("{shown} at the {word} place is far above {edge}: the {drive} is much too slack, major."),
                )
            } else {
                practice = Some("outside the manual's range");
                (
                    Outcome::Fault(Severity::Minor),
                    format!(
                        "{shown} at the {word} place is above {edge}: the {drive} is too slack, minor. Adjust it at the tightest place."
                    ),
                )
            }
        } else {
            (Outcome::Sound, format!("{shown} at the {word} place is within the manual's range."))
        };
        // The limit that is nearer binds; the other end of the range stands beside it.
        let low_binds = match (least, most) {
            (Some((l, _)), Some((m, _))) => (read.as_mm() - l.as_mm()).abs() < (read.as_mm() - m.as_mm()).abs(),
            (least, _) => least.is_some(),
        };
        let ends = [least.map(|l| ("at least", l)), most.map(|m| ("at most", m))];
        let mut judgement = Judgement::new(self.id(), check, outcome, sentence).of(field).read(shown);
        for (index, (bound, (limit, source))) in ends.into_iter().enumerate().filter_map(|(i, e)| Some((i, e?))) {
            let value = format!("{bound} {}", case.units.show_depth(*limit));
            if (index == 0) == low_binds {
                judgement = judgement.against(value, source.clone()).with_margin(margin(case, read, *limit));
            } else {
                judgement = judgement.also(value, source.clone());
            }
        }
        judgement = judgement.graded(match practice {
            Some(why) => Source::Practice(why.into()),
            None => case.directive("6.1.7"),
        });
        if case.machine.slack_stance.is_none() {
            // A range says nothing without its stance; what is outside it is still shown as a fault.
            if judgement.outcome == Outcome::Sound {
                judgement.outcome = Outcome::Noted;
            }
            judgement
                .sentence
                .push_str(" The stance of the manual is not known: enter it, since slack changes with it.");
        }
        judgement
    }

    fn no_figure(&self, case: &Case<'_>, check: &CheckRef, field: &str) -> Judgement {
        let sentence = "The range of this machine is not known, so its slack is not judged. Enter the least and the \
                        greatest slack and the stance from its manual.";
        let judgement = Judgement::new(self.id(), check, Outcome::Noted, sentence).of(field);
        if case.machine.final_drive != FinalDrive::Chain {
            return judgement;
        }
        let (from, to) = STREET_CHAIN_MM;
        judgement.also(
            format!("{} to {}", case.units.show_depth(Length::mm(from)), case.units.show_depth(Length::mm(to))),
            Source::Practice("typical for a street machine's chain (from memory), for comparison only".into()),
        )
    }
}

#[cfg(test)]
mod tests {
    use super::super::Status;
    use super::super::fixture::{Bench, outcome_of};
    use super::*;
    use crate::inspection::{Subject, Value};

    fn check() -> CheckRef {
        CheckRef::new("drive-slack", Subject::Machine)
    }

    fn bench() -> Bench {
        let mut bench = Bench::new("gb");
        bench.limit(LimitKind::DriveSlackMinimum, 25.0);
        bench.limit(LimitKind::DriveSlackMaximum, 35.0);
        bench.machine.slack_stance = Some(Stance::SideStand);
        bench.read(&check(), "stance", Value::Choice("side-stand".into()));
        bench
    }

    fn judged(bench: &mut Bench, mm: f64) -> Judgement {
        bench.read(&check(), "tightest", Value::Length(Length::mm(mm)));
        bench.judgements(&DriveSlack, &check()).remove(0)
    }

    #[test]
    fn slack_has_a_range_and_steps_outside_it() {
        use Severity::{Dangerous, Major, Minor};
        // The manual's range of 25 to 35 mm; the steps outside it are house figures.
        for (mm, expected) in [
            (25.0, None),
            (35.0, None),
            (24.0, Some(Minor)),
            (12.4, Some(Major)),
            (0.0, Some(Major)),
            (36.0, Some(Minor)),
            (53.0, Some(Major)),
            (70.5, Some(Dangerous)),
        ] {
            let judgement = judged(&mut bench(), mm);
            assert_eq!(outcome_of(&judgement), expected, "{mm}: {}", judgement.sentence);
            assert!(judgement.limit.is_some() && judgement.others.len() == 1, "both ends are shown");
        }
    }

    #[test]
    fn another_stance_is_refused_and_leaves_the_check_open() {
        // House rule 10.
        let mut bench = bench();
        bench.read(&check(), "stance", Value::Choice("rear-raised".into()));
        let judgement = judged(&mut bench, 30.0);
        assert_eq!(judgement.outcome, Outcome::Refused);
        assert!(judgement.sentence.contains("on the side stand"), "{}", judgement.sentence);
        assert_eq!(bench.assess().result(&check()).expect("asked").status, Status::Unchecked);
        bench.read(&check(), "stance", Value::Choice("side-stand".into()));
        assert_eq!(bench.assess().result(&check()).expect("asked").status, Status::Sound);
    }

    #[test]
    fn swapped_places_are_asked_about_and_a_loose_place_counts() {
        let mut bench = bench();
        bench.read(&check(), "loosest", Value::Length(Length::mm(20.0)));
        let judgement = judged(&mut bench, 30.0);
        assert!(judgement.outcome == Outcome::Refused && judgement.sentence.contains("swapped?"));
        bench.read(&check(), "loosest", Value::Length(Length::mm(40.0)));
        let both = bench.judgements(&DriveSlack, &check());
        assert_eq!((outcome_of(&both[0]), outcome_of(&both[1])), (None, Some(Severity::Minor)));
    }

    #[test]
    fn a_survey_round_the_wheel_is_judged_at_its_tightest_and_loosest_places() {
        let mut bench = bench();
        let point = |deg: f64, mm: f64| crate::inspection::DialPoint {
            spot: crate::clock::Spot::from_degrees(deg).expect("finite"),
            reading: Length::mm(mm),
        };
        bench.read(&check(), "round", Value::Round(vec![point(0.0, 24.0), point(90.0, 30.0), point(180.0, 36.0)]));
        let both = bench.judgements(&DriveSlack, &check());
        assert_eq!((outcome_of(&both[0]), outcome_of(&both[1])), (Some(Severity::Minor), Some(Severity::Minor)));
        assert!(both[0].sentence.contains("too tight") && both[1].sentence.contains("too slack"));
    }

    #[test]
    fn without_the_manuals_range_or_its_stance_nothing_is_sound() {
        let mut half = bench();
        half.machine.slack_stance = None;
        assert_eq!(judged(&mut half, 30.0).outcome, Outcome::Noted);
        assert_eq!(outcome_of(&judged(&mut half, 36.0)), Some(Severity::Minor));
        let mut bench = Bench::new("gb");
        let judgement = judged(&mut bench, 30.0);
        assert_eq!(judgement.outcome, Outcome::Noted);
        assert!(judgement.others[0].source.words().contains("for comparison only"));
    }
}
