//! A place on a wheel as it is typed: a clock time, a distance from the valve, or a spoke.
//!
//! `4:30` is read from the side one stands on; `707 mm ahead`, `-50 mm`, `2 in behind` go along the crown, the rim or
//! the disc as the zone says; `spoke 14` (or `14` where the zone is the spokes) counts from the valve clockwise as seen
//! from the right. Pure.

use std::f64::consts::PI;

use crate::clock::{Arc, ClockTime, Side, Spot};
use crate::inspection::{Along, Zone};
use crate::machine::Wheel;
use crate::units::Length;

/// The circumference in mm along which distances round a zone are measured; none where a size is not known.
pub fn circumference_mm(wheel: &Wheel, zone: Zone) -> Option<f64> {
    match zone.along() {
        Along::Crown => wheel.circumference_mm(),
        Along::Rim => wheel.tyre.as_ref().map(|t| t.marking.size.rim_inch * 25.4 * PI),
        Along::Disc => wheel.disc_diameter.map(|d| d.as_mm() * PI),
    }
}

/// Reads a typed place. The error says what was expected, what was found and the way out.
pub fn read(text: &str, side: Side, zone: Zone, wheel: &Wheel) -> Result<Spot, String> {
    let typed = text.trim().to_lowercase();
    if typed.is_empty() {
        return Err("expected a place, found nothing: type 4:30, 707 mm ahead, -50 mm or spoke 14".into());
    }
    if let Some(number) = typed.strip_prefix("spoke") {
        return spoke(number, wheel);
    }
    if typed.contains(':') {
        return ClockTime::parse(&typed).map(|t| Spot::at(t, side)).map_err(|e| e.to_string());
    }
    if typed.bytes().all(|b| b.is_ascii_digit()) {
        return if zone == Zone::Spoke {
            spoke(&typed, wheel)
        } else {
            ClockTime::parse(&typed).map(|t| Spot::at(t, side)).map_err(|e| e.to_string())
        };
    }
    distance(&typed, zone, wheel)
}

/// The zone that a typed place is in: who types a spoke means the spokes, whatever zone is chosen beside it.
pub fn zone_of(text: &str, zone: Zone) -> Zone {
    if text.trim().to_lowercase().starts_with("spoke") { Zone::Spoke } else { zone }
}

fn spoke(number: &str, wheel: &Wheel) -> Result<Spot, String> {
    let count = wheel.rim.kind.spokes().ok_or_else(|| {
        "expected a wheel with wire spokes, found one without: type a clock position such as 4:30".to_owned()
    })?;
    let number: u32 = number.trim().trim_start_matches("no").trim().parse().map_err(|_| {
        format!(
            "expected the number of a spoke from 1 to {}, found \"{}\": type it as in spoke 14",
            count.get(),
            number.trim()
        )
    })?;
    count.spot(number).map_err(|e| e.to_string())
}

fn distance(typed: &str, zone: Zone, wheel: &Wheel) -> Result<Spot, String> {
    let (figure, sign) = match () {
        () if typed.ends_with("behind") => (typed.trim_end_matches("behind"), -1.0),
        () if typed.ends_with("ahead") => (typed.trim_end_matches("ahead"), 1.0),
        () => (typed, 1.0),
    };
    let length = Length::parse(figure.trim(), None)
        .map_err(|e| format!("{e}; a place is typed as 4:30, 707 mm ahead, -50 mm or spoke 14"))?;
    let round = circumference_mm(wheel, zone).ok_or_else(|| match zone.along() {
        Along::Disc => "expected the diameter of the disc, found none: add it to the machine, or type a clock position such as 4:30".to_owned(),
        _ => "expected the tyre's size, found none: add it to the machine, or type a clock position such as 4:30".to_owned(),
    })?;
    Arc::spot_ahead(length.as_mm() * sign, round).ok_or_else(|| {
        format!(
            "expected at most one turn of {round:.0} mm, found {}: measure from the valve the shorter way",
            figure.trim()
        )
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::machine::{Rim, RimKind, RimMaterial, Tyre, WheelPosition};
    use crate::tyre::TyreMarking;

    fn wheel() -> Wheel {
        let mut wheel = Wheel::bare(WheelPosition::Front);
        wheel.rim = Rim { kind: RimKind::WireSpoked { spokes: 36, first_flange: None }, material: RimMaterial::Steel };
        wheel.tyre = Some(Tyre::new(TyreMarking::try_from("120/70-17".to_owned()).expect("a metric size")));
        wheel
    }

    fn degrees(text: &str, side: Side, zone: Zone) -> f64 {
        read(text, side, zone, &wheel()).expect(text).degrees()
    }

    #[test]
    fn a_place_is_read_as_a_clock_time_a_distance_or_a_spoke() {
        // House rules 12, 15: 4:30 is 135°; 707 mm of the 1885 mm of a 120/70-17 is 135° to the nearest half degree;
        // of 36 spokes number 14 stands at 13.5 × 10° = 135°.
        assert_eq!(degrees("4:30", Side::Right, Zone::Centre), 135.0);
        assert_eq!(degrees("4:30", Side::Left, Zone::Centre), 225.0);
        assert_eq!(degrees("4", Side::Right, Zone::Centre), 120.0);
        assert!((degrees("707 mm ahead", Side::Left, Zone::Centre) - 135.0).abs() < 0.25);
        assert!((degrees("1178 mm behind", Side::Left, Zone::Centre) - 135.0).abs() < 0.25);
        assert!((degrees("-50 mm", Side::Right, Zone::Centre) - (360.0 - 50.0 / 1885.0 * 360.0)).abs() < 0.01);
        assert_eq!(degrees("spoke 14", Side::Left, Zone::Centre), 135.0);
        assert_eq!(degrees("14", Side::Right, Zone::Spoke), 135.0);
        // A 17-inch rim is 17 × 25.4 × π = 1356.5 mm round: a quarter is 339.1 mm.
        assert!((degrees("339.1 mm", Side::Right, Zone::RimWell) - 90.0).abs() < 0.05);
    }

    #[test]
    fn what_is_no_place_says_the_way_out() {
        for (text, words) in [
            ("", "found nothing"),
            ("13:00", "0:00 to 12:00"),
            ("spoke 99", "1 to 36"),
            ("50", "0:00 to 12:00"),
            ("50 psi", "4:30"),
            ("9000 mm", "one turn"),
            ("near the top", "4:30"),
        ] {
            let message = read(text, Side::Right, Zone::Centre, &wheel()).expect_err(text);
            assert!(message.contains(words), "{text}: {message}");
        }
        let bare = Wheel::bare(WheelPosition::Rear);
        assert!(read("50 mm", Side::Right, Zone::Centre, &bare).expect_err("no tyre").contains("tyre's size"));
        assert!(read("spoke 3", Side::Right, Zone::Spoke, &bare).expect_err("cast").contains("wire spokes"));
        assert!(read("50 mm", Side::Right, Zone::Disc(Side::Left), &bare).expect_err("disc").contains("diameter"));
    }
}
