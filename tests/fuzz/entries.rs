//! What is typed or stands in a field: sizes of tyres, clock positions, figures with units, numbers of frames and tyres.

use chrono::NaiveDate;
use stemclock::clock::{ClockTime, Side, Spot};
use stemclock::reckon::vin_remark;
use stemclock::tyre::{SpeedSymbol, TinDate, TyreMarking, TyreSize};
use stemclock::units::{
    Dimension, Distance, Length, Mass, Pressure, Quantity, Temperature, Torque, convert, parse_number,
};

use crate::driver::Target;

fn entry(
    name: &'static str,
    seeds: &[&str],
    words: &'static [&'static str],
    run: impl Fn(&str) -> String + 'static,
) -> Target {
    Target {
        name,
        seeds: seeds.iter().map(|seed| seed.as_bytes().to_vec()).collect(),
        words,
        most: 4096,
        rounds: 3000,
        run: Box::new(move |bytes| run(&String::from_utf8_lossy(bytes))),
    }
}

/// What came of a reading: the way it prints, or the refusal, which must say what was expected.
fn came<T: ToString, E: ToString>(read: &Result<T, E>) -> String {
    match read {
        // How it prints, figures apart, is what came of it.
        Ok(value) => value.to_string().chars().filter(|c| !c.is_numeric()).take(12).collect(),
        Err(error) => {
            let error = error.to_string();
            assert!(error.contains("expected") || error.contains(": "), "a refusal that helps nobody: {error}");
            error.chars().take(30).collect()
        }
    }
}

pub mod size {
    use super::*;

    pub fn target() -> Target {
        entry(
            "size",
            &[
                "120/70 ZR17 M/C 58W",
                "MT90B16",
                "4.00-18 64S",
                "130/90-16 M/C 73H TL",
                "3.25 - 19 54P",
                "80/100-21",
                "180/55ZR17(73W)",
            ],
            &["ZR", "R", "B", "-", "M/C", "TT", "TL", "/", "(", ")", "reinf", "MT90", "17", "200", "W", "Z"],
            |text| {
                let marking = TyreMarking::parse(text);
                if let Ok(marking) = &marking {
                    let shown = marking.to_string();
                    let again = TyreMarking::parse(&shown).map(|m| m.to_string());
                    assert_eq!(again.as_deref(), Ok(shown.as_str()), "{text:?} does not come back");
                }
                let size = TyreSize::parse(text);
                let speed = SpeedSymbol::parse(text);
                assert!(speed.as_ref().map_or(true, |symbol| symbol.kmh() > 0.0), "{text:?}");
                format!("{} {} {}", came(&marking), size.is_ok(), speed.is_ok())
            },
        )
    }
}

pub mod clock {
    use super::*;

    pub fn target() -> Target {
        entry(
            "clock",
            &["4:30", "12:00", "0:00", "9", "04:05", "4:30 right", "left", "275.5", "-90"],
            &[":", "12", "00", "59", "right", "left", " ", "-"],
            |text| {
                let time = ClockTime::parse(text);
                if let Ok(time) = time {
                    assert_eq!(ClockTime::parse(&time.to_string()), Ok(time), "{text:?} does not come back");
                    for side in [Side::Right, Side::Left] {
                        assert_eq!(Spot::at(time, side).time(side), time, "{text:?} from {side:?}");
                    }
                }
                if let Some(spot) = text.trim().parse().ok().and_then(Spot::from_degrees) {
                    assert!((0.0..360.0).contains(&spot.degrees()), "{text:?}: {spot:?}");
                    let (right, left) = (spot.time(Side::Right), spot.time(Side::Left));
                    // From the other side the clock runs the other way; half a minute rounds up on both.
                    let sum = (right.degrees() + left.degrees()).rem_euclid(360.0);
                    assert!(sum <= 0.5 || sum >= 359.5, "{text:?}: {right} and {left}");
                }
                let side: Result<Side, String> = text.parse();
                format!("{} {}", came(&time), side.is_ok())
            },
        )
    }
}

pub mod units {
    use super::*;

    /// What was read is finite in every unit and prints as text that reads the same.
    fn one<D: Dimension>(text: &str, like: &Quantity<D>) -> bool {
        let Ok(read) = Quantity::<D>::parse(text, Some(like.unit())) else { return false };
        assert!(read.base().is_finite() && read.amount().is_finite(), "{text:?}: {}", read.amount());
        for unit in D::UNITS {
            assert!(read.amount_in(unit).is_finite(), "{text:?} in {}", unit.symbol);
        }
        let again = read.to_string().parse::<Quantity<D>>();
        let near = |a: &Quantity<D>| (a.amount() - read.amount()).abs() <= 1e-9 * read.amount().abs().max(1.0);
        assert!(again.as_ref().is_ok_and(near), "{text:?}: {} does not come back", read);
        true
    }

    pub fn target() -> Target {
        entry(
            "units",
            &[
                "36 psi",
                "2,5 mm",
                "4/32 in",
                "2½\"",
                "-40 °F",
                "68 F",
                "1.234,5 km",
                "12 N·m",
                "9 lbf ft",
                "1e3 kPa",
                "3 1/8 in",
                "200 kg",
                "2.5 bar",
            ],
            &[
                "psi", "kPa", "bar", "mm", "in", "\"", "/32", "°C", "°F", "km", "mi", "N·m", "lbf·ft", "kg", "lb",
                "1/2", "½", ",", ".", "e", "-",
            ],
            |text| {
                let number = parse_number(text);
                if let Ok(number) = number {
                    assert!(number.is_finite(), "{text:?}");
                }
                let read = [
                    one(text, &Pressure::kpa(0.0)),
                    one(text, &Length::mm(0.0)),
                    one(text, &Distance::km(0.0)),
                    one(text, &Temperature::celsius(0.0)),
                    one(text, &Torque::newton_metres(0.0)),
                    one(text, &Mass::kg(0.0)),
                ];
                for unit in ["kPa", "mm", "°F", "", "/32 in"] {
                    if let Ok((from, _, to, _)) = convert(text, unit) {
                        assert!(from.is_finite() && to.is_finite(), "{text:?} in {unit}: {to}");
                    }
                }
                let pressure = Pressure::parse(text, None);
                format!("{} {read:?} {}", came(&number), came(&pressure))
            },
        )
    }
}

pub mod vin {
    use super::*;

    /// The ninth character by 49 CFR 565.15(c), worked out from its tables without the program.
    fn digit(vin: &[u8]) -> Option<u8> {
        let weights = [8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2];
        let value = |c: u8| {
            Some(match c {
                b'0'..=b'9' => u32::from(c - b'0'),
                b'A'..=b'H' => u32::from(c - b'A') + 1,
                b'J'..=b'N' => u32::from(c - b'J') + 1,
                b'P' => 7,
                b'R' => 9,
                b'S'..=b'Z' => u32::from(c - b'S') + 2,
                _ => return None,
            })
        };
        let values: Option<Vec<u32>> = vin.iter().map(|c| value(c.to_ascii_uppercase())).collect();
        let values = values.filter(|values| values.len() == weights.len())?;
        let rest = values.iter().zip(weights).map(|(v, w)| v * w).sum::<u32>() % 11;
        Some(if rest == 10 { b'X' } else { b'0' + u8::try_from(rest).ok()? })
    }

    pub fn target() -> Target {
        entry(
            "vin",
            // The example of a check digit that books print, and numbers of our own.
            &[
                "1M8GDM9AXKP042788",
                "11111111111111111",
                "ZZZ12345678901234",
                "AB-1234",
                "1m8gdm9axkp042788",
                "1M8GDM9A KP042788",
            ],
            &["I", "O", "Q", "X", "0", "Z", "U", " ", "-"],
            |text| {
                let remark = vin_remark(text);
                let plain: String = text.chars().filter(|c| !c.is_whitespace()).collect();
                if let Some(wanted) = digit(plain.as_bytes()) {
                    let is_right = plain.as_bytes()[8].to_ascii_uppercase() == wanted;
                    assert_eq!(remark.is_none(), is_right, "{text:?}: {remark:?}");
                }
                let remark = remark.unwrap_or_default();
                assert!(remark.len() < 1000 + 4 * text.len(), "{remark}");
                remark.chars().take(80).collect()
            },
        )
    }
}

pub mod tin {
    use super::*;

    pub fn target() -> Target {
        entry(
            "tin",
            &["4819", "DOT XX XX 4819", "DOT 4B9A 129", "0100", "5399", "DOT 1J7 XYZ 0203"],
            &["DOT", "53", "00", "19", " "],
            |text| {
                let read = TinDate::parse(text);
                if let Ok(code) = read {
                    assert!((1..=53).contains(&code.week()), "{text:?}");
                    assert_eq!(TinDate::parse(&code.to_string()), Ok(code), "{text:?} does not come back");
                    let made = code.made().unwrap();
                    let years = [1980, 2101].map(|year| NaiveDate::from_ymd_opt(year, 1, 1).unwrap());
                    assert!(years[0] <= made && made < years[1], "{text:?}: {made}");
                    assert!(code.age_months(made) == Some(0), "{text:?}");
                }
                came(&read)
            },
        )
    }
}
