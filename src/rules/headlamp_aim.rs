//! Aim of the dipped beam: how far its edge drops on the way to a wall, in per cent.

use super::proof::{figure, length};
use super::{Case, Judgement, Outcome, Rule, Source};
use crate::inspection::{Answer, CheckRef, Severity};

/// Least and greatest drop in per cent (UN R53, from memory, medium-high).
const DROP_PERCENT: (f64, f64) = (0.5, 2.5);

/// Drop in per cent from the lamp's middle to the edge of the light at a distance; none without a distance.
pub fn drop_percent(lamp_mm: f64, edge_mm: f64, distance_mm: f64) -> Option<f64> {
    (distance_mm > 0.0).then(|| 100.0 * (lamp_mm - edge_mm) / distance_mm)
}

/// See the module.
pub(super) struct HeadlampAim;

impl Rule for HeadlampAim {
    fn id(&self) -> &'static str {
        "headlamp-aim"
    }
    fn explain(&self) -> &'static str {
        "The edge of the dipped beam drops 0.5 to 2.5 % of the distance to the wall (UN R53). Outside it major, \
         Directive 2014/45/EU item 4.1.2."
    }
    fn checks(&self) -> &'static [&'static str] {
        &["headlamp-aim"]
    }
    fn judge(&self, case: &Case<'_>, check: &CheckRef, answer: Option<&Answer>) -> Vec<Judgement> {
        let read = [length(answer, "lamp-height"), length(answer, "cutoff-height"), length(answer, "wall-distance")];
        if read.iter().all(Option::is_none) {
            return vec![];
        }
        let [Some(lamp), Some(edge), Some(distance)] = read else {
            let way_out = "The aim is judged once all three are measured: the height of the lamp, the height of the edge \
                           on the wall, and the distance.";
            return vec![Judgement::new(self.id(), check, Outcome::Noted, way_out).of("cutoff-height")];
        };
        let Some(drop) = drop_percent(lamp.as_mm(), edge.as_mm(), distance.as_mm()) else {
            let sentence = format!(
                "Expected a distance to the wall above zero, found {}: measure it again.",
                case.units.show(distance)
            );
            return vec![Judgement::new(self.id(), check, Outcome::Refused, sentence).of("wall-distance")];
        };
        let (from, to) = DROP_PERCENT;
        let window = format!("{} to {} %", figure(case, from, 1), figure(case, to, 1));
        let shown = format!("{} %", figure(case, drop, 2));
        // A hair beyond an end by rounding of a tape's millimetre is not beyond it.
        let (outcome, sentence) = if drop < from - 1e-9 {
            (Outcome::Fault(Severity::Major), format!("The edge drops {shown}, less than {window}: it dazzles, major."))
        } else if drop > to + 1e-9 {
            (
                Outcome::Fault(Severity::Major),
                format!("The edge drops {shown}, more than {window}: it lights too little road, major."),
            )
        } else {
            (Outcome::Sound, format!("The edge drops {shown}, within {window}."))
        };
        vec![
            Judgement::new(self.id(), check, outcome, sentence)
                .of("cutoff-height")
                .read(shown)
                .with_margin({
                    let edge = if (drop - from).abs() < (drop - to).abs() { from } else { to };
                    let way = if drop < edge { "below" } else { "above" };
                    format!("{} points {way} {} %", figure(case, (drop - edge).abs(), 2), figure(case, edge, 1))
                })
                .against(window, Source::Practice("UN R53, type approval (from memory)".into()))
                .graded(case.directive("4.1.2")),
        ]
    }
}

#[cfg(test)]
mod tests {
    use super::super::fixture::{Bench, outcome_of};
    use super::*;
    use crate::inspection::{Subject, Value};
    use crate::units::Length;

    #[test]
    fn the_edge_drops_half_to_two_and_a_half_per_cent() {
        // Drop over distance, by hand; the limits are UN R53, from memory.
        assert_eq!(drop_percent(900.0, 850.0, 5000.0), Some(1.0));
        let check = CheckRef::new("headlamp-aim", Subject::Machine);
        let mut bench = Bench::new("gb");
        bench.read(&check, "lamp-height", Value::Length(Length::mm(900.0)));
        bench.read(&check, "wall-distance", Value::Length(Length::metres(10.0)));
        for (below, expected) in
            [(49.0, Some(Severity::Major)), (50.0, None), (250.0, None), (251.0, Some(Severity::Major))]
        {
            bench.read(&check, "cutoff-height", Value::Length(Length::mm(900.0 - below)));
            assert_eq!(outcome_of(&bench.judgements(&HeadlampAim, &check)[0]), expected, "{below} mm");
        }
    }
}
