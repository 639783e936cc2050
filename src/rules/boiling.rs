//! Boiling point of brake fluid against its grade, 49 CFR 571.116 (FMVSS 116) S5.1.1 and S5.1.2.

use super::proof::value;
use super::{Case, Judgement, Outcome, Rule, Source};
use crate::inspection::{Answer, CheckRef, Severity, Subject, Value};
use crate::units::Temperature;

/// A grade with its least boiling points in °C, dry (new) and wet (3.7 % water).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Grade {
    /// `DOT 4`.
    pub name: &'static str,
    /// New fluid.
    pub dry_c: f64,
    /// Fluid with 3.7 % water.
    pub wet_c: f64,
}

/// The grades; 5 and 5.1 have the same figures and are not to be mixed.
pub const GRADES: [Grade; 4] = [
    Grade { name: "DOT 3", dry_c: 205.0, wet_c: 140.0 },
    Grade { name: "DOT 4", dry_c: 230.0, wet_c: 155.0 },
    Grade { name: "DOT 5", dry_c: 260.0, wet_c: 180.0 },
    Grade { name: "DOT 5.1", dry_c: 260.0, wet_c: 180.0 },
];

/// The grade of a text such as `dot4` or `DOT 5.1`.
pub fn grade(text: &str) -> Option<Grade> {
    let plain =
        |s: &str| s.to_ascii_uppercase().chars().filter(|c| !c.is_whitespace() && *c != '-').collect::<String>();
    let wanted = plain(text);
    GRADES.into_iter().find(|g| plain(g.name) == wanted)
}

/// See the module.
pub(super) struct BoilingPoint;

impl Rule for BoilingPoint {
    fn id(&self) -> &'static str {
        "boiling-point"
    }
    fn explain(&self) -> &'static str {
        "The measured boiling point against the wet boiling point of the fluid's grade (FMVSS 116): below it the fluid \
         is spent, major, Directive 2014/45/EU item 1.8."
    }
    fn checks(&self) -> &'static [&'static str] {
        &["brake-fluid-condition"]
    }
    fn judge(&self, case: &Case<'_>, check: &CheckRef, answer: Option<&Answer>) -> Vec<Judgement> {
        let (Some(Value::Temperature(read)), Subject::Fluid(kind)) = (value(answer, "boiling"), check.subject) else {
            return vec![];
        };
        let shown = case.units.show(*read);
        let new = |outcome, sentence: String| {
            Judgement::new(self.id(), check, outcome, sentence).of("boiling").read(shown.as_str())
        };
        let known = case.machine.fluid(kind).and_then(|f| grade(&f.grade));
        let Some(grade) = known else {
            return vec![new(
                Outcome::Noted,
                format!(
                    "{shown} cannot be judged: the grade of this fluid is not known. Enter it from the reservoir's cap, DOT 4 for example."
                ),
            )];
        };
        let wet = Temperature::celsius(grade.wet_c);
        let least = case.units.show(wet);
        let (outcome, sentence) = if *read < wet {
            (
                Outcome::Fault(Severity::Major),
                format!(
                    "{} that boils at {shown} is below its wet boiling point, {least}: major. Have it changed.",
                    grade.name
                ),
            )
        } else {
            (
                Outcome::Sound,
                format!("{} that boils at {shown} is not below its wet boiling point, {least}.", grade.name),
            )
        };
        vec![
            new(outcome, sentence)
                .against(
                    format!("at least {least}, wet"),
                    Source::Practice(format!(
                        "49 CFR 571.116 S5.1.2, {}: a figure for new fluid with 3.7 % water",
                        grade.name
                    )),
                )
                .also(
                    format!("{} when new", case.units.show(Temperature::celsius(grade.dry_c))),
                    Source::Practice("49 CFR 571.116 S5.1.1".into()),
                )
                .graded(case.directive("1.8")),
        ]
    }
}

#[cfg(test)]
mod tests {
    use super::super::fixture::Bench;
    use super::*;
    use crate::machine::{Fluid, FluidKind, FluidState, Stance};

    #[test]
    fn below_the_wet_boiling_point_the_fluid_is_spent() {
        // FMVSS 116: DOT 4 that boils at 150 °C is below 155 °C.
        let kind = FluidKind::FrontBrakeFluid;
        let check = CheckRef::new("brake-fluid-condition", Subject::Fluid(kind));
        let mut bench = Bench::new("gb");
        bench.machine.fluids = vec![Fluid {
            kind,
            grade: "dot4".into(),
            stance: Stance::Upright,
            state: FluidState::Any,
            changed_on: None,
        }];
        for (celsius, expected) in
            [(150.0, Outcome::Fault(Severity::Major)), (155.0, Outcome::Sound), (230.0, Outcome::Sound)]
        {
            bench.read(&check, "boiling", Value::Temperature(Temperature::celsius(celsius)));
            assert_eq!(bench.judgements(&BoilingPoint, &check)[0].outcome, expected, "{celsius}");
        }
        bench.machine.fluids[0].grade = "mineral".into();
        assert_eq!(bench.judgements(&BoilingPoint, &check)[0].outcome, Outcome::Noted);
    }
}
