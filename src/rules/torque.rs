//! The torque found or applied at a fastener, against the machine's own figure.

use super::proof::{figure, source, value};
use super::{Case, Judgement, Outcome, Rule, Source};
use crate::inspection::{Answer, CheckRef, Severity, TorqueApplied, Value};
use crate::units::{Quantity, Shows};

/// How far a torque may stand from the figure, in per cent of it (common practice: a good wrench is off by 4 %, and 6 %
/// below 10 N·m, ISO 6789-1 from memory; the hand adds the rest).
const WITHIN_PERCENT: f64 = 10.0;

/// See the module.
pub(super) struct FastenerTorque;

impl Rule for FastenerTorque {
    fn id(&self) -> &'static str {
        "fastener-torque"
    }
    fn explain(&self) -> &'static str {
        "The torque found or applied at each fastener against the machine's own figure: more than 10 % below it (loose) \
         or above it (over-tightened) is major, by common practice. Without a figure nothing is judged."
    }
    fn checks(&self) -> &'static [&'static str] {
        &["fasteners-after-work", "fasteners"]
    }
    fn judge(&self, case: &Case<'_>, check: &CheckRef, answer: Option<&Answer>) -> Vec<Judgement> {
        match value(answer, "torques") {
            Some(Value::Torques(found)) => found.iter().map(|one| self.one(case, check, one)).collect(),
            _ => vec![],
        }
    }
}

impl FastenerTorque {
    fn one(&self, case: &Case<'_>, check: &CheckRef, found: &TorqueApplied) -> Judgement {
        let name = found.fastener.trim();
        let shown = tenths(case, found.torque);
        let new = |outcome, sentence: String| {
            let read = format!("{name} {shown}");
            Judgement::new(self.id(), check, outcome, super::proof::capital(&sentence)).of("torques").read(read)
        };
        if found.torque.base() <= 0.0 {
            return new(
                Outcome::Refused,
                format!("{name}: expected a torque above zero, found {shown}: read it again."),
            );
        }
        let figure_of = case.machine.torques.iter().find(|t| t.fastener.trim().eq_ignore_ascii_case(name));
        let Some(own) = figure_of.filter(|own| own.torque.base() > 0.0) else {
            return new(
                Outcome::Noted,
                format!(
                    "{name}, {shown}: cannot be judged, the machine's record has no torque figure of this name. Enter it with its page."
                ),
            );
        };
        let wanted = tenths(case, own.torque);
        let off = 100.0 * (found.torque.base() / own.torque.base() - 1.0);
        let percent = format!("{} %", figure(case, off.abs(), 0));
        let (outcome, sentence) = match off {
            o if o < -WITHIN_PERCENT - 1e-9 => (
                Outcome::Fault(Severity::Major),
                format!(
                    "{name}: {shown} is {percent} below {wanted}, it is loose: major. Tighten it to the figure and mark it."
                ),
            ),
            o if o > WITHIN_PERCENT + 1e-9 => (
                Outcome::Fault(Severity::Major),
                format!(
                    "{name}: {shown} is {percent} above {wanted}, it is over-tightened: major. Look at its thread and renew it."
                ),
            ),
            _ => (
                Outcome::Sound,
                format!("{name}: {shown}, as the figure of {wanted} asks, within {WITHIN_PERCENT:.0} %."),
            ),
        };
        let way = if off < 0.0 { "below" } else { "above" };
        let practice =
            "a wrench is off by 4 %, and below 10 N·m by 6 % (ISO 6789-1, from memory); the hand adds the rest";
        new(outcome, sentence)
            .against(format!("{wanted}, within {WITHIN_PERCENT:.0} %"), source(&own.source))
            .with_margin(format!("{percent} {way}"))
            .graded(Source::Practice(practice.into()))
    }
}

/// A torque to a tenth where it has one: 8.5 N·m is not 9.
fn tenths<D: Shows>(case: &Case<'_>, torque: Quantity<D>) -> String {
    let unit = case.units.unit::<D>();
    let has_tenth = (torque.amount_in(unit) * 10.0).round() % 10.0 != 0.0;
    torque.show_with(unit, usize::from(has_tenth), case.units.decimal_comma)
}

#[cfg(test)]
mod tests {
    use super::super::fixture::{Bench, outcome_of};
    use super::*;
    use crate::inspection::Subject;
    use crate::machine::{LimitSource, TorqueFigure};
    use crate::units::Torque;

    #[test]
    fn a_torque_is_judged_by_the_machines_own_figure() {
        let check = CheckRef::new("fasteners-after-work", Subject::Machine);
        let mut bench = Bench::new("gb");
        bench.machine.torques.push(TorqueFigure {
            fastener: "Rear axle nut".into(),
            torque: Torque::newton_metres(100.0),
            source: LimitSource::Manual("page 12".into()),
        });
        let found = |name: &str, nm: f64| TorqueApplied {
            fastener: name.into(),
            torque: Torque::newton_metres(nm),
            set_to: None,
        };
        // Ten per cent either way: common practice. 81.3 N·m is 60 lbf·ft (NIST SP 811).
        for (nm, expected) in [
            (100.0, None),
            (90.0, None),
            (110.0, None),
            (89.0, Some(Severity::Major)),
            (111.0, Some(Severity::Major)),
            (81.3, Some(Severity::Major)),
        ] {
            bench.read(&check, "torques", Value::Torques(vec![found("rear axle nut ", nm)]));
            let judgement = bench.judgements(&FastenerTorque, &check).remove(0);
            assert_eq!(outcome_of(&judgement), expected, "{nm}: {}", judgement.sentence);
        }
        bench.read(&check, "torques", Value::Torques(vec![found("mirror", 10.0), found("rear axle nut", 0.0)]));
        let outcomes: Vec<_> = bench.judgements(&FastenerTorque, &check).into_iter().map(|j| j.outcome).collect();
        assert_eq!(outcomes, [Outcome::Noted, Outcome::Refused]);
    }
}
