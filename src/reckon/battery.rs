//! `reckon battery`: charge from a rest voltage as a band with its table, charging, cranking, and days of parasitic
//! drain.

use chrono::NaiveDate;
use clap::Args;
use serde_json::json;

use super::entry::{above_zero, figure, number};
use super::{Reckon, ReckonError, Reckoning};
use crate::machine::BatteryKind;
use crate::rules::charge_table::{State, charge};
use crate::units::{Temperature, Voltage};

/// Nominal voltages that are on machines.
const NOMINAL: std::ops::RangeInclusive<f64> = 6.0..=96.0;
/// Charging of a 12 V system at fast idle (common practice, from memory, high).
const CHARGING: (f64, f64) = (13.5, 14.8);
/// Above this a 12 V lead battery is over-charged (same).
const OVER: f64 = 15.0;
/// Below this nothing charges (same).
const NOT_CHARGING: f64 = 13.0;
/// The most that a lithium iron phosphate battery of 12 V may be charged at (seen).
const LITHIUM_MOST: f64 = 14.6;
/// Least voltage of a 12 V battery while it cranks (BCI load test; from memory, high).
const CRANKING: f64 = 9.6;

/// The entries of the battery calculator.
#[derive(Clone, Debug, Args)]
#[command(group = clap::ArgGroup::new("known").required(true).multiple(true).args(["rest", "charging", "cranking", "drain"]))]
pub struct Battery {
    /// The kind: flooded, agm, gel or lithium
    #[arg(long, value_name = "KIND", value_parser = read_kind)]
    pub kind: BatteryKind,
    /// The nominal voltage of the system
    #[arg(long, value_name = "VOLTS", default_value = "12 V")]
    pub nominal: Voltage,
    /// Voltage after four hours at rest, before the ignition, as in "12.45 V"
    #[arg(long, value_name = "VOLTS", allow_hyphen_values = true)]
    pub rest: Option<Voltage>,
    /// Voltage at fast idle, as in "14.2 V"
    #[arg(long, value_name = "VOLTS", allow_hyphen_values = true)]
    pub charging: Option<Voltage>,
    /// Least voltage while the starter turns, as in "9.9 V"
    #[arg(long, value_name = "VOLTS", allow_hyphen_values = true)]
    pub cranking: Option<Voltage>,
    /// How warm the battery is
    #[arg(long, value_name = "TEMPERATURE", allow_hyphen_values = true)]
    pub temperature: Option<Temperature>,
    /// Current with everything switched off, as in "20 mA" (needs --capacity)
    #[arg(long, value_name = "CURRENT", requires = "capacity", value_parser = read_amperes, allow_hyphen_values = true)]
    pub drain: Option<f64>,
    /// The capacity, as in "10 Ah"
    #[arg(long, value_name = "CAPACITY", value_parser = read_ampere_hours, allow_hyphen_values = true)]
    pub capacity: Option<f64>,
    /// How much of the capacity may be used, in per cent
    #[arg(long, value_name = "PERCENT", default_value = "50", value_parser = number, allow_hyphen_values = true)]
    pub usable: f64,
}

fn read_kind(text: &str) -> Result<BatteryKind, String> {
    match text.trim().to_lowercase().as_str() {
        "flooded" | "wet" => Ok(BatteryKind::Flooded),
        "agm" => Ok(BatteryKind::Agm),
        "gel" => Ok(BatteryKind::Gel),
        "lithium" | "lifepo4" | "lfp" => Ok(BatteryKind::LithiumIronPhosphate),
        other => {
            Err(format!("expected a kind, one of flooded, agm, gel, lithium, found \"{other}\": read it on the case"))
        }
    }
}

/// Reads `20 mA` in amperes.
fn read_amperes(text: &str) -> Result<f64, String> {
    read_scaled(text, &[("ma", 0.001), ("a", 1.0)], "a current above zero", "20 mA")
}

/// Reads `10 Ah` in ampere hours.
fn read_ampere_hours(text: &str) -> Result<f64, String> {
    read_scaled(text, &[("mah", 0.001), ("ah", 1.0), ("a·h", 1.0)], "a capacity above zero", "10 Ah")
}

fn read_scaled(text: &str, units: &[(&str, f64)], what: &str, example: &str) -> Result<f64, String> {
    let found = text.trim();
    let error = || format!("expected {what} with its unit, found \"{found}\": write it as in \"{example}\"");
    let lower = found.to_lowercase();
    let split = lower.find(char::is_alphabetic).ok_or_else(error)?;
    let (_, factor) = units.iter().find(|(unit, _)| *unit == lower[split..].trim()).ok_or_else(error)?;
    let value = number(lower[..split].trim()).map_err(|_| error())? * factor;
    if value > 0.0 { Ok(value) } else { Err(error()) }
}

impl Battery {
    /// A voltage scaled to a 12 V system. Errors: more than twice the nominal voltage.
    fn as_twelve(&self, what: &str, voltage: Voltage, nominal: f64) -> Result<f64, ReckonError> {
        let volts = voltage.as_volts();
        if volts <= 2.0 * nominal {
            Ok(volts * 12.0 / nominal)
        } else {
            Err(ReckonError::expected(
                &format!("{what} of a {} V system", figure(nominal, 0)),
                voltage,
                "check the meter's range, or give the system's own voltage with --nominal",
            ))
        }
    }

    fn at_rest(&self, answer: &mut Reckoning, nominal: f64) -> Result<(), ReckonError> {
        let Some(rest) = self.rest else { return Ok(()) };
        self.as_twelve("a rest voltage", rest, nominal)?;
        let Some(charge) = charge(self.kind, rest.as_volts(), nominal) else { return Ok(()) };
        let (state, words) = match charge.state {
            State::Charged => ("charged", "no charge needed"),
            State::NeedsCharge => ("needs-charge", "charge it before it is left standing or ridden far"),
            State::Flat => ("flat", "flat: charge it at once, and test it afterwards"),
            State::NotRested => ("not-rested", "above a full battery at rest: it has not rested, or a charger is on"),
        };
        answer.data["rest_v"] = rest.as_volts().into();
        answer.data["charge"] = charge.words.clone().into();
        answer.data["state"] = state.into();
        answer.data["tables"] = charge.tables.into();
        answer.line(format!("{rest} at rest: charge {}; {words}.", charge.words));
        if nominal != 12.0 {
            answer.formula(format!(
                "{} V × 12 / {} = {} V of a 12 V battery",
                figure(rest.as_volts(), 2),
                figure(nominal, 0),
                figure(rest.as_volts() * 12.0 / nominal, 2)
            ));
        }
        if let Some(temperature) = self.temperature.filter(|_| self.kind != BatteryKind::LithiumIronPhosphate) {
            // Six cells of 2 V; 0.2 to 0.3 mV a degree and cell, so the middle of it.
            let cells = (nominal / 2.0).round();
            let shift = cells * 0.000_25 * (25.0 - temperature.as_celsius());
            answer.data["temperature_c"] = temperature.as_celsius().into();
            answer.data["at_25_c_v"] = (rest.as_volts() + shift).into();
            answer.line(format!(
                "At {temperature} it would show {} V more at 25 °C, which is within the band.",
                figure(shift, 3)
            ));
            answer.formula(format!(
                "shift = cells × 0.25 mV × (25 − T) = {} × 0.25 mV × (25 − {}) = {} V",
                figure(cells, 0),
                figure(temperature.as_celsius(), 1),
                figure(shift, 4)
            ));
        }
        answer.formula(format!("read from {}; the tables differ by 0.05 to 0.1 V, so a band is given", charge.tables));
        answer.source(format!("{} (common practice)", charge.tables));
        answer.caution("A meter that errs by 1 % errs by 0.12 V, about 15 % of charge. Temperature moves a rest voltage by next to nothing.");
        Ok(())
    }

    fn under_way(&self, answer: &mut Reckoning, nominal: f64) -> Result<(), ReckonError> {
        if let Some(charging) = self.charging {
            let volts = self.as_twelve("a charging voltage", charging, nominal)?;
            let lithium = self.kind == BatteryKind::LithiumIronPhosphate;
            let (state, words) = match volts {
                v if lithium && v > LITHIUM_MOST => ("too-high", "above the 14.6 V that this kind bears"),
                v if v > OVER => ("too-high", "over-charging"),
                v if v < NOT_CHARGING => ("not-charging", "not charging"),
                v if v < CHARGING.0 => {
                    ("low", "low: look for a poor connection, and read it again at a higher engine speed")
                }
                v if v > CHARGING.1 => ("high", "high: read it again"),
                _ => ("within", "within the usual 13.5 to 14.8 V of a 12 V system"),
            };
            answer.data["charging_v"] = charging.as_volts().into();
            answer.data["charging_state"] = state.into();
            answer.line(format!("{charging} at fast idle: {words}."));
            answer.source(
                "charging 13.5 to 14.8 V, below 13.0 none, above 15.0 too much: common practice (from memory, high)",
            );
        }
        if let Some(cranking) = self.cranking {
            let volts = self.as_twelve("a cranking voltage", cranking, nominal)?;
            let holds = volts >= CRANKING - 1e-9;
            answer.data["cranking_v"] = cranking.as_volts().into();
            answer.data["cranking_holds"] = holds.into();
            answer.line(format!(
                "{cranking} while cranking: {} the 9.6 V of a 12 V battery under load.",
                if holds { "holds" } else { "below" }
            ));
            answer.source(
                "9.6 V during 15 s at half the cold-cranking current, 70 °F: BCI load test (from memory, high)",
            );
        }
        Ok(())
    }

    fn standing(&self, answer: &mut Reckoning) -> Result<(), ReckonError> {
        let (Some(drain), Some(capacity)) = (self.drain, self.capacity) else { return Ok(()) };
        if !(1.0..=100.0).contains(&self.usable) {
            return Err(ReckonError::expected("a usable share from 1 to 100 %", figure(self.usable, 1), "50 is usual"));
        }
        let hours = capacity * self.usable / 100.0 / drain;
        answer.data["drain_a"] = drain.into();
        answer.data["capacity_ah"] = capacity.into();
        answer.data["drain_hours"] = hours.into();
        answer.data["drain_days"] = (hours / 24.0).into();
        answer.line(format!("{} mA take {} days.", figure(drain * 1000.0, 1), figure(hours / 24.0, 1)));
        answer.formula(format!(
            "hours = capacity × share / drain = {} Ah × {} % / {} A = {} h",
            figure(capacity, 2),
            figure(self.usable, 0),
            figure(drain, 4),
            figure(hours, 1)
        ));
        answer.source("drain: arithmetic; the battery's own discharge, 1 to 5 % a month, comes on top (from memory)");
        Ok(())
    }
}

impl Reckon for Battery {
    const ID: &'static str = "battery";
    const ABOUT: &'static str = "Battery: charge from the rest voltage as a band, charging, cranking, parasitic drain";
    const EXAMPLE: &'static str = "battery --kind flooded --rest \"12.45 V\"";

    fn reckon(&self, _today: NaiveDate) -> Result<Reckoning, ReckonError> {
        let nominal = above_zero("a nominal voltage", self.nominal)?;
        if !NOMINAL.contains(&nominal) {
            return Err(ReckonError::expected(
                "a nominal voltage from 6 to 96 V",
                self.nominal,
                "read it on the battery",
            ));
        }
        let mut answer = Reckoning::new(
            format!("Battery, {}, {} V", self.kind.word(), figure(nominal, 0)),
            json!({ "kind": self.kind.word(), "nominal_v": nominal }),
        );
        self.at_rest(&mut answer, nominal)?;
        self.under_way(&mut answer, nominal)?;
        self.standing(&mut answer)?;
        let lithium = self.kind == BatteryKind::LithiumIronPhosphate;
        if lithium && self.temperature.is_some_and(|t| t.as_celsius() < 0.0) {
            answer.caution("Below 0 °C a lithium battery is not charged: warm it first.");
        }
        answer.caution(if lithium {
            "A swollen cell is not charged. No desulphation, and never above 14.6 V for 12 V."
        } else {
            "Charging gives off hydrogen: no flame, no spark, eye and face protection."
        });
        Ok(answer)
    }
}
