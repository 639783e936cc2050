//! Which units the user likes to see, and how a quantity is shown in them.

use serde::{Deserialize, Serialize};

use super::dimension::{
    Dimension, DistanceTag, ForceTag, LengthTag, MassTag, PressureTag, SpeedTag, TemperatureTag, TorqueTag, Unit,
    VoltageTag,
};
use super::parse::find_unit;
use super::quantity::Quantity;

/// The user's units by symbol. An unknown symbol falls back to the base unit of the dimension.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Preferences {
    /// Tyre pressure: `psi`, `kPa` or `bar`.
    pub pressure: String,
    /// Tread, pads and other small depths: `mm`, `/32 in` or `in`.
    pub depth: String,
    /// Larger lengths: `mm` or `in`.
    pub length: String,
    /// Distance travelled: `km` or `mi`.
    pub distance: String,
    /// Temperature: `°C` or `°F`.
    pub temperature: String,
    /// Torque: `N·m` or `lbf·ft`.
    pub torque: String,
    /// Speed: `km/h` or `mph`.
    pub speed: String,
    /// Mass: `kg` or `lb`.
    pub mass: String,
    /// Whether numbers are shown with a decimal comma.
    pub decimal_comma: bool,
}

impl Default for Preferences {
    fn default() -> Self {
        Self {
            pressure: "bar".into(),
            depth: "mm".into(),
            length: "mm".into(),
            distance: "km".into(),
            temperature: "°C".into(),
            torque: "N·m".into(),
            speed: "km/h".into(),
            mass: "kg".into(),
            decimal_comma: false,
        }
    }
}

/// A dimension that [`Preferences`] knows a unit for.
pub trait Shows: Dimension {
    /// The unit the user likes for this dimension.
    fn preferred(preferences: &Preferences) -> &'static Unit;
}

fn pick<D: Dimension>(symbol: &str) -> &'static Unit {
    find_unit(D::UNITS, symbol).unwrap_or(&D::UNITS[0])
}

macro_rules! shows {
    ($($tag:ty => $field:ident),+ $(,)?) => {
        $(impl Shows for $tag {
            fn preferred(preferences: &Preferences) -> &'static Unit {
                pick::<$tag>(&preferences.$field)
            }
        })+
    };
}
shows!(
    PressureTag => pressure, LengthTag => length, DistanceTag => distance, TemperatureTag => temperature,
    TorqueTag => torque, SpeedTag => speed, MassTag => mass,
);
impl Shows for VoltageTag {
    fn preferred(_: &Preferences) -> &'static Unit {
        &VoltageTag::UNITS[0]
    }
}
impl Shows for ForceTag {
    fn preferred(_: &Preferences) -> &'static Unit {
        &ForceTag::UNITS[0]
    }
}

impl Preferences {
    /// Shows a quantity in the user's unit with its usual decimals: `36.0 psi`.
    pub fn show<D: Shows>(&self, quantity: Quantity<D>) -> String {
        quantity.show_in(D::preferred(self), self.decimal_comma)
    }
    /// Shows a small depth (tread, pad, run-out) in the user's depth unit; thin parts get two decimals in mm.
    pub fn show_depth(&self, depth: Quantity<LengthTag>) -> String {
        let unit = self.depth_unit();
        let thin = unit.symbol == "mm"
            && depth.as_mm().abs() < 10.0
            && (depth.as_mm() * 10.0 - (depth.as_mm() * 10.0).round()).abs() > 1e-6;
        depth.show_with(unit, if thin { 2 } else { unit.decimals }, self.decimal_comma)
    }
    /// The unit for small depths.
    pub fn depth_unit(&self) -> &'static Unit {
        pick::<LengthTag>(&self.depth)
    }
    /// The unit the user likes for a dimension.
    pub fn unit<D: Shows>(&self) -> &'static Unit {
        D::preferred(self)
    }
}

#[cfg(test)]
mod tests {
    use super::super::{Length, Pressure};
    use super::*;

    #[test]
    fn a_quantity_is_shown_in_the_units_the_user_likes() {
        let us = Preferences { pressure: "psi".into(), depth: "/32 in".into(), ..Preferences::default() };
        assert_eq!(us.show(Pressure::bar(2.5)), "36.3 psi");
        assert_eq!(us.show_depth(Length::mm(3.175)), "4/32 in");
        let eu = Preferences { decimal_comma: true, ..Preferences::default() };
        assert_eq!(eu.show(Pressure::psi(36.0)), "2,48 bar");
        assert_eq!(eu.show_depth(Length::mm(2.5)), "2,5 mm");
        assert_eq!(eu.show_depth(Length::mm(0.05)), "0,05 mm");
    }
}
