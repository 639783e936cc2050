//! Thickness of a disc against the figure stamped on it or in the manual, and its run-out.

use super::dial::{LEAST_PLACES, round, survey, swing};
use super::proof::{length, margin, own_limit};
use super::worn::Worn;
use super::{Case, Judgement, Outcome, Rule, Source};
use crate::inspection::{Answer, CheckRef, Severity, Subject};
use crate::machine::LimitKind;
use crate::survey::Edge;
use crate::units::Length;

/// Run-out that is usually allowed in mm, total indicator reading (common practice 0.2 to 0.3, from memory, high).
const RUNOUT_MINOR_MM: f64 = 0.2;
/// The upper end of the same.
const RUNOUT_MAJOR_MM: f64 = 0.3;

/// Thickness and run-out of a disc.
pub(super) struct Disc;

impl Rule for Disc {
    fn id(&self) -> &'static str {
        "disc"
    }
    fn explain(&self) -> &'static str {
        "Thickness against the figure stamped on the disc or in the manual: at it major, below it dangerous (Directive \
         2014/45/EU item 1.1.14); no standard gives a universal figure. Run-out, total indicator reading, against the \
         machine's figure, else common practice: over 0.2 mm minor, over 0.3 mm major."
    }
    fn checks(&self) -> &'static [&'static str] {
        &["disc"]
    }
    fn judge(&self, case: &Case<'_>, check: &CheckRef, answer: Option<&Answer>) -> Vec<Judgement> {
        let Subject::Disc(wheel, side) = check.subject else { return vec![] };
        let mut judged = Vec::new();
        let thickness = [
            ("thickness", length(answer, "thickness")),
            ("thickness-round", round(answer, "thickness-round").map(|(least, _)| least)),
        ];
        for (field, read) in thickness.into_iter().filter_map(|(field, read)| Some((field, read?))) {
            let part = Worn {
                rule: self.id(),
                field,
                part: "disc",
                limit: own_limit(case, LimitKind::DiscMinimum(wheel, side)),
                least: true,
                way_out: "It is often stamped on the disc's carrier; else see the service manual.",
            };
            judged.push(part.judge(case, check, read));
        }
        if let Some(points) = survey(answer, "runout") {
            judged.push(match swing(points) {
                Some(found) => {
                    let own = own_limit(case, LimitKind::DiscRunoutMaximum(wheel));
                    self.runout(case, check, found.total, own, &found.places())
                }
                None => Judgement::new(
                    self.id(),
                    check,
                    Outcome::Refused,
                    format!(
                        "Run-out was read at {} places: read it at {LEAST_PLACES} or more round the disc.",
                        points.len()
                    ),
                )
                .of("runout"),
            });
        }
        judged
    }
}

fn practice_source() -> Source {
    Source::Practice("0.2 to 0.3 mm total indicator reading is usual".into())
}

/// The run-out that is usually allowed, for a drawing.
pub(super) fn practice() -> (Edge, Length, Source) {
    (Edge::Swing, Length::mm(RUNOUT_MAJOR_MM), practice_source())
}

impl Disc {
    fn runout(
        &self,
        case: &Case<'_>,
        check: &CheckRef,
        total: Length,
        own: Option<(Length, Source)>,
        places: &str,
    ) -> Judgement {
        let is_own = own.is_some();
        let (limit, source) = own.unwrap_or((Length::mm(RUNOUT_MINOR_MM), practice_source()));
        let major_above = if is_own { limit } else { Length::mm(RUNOUT_MAJOR_MM) };
        let (shown, most) = (case.units.show_depth(total), case.units.show_depth(limit));
        let (outcome, sentence) = if total > major_above {
            (
                Outcome::Fault(Severity::Major),
                format!(
                    "The disc runs out {shown} ({places}), more than {}: warped, major.",
                    case.units.show_depth(major_above)
                ),
            )
        } else if total > limit {
            (
                Outcome::Fault(Severity::Minor),
                format!(
                    "The disc runs out {shown} ({places}), more than {most}: minor by common practice. Look up the manual's figure."
                ),
            )
        } else {
            (Outcome::Sound, format!("The disc runs out {shown} ({places}), not more than {most}."))
        };
        let judgement = Judgement::new(self.id(), check, outcome, sentence)
            .of("runout")
            .read(shown)
            .against(format!("at most {most}"), source)
            .with_margin(margin(case, total, limit))
            .graded(Source::Practice("no directive figure: a warped disc shakes the lever".into()));
        if is_own {
            judgement.also(format!("at most {}", case.units.show_depth(Length::mm(RUNOUT_MAJOR_MM))), practice_source())
        } else {
            judgement
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::Status;
    use super::super::fixture::{Bench, outcome_of};
    use super::*;
    use crate::clock::{Side, Spot};
    use crate::inspection::{DialPoint, Value};
    use crate::machine::{Brake, WheelPosition};

    const FRONT: WheelPosition = WheelPosition::Front;

    fn disc() -> CheckRef {
        CheckRef::new("disc", Subject::Disc(FRONT, Side::Left))
    }

    #[test]
    fn a_disc_at_its_stamped_figure_is_major_and_below_it_dangerous() {
        // Directive 2014/45/EU item 1.1.14.
        use Severity::{Dangerous, Major};
        let mut bench = Bench::new("de");
        bench.limit(LimitKind::DiscMinimum(FRONT, Side::Left), 4.5);
        for (mm, expected) in [(4.6, None), (4.5, Some(Major)), (4.4, Some(Dangerous))] {
            bench.read(&disc(), "thickness", Value::Length(Length::mm(mm)));
            let judgement = bench.judgements(&Disc, &disc()).remove(0);
            assert_eq!(outcome_of(&judgement), expected, "{mm}: {}", judgement.sentence);
        }
        let other = CheckRef::new("disc", Subject::Disc(FRONT, Side::Right));
        bench.read(&other, "thickness", Value::Length(Length::mm(3.0)));
        assert_eq!(bench.judgements(&Disc, &other)[0].outcome, Outcome::Noted, "the other disc has its own figure");
    }

    #[test]
    fn run_out_goes_by_the_machine_else_by_practice() {
        // Common practice: 0.2 to 0.3 mm total indicator reading.
        use Severity::{Major, Minor};
        let mut bench = Bench::new("de");
        let judged = |bench: &mut Bench, mm: f64| {
            let points = (0..8).map(|i| DialPoint {
                spot: Spot::from_degrees(45.0 * f64::from(i)).expect("finite"),
                reading: Length::mm(if i == 2 { mm } else { 0.0 }),
            });
            bench.read(&disc(), "runout", Value::Dial(Side::Left, points.collect()));
            bench.judgements(&Disc, &disc()).remove(0)
        };
        for (mm, expected) in [(0.2, None), (0.25, Some(Minor)), (0.3, Some(Minor)), (0.31, Some(Major))] {
            let judgement = judged(&mut bench, mm);
            assert_eq!(outcome_of(&judgement), expected, "{mm}: {}", judgement.sentence);
        }
        bench.limit(LimitKind::DiscRunoutMaximum(FRONT), 0.15);
        assert_eq!(outcome_of(&judged(&mut bench, 0.16)), Some(Major));
    }

    #[test]
    fn a_thick_disc_does_not_hide_that_nobody_looked_for_cracks() {
        let mut bench = Bench::new("de");
        bench.machine.wheels[0].brakes = vec![Brake::Disc(Side::Left)];
        bench.limit(LimitKind::DiscMinimum(FRONT, Side::Left), 4.5);
        bench.read(&disc(), "thickness", Value::Length(Length::mm(5.0)));
        let assessment = bench.assess();
        let result = assessment.result(&disc()).expect("asked");
        assert_eq!(result.judgements.iter().find(|j| j.rule == "disc").expect("judged").outcome, Outcome::Sound);
        assert_eq!(result.status, Status::Unchecked, "a sound reading is shown, and the check stays open");
    }
}
