//! Rest voltage of the battery, by its kind and its nominal voltage (house rule 9).

use super::charge_table::{State, charge};
use super::proof::{choice, voltage};
use super::{Case, Judgement, Outcome, Rule, Source};
use crate::inspection::{Answer, CheckRef, Severity};
use crate::machine::BatteryKind;
use crate::units::Voltage;

/// Hours of rest before a voltage is a rest voltage (common practice; published sources ask 6 to 24).
const REST_HOURS: f64 = 4.0;
/// See the module.
pub(super) struct BatteryRest;

impl Rule for BatteryRest {
    fn id(&self) -> &'static str {
        "battery-rest"
    }
    fn explain(&self) -> &'static str {
        "Voltage after four hours of rest, by the kind of battery and its nominal voltage, against published charge \
         tables named in the proof. Low is minor, by common practice. A battery that has not rested is refused."
    }
    fn checks(&self) -> &'static [&'static str] {
        &["battery-rest"]
    }
    fn judge(&self, case: &Case<'_>, check: &CheckRef, answer: Option<&Answer>) -> Vec<Judgement> {
        let Some(read) = voltage(answer, "rest") else { return vec![] };
        let shown = case.units.show(read);
        let new = |outcome, sentence: String| {
            vec![Judgement::new(self.id(), check, outcome, sentence).of("rest").read(shown.as_str())]
        };
        let stood = case.inspection.conditions.standing_hours;
        match (choice(answer, "rested").as_deref(), stood) {
            (Some("yes"), _) => {}
            (None, Some(hours)) if hours >= REST_HOURS => {}
            (None, None) => {
                return new(
                    Outcome::Refused,
                    format!(
                        "{shown} is judged once it is said whether the battery rested four hours without load or charger."
                    ),
                );
            }
            _ => {
                return new(
                    Outcome::Refused,
                    format!(
                        "{shown} is no rest voltage: the battery has not rested four hours. Leave it without load or charger and measure again before the ignition is switched on."
                    ),
                );
            }
        }
        let Some(nominal) = case.machine.nominal_voltage.filter(|v| *v > 0) else {
            return new(
                Outcome::Noted,
                format!(
                    "{shown} cannot be judged: the nominal voltage of this machine is not known. Enter it, 6, 12 or 48 V for example."
                ),
            );
        };
        let kind = case.machine.battery;
        let Some(found) = charge(kind, read.as_volts(), f64::from(nominal)) else {
            return new(
                Outcome::Noted,
                format!("{shown} cannot be judged: the machine's data say that it has no battery. Enter its kind."),
            );
        };
        let of = format!("of a {nominal} V {} battery", kind.word());
        let source = Source::Practice(format!(
            "{}, scaled to {nominal} V; a meter that is off by 1 % is off by 15 % of charge",
            found.tables
        ));
        let (outcome, sentence) = match found.state {
            State::Charged => (Outcome::Sound, format!("{shown} at rest {of}: {} charged.", found.words)),
            State::NeedsCharge => (
                Outcome::Fault(Severity::Minor),
                format!("{shown} at rest {of}: {} charged, minor by common practice. Charge it.", found.words),
            ),
            State::Flat => (
                Outcome::Fault(Severity::Minor),
                format!(
                    "{shown} at rest {of}: flat, minor by common practice. Charge it, let it rest and measure again before you trust it."
                ),
            ),
            State::NotRested => (
                Outcome::Refused,
                format!(
                    "{shown} is more than a full battery of this kind shows at rest: it has not rested, or a charger is on. Measure again after four hours."
                ),
            ),
        };
        let mut judged = new(outcome, sentence);
        judged[0].graded_by.push(source.clone());
        let edge = charged_from(kind, nominal);
        let apart = read.as_volts() - edge.as_volts();
        let way = if apart < 0.0 { "below" } else { "above" };
        judged[0].margin = format!("{} {way}", case.units.show(Voltage::volts(apart.abs())));
        judged[0].limit = Some(super::LimitUsed { value: wanted(case, kind, nominal), source });
        judged
    }
}

/// What a charged battery shows at rest, in words.
fn wanted(case: &Case<'_>, kind: BatteryKind, nominal: u16) -> String {
    let word = match kind {
        BatteryKind::Flooded | BatteryKind::LithiumIronPhosphate => "more than",
        BatteryKind::Agm | BatteryKind::Gel | BatteryKind::None => "at least",
    };
    format!("{word} {}", case.units.show(charged_from(kind, nominal)))
}

/// The voltage from which a battery counts as charged, scaled to its nominal voltage.
fn charged_from(kind: BatteryKind, nominal: u16) -> Voltage {
    let volts = match kind {
        BatteryKind::Flooded => 12.4,
        BatteryKind::LithiumIronPhosphate => 13.0,
        BatteryKind::Agm | BatteryKind::Gel | BatteryKind::None => 12.6,
    };
    Voltage::volts(volts * f64::from(nominal) / 12.0)
}

#[cfg(test)]
mod tests {
    use super::super::fixture::{Bench, outcome_of};
    use super::*;
    use crate::inspection::{Subject, Value};

    fn at(bench: &mut Bench, rule: &dyn Rule, field: &str, volts: f64) -> Judgement {
        let check = CheckRef::new(rule.checks()[0], Subject::Machine);
        bench.read(&check, field, Value::Voltage(Voltage::volts(volts)));
        bench.judgements(rule, &check).remove(0)
    }

    #[test]
    fn a_rested_battery_is_judged_by_its_kind() {
        // Published tables of battery makers.
        let check = CheckRef::new("battery-rest", Subject::Machine);
        let mut bench = Bench::new("gb");
        bench.read(&check, "rested", Value::Choice("yes".into()));
        for (kind, nominal, volts, expected) in [
            (BatteryKind::Flooded, 12, 12.45, None),
            (BatteryKind::Flooded, 12, 12.40, Some(Severity::Minor)),
            (BatteryKind::Agm, 12, 12.45, Some(Severity::Minor)),
            (BatteryKind::Agm, 12, 12.8, None),
            (BatteryKind::Flooded, 6, 6.225, None),
            (BatteryKind::LithiumIronPhosphate, 12, 13.2, None),
            (BatteryKind::LithiumIronPhosphate, 12, 12.9, Some(Severity::Minor)),
        ] {
            bench.machine.battery = kind;
            bench.machine.nominal_voltage = Some(nominal);
            let judgement = at(&mut bench, &BatteryRest, "rest", volts);
            assert_eq!(outcome_of(&judgement), expected, "{kind:?} {volts}: {}", judgement.sentence);
            assert!(judgement.limit.expect("limit").source.words().contains("scaled to"));
        }
    }

    #[test]
    fn a_battery_that_has_not_rested_is_refused() {
        let check = CheckRef::new("battery-rest", Subject::Machine);
        let mut bench = Bench::new("gb");
        assert_eq!(at(&mut bench, &BatteryRest, "rest", 12.7).outcome, Outcome::Refused, "nobody said that it rested");
        bench.inspection.conditions.standing_hours = Some(3.0);
        assert_eq!(at(&mut bench, &BatteryRest, "rest", 12.7).outcome, Outcome::Refused);
        bench.inspection.conditions.standing_hours = Some(12.0);
        assert_eq!(at(&mut bench, &BatteryRest, "rest", 12.7).outcome, Outcome::Sound);
        bench.read(&check, "rested", Value::Choice("no".into()));
        assert_eq!(at(&mut bench, &BatteryRest, "rest", 12.7).outcome, Outcome::Refused);
        bench.read(&check, "rested", Value::Choice("yes".into()));
        assert_eq!(at(&mut bench, &BatteryRest, "rest", 13.9).outcome, Outcome::Refused, "a charger is on");
    }
}
