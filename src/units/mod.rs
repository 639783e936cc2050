//! Quantities with their units: what a gauge showed, kept as it was typed, compared in one base unit.
//!
//! A [`Quantity`] is finite by construction and remembers the unit it was entered in, so `36 psi` is stored and
//! printed as `36 psi` and still compares with `2.5 bar`. Parsing is forgiving ([`parse`]), formatting follows the
//! user's [`Preferences`]. This module must not know machines, files, the window or the clock.

pub mod day;
mod dimension;
mod number;
mod parse;
mod preferences;
mod quantity;

pub use dimension::{
    Dimension, Distance, DistanceTag, Force, Length, Mass, Pressure, Speed, Temperature, Torque, TorqueTag, Unit,
    Voltage, Volume, every_dimension,
};
pub use number::{NumberError, parse_number, print_number, print_short};
pub use parse::{UnitError, convert, find_unit};
pub use preferences::{Preferences, Shows};
pub use quantity::Quantity;
