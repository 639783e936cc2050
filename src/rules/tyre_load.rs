//! Load index against the greatest load of the axle, or of the machine where only that is known.

use super::proof::{marking, wheel};
use super::{Case, Judgement, Outcome, Rule, Source};
use crate::inspection::{Answer, CheckRef, Severity};
use crate::machine::{Machine, WheelPosition};
use crate::units::Mass;

/// See the module.
pub(super) struct TyreLoad;

impl Rule for TyreLoad {
    fn id(&self) -> &'static str {
        "tyre-load"
    }
    fn explain(&self) -> &'static str {
        "The loads of the load indices (ISO 4000-1, UN R75) of all tyres on an axle together carry at least its \
         greatest load; where no axle load is known, all tyres together carry the greatest mass of the machine. Less is \
         major, Directive 2014/45/EU item 5.2.3."
    }
    fn checks(&self) -> &'static [&'static str] {
        &["tyre-marking"]
    }
    fn judge(&self, case: &Case<'_>, check: &CheckRef, _: Option<&Answer>) -> Vec<Judgement> {
        let Some(marking) = marking(case, check) else {
            let way_out = "The machine's data hold no tyre for this wheel: enter its size, load index and speed letter \
                           from the sidewall.";
            return vec![Judgement::new(self.id(), check, Outcome::Noted, way_out)];
        };
        let Some(index) = marking.load_index else {
            let way_out = format!(
                "{marking}: the load index is not known, so the load is not judged. Enter the figures before the speed letter."
            );
            return vec![Judgement::new(self.id(), check, Outcome::Noted, way_out)];
        };
        let reading = format!("load index {}: {}", index.get(), case.units.show(Mass::kg(index.kg())));
        let together = wheel(case, check).and_then(|w| {
            let axle = axle(w.position);
            let needed = case.machine.wheels.iter().filter(|o| axle.contains(&o.position)).find_map(|o| o.axle_mass)?;
            Some((axle, needed, "the greatest load of its axle"))
        });
        let together = together.or_else(|| {
            let all = case.machine.layout.positions();
            case.machine.maximum_mass.map(|m| (all, m, "the greatest mass of the machine"))
        });
        let Some((positions, needed, what)) = together else {
            let way_out = "Neither the axle's nor the machine's greatest mass is known, so the load is not judged. \
                           Enter one from the papers.";
            return vec![Judgement::new(self.id(), check, Outcome::Noted, way_out).read(reading)];
        };
        let Some(carried) = carried(case.machine, positions) else {
            let way_out =
                "The load index of another tyre that shares the load is not known, so the load is not judged.";
            return vec![Judgement::new(self.id(), check, Outcome::Noted, way_out).read(reading)];
        };
        let (shown, wanted) = (case.units.show(Mass::kg(carried)), case.units.show(needed));
        let tyres = if positions.len() == 1 {
            "This tyre carries".into()
        } else {
            format!("{} tyres together carry", positions.len())
        };
        let short = carried + 1e-6 < needed.as_kg();
        let apart = case.units.show(Mass::kg((carried - needed.as_kg()).abs()));
        let (outcome, sentence, margin) = if short {
            (
                Outcome::Fault(Severity::Major),
                format!("{tyres} {shown}, less than {what}, {wanted}: major. Fit tyres that the papers name."),
                format!("{apart} below"),
            )
        } else {
            (Outcome::Sound, format!("{tyres} {shown}, enough for {what}, {wanted}."), format!("{apart} above"))
        };
        vec![
            Judgement::new(self.id(), check, outcome, sentence)
                .read(reading)
                .against(format!("at least {wanted}"), Source::Machine(format!("{what}, from its papers")))
                .with_margin(margin)
                .graded(case.directive("5.2.3")),
        ]
    }
}

/// The positions that share an axle.
fn axle(position: WheelPosition) -> &'static [WheelPosition] {
    use WheelPosition::{Front, FrontLeft, FrontRight, Rear, RearLeft, RearRight, Sidecar};
    match position {
        Front => &[Front],
        Rear => &[Rear],
        Sidecar => &[Sidecar],
        FrontLeft | FrontRight => &[FrontLeft, FrontRight],
        RearLeft | RearRight => &[RearLeft, RearRight],
    }
}

/// What the tyres in these positions carry together in kg; none where one is not known.
fn carried(machine: &Machine, positions: &[WheelPosition]) -> Option<f64> {
    positions.iter().map(|p| Some(machine.wheel(*p)?.tyre.as_ref()?.marking.load_index?.kg())).sum()
}

#[cfg(test)]
mod tests {
    use super::super::fixture::Bench;
    use super::*;
    use crate::inspection::Subject;
    use crate::machine::Layout;

    fn front() -> CheckRef {
        CheckRef::new("tyre-marking", Subject::Wheel(WheelPosition::Front))
    }

    #[test]
    fn one_tyre_carries_its_axle() {
        // 58 carries 236 kg, 73 carries 365 kg (ISO 4000-1).
        let mut bench = Bench::new("gb");
        bench.fit_tyre(0, "120/70 ZR17 M/C 58W");
        for (kg, expected) in [(236.0, Outcome::Sound), (237.0, Outcome::Fault(Severity::Major))] {
            bench.machine.wheels[0].axle_mass = Some(Mass::kg(kg));
            assert_eq!(bench.judgements(&TyreLoad, &front())[0].outcome, expected, "{kg} kg");
        }
    }

    #[test]
    fn two_tyres_share_an_axle_and_all_of_them_the_machine() {
        let mut bench = Bench::new("gb");
        bench.machine.set_layout(Layout::TwoFront);
        for wheel in 0..3 {
            bench.fit_tyre(wheel, "120/70 R14 54H");
        }
        let left = CheckRef::new("tyre-marking", Subject::Wheel(WheelPosition::FrontLeft));
        // 54 carries 212 kg: two carry 424, three carry 636 (check value 3.4).
        bench.machine.wheels[0].axle_mass = Some(Mass::kg(424.0));
        assert_eq!(bench.judgements(&TyreLoad, &left)[0].outcome, Outcome::Sound);
        bench.machine.wheels[0].axle_mass = None;
        bench.machine.maximum_mass = Some(Mass::kg(637.0));
        assert_eq!(bench.judgements(&TyreLoad, &left)[0].outcome, Outcome::Fault(Severity::Major));
    }

    #[test]
    fn what_is_not_known_is_not_judged() {
        let mut bench = Bench::new("gb");
        assert_eq!(bench.judgements(&TyreLoad, &front())[0].outcome, Outcome::Noted);
        bench.fit_tyre(0, "120/70 ZR17");
        bench.machine.wheels[0].axle_mass = Some(Mass::kg(200.0));
        assert_eq!(bench.judgements(&TyreLoad, &front())[0].outcome, Outcome::Noted);
        bench.fit_tyre(0, "120/70 ZR17 58W");
        bench.machine.wheels[0].axle_mass = None;
        assert_eq!(bench.judgements(&TyreLoad, &front())[0].outcome, Outcome::Noted);
    }
}
