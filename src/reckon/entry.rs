//! Reading entries and showing figures, for the calculators: plain numbers, and quantities in the unit that was typed
//! with the SI figure beside it.

use super::ReckonError;
use crate::clock::{ClockTime, Side, Spot};
use crate::machine::Category;
use crate::units::{Dimension, Length, NumberError, Quantity, parse_number, print_short};

/// A figure with a point and at most `decimals` decimals, trailing zeros left out.
pub(super) fn figure(value: f64, decimals: usize) -> String {
    print_short(value, decimals, false)
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

/// Reads `L3e`, case forgiven.
pub(super) fn category(text: &str) -> Result<Category, String> {
    Category::ALL.into_iter().find(|c| c.word().eq_ignore_ascii_case(text.trim())).ok_or_else(|| {
        let known: Vec<&str> = Category::ALL.iter().map(|c| c.word()).collect();
        format!(
            "expected a category, one of {}, found \"{}\": read it in the machine's papers",
            known.join(", "),
            text.trim()
        )
    })
}

/// Splits `12:00 2.4 mm 3.1 2.2` into the clock and one text a depth.
fn split(reading: &str) -> (String, Vec<String>) {
    let mut words = reading.split_whitespace();
    let clock = words.next().unwrap_or("").to_owned();
    let mut entries: Vec<String> = Vec::new();
    for word in words {
        match entries.last_mut() {
            Some(last) if !word.starts_with(|c: char| c.is_ascii_digit() || "-−+.,".contains(c)) => {
                last.push(' ');
                last.push_str(word);
            }
            _ => entries.push(word.to_owned()),
        }
    }
    (clock, entries)
}

/// Reads `12:00 2.4 mm 3.1 2.2`: a clock position from a side, then lengths, in mm unless a unit stands.
pub(super) fn clock_reading(text: &str, side: Side) -> Result<(Spot, Vec<Length>), ReckonError> {
    let in_this = |message: String| ReckonError::new(format!("in \"{}\": {message}", text.trim()));
    let (clock, entries) = split(text);
    let time = ClockTime::parse(&clock).map_err(|e| in_this(e.to_string()))?;
    let read = |entry: &String| Length::parse(entry, Some(Length::mm(0.0).unit()));
    let lengths = entries.iter().map(|e| read(e).map_err(|error| in_this(error.to_string())));
    Ok((Spot::at(time, side), lengths.collect::<Result<_, ReckonError>>()?))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn units_stay_with_their_depths() {
        for (reading, entries) in [
            ("12:00 2.4 3.1 2.2", vec!["2.4", "3.1", "2.2"]),
            ("12:00 2.4 mm 3.1 mm 2.2", vec!["2.4 mm", "3.1 mm", "2.2"]),
            ("3:00  4/32 5/32 in 2,5mm", vec!["4/32", "5/32 in", "2,5mm"]),
            ("3:00 4/32 /32", vec!["4/32 /32"]),
        ] {
            assert_eq!(split(reading).1, entries, "{reading}");
        }
    }
}
