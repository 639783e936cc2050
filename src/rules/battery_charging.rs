//! Charging voltage of the battery at a fast idle, by its kind and its nominal voltage (house rule 9).

use super::proof::voltage;
use super::{Case, Judgement, Outcome, Rule, Source};
use crate::inspection::{Answer, CheckRef, Severity};
use crate::machine::BatteryKind;
use crate::units::Voltage;

/// Below this on a 12 V battery it is not charged at all (common practice, from memory, high).
const NOT_CHARGING: f64 = 13.0;
/// From here to [`CHARGED_TO`] charging at a fast idle is usual (same).
const CHARGED_FROM: f64 = 13.5;
/// The upper end for lead.
const CHARGED_TO: f64 = 14.8;
/// The upper end for lithium iron phosphate (seen: 14.2 to 14.6 V).
const LITHIUM_TO: f64 = 14.6;
/// Above this it is overcharged (common practice, from memory, high).
const OVERCHARGE: f64 = 15.0;

/// See the module.
pub(super) struct BatteryCharging;

impl Rule for BatteryCharging {
    fn id(&self) -> &'static str {
        "battery-charging"
    }
    fn explain(&self) -> &'static str {
        "Voltage at a fast idle, scaled by the nominal voltage: 13.5 to 14.8 V on 12 V (lithium iron phosphate to \
         14.6 V) is usual; below 13.0 V it is not charged and above 15.0 V overcharged, both major. Common practice."
    }
    fn checks(&self) -> &'static [&'static str] {
        &["battery-charging"]
    }
    fn judge(&self, case: &Case<'_>, check: &CheckRef, answer: Option<&Answer>) -> Vec<Judgement> {
        let Some(read) = voltage(answer, "running") else { return vec![] };
        let shown = case.units.show(read);
        let Some(nominal) = case.machine.nominal_voltage.filter(|v| *v > 0) else {
            let sentence = format!(
                "{shown} cannot be judged: the nominal voltage of this machine is not known. Enter it, 6 or 12 V for example."
            );
            return vec![Judgement::new(self.id(), check, Outcome::Noted, sentence).of("running").read(shown)];
        };
        let scale = f64::from(nominal) / 12.0;
        let to = if case.machine.battery == BatteryKind::LithiumIronPhosphate { LITHIUM_TO } else { CHARGED_TO };
        let volts = read.as_volts() / scale;
        // A hundredth of a millivolt: a reading on the edge is not judged by its last binary digit.
        let edge = 1e-5;
        let band = format!(
            "{} to {}",
            case.units.show(Voltage::volts(CHARGED_FROM * scale)),
            case.units.show(Voltage::volts(to * scale))
        );
        let (outcome, sentence) = match volts {
            v if v < NOT_CHARGING - edge => (
                Outcome::Fault(Severity::Major),
                "the battery is not being charged: major. Find the cause before the next ride",
            ),
            v if v < CHARGED_FROM - edge => (Outcome::Fault(Severity::Minor), "the battery is charged weakly: minor"),
            v if v > OVERCHARGE + edge => {
                (Outcome::Fault(Severity::Major), "the battery is overcharged: major. Have the regulator looked at")
            }
            v if v > to + edge => (Outcome::Fault(Severity::Minor), "more than is usual for this battery: minor"),
            _ => (Outcome::Sound, "the battery is charged as usual"),
        };
        let practice = || Source::Practice("usual charging voltages at a fast idle".into());
        vec![
            Judgement::new(self.id(), check, outcome, format!("{shown} at a fast idle: {sentence}. Usual is {band}."))
                .of("running")
                .read(shown)
                .with_margin({
                    let near = if (volts - CHARGED_FROM).abs() < (volts - to).abs() { CHARGED_FROM } else { to };
                    let apart = case.units.show(Voltage::volts((volts - near).abs() * scale));
                    let way = if volts < near { "below" } else { "above" };
                    format!("{apart} {way} {}", case.units.show(Voltage::volts(near * scale)))
                })
                .against(band, practice())
                .graded(practice()),
        ]
    }
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
    fn charging_has_a_band_with_two_ends() {
        use Severity::{Major, Minor};
        // Common practice: 13.5 to 14.8 V, below 13.0 not charging, above 15.0 over-charging.
        let mut bench = Bench::new("gb");
        bench.machine.battery = BatteryKind::Agm;
        for (volts, expected) in [
            (12.9, Some(Major)),
            (13.0, Some(Minor)),
            (13.5, None),
            (14.8, None),
            (14.9, Some(Minor)),
            (15.0, Some(Minor)),
            (15.1, Some(Major)),
        ] {
            assert_eq!(outcome_of(&at(&mut bench, &BatteryCharging, "running", volts)), expected, "{volts}");
        }
        bench.machine.battery = BatteryKind::LithiumIronPhosphate;
        assert_eq!(outcome_of(&at(&mut bench, &BatteryCharging, "running", 14.7)), Some(Minor));
        bench.machine.battery = BatteryKind::Flooded;
        bench.machine.nominal_voltage = Some(6);
        assert_eq!(outcome_of(&at(&mut bench, &BatteryCharging, "running", 7.0)), None, "7 V on 6 V is 14 V on 12 V");
    }
}
