//! Reading a quantity with its unit, and converting between units for the calculators.

use thiserror::Error;

use super::dimension::{
    Dimension, DistanceTag as Distance, LengthTag as Length, TemperatureTag as Temperature, Unit, every_dimension,
    is_below_absolute_zero,
};
use super::number::{NumberError, parse_number};
use super::quantity::Quantity;

/// Why a text is not a quantity of the dimension asked for.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum UnitError {
    /// The figure itself could not be read.
    #[error("{0}")]
    Number(#[from] NumberError),
    /// A figure without a unit, where none can be taken for granted.
    #[error("expected a {dimension} with its unit, found \"{found}\": write it as in {example}")]
    NoUnit {
        /// What was asked for.
        dimension: &'static str,
        /// What was typed.
        found: String,
        /// How to write one.
        example: &'static str,
    },
    /// A unit that is not one of this dimension.
    #[error("expected a {dimension} in {expected}, found the unit \"{found}\": write it as in {example}")]
    WrongUnit {
        /// What was asked for.
        dimension: &'static str,
        /// The unit that was typed.
        found: String,
        /// The units that are known.
        expected: String,
        /// How to write one.
        example: &'static str,
    },
    /// Below zero where that has no meaning.
    #[error("expected a {dimension} of zero or more, found {found}: write it as in {example}")]
    Negative {
        /// What was asked for.
        dimension: &'static str,
        /// What was typed.
        found: String,
        /// How to write one.
        example: &'static str,
    },
    /// NaN or infinity.
    #[error("expected a finite {dimension}: write it as in {example}")]
    NotFinite {
        /// What was asked for.
        dimension: &'static str,
        /// How to write one.
        example: &'static str,
    },
    /// Beyond all that is measured, so that sums and products of readings stay finite.
    #[error("expected a {dimension} that a gauge can show, found {found}: check the figure and its unit")]
    TooLarge {
        /// What was asked for.
        dimension: &'static str,
        /// What was typed.
        found: String,
    },
    /// Colder than anything can be.
    #[error("expected a temperature from absolute zero (−273.15 °C) up, found {0}: check the figure and its unit")]
    BelowAbsoluteZero(String),
    /// Two units of different dimensions in a conversion.
    #[error("cannot turn {from} into {to}: {from} is a {from_dimension}, {to} is not; choose one of {expected}")]
    Mismatch {
        /// The unit of the value.
        from: String,
        /// The unit wanted.
        to: String,
        /// The dimension of the value.
        from_dimension: &'static str,
        /// The units that would do.
        expected: String,
    },
}

/// The greatest amount in a base unit that is taken. The width of the world is less in every one of them.
pub(super) const MOST: f64 = 1e30;

/// Finds a unit by symbol or alias. Case, blanks and whatever joins two units (`N·m`, `N.m`, `N m`, `ft-lb`) are
/// forgiven; a symbol typed exactly goes first, so that `MPa` is never `mPa`.
pub fn find_unit(units: &'static [Unit], text: &str) -> Option<&'static Unit> {
    let text = text.trim();
    units.iter().find(|u| u.symbol == text).or_else(|| {
        let plain = plain(text);
        units.iter().find(|u| self::plain(u.symbol) == plain || u.aliases.contains(&plain.as_str()))
    })
}

/// A unit in one spelling: lower case, without blanks and joiners.
fn plain(unit: &str) -> String {
    let joins = |c: char| c.is_whitespace() || matches!(c, '·' | '⋅' | '•' | '.' | '*' | '×' | '-' | '‐' | '‑' | '–');
    unit.to_lowercase().chars().filter(|c| !joins(*c)).collect()
}

fn symbols(units: &[Unit]) -> String {
    units.iter().map(|u| u.symbol).collect::<Vec<_>>().join(", ")
}

/// Splits `36 psi` into `36` and `psi`: the number ends where the first letter, quote or degree sign stands.
fn split(text: &str) -> (&str, &str) {
    let text = text.trim();
    let exponent_at = |i: usize, c: char| {
        matches!(c, 'e' | 'E')
            && text[..i].ends_with(|c: char| c.is_ascii_digit())
            && text[i + 1..].trim_start_matches(['-', '+']).starts_with(|c: char| c.is_ascii_digit())
    };
    let begins_unit = |c: char| c.is_alphabetic() || matches!(c, '"' | '″' | '”' | '\'' | '′' | '°' | 'º' | '%');
    let end = text.char_indices().find(|&(i, c)| begins_unit(c) && !exponent_at(i, c)).map_or(text.len(), |(i, _)| i);
    // `4/32nds` and `4 32nds`: the 32 belongs to the unit.
    let end = match text[..end].strip_suffix("32").map(|n| n.trim_end()) {
        Some(count) if plain(&text[end..]).starts_with("nd") && !count.is_empty() => {
            count.strip_suffix('/').unwrap_or(count).len()
        }
        _ => end,
    };
    let (number, unit) = (text[..end].trim(), text[end..].trim());
    if number.is_empty() && matches!(unit.to_ascii_lowercase().as_str(), "nan" | "inf" | "infinity") {
        return (unit, "");
    }
    // "NaN psi": keep the word with the number so that the message names it.
    if matches!(number, "" | "-" | "+")
        && let Some((word, rest)) = text.split_once(' ')
    {
        return (word, rest.trim());
    }
    (number, unit)
}

/// The count of `4/32` alone or `4/32 in`: 32nds of an inch, as a tread gauge shows them.
fn of_32nds<'a>(number: &'a str, unit: &str) -> Option<&'a str> {
    let (count, denominator) = number.split_once('/')?;
    let count = count.trim();
    let inches = matches!(plain(unit).as_str(), "" | "in" | "inch" | "inches" | "\"" | "″" | "”");
    (denominator.trim() == "32" && inches && !count.contains(' ')).then_some(count)
}

/// A quantity just as a record holds it, `36.5 psi` or `4.5/32 in`: plain figures and the symbol itself. A garage holds
/// millions of them; what people type takes the long way.
fn as_printed(text: &str, units: &'static [Unit]) -> Option<(f64, &'static Unit)> {
    let end = text.bytes().position(|b| !(b.is_ascii_digit() || matches!(b, b'.' | b'-')))?;
    let (figures, symbol) = text.split_at(end);
    let unsigned = figures.strip_prefix('-').unwrap_or(figures);
    let (whole, part) = unsigned.split_once('.').unwrap_or((unsigned, "0"));
    let are_digits = |t: &str| !t.is_empty() && t.bytes().all(|b| b.is_ascii_digit());
    if !are_digits(whole) || !are_digits(part) {
        return None;
    }
    let spaced = symbol.strip_prefix(' ');
    let unit =
        units.iter().find(|u| if u.symbol.starts_with('/') { u.symbol == symbol } else { Some(u.symbol) == spaced })?;
    Some((figures.parse().ok()?, unit))
}

/// See [`Quantity::parse`].
pub(super) fn parse_quantity<D: Dimension>(
    text: &str,
    default: Option<&'static Unit>,
) -> Result<Quantity<D>, UnitError> {
    if let Some((amount, unit)) = as_printed(text, D::UNITS) {
        return Quantity::new(amount, unit);
    }
    let (number, unit_text) = split(text);
    if let Some(unit) = D::UNITS.iter().find(|u| u.symbol == "/32 in")
        && let Some(count) = of_32nds(number, unit_text)
    {
        return Quantity::new(parse_number(count)?, unit);
    }
    let amount = amount(number, text)?;
    let unit = if unit_text.is_empty() {
        default.ok_or_else(|| UnitError::NoUnit {
            dimension: D::NAME,
            found: text.trim().to_owned(),
            example: D::EXAMPLE,
        })?
    } else {
        find_unit(D::UNITS, unit_text).ok_or_else(|| UnitError::WrongUnit {
            dimension: D::NAME,
            found: unit_text.to_owned(),
            expected: symbols(D::UNITS),
            example: D::EXAMPLE,
        })?
    };
    Quantity::new(amount, unit)
}

/// The figure of a text; where there is none, the text itself is what was found.
fn amount(number: &str, text: &str) -> Result<f64, NumberError> {
    match parse_number(number) {
        Err(NumberError::Empty) if !text.trim().is_empty() => Err(NumberError::NotANumber(text.trim().to_owned())),
        read => read,
    }
}

/// Converts `36 psi` to another unit of the same dimension and returns the amount and the unit found.
pub fn convert(text: &str, to: &str) -> Result<(f64, &'static Unit, f64, &'static Unit), UnitError> {
    let (number, unit_text) = split(text);
    let (amount, unit_text) = match of_32nds(number, unit_text) {
        Some(count) => (parse_number(count)?, "/32 in"),
        None => (amount(number, text)?, unit_text),
    };
    let mut known = Vec::new();
    for (name, units) in every_dimension() {
        if let Some(from) = find_unit(units, unit_text) {
            if let Some(target) = find_unit(units, to) {
                let base = amount * from.factor + from.offset;
                if base.abs() > MOST {
                    return Err(UnitError::TooLarge { dimension: name, found: format!("{amount:e} {}", from.symbol) });
                }
                if name == Temperature::NAME && is_below_absolute_zero(base) {
                    return Err(UnitError::BelowAbsoluteZero(format!("{} {}", amount, from.symbol)));
                }
                return Ok((amount, from, (base - target.offset) / target.factor, target));
            }
            // A distance travelled is a length too: a mile is so many metres.
            if let Some((scale, target)) = across(name, to) {
                let base = amount * from.factor * scale;
                if base.abs() > MOST {
                    return Err(UnitError::TooLarge { dimension: name, found: format!("{amount:e} {}", from.symbol) });
                }
                return Ok((amount, from, base / target.factor, target));
            }
            known.push((name, from, units));
        }
    }
    match known.first() {
        Some((name, from, units)) => Err(UnitError::Mismatch {
            from: from.symbol.to_owned(),
            to: to.to_owned(),
            from_dimension: name,
            expected: symbols(units),
        }),
        None => Err(UnitError::WrongUnit {
            dimension: "quantity",
            found: unit_text.to_owned(),
            expected: every_dimension().iter().map(|(_, u)| symbols(u)).collect::<Vec<_>>().join("; "),
            example: "36 psi",
        }),
    }
}

/// The unit of the sister dimension, length for distance and the other way round, and the factor between their bases.
fn across(name: &str, to: &str) -> Option<(f64, &'static Unit)> {
    const MM_PER_KM: f64 = 1e6;
    match name {
        Length::NAME => find_unit(Distance::UNITS, to).map(|unit| (1.0 / MM_PER_KM, unit)),
        Distance::NAME => find_unit(Length::UNITS, to).map(|unit| (MM_PER_KM, unit)),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::super::{Length, Pressure, Temperature, Torque, Voltage};
    use super::*;

    #[test]
    fn entries_are_read_as_people_type_them() {
        assert_eq!(Pressure::parse("36 psi", None).map(|p| p.to_string()), Ok("36 psi".to_owned()));
        assert_eq!(Pressure::parse("2,5bar", None), Ok(Pressure::bar(2.5)));
        assert_eq!(Length::parse("4/32", None), Ok(Length::thirty_seconds(4.0)));
        assert_eq!(Length::parse("4/32 in", None).map(|l| l.to_string()), Ok("4/32 in".to_owned()));
        assert_eq!(Length::parse("1 1/2 in", None), Ok(Length::mm(38.1)));
        assert_eq!(Length::parse("1/4\"", None), Ok(Length::mm(6.35)));
        assert_eq!(Length::parse("3.5/32", None), Ok(Length::thirty_seconds(3.5)));
        assert_eq!(Torque::parse("100 N.m", None), Ok(Torque::newton_metres(100.0)));
        assert_eq!(Torque::parse("48 ft-lb", None).map(|t| t.unit().symbol), Ok("lbf·ft"));
        assert_eq!(Temperature::parse("-5 C", None), Ok(Temperature::celsius(-5.0)));
        assert_eq!(Voltage::parse("12.6V", None), Ok(Voltage::volts(12.6)));
        assert_eq!(Pressure::parse("36PSI", None), Ok(Pressure::psi(36.0)));
        assert_eq!(Pressure::parse("36 p.s.i.", None), Ok(Pressure::psi(36.0)));
        assert_eq!(Pressure::parse("36 lb/in²", None), Ok(Pressure::psi(36.0)));
        assert_eq!(Temperature::parse("−5\u{202f}° C", None), Ok(Temperature::celsius(-5.0)));
        for text in ["4/32nds", "4 32nds", "4/32 inch", "4/32\"", "4 /32", "4 32nds of an inch"] {
            assert_eq!(Length::parse(text, None).map(|l| l.to_string()), Ok("4/32 in".to_owned()), "{text}");
        }
        for text in ["0.125\"", "1/8 in", "⅛ in", "0.125''"] {
            assert_eq!(Length::parse(text, None), Ok(Length::mm(3.175)), "{text}");
        }
        for text in ["1½ in", "1-1/2 in", "1 1/2\""] {
            assert_eq!(Length::parse(text, None), Ok(Length::mm(38.1)), "{text}");
        }
        for text in ["65 Nm", "65 N m", "65 N⋅m", "65N·m", "65 N-m", "65 newton metres"] {
            assert_eq!(Torque::parse(text, None), Ok(Torque::newton_metres(65.0)), "{text}");
        }
        for text in ["48 ft-lb", "48 ft-lbs", "48 ft·lbf", "48 lb ft", "48 foot-pounds", "48 FT.LBS."] {
            assert_eq!(Torque::parse(text, None).map(|t| t.to_string()), Ok("48 lbf·ft".to_owned()), "{text}");
        }
    }

    #[test]
    fn a_missing_or_wrong_unit_names_the_way_out() {
        for (text, words) in [
            ("36", "with its unit"),
            ("36 mm", "found the unit \"mm\""),
            ("-3 psi", "zero or more"),
            ("NaN psi", "finite"),
            ("psi", "expected a number"),
        ] {
            let message = Pressure::parse(text, None).expect_err(text).to_string();
            assert!(message.contains(words), "{text}: {message}");
        }
    }

    #[test]
    fn conversions_agree_with_sp_811() {
        // NIST SP 811 appendix B.
        for (text, to, expected, tolerance) in [
            ("36 psi", "kPa", 248.211_262_6, 1e-6),
            ("2.5 bar", "psi", 36.2594, 1e-4),
            ("65 N·m", "lbf·ft", 47.9415, 1e-4),
            ("5 kgf·m", "N·m", 49.033_25, 1e-9),
            ("12000 miles", "km", 19_312.128, 1e-9),
            ("-40 °F", "°C", -40.0, 1e-9),
            ("10 lbf", "N", 44.482_216, 1e-6),
            ("10 lbf", "kgf", 4.5359, 1e-4),
            ("1/32 in", "mm", 0.793_75, 1e-12),
            ("2/32", "mm", 1.5875, 1e-12),
        ] {
            let (_, _, found, _) = convert(text, to).expect(text);
            assert!((found - expected).abs() < tolerance, "{text} to {to}: {found}");
        }
        assert!(convert("-300 °C", "K").expect_err("too cold").to_string().contains("−273.15"));
        assert!(Temperature::parse("-459.67 °F", None).is_ok(), "absolute zero itself");
        assert!(Temperature::parse("-500 °F", None).expect_err("too cold").to_string().contains("−273.15"));
        assert!(convert("36 psi", "mm").expect_err("mismatch").to_string().contains("psi is a pressure"));
    }
}
