//! `reckon torque`: what a torque wrench is set to with an extension on its drive.

use chrono::NaiveDate;
use clap::Args;
use serde_json::json;

use super::entry::{above_zero, both, figure, like, number};
use super::{Reckon, ReckonError, Reckoning};
use crate::units::{Dimension, Length, Torque, TorqueTag};

/// The entries of the torque calculator.
#[derive(Clone, Debug, Args)]
pub struct WrenchTorque {
    /// The torque wanted at the fastener, as in "100 N.m"
    #[arg(value_name = "TORQUE", allow_hyphen_values = true)]
    pub wanted: Torque,
    /// The wrench from its drive to the middle of the grip, as in "12 in"
    #[arg(long, value_name = "LENGTH", requires = "extension", allow_hyphen_values = true)]
    pub length: Option<Length>,
    /// The extension from the drive to the fastener, as in "6 in"; without one the torque is given in the usual units
    #[arg(long, value_name = "LENGTH", requires = "length", allow_hyphen_values = true)]
    pub extension: Option<Length>,
    /// The angle between wrench and extension in degrees: 0 in line, 90 square, 180 pointing back
    #[arg(long, value_name = "DEGREES", default_value = "0", value_parser = number, allow_hyphen_values = true)]
    pub angle: f64,
}

impl WrenchTorque {
    /// The torque in every unit that wrenches are marked in.
    fn in_units(&self, wanted: f64) -> Reckoning {
        let mut data = json!({ "wanted_nm": wanted });
        let mut shown = Vec::new();
        for unit in TorqueTag::UNITS {
            let amount = self.wanted.amount_in(unit);
            data[format!("wanted{}", unit.json)] = amount.into();
            shown.push(format!("{} {}", figure(amount, 2), unit.symbol));
        }
        let mut answer = Reckoning::new("Torque in the usual units", data);
        answer.line(format!("{}.", shown.join(" = ")));
        answer.formula("1 lbf·ft = 1.355 818 N·m; 1 lbf·in = 0.112 985 N·m; 1 kgf·m = 9.806 65 N·m");
        answer.source("NIST SP 811 appendix B");
        answer.caution("The figure for the fastener comes from the service manual.");
        answer
    }
}

impl Reckon for WrenchTorque {
    const ID: &'static str = "torque";
    const ABOUT: &'static str = "Torque wrench with an extension; a torque in other units";
    const EXAMPLE: &'static str = "torque \"100 N.m\" --length \"12 in\" --extension \"6 in\"";

    fn reckon(&self, _today: NaiveDate) -> Result<Reckoning, ReckonError> {
        let wanted = above_zero("a torque", self.wanted)?;
        let (Some(wrench), Some(added)) = (self.length, self.extension) else { return Ok(self.in_units(wanted)) };
        let setting = wrench_setting(self.wanted, wrench, added, self.angle)?;
        let (length, extension) = (wrench.as_mm(), added.as_mm());
        let unit = self.wanted.unit();
        let mut answer = Reckoning::new(
            "Torque wrench with an extension",
            json!({
                "wanted_nm": wanted,
                "length_mm": length,
                "extension_mm": extension,
                "angle_deg": self.angle,
                "setting_nm": setting,
                format!("setting{}", unit.json): Torque::from_base(setting).amount_in(unit),
            }),
        );
        answer.line(format!(
            "Set the wrench to {} for {} at the fastener.",
            like(setting, self.wanted),
            both(self.wanted)
        ));
        if self.angle.abs() == 90.0 || extension == 0.0 {
            answer.line("Square to the wrench, the extension changes nothing.");
        }
        answer.formula(format!(
            "Tw = Ta × L / (L + E × cos θ) = {} × {} / ({} + {} × cos {}°) = {} N·m",
            figure(wanted, 2),
            figure(length, 1),
            figure(length, 1),
            figure(extension, 1),
            figure(self.angle, 1),
            figure(setting, 2)
        ));
        answer.source(
            "FAA AC 43.13-1B, 7-40 and figure 7-2 (the need); US Navy training text and aircraft manuals (formula)",
        );
        answer.caution("Pull at the point from which the length was measured.");
        answer.caution("A straight socket extension, in line with the fastener, changes nothing.");
        answer.caution("The figure for the fastener comes from the service manual.");
        Ok(answer)
    }
}

/// What a wrench is set to in N·m for a torque at the fastener: the formula of [`WrenchTorque`]. `wrench` runs from the
/// drive to the grip, `extension` from the drive to the fastener, `angle` between them in degrees.
///
/// # Errors
/// A torque or wrench of nothing, an extension below nothing, an angle beyond half a turn, or a fastener that would lie
/// behind the grip.
pub fn wrench_setting(torque: Torque, wrench: Length, extension: Length, angle: f64) -> Result<f64, ReckonError> {
    let wanted = above_zero("a torque", torque)?;
    let length = above_zero("a wrench length", wrench)?;
    let reach = extension.as_mm();
    if reach < 0.0 {
        return Err(ReckonError::expected(
            "an extension of zero or more",
            extension,
            "for one that points back to the grip, give its length and --angle 180",
        ));
    }
    if !(-180.0..=180.0).contains(&angle) {
        return Err(ReckonError::expected(
            "an angle from −180 to 180 degrees",
            figure(angle, 1),
            "0 is in line with the wrench, 90 square to it",
        ));
    }
    let reach = reach * angle.to_radians().cos();
    if length + reach <= 0.0 {
        return Err(ReckonError::expected(
            "an extension that points back by less than the wrench is long",
            extension,
            "use a shorter extension or another angle: the fastener would lie behind the grip",
        ));
    }
    Ok(wanted * length / (length + reach))
}
