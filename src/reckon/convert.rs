//! `reckon convert "36 psi" kPa`: a value from one unit to another of the same dimension.

use chrono::NaiveDate;
use clap::Args;
use serde_json::json;

use super::entry::figure;
use super::{Reckon, ReckonError, Reckoning};
use crate::units::{Unit, UnitError, convert};

/// The entries of the unit converter.
#[derive(Clone, Debug, Args)]
pub struct Convert {
    /// The value with its unit, as in "36 psi"
    #[arg(value_name = "VALUE", allow_hyphen_values = true)]
    pub value: String,
    /// The unit wanted, as in kPa
    #[arg(value_name = "UNIT")]
    pub to: String,
}

/// Enough digits to carry on reckoning with: ten significant ones, no trailing zeros.
fn precise(value: f64) -> String {
    let magnitude = if value == 0.0 { 0 } else { value.abs().log10().floor() as i32 };
    figure(value, (9 - magnitude).clamp(0, 12) as usize)
}

fn with_unit(value: f64, unit: &Unit) -> String {
    let gap = if unit.symbol.starts_with('/') { "" } else { " " };
    format!("{}{gap}{}", precise(value), unit.symbol)
}

impl Reckon for Convert {
    const ID: &'static str = "convert";
    const ABOUT: &'static str = "Turn a value into another unit of the same dimension";
    const EXAMPLE: &'static str = "convert \"36 psi\" kPa";

    fn reckon(&self, _today: NaiveDate) -> Result<Reckoning, ReckonError> {
        if self.to.trim().is_empty() {
            return Err(ReckonError::expected(
                "the unit wanted",
                "nothing",
                "write it after the value, as in \"36 psi\" kPa",
            ));
        }
        let (amount, from, result, to) = convert(&self.value, &self.to).map_err(|e| match e {
            UnitError::WrongUnit { found, .. } if found.is_empty() => ReckonError::expected(
                "a value with its unit",
                format!("\"{}\"", self.value.trim()),
                "write both between quotation marks, as in \"36 psi\"",
            ),
            other => ReckonError::new(other.to_string()),
        })?;
        if !result.is_finite() {
            return Err(ReckonError::expected(
                "a value that can be held in the unit wanted",
                &self.value,
                "check the figure",
            ));
        }
        let data = json!({
            "from_unit": from.symbol,
            "to_unit": to.symbol,
            format!("from{}", from.json): amount,
            format!("to{}", to.json): result,
        });
        let mut answer = Reckoning::new("Conversion", data);
        answer.line(format!("{} = {}", with_unit(amount, from), with_unit(result, to)));
        answer.formula(if from.offset != 0.0 || to.offset != 0.0 {
            format!(
                "({} × {} + {} − {}) / {}",
                precise(amount),
                precise(from.factor),
                bracketed(from.offset),
                bracketed(to.offset),
                precise(to.factor)
            )
        } else {
            format!("{} × {} / {} = {}", precise(amount), precise(from.factor), precise(to.factor), precise(result))
        });
        answer.source("NIST SP 811 appendix B (factors exact by definition)");
        Ok(answer)
    }
}

/// A negative figure in brackets, so that two signs never stand side by side.
fn bracketed(value: f64) -> String {
    if value < 0.0 { format!("({})", precise(value)) } else { precise(value) }
}
