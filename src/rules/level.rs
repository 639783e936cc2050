//! A fluid level, read in the stance and at the temperature of the machine's manual; read otherwise it is refused.

use super::proof::{level, source};
use super::{Case, Judgement, Outcome, Rule, Source, graded};
use crate::inspection::{Answer, CheckRef, LevelReading, Mark, Subject};
use crate::machine::{Fluid, FluidState, LimitSource};

/// See the module.
pub(super) struct FluidLevel;

impl Rule for FluidLevel {
    fn id(&self) -> &'static str {
        "fluid-level"
    }
    fn explain(&self) -> &'static str {
        "A level between its marks is sound; below, well below and none visible are graded by the catalogue (brake \
         fluid: minor, major, dangerous, Directive 2014/45/EU item 1.1.10). Read in another stance or temperature than \
         the machine's manual asks, it is refused."
    }
    fn checks(&self) -> &'static [&'static str] {
        &["brake-fluid-level", "fluid-level"]
    }
    fn judge(&self, case: &Case<'_>, check: &CheckRef, answer: Option<&Answer>) -> Vec<Judgement> {
        let (Some(read), Subject::Fluid(kind)) = (level(answer, "level"), check.subject) else { return vec![] };
        let reading = format!("{}, {}, {}", read.mark.word(), read.stance.word(), read.state.word());
        let new = |outcome, sentence: String| {
            Judgement::new(self.id(), check, outcome, sentence).of("level").read(reading.as_str())
        };
        let Some(fluid) = case.machine.fluid(kind) else {
            let way_out = format!(
                "The machine's data hold no {}: enter it with the stance and the temperature of its level.",
                kind.word()
            );
            return vec![new(Outcome::Noted, way_out)];
        };
        let how = format!("between the marks, read {} and {}", fluid.stance.word(), fluid.state.word());
        let manual = source(&LimitSource::Manual("how this level is read".into()));
        if let Some(why) = refusal(fluid, read) {
            return vec![new(Outcome::Refused, why).against(how, manual)];
        }
        let fault = fault_of(read.mark).and_then(|id| case.catalogue.check(&check.check)?.fault(id));
        let judgement = match (fault, read.mark) {
            (Some(fault), _) => {
                let (severity, sources) = graded::proposed(case, fault);
                let sentence = format!("{} {}", super::proof::capital(kind.word()), graded::words(fault, severity));
                let mut judgement = new(Outcome::Fault(severity), sentence);
                judgement.graded_by = sources;
                judgement
            }
            (None, Mark::Between) => {
                let sentence = format!(
                    "{} between the marks, {} and {}.",
                    super::proof::capital(kind.word()),
                    read.stance.word(),
                    read.state.word()
                );
                new(Outcome::Sound, sentence).graded(Source::Practice("a level between its marks".into()))
            }
            (None, mark) => new(
                Outcome::Noted,
                format!("{} {}: this check has no class for it.", super::proof::capital(kind.word()), mark.word()),
            ),
        };
        vec![judgement.against(how, manual)]
    }
}

/// The fault of the catalogue that a mark amounts to.
fn fault_of(mark: Mark) -> Option<&'static str> {
    match mark {
        Mark::AboveMax => Some("above-max"),
        Mark::Between => None,
        Mark::BelowMin => Some("below-min"),
        Mark::WellBelowMin => Some("well-below-min"),
        Mark::NoneVisible => Some("none-visible"),
    }
}

/// Why a level is no reading, with the way out.
fn refusal(fluid: &Fluid, read: LevelReading) -> Option<String> {
    let name = fluid.kind.word();
    let empty =
        if read.mark == Mark::NoneVisible { " None was to be seen: do not start or ride it before that." } else { "" };
    if read.stance != fluid.stance {
        return Some(format!(
            "This is not a reading of the {name}: it was read {}, and the manual reads it {}. Read it again so.{empty}",
            read.stance.word(),
            fluid.stance.word()
        ));
    }
    if fluid.state != FluidState::Any && read.state != fluid.state {
        return Some(format!(
            "This is not a reading of the {name}: it was read {}, and the manual reads it {}. Read it again so.{empty}",
            read.state.word(),
            fluid.state.word()
        ));
    }
    None
}

#[cfg(test)]
mod tests {
    use super::super::Status;
    use super::super::fixture::{Bench, outcome_of};
    use super::*;
    use crate::inspection::{Severity, Value};
    use crate::machine::{FluidKind, Stance};

    fn bench(kind: FluidKind) -> Bench {
        let mut bench = Bench::new("de");
        let (stance, state) = (Stance::Upright, FluidState::Warm);
        bench.machine.fluids = vec![Fluid { kind, grade: String::new(), stance, state, changed_on: None }];
        bench
    }

    fn judged(bench: &mut Bench, check: &CheckRef, mark: Mark, stance: Stance, state: FluidState) -> Judgement {
        bench.read(check, "level", Value::Level(LevelReading { mark, stance, state }));
        bench.judgements(&FluidLevel, check).remove(0)
    }

    #[test]
    fn brake_fluid_steps_from_minor_to_dangerous() {
        // Directive 2014/45/EU item 1.1.10.
        use Severity::{Dangerous, Major, Minor};
        let check = CheckRef::new("brake-fluid-level", Subject::Fluid(FluidKind::FrontBrakeFluid));
        let mut bench = bench(FluidKind::FrontBrakeFluid);
        for (mark, expected) in [
            (Mark::Between, None),
            (Mark::BelowMin, Some(Minor)),
            (Mark::WellBelowMin, Some(Major)),
            (Mark::NoneVisible, Some(Dangerous)),
        ] {
            let judgement = judged(&mut bench, &check, mark, Stance::Upright, FluidState::Warm);
            assert_eq!(outcome_of(&judgement), expected, "{mark:?}: {}", judgement.sentence);
            if expected.is_some() {
                assert!(judgement.graded_by[0].words().contains("1.1.10"));
            }
        }
    }

    #[test]
    fn another_stance_or_temperature_is_refused_with_the_reason() {
        let check = CheckRef::new("fluid-level", Subject::Fluid(FluidKind::EngineOil));
        let mut bench = bench(FluidKind::EngineOil);
        let judgement = judged(&mut bench, &check, Mark::Between, Stance::SideStand, FluidState::Warm);
        assert_eq!(judgement.outcome, Outcome::Refused);
        assert!(judgement.sentence.contains("on the side stand") && judgement.sentence.contains("upright"));
        assert_eq!(bench.assess().result(&check).expect("asked").status, Status::Unchecked);
        let judgement = judged(&mut bench, &check, Mark::Between, Stance::Upright, FluidState::Cold);
        assert_eq!(judgement.outcome, Outcome::Refused);
        bench.machine.fluids[0].state = FluidState::Any;
        let judgement = judged(&mut bench, &check, Mark::Between, Stance::Upright, FluidState::Cold);
        assert_eq!(judgement.outcome, Outcome::Sound);
    }
}
