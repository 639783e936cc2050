//! Thickness of a disc and of a drum against the figure stamped on it or in the manual, and the run-out of a disc.

use super::dial::{LEAST_PLACES, survey, swing};
use super::proof::{length, margin, own_limit};
use super::{Case, Judgement, Outcome, Rule, Source};
use crate::inspection::{Answer, CheckRef, Severity, Subject};
use crate::machine::LimitKind;
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
        if let Some(read) = length(answer, "thickness") {
            let part = Worn {
                rule: self.id(),
                field: "thickness",
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

impl Disc {
    fn runout(
        &self,
        case: &Case<'_>,
        check: &CheckRef,
        total: Length,
        own: Option<(Length, Source)>,
        places: &str,
    ) -> Judgement {
        let practice = || Source::Practice("0.2 to 0.3 mm total indicator reading is usual".into());
        let is_own = own.is_some();
        let (limit, source) = own.unwrap_or((Length::mm(RUNOUT_MINOR_MM), practice()));
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
            judgement.also(format!("at most {}", case.units.show_depth(Length::mm(RUNOUT_MAJOR_MM))), practice())
        } else {
            judgement
        }
    }
}

/// Inside diameter of a drum.
pub(super) struct Drum;

impl Rule for Drum {
    fn id(&self) -> &'static str {
        "drum"
    }
    fn explain(&self) -> &'static str {
        "Inside diameter against the figure cast in the drum or in the manual: at it major, above it dangerous \
         (Directive 2014/45/EU item 1.1.14)."
    }
    fn checks(&self) -> &'static [&'static str] {
        &["drum"]
    }
    fn judge(&self, case: &Case<'_>, check: &CheckRef, answer: Option<&Answer>) -> Vec<Judgement> {
        let (Some(read), Some(wheel)) = (length(answer, "diameter"), check.subject.wheel()) else { return vec![] };
        let part = Worn {
            rule: self.id(),
            field: "diameter",
            part: "drum",
            limit: own_limit(case, LimitKind::DrumMaximum(wheel)),
            least: false,
            way_out: "It is often cast in the drum; else see the service manual.",
        };
        vec![part.judge(case, check, read)]
    }
}

/// A part that wears towards a figure of its own: at the figure major, beyond it dangerous.
struct Worn<'a> {
    rule: &'static str,
    field: &'a str,
    part: &'a str,
    limit: Option<(Length, Source)>,
    /// Whether the figure is the least allowed, else the greatest.
    least: bool,
    way_out: &'a str,
}

impl Worn<'_> {
    fn judge(self, case: &Case<'_>, check: &CheckRef, read: Length) -> Judgement {
        let (shown, part) = (case.units.show_depth(read), self.part);
        let new = |outcome, sentence: String| {
            Judgement::new(self.rule, check, outcome, sentence).of(self.field).read(shown.as_str())
        };
        if read.as_mm() <= 0.0 {
            return new(
                Outcome::Refused,
                format!("Expected a figure above zero for the {part}, found {shown}: measure it again."),
            );
        }
        let Some((limit, source)) = self.limit else {
            let which = if self.least { "least thickness" } else { "greatest diameter" };
            return new(
                Outcome::Noted,
                format!(
                    "{shown} cannot be judged: the {which} of this {part} is not known, and no standard gives one. {}",
                    self.way_out
                ),
            );
        };
        let edge = case.units.show_depth(limit);
        let (beyond, word) = if self.least { (read < limit, "least") } else { (read > limit, "greatest") };
        let (outcome, sentence) = if beyond {
            (
                Outcome::Fault(Severity::Dangerous),
                format!(
                    "{shown} is beyond the {word} figure of this {part}, {edge}: dangerous. Renew it before it is ridden."
                ),
            )
        } else if read == limit {
            (
                Outcome::Fault(Severity::Major),
                format!("{shown}: the {part} has reached its {word} figure: major. Renew it."),
            )
        } else {
            (Outcome::Sound, format!("{shown} is within the {word} figure of this {part}, {edge}."))
        };
        let bound = if self.least { "more than" } else { "less than" };
        new(outcome, sentence)
            .against(format!("{bound} {edge}"), source)
            .with_margin(margin(case, read, limit))
            .graded(case.directive("1.1.14"))
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

    #[test]
    fn a_drum_wears_outward() {
        let check = CheckRef::new("drum", Subject::Wheel(FRONT));
        let mut bench = Bench::new("de");
        bench.limit(LimitKind::DrumMaximum(FRONT), 111.0);
        for (mm, expected) in [(110.5, None), (111.0, Some(Severity::Major)), (111.1, Some(Severity::Dangerous))] {
            bench.read(&check, "diameter", Value::Length(Length::mm(mm)));
            assert_eq!(outcome_of(&bench.judgements(&Drum, &check)[0]), expected, "{mm}");
        }
    }
}
