//! A value with the unit it was entered in.

use std::cmp::Ordering;
use std::fmt;
use std::marker::PhantomData;

use serde::{Deserialize, Deserializer, Serialize, Serializer, de};

use super::dimension::{
    Dimension, DistanceTag, ForceTag, LengthTag, MassTag, PressureTag, SpeedTag, TemperatureTag, TorqueTag, Unit,
    VoltageTag, is_below_absolute_zero,
};
use super::number::print_number;
use super::parse::{MOST, UnitError, parse_quantity};

/// A finite amount of a dimension in the unit it was entered in. Equality and order compare the base unit.
///
/// Stored and printed as text, for example `"36 psi"`, so that a record shows what the gauge showed.
#[derive(Clone, Copy, Debug)]
pub struct Quantity<D: Dimension> {
    amount: f64,
    unit: u8,
    dimension: PhantomData<D>,
}

impl<D: Dimension> Quantity<D> {
    /// Makes a quantity of a unit of this dimension. Errors: not finite, or below zero where that has no meaning.
    pub fn new(amount: f64, unit: &'static Unit) -> Result<Self, UnitError> {
        if !amount.is_finite() {
            return Err(UnitError::NotFinite { dimension: D::NAME, example: D::EXAMPLE });
        }
        if (amount * unit.factor + unit.offset).abs() > MOST {
            return Err(UnitError::TooLarge { dimension: D::NAME, found: format!("{amount:e} {}", unit.symbol) });
        }
        if amount < 0.0 && !D::SIGNED {
            return Err(UnitError::Negative {
                dimension: D::NAME,
                found: format!("{} {}", print_number(amount, 3, false), unit.symbol),
                example: D::EXAMPLE,
            });
        }
        if D::NAME == TemperatureTag::NAME && is_below_absolute_zero(amount * unit.factor + unit.offset) {
            return Err(UnitError::BelowAbsoluteZero(format!("{} {}", print_number(amount, 3, false), unit.symbol)));
        }
        let index = D::UNITS.iter().position(|u| u == unit).unwrap_or(0);
        Ok(Self { amount, unit: index as u8, dimension: PhantomData })
    }

    /// A computed value in the base unit. Arithmetic on finite readings stays finite; a non-finite value is a bug and
    /// is held at zero in release builds so that it can never read as better than the limit.
    pub fn from_base(base: f64) -> Self {
        debug_assert!(base.is_finite(), "a computed {} must be finite", D::NAME);
        Self { amount: if base.is_finite() { base } else { 0.0 }, unit: 0, dimension: PhantomData }
    }

    /// Reads `36 psi`, `2,5 mm`, `4/32`. Without a unit, `default` is used, else that is an error.
    pub fn parse(text: &str, default: Option<&'static Unit>) -> Result<Self, UnitError> {
        parse_quantity(text, default)
    }

    /// The amount in the base unit of the dimension.
    pub fn base(self) -> f64 {
        let unit = self.unit();
        self.amount * unit.factor + unit.offset
    }

    /// The amount as entered, in [`Self::unit`].
    pub fn amount(self) -> f64 {
        self.amount
    }

    /// The unit it was entered in.
    pub fn unit(self) -> &'static Unit {
        &D::UNITS[usize::from(self.unit).min(D::UNITS.len() - 1)]
    }

    /// The amount in another unit of the dimension.
    pub fn amount_in(self, unit: &Unit) -> f64 {
        if self.unit() == unit { self.amount } else { (self.base() - unit.offset) / unit.factor }
    }

    /// The same quantity written in another unit.
    pub fn to_unit(self, unit: &'static Unit) -> Self {
        let index = D::UNITS.iter().position(|u| u == unit).unwrap_or(0);
        Self { amount: self.amount_in(&D::UNITS[index]), unit: index as u8, dimension: PhantomData }
    }

    /// Prints in a unit with that unit's usual decimals, for example `36.0 psi`, `4/32 in`.
    pub fn show_in(self, unit: &Unit, decimal_comma: bool) -> String {
        self.show_with(unit, unit.decimals, decimal_comma)
    }

    /// Prints in a unit with the given decimals.
    pub fn show_with(self, unit: &Unit, decimals: usize, decimal_comma: bool) -> String {
        join(&print_number(self.amount_in(unit), decimals, decimal_comma), unit)
    }
}

/// `36` and `psi` into `36 psi`; the 32nds are written `4/32 in`.
fn join(number: &str, unit: &Unit) -> String {
    if unit.symbol.starts_with('/') {
        let trimmed = number.strip_suffix(".0").or_else(|| number.strip_suffix(",0")).unwrap_or(number);
        format!("{trimmed}{}", unit.symbol)
    } else {
        format!("{number} {}", unit.symbol)
    }
}

/// Equal within one part in a thousand million, so that `1 1/2 in` equals `38.1 mm` and a reading that stands exactly
/// on a limit in another unit is never judged by the last binary digit.
impl<D: Dimension> PartialEq for Quantity<D> {
    fn eq(&self, other: &Self) -> bool {
        let (a, b) = (self.base(), other.base());
        (a - b).abs() <= 1e-9 * a.abs().max(b.abs()).max(1e-3)
    }
}

impl<D: Dimension> PartialOrd for Quantity<D> {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        if self == other { Some(Ordering::Equal) } else { self.base().partial_cmp(&other.base()) }
    }
}

/// As entered, with as many digits as it needs (at most nine decimals): `36 psi`, `2.5 bar`, `4/32 in`.
impl<D: Dimension> fmt::Display for Quantity<D> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mut number = format!("{:.9}", self.amount);
        number.truncate(number.trim_end_matches('0').trim_end_matches('.').len());
        if number == "-0" {
            number = "0".to_owned();
        }
        f.write_str(&join(&number, self.unit()))
    }
}

impl<D: Dimension> std::str::FromStr for Quantity<D> {
    type Err = UnitError;
    fn from_str(text: &str) -> Result<Self, UnitError> {
        Self::parse(text, None)
    }
}

impl<D: Dimension> Serialize for Quantity<D> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl<'de, D: Dimension> Deserialize<'de> for Quantity<D> {
    fn deserialize<De: Deserializer<'de>>(deserializer: De) -> Result<Self, De::Error> {
        let text = String::deserialize(deserializer)?;
        Self::parse(&text, None).map_err(de::Error::custom)
    }
}

macro_rules! in_unit {
    ($tag:ty, $($(#[$doc:meta])* $make:ident / $read:ident = $index:literal),+ $(,)?) => {
        impl Quantity<$tag> {
            $(
                $(#[$doc])*
                pub fn $make(amount: f64) -> Self {
                    debug_assert!(amount.is_finite(), "a computed quantity must be finite");
                    Self { amount: if amount.is_finite() { amount } else { 0.0 }, unit: $index, dimension: PhantomData }
                }
                /// The amount in that unit.
                pub fn $read(self) -> f64 {
                    self.amount_in(&<$tag as Dimension>::UNITS[$index])
                }
            )+
        }
    };
}

in_unit!(PressureTag, /// From kPa.
    kpa / as_kpa = 0, /// From psi.
    psi / as_psi = 1, /// From bar.
    bar / as_bar = 2);
in_unit!(LengthTag, /// From mm.
    mm / as_mm = 0, /// From 32nds of an inch.
    thirty_seconds / as_thirty_seconds = 1, /// From inches.
    inch / as_inch = 2, /// From metres.
    metres / as_metres = 4);
in_unit!(DistanceTag, /// From km.
    km / as_km = 0, /// From miles.
    miles / as_miles = 1);
in_unit!(TemperatureTag, /// From °C.
    celsius / as_celsius = 0, /// From °F.
    fahrenheit / as_fahrenheit = 1, /// From kelvin.
    kelvin / as_kelvin = 2);
in_unit!(TorqueTag, /// From N·m.
    newton_metres / as_newton_metres = 0);
in_unit!(MassTag, /// From kg.
    kg / as_kg = 0);
in_unit!(SpeedTag, /// From km/h.
    kmh / as_kmh = 0);
in_unit!(VoltageTag, /// From volts.
    volts / as_volts = 0);
in_unit!(ForceTag, /// From newtons.
    newtons / as_newtons = 0);
