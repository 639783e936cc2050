//! Reading entries and showing figures, for the calculators: plain numbers, and quantities in the unit that was typed
//! with the SI figure beside it.

use chrono::NaiveDate;

use super::ReckonError;
use crate::units::{Dimension, NumberError, Quantity, parse_number, print_number};

/// A figure with a point and at most `decimals` decimals, trailing zeros left out.
pub(super) fn figure(value: f64, decimals: usize) -> String {
    let text = print_number(value, decimals, false);
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text }
}

/// A quantity as it was typed, with the SI figure in brackets where another unit was used: `36 psi (248.2 kPa)`.
pub(super) fn both<D: Dimension>(quantity: Quantity<D>) -> String {
    let si = &D::UNITS[0];
    if quantity.unit() == si { quantity.to_string() } else { format!("{quantity} ({})", in_si(quantity)) }
}

/// A computed quantity, shown in the unit of an entry with the SI figure in brackets: `33.4 psi (230.3 kPa)`.
pub(super) fn like<D: Dimension>(base: f64, entry: Quantity<D>) -> String {
    let quantity = Quantity::<D>::from_base(base);
    let unit = entry.unit();
    if unit == &D::UNITS[0] {
        in_si(quantity)
    } else {
        format!("{} ({})", quantity.show_in(unit, false), in_si(quantity))
    }
}

/// In SI with one decimal more than a reading is shown with.
fn in_si<D: Dimension>(quantity: Quantity<D>) -> String {
    let si = &D::UNITS[0];
    quantity.show_with(si, si.decimals + 1, false)
}

/// Refuses what is not above zero.
pub(super) fn above_zero<D: Dimension>(what: &str, quantity: Quantity<D>) -> Result<f64, ReckonError> {
    if quantity.base() > 0.0 {
        Ok(quantity.base())
    } else {
        Err(ReckonError::expected(
            &format!("{what} above zero"),
            quantity,
            &format!("write it as in \"{}\"", D::EXAMPLE),
        ))
    }
}

/// A plain number as people write it, for arguments without a unit.
pub(super) fn number(text: &str) -> Result<f64, NumberError> {
    parse_number(text)
}

/// A day as in 2026-11-25.
pub(super) fn day(text: &str) -> Result<NaiveDate, String> {
    NaiveDate::parse_from_str(text.trim(), "%Y-%m-%d")
        .map_err(|_| format!("expected a day as year-month-day, found \"{}\": write it as in 2026-11-25", text.trim()))
}
