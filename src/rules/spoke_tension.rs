//! Tension of the spokes against one another: a spoke far from the mean of its flange carries too little or too much.

use super::proof::{at, figure, value, wheel};
use super::{Case, Judgement, Outcome, Rule, Source};
use crate::clock::{Side, Spot};
use crate::inspection::{Answer, CheckRef, NumberPoint, Severity, Value};
use crate::machine::RimKind;

/// How far a spoke may stand from the mean, in per cent of it (common practice).
const WITHIN_PERCENT: f64 = 20.0;
/// Fewer readings show no mean (house figure).
const LEAST_READINGS: usize = 4;

/// See the module.
pub(super) struct SpokeTension;

impl Rule for SpokeTension {
    fn id(&self) -> &'static str {
        "spoke-tension"
    }
    fn explain(&self) -> &'static str {
        "Each spoke against the mean of its flange where the machine's record tells the flanges apart, else of its wheel: \
         within 20 %, else minor; two neighbours too slack major. Common practice; the scale of the meter does not matter."
    }
    fn checks(&self) -> &'static [&'static str] {
        &["spokes"]
    }
    fn judge(&self, case: &Case<'_>, check: &CheckRef, answer: Option<&Answer>) -> Vec<Judgement> {
        let Some(Value::Numbers(points)) = value(answer, "tension") else { return vec![] };
        let mut points: Vec<&NumberPoint> =
            points.iter().filter(|p| p.reading.is_finite() && p.reading >= 0.0).collect();
        points.sort_by(|a, b| a.spot.degrees().total_cmp(&b.spot.degrees()));
        if points.is_empty() {
            return vec![];
        }
        let new = |outcome, sentence: String| vec![Judgement::new(self.id(), check, outcome, sentence).of("tension")];
        if points.len() < LEAST_READINGS {
            let sentence = format!("Tension was read at {} places: read it at {LEAST_READINGS} or more.", points.len());
            return new(Outcome::Refused, sentence);
        }
        let rim = wheel(case, check).map(|w| w.rim.kind);
        let off: Vec<(f64, Spot)> = points
            .iter()
            .filter_map(|p| {
                let mine = rim.and_then(|rim| flange(rim, p.spot));
                let same = points.iter().filter(|q| rim.and_then(|rim| flange(rim, q.spot)) == mine);
                let (sum, count) = same.fold((0.0, 0.0), |(sum, count), q| (sum + q.reading, count + 1.0));
                let mean: f64 = sum / count;
                (mean > 0.0).then(|| (100.0 * (p.reading / mean - 1.0), p.spot))
            })
            .collect();
        let Some((worst, spot)) = off.iter().copied().max_by(|a, b| a.0.abs().total_cmp(&b.0.abs())) else {
            return new(Outcome::Refused, "Expected a tension above zero at one spoke at least: read it again.".into());
        };
        let slack: Vec<bool> = off.iter().map(|(o, _)| *o < -WITHIN_PERCENT - 1e-9).collect();
        let next = slack.iter().cycle().skip(1);
        let neighbours = slack.len() > 2 && slack.iter().zip(next).any(|(a, b)| *a && *b);
        let word = if worst < 0.0 { "slacker" } else { "tighter" };
        let shown = format!("{} % {word} than the mean at {}", figure(case, worst.abs(), 0), at(spot));
        let (outcome, sentence) = match worst.abs() > WITHIN_PERCENT + 1e-9 {
            true if neighbours => (
                Outcome::Fault(Severity::Major),
                format!("{shown}, and two neighbours are slack: major. Have the wheel trued."),
            ),
            true => (
                Outcome::Fault(Severity::Minor),
                format!(
                    "{shown}, more than {WITHIN_PERCENT:.0} %: minor. Set it, then measure the run-out of the rim."
                ),
            ),
            false => (Outcome::Sound, format!("{shown}, every spoke within {WITHIN_PERCENT:.0} %.")),
        };
        let practice = "spokes of one flange share the load alike";
        let mut judged = new(outcome, sentence);
        judged[0].reading = shown;
        judged[0].limit = Some(super::LimitUsed {
            value: format!("within {WITHIN_PERCENT:.0} % of the mean"),
            source: Source::Practice(practice.into()),
        });
        let apart = worst.abs() - WITHIN_PERCENT;
        let way = if apart > 0.0 { "beyond" } else { "within" };
        judged[0].margin = format!("{} points {way}", figure(case, apart.abs(), 0));
        judged[0].graded_by.push(Source::Practice(practice.into()));
        judged
    }
}

/// The flange of the spoke nearest to a spot, where the record says which flange the first one leads to. The valve hole
/// lies midway between two, and spoke k stands at (k − ½) · 360/N (house rule 15).
fn flange(rim: RimKind, spot: Spot) -> Option<Side> {
    let RimKind::WireSpoked { spokes, .. } = rim else { return None };
    let k = (spot.degrees() / 360.0 * f64::from(spokes) + 0.5).round().clamp(1.0, f64::from(spokes));
    rim.flange(k as u16)
}

#[cfg(test)]
mod tests {
    use super::super::fixture::{Bench, outcome_of};
    use super::*;
    use crate::inspection::Subject;
    use crate::machine::WheelPosition;

    fn judged(first_flange: Option<Side>, readings: &[f64]) -> Judgement {
        let check = CheckRef::new("spokes", Subject::Wheel(WheelPosition::Front));
        let mut bench = Bench::new("gb");
        let spokes = readings.len() as u16;
        bench.machine.wheels[0].rim.kind = RimKind::WireSpoked { spokes, first_flange };
        let at = |k: usize| Spot::from_degrees((k as f64 + 0.5) * 360.0 / readings.len() as f64).expect("finite");
        let points = readings.iter().enumerate().map(|(k, r)| NumberPoint { spot: at(k), reading: *r });
        bench.read(&check, "tension", Value::Numbers(points.collect()));
        bench.judgements(&SpokeTension, &check).remove(0)
    }

    #[test]
    fn a_spoke_is_held_against_the_mean_of_its_flange() {
        // Common practice; the numbers by hand: ten readings, mean of 10 × 100 with one at 70 is 97, which is 27.8 % off.
        let mut readings = [100.0; 10];
        assert_eq!(outcome_of(&judged(None, &readings)), None);
        readings[3] = 70.0;
        assert_eq!(outcome_of(&judged(None, &readings)), Some(Severity::Minor));
        readings[4] = 60.0;
        assert_eq!(outcome_of(&judged(None, &readings)), Some(Severity::Major), "two neighbours");
        // A dished wheel: 60 on one flange and 100 on the other are right where the flanges are told apart.
        let dished = [60.0, 100.0, 60.0, 100.0, 60.0, 100.0, 60.0, 100.0];
        assert_eq!(outcome_of(&judged(Some(Side::Left), &dished)), None);
        assert_eq!(outcome_of(&judged(None, &dished)), Some(Severity::Minor));
        assert_eq!(judged(None, &[100.0, 90.0]).outcome, Outcome::Refused);
        assert_eq!(judged(None, &[0.0; 8]).outcome, Outcome::Refused);
    }
}
