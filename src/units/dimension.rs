//! The dimensions and their unit tables. A new unit is one line here.
//!
//! Factors: NIST SP 811 appendix B, exact by definition except where a line says otherwise.

use super::quantity::Quantity;

/// One unit of a dimension: `base = amount * factor + offset`.
#[derive(Debug, PartialEq)]
pub struct Unit {
    /// How it is printed, for example `psi`.
    pub symbol: &'static str,
    /// Other spellings that are accepted, plain: lower case, without blanks, points, middle dots and hyphens.
    pub aliases: &'static [&'static str],
    /// Base units in one of this unit.
    pub factor: f64,
    /// Base units at zero of this unit (temperature only).
    pub offset: f64,
    /// Decimals that a reading in this unit is usually shown with.
    pub decimals: usize,
    /// The ending of a JSON field in this unit, for example `_psi`.
    pub json: &'static str,
}

const fn unit(
    symbol: &'static str,
    aliases: &'static [&'static str],
    factor: f64,
    decimals: usize,
    json: &'static str,
) -> Unit {
    Unit { symbol, aliases, factor, offset: 0.0, decimals, json }
}

/// A kind of quantity with its units; the first unit is the base.
pub trait Dimension: Copy + Clone + std::fmt::Debug + PartialEq + 'static {
    /// What the dimension is called in a message, for example `pressure`.
    const NAME: &'static str;
    /// The units, base unit first.
    const UNITS: &'static [Unit];
    /// An entry that shows how to write one, for example `36 psi`.
    const EXAMPLE: &'static str;
    /// Whether a value below zero can be meant.
    const SIGNED: bool;
}

macro_rules! dimension {
    ($(#[$doc:meta])* $alias:ident, $tag:ident, $name:literal, $example:literal, signed: $signed:literal, [$($unit:expr),+ $(,)?]) => {
        /// The tag type of the dimension; use the quantity alias beside it.
        #[derive(Clone, Copy, Debug, PartialEq)]
        pub struct $tag;
        impl Dimension for $tag {
            const NAME: &'static str = $name;
            const UNITS: &'static [Unit] = &[$($unit),+];
            const EXAMPLE: &'static str = $example;
            const SIGNED: bool = $signed;
        }
        $(#[$doc])*
        pub type $alias = Quantity<$tag>;
    };
}

dimension!(
    /// Gauge or absolute pressure; base kPa.
    Pressure, PressureTag, "pressure", "36 psi", signed: false, [
        unit("kPa", &["kilopascal", "kilopascals"], 1.0, 0, "_kpa"),
        unit("psi", &["lbf/in²", "lbf/in2", "lb/in²", "lb/in2", "psig"], 6.894_757_293_168_361, 1, "_psi"),
        unit("bar", &["bars"], 100.0, 2, "_bar"),
        unit("kgf/cm²", &["kgf/cm2", "kg/cm²", "kg/cm2", "at"], 98.0665, 2, "_kgf_cm2"),
        unit("atm", &[], 101.325, 2, "_atm"),
        unit("Pa", &["pascal", "pascals"], 0.001, 0, "_pa"),
        unit("MPa", &[], 1000.0, 3, "_mpa"),
    ]
);
dimension!(
    /// Length of a part or depth of a groove; base mm.
    Length, LengthTag, "length", "2.5 mm", signed: true, [
        unit("mm", &["millimetre", "millimetres", "millimeter", "millimeters"], 1.0, 1, "_mm"),
        unit("/32 in", &["/32", "/32nds", "/32nd", "32nds", "32nd", "32ndin", "32ndsin", "32ndsofaninch"], 0.793_75, 1, "_32nds"),
        unit("in", &["inch", "inches", "\"", "″", "”", "''"], 25.4, 3, "_in"),
        unit("cm", &["centimetre", "centimetres"], 10.0, 1, "_cm"),
        unit("m", &["metre", "metres", "meter", "meters"], 1000.0, 2, "_m"),
        unit("ft", &["foot", "feet", "′", "'"], 304.8, 2, "_ft"),
        unit("µm", &["um", "micron", "microns"], 0.001, 0, "_um"),
        unit("thou", &["mil"], 0.0254, 0, "_thou"),
    ]
);
dimension!(
    /// Distance travelled; base km.
    Distance, DistanceTag, "distance", "12 000 km", signed: false, [
        unit("km", &["kilometre", "kilometres", "kilometer", "kilometers"], 1.0, 0, "_km"),
        unit("mi", &["mile", "miles"], 1.609_344, 0, "_mi"),
    ]
);
/// Whether nothing can be so cold: below −273.15 °C (definition of the kelvin), by more than the last binary digit of
/// a conversion.
pub(super) fn is_below_absolute_zero(celsius: f64) -> bool {
    celsius < -273.15 - 1e-9
}

dimension!(
    /// Temperature of air or fluid; base °C.
    Temperature, TemperatureTag, "temperature", "20 °C", signed: true, [
        Unit { symbol: "°C", aliases: &["c", "degc", "celsius", "ºc"], factor: 1.0, offset: 0.0, decimals: 0, json: "_c" },
        Unit { symbol: "°F", aliases: &["f", "degf", "fahrenheit", "ºf"], factor: 5.0 / 9.0, offset: -160.0 / 9.0, decimals: 0, json: "_f" },
        Unit { symbol: "K", aliases: &["kelvin"], factor: 1.0, offset: -273.15, decimals: 0, json: "_k" },
    ]
);
dimension!(
    /// Tightening torque; base N·m.
    Torque, TorqueTag, "torque", "65 N·m", signed: false, [
        unit("N·m", &["nm", "newtonmetre", "newtonmetres", "newtonmeter", "newtonmeters"], 1.0, 0, "_nm"),
        unit("lbf·ft", &["lbfft", "ftlbf", "lbft", "ftlb", "lbsft", "ftlbs", "footpound", "footpounds", "poundfoot", "poundfeet"], 1.355_817_948_331_400_4, 0, "_lbf_ft"),
        unit("lbf·in", &["lbfin", "inlbf", "lbin", "inlb", "lbsin", "inlbs", "inchpound", "inchpounds"], 0.112_984_829_027_616_7, 0, "_lbf_in"),
        unit("kgf·m", &["kgfm", "kgm", "mkg", "mkgf"], 9.806_65, 1, "_kgf_m"),
    ]
);
dimension!(
    /// Mass or load; base kg.
    Mass, MassTag, "mass", "210 kg", signed: false, [
        unit("kg", &["kilogram", "kilograms"], 1.0, 0, "_kg"),
        unit("lb", &["lbs", "pound", "pounds"], 0.453_592_37, 0, "_lb"),
        unit("g", &["gram", "grams"], 0.001, 0, "_g"),
    ]
);
dimension!(
    /// Road speed; base km/h.
    Speed, SpeedTag, "speed", "120 km/h", signed: false, [
        unit("km/h", &["kmh", "kph"], 1.0, 0, "_kmh"),
        unit("mph", &["mi/h"], 1.609_344, 0, "_mph"),
        unit("m/s", &["mps"], 3.6, 1, "_m_s"),
    ]
);
dimension!(
    /// Electrical potential; base V.
    Voltage, VoltageTag, "voltage", "12.6 V", signed: false, [
        unit("V", &["volt", "volts"], 1.0, 2, "_v"),
        unit("mV", &["millivolt", "millivolts"], 0.001, 0, "_mv"),
    ]
);
dimension!(
    /// Force; base N.
    Force, ForceTag, "force", "10 lbf", signed: false, [
        unit("N", &["newton", "newtons"], 1.0, 0, "_n"),
        unit("lbf", &["poundforce", "poundsforce"], 4.448_221_615_260_5, 1, "_lbf"),
        unit("kgf", &["kp"], 9.806_65, 1, "_kgf"),
        unit("daN", &[], 10.0, 1, "_dan"),
    ]
);

dimension!(
    /// Volume of a fluid; base litre.
    Volume, VolumeTag, "volume", "0.6 L", signed: false, [
        unit("L", &["l", "litre", "litres", "liter", "liters"], 1.0, 2, "_l"),
        unit("mL", &["millilitre", "millilitres", "milliliter", "milliliters", "cc", "cm³", "cm3"], 0.001, 0, "_ml"),
        unit("US gal", &["gal", "usgallon", "usgallons", "gallon", "gallons"], 3.785_411_784, 2, "_us_gal"),
        unit("imp gal", &["impgallon", "impgallons", "ukgal"], 4.546_09, 2, "_imp_gal"),
        unit("US qt", &["qt", "usquart", "usquarts", "quart", "quarts"], 0.946_352_946, 2, "_us_qt"),
        unit("US fl oz", &["floz", "usfluidounce", "usfluidounces"], 0.029_573_529_562_5, 1, "_us_fl_oz"),
    ]
);

/// Every dimension by name with its units, for converters, help and tests.
pub fn every_dimension() -> Vec<(&'static str, &'static [Unit])> {
    fn row<D: Dimension>() -> (&'static str, &'static [Unit]) {
        (D::NAME, D::UNITS)
    }
    vec![
        row::<PressureTag>(),
        row::<LengthTag>(),
        row::<DistanceTag>(),
        row::<TemperatureTag>(),
        row::<TorqueTag>(),
        row::<MassTag>(),
        row::<SpeedTag>(),
        row::<VoltageTag>(),
        row::<ForceTag>(),
        row::<VolumeTag>(),
    ]
}
