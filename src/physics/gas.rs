//! The air in a tyre: what a sealed tyre reads at another temperature or altitude.
//!
//! It explains and compares readings; it never excuses one (house rule 1). Gay-Lussac's law on absolute pressure, and
//! the standard atmosphere for altitude (ISO 2533, ICAO Doc 7488).

use thiserror::Error;

use crate::units::{Length, Pressure, Temperature};

/// Pressure of the standard atmosphere at sea level in kPa (ISO 2533).
pub const SEA_LEVEL_KPA: f64 = 101.325;

/// Where and how warm a tyre is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Air {
    /// Temperature of the air in the tyre; for a cold tyre that of the air round it.
    pub temperature: Temperature,
    /// Pressure of the air round it.
    pub outside: Pressure,
}

impl Air {
    /// At sea level.
    pub fn at_sea_level(temperature: Temperature) -> Self {
        Self { temperature, outside: Pressure::kpa(SEA_LEVEL_KPA) }
    }
}

/// Why no pressure can be worked out.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum GasError {
    /// No air is as cold or as hot as that.
    #[error("expected a temperature from −90 to 200 °C, found {0:.1} °C: check the figure and its unit")]
    Temperature(f64),
    /// Outside the lower layer of the standard atmosphere.
    #[error("expected an altitude from −500 to 11 000 m, found {0:.0} m: check the figure and its unit")]
    Altitude(f64),
    /// The tyre would hold less than the air outside.
    #[error("a tyre set so low would be empty in those conditions: expected a reading above zero, found {0:.1} kPa")]
    Empty(f64),
}

/// Pressure of the air outside at an altitude: 101.325·(1 − 0.0065·h/288.15)^5.25588 kPa (ISO 2533), for geopotential
/// heights from −500 to 11 000 m.
pub fn outside_at(altitude: Length) -> Result<Pressure, GasError> {
    let metres = altitude.as_metres();
    if !(-500.0..=11_000.0).contains(&metres) {
        return Err(GasError::Altitude(metres));
    }
    Ok(Pressure::kpa(SEA_LEVEL_KPA * (1.0 - 0.0065 * metres / 288.15).powf(5.255_88)))
}

/// What a sealed tyre that read `gauge` in one air reads in another: (p₁ + a₁)·T₂/T₁ − a₂, temperatures in kelvin.
/// The result is in the unit of `gauge`.
pub fn reads(gauge: Pressure, then: Air, now: Air) -> Result<Pressure, GasError> {
    for temperature in [then.temperature, now.temperature] {
        // Far outside any weather or any tyre, and safely above absolute zero.
        if !(-90.0..=200.0).contains(&temperature.as_celsius()) {
            return Err(GasError::Temperature(temperature.as_celsius()));
        }
    }
    let absolute = gauge.as_kpa() + then.outside.as_kpa();
    let result = absolute * now.temperature.as_kelvin() / then.temperature.as_kelvin() - now.outside.as_kpa();
    if result < 0.0 {
        return Err(GasError::Empty(result));
    }
    Ok(Pressure::kpa(result).to_unit(gauge.unit()))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(celsius: f64) -> Air {
        Air::at_sea_level(Temperature::celsius(celsius))
    }

    #[test]
    fn warmth_changes_the_reading_by_absolute_pressure() {
        // Gay-Lussac on absolute pressure, re-run with a reference library; the gauge ratio would give 258.53.
        for (to, expected) in [(30.0, 261.984), (0.0, 226.031), (60.0, 297.938)] {
            let found = reads(Pressure::kpa(250.0), at(20.0), at(to)).expect("in range").as_kpa();
            assert!((found - expected).abs() < 0.001, "{to}: {found}");
        }
        // 36 psi set at 68 °F, by hand on absolute pressure.
        for (set, to, expected) in [(36.0, 78.0, 36.9608), (42.0, 158.0, 51.6701)] {
            let now = Air::at_sea_level(Temperature::fahrenheit(to));
            let then = Air::at_sea_level(Temperature::fahrenheit(68.0));
            let found = reads(Pressure::psi(set), then, now).expect("in range");
            assert_eq!(found.unit().symbol, "psi", "the answer speaks the gauge's unit");
            assert!((found.as_psi() - expected).abs() < 0.001, "{set}: {}", found.as_psi());
        }
        // House rule 1: 36 psi set at 68 °F reads 33.4 at 41 °F.
        let cold = Air::at_sea_level(Temperature::fahrenheit(41.0));
        let warm = Air::at_sea_level(Temperature::fahrenheit(68.0));
        let found = reads(Pressure::psi(36.0), warm, cold).expect("in range").as_psi();
        assert!((found - 33.4).abs() < 0.05, "{found}");
    }

    #[test]
    fn the_standard_atmosphere_agrees_with_its_table() {
        // ISO 2533, geopotential height.
        for (metres, kpa) in [
            (0.0, 101.325),
            (500.0, 95.4609),
            (1000.0, 89.8748),
            (1500.0, 84.5563),
            (2000.0, 79.4955),
            (3000.0, 70.109),
        ] {
            let found = outside_at(Length::metres(metres)).expect("in range").as_kpa();
            assert!((found - kpa).abs() < 0.001, "{metres} m: {found}");
        }
    }

    #[test]
    fn a_sealed_tyre_reads_more_on_the_mountain() {
        // Law of the gas and ISO 2533 together, by hand.
        for (metres, expected) in [(2000.0, 271.83), (1000.0, 261.45)] {
            let up = Air {
                temperature: Temperature::celsius(20.0),
                outside: outside_at(Length::metres(metres)).expect("in"),
            };
            let found = reads(Pressure::kpa(250.0), at(20.0), up).expect("in range").as_kpa();
            assert!((found - expected).abs() < 0.01, "{metres} m: {found}");
        }
    }

    #[test]
    fn figures_that_make_no_sense_say_what_was_expected() {
        assert!(reads(Pressure::kpa(250.0), at(-300.0), at(20.0)).expect_err("too cold").to_string().contains("−90"));
        assert!(outside_at(Length::metres(12_000.0)).expect_err("too high").to_string().contains("11 000"));
        assert!(reads(Pressure::kpa(1.0), at(80.0), at(-40.0)).expect_err("empty").to_string().contains("empty"));
    }
}
