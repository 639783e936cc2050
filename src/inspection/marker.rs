//! A marker in words: which wheel, which clock position from which side, which zone, how far from the valve.
//!
//! The window, the report and the command line say a place by this one sentence, so that anyone can put a finger on
//! it again. It must not know rules, drawings or files.

use std::f64::consts::PI;

use super::{Along, Zone};
use crate::clock::{Arc, Side, Spot};
use crate::machine::Wheel;
use crate::units::{Length, Preferences, Quantity, Shows, Unit};

/// A place on a wheel in words, distances in millimetres. `spot` may be none: the zone all round.
///
/// `front · 4:30 from the right · right shoulder · 707 mm ahead of the valve along the crown (1178 mm behind it)`
pub fn marker_words(wheel: &Wheel, zone: Zone, spot: impl Into<Option<Spot>>, side: Side) -> String {
    marker_words_in(wheel, zone, spot, side, &Preferences::default())
}

/// The same as [`marker_words`] with distances in the unit that the user likes for lengths.
pub fn marker_words_in(
    wheel: &Wheel,
    zone: Zone,
    spot: impl Into<Option<Spot>>,
    side: Side,
    units: &Preferences,
) -> String {
    let spot = spot.into();
    let mut parts = vec![wheel.position.word().to_owned()];
    match spot {
        Some(spot) => {
            parts.push(clock_words(spot, side));
            parts.push(zone_words(wheel, zone, spot, side));
            parts.push(distance_words(wheel, zone, spot, units));
        }
        None if matches!(zone, Zone::Hub | Zone::Disc(_)) => parts.push(zone.words()),
        None => parts.extend([zone.words(), "all round".to_owned()]),
    }
    parts.retain(|part| !part.is_empty());
    parts.join(" · ")
}

/// A clock position with its side: `4:30 from the right`.
pub fn clock_words(spot: Spot, side: Side) -> String {
    format!("{} from the {}", spot.time(side), side.word())
}

/// The zone; a spoke with its number, or the two that are equally near, and the flange where it is known.
fn zone_words(wheel: &Wheel, zone: Zone, spot: Spot, side: Side) -> String {
    let (Zone::Spoke, Some(spokes)) = (zone, wheel.rim.kind.spokes()) else {
        return zone.words();
    };
    // Numbers run clockwise from the right (house rule 15), so whoever stands at the left counts the other way.
    let way = match side {
        Side::Right => "clockwise",
        Side::Left => "anticlockwise",
    };
    let flange = |number| wheel.rim.kind.flange(number).map(Side::word);
    let of = spokes.get();
    match spokes.nearest(spot) {
        (one, None) => {
            let flange = flange(one).map(|side| format!(", {side} flange")).unwrap_or_default();
            format!("spoke {one} of {of}, counted {way} from the valve{flange}")
        }
        (one, Some(two)) => {
            let flanges = flange(one)
                .zip(flange(two))
                .map(|(first, second)| format!(" ({one} {first} flange, {two} {second} flange)"))
                .unwrap_or_default();
            format!("spokes {one} and {two} of {of}, counted {way} from the valve{flanges}")
        }
    }
}

/// How far from the valve, both ways, and along what; or why no distance can be said.
fn distance_words(wheel: &Wheel, zone: Zone, spot: Spot, units: &Preferences) -> String {
    if zone == Zone::Hub {
        // A hub has no circumference that anyone measures along.
        return String::new();
    }
    if spot.time(Side::Right) == crate::clock::ClockTime::TWELVE {
        return "at the valve".into();
    }
    let rim_inch = wheel.tyre.as_ref().map(|tyre| tyre.marking.size.rim_inch);
    let (circumference, along, missing) = match zone.along() {
        Along::Crown => (wheel.circumference_mm(), "along the crown".to_owned(), "the tyre size is not recorded"),
        Along::Rim => (
            rim_inch.map(|inch| PI * inch * 25.4),
            format!("along the rim ({} in × 25.4 mm)", rim_inch.unwrap_or_default()),
            "the rim size is not recorded",
        ),
        Along::Disc => {
            let across = wheel.disc_diameter.filter(|d| d.as_mm() > 0.0);
            (
                across.map(|d| PI * d.as_mm()),
                across
                    .map(|d| format!("along the edge of the disc ({} across)", show_length(d.as_mm(), units)))
                    .unwrap_or_default(),
                "the disc's diameter is not recorded",
            )
        }
    };
    let Some(circumference) = circumference else {
        return format!("no distance, {missing}");
    };
    let arc = Arc::of(spot, circumference);
    let show = |mm| show_length(mm, units);
    match zone.along() {
        Along::Crown => {
            format!("{} ahead of the valve {along} ({} behind it)", show(arc.ahead_mm), show(arc.behind_mm))
        }
        Along::Rim | Along::Disc => {
            format!("{} ahead of the valve {along}, {} behind it", show(arc.ahead_mm), show(arc.behind_mm))
        }
    }
}

/// A length round a wheel: whole millimetres or tenths of an inch, for nobody lays a tape round a tyre more finely.
pub(crate) fn show_length(mm: f64, units: &Preferences) -> String {
    let length = Length::mm(mm);
    let unit = preferred(length, units);
    let decimals = if unit.symbol == "mm" { 0 } else { unit.decimals.min(1) };
    length.show_with(unit, decimals, units.decimal_comma)
}

/// The unit that the user likes for the dimension of a quantity.
fn preferred<D: Shows>(_: Quantity<D>, units: &Preferences) -> &'static Unit {
    D::preferred(units)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::clock::ClockTime;
    use crate::machine::{RimKind, Tyre, WheelPosition};
    use crate::tyre::TyreMarking;

    fn wheel(size: &str) -> Wheel {
        let mut wheel = Wheel::bare(WheelPosition::Front);
        wheel.tyre = Some(Tyre::new(TyreMarking::parse(size).expect("a tyre size")));
        wheel
    }

    fn at(time: &str) -> Spot {
        Spot::at(ClockTime::parse(time).expect("a clock position"), Side::Right)
    }

    #[test]
    fn the_marker_reads_as_the_house_rules_say() {
        // House rule 12, word for word.
        assert_eq!(
            marker_words(&wheel("120/70-17"), Zone::Shoulder(Side::Right), at("4:30"), Side::Right),
            "front · 4:30 from the right · right shoulder · 707 mm ahead of the valve along the crown (1178 mm behind it)"
        );
    }

    #[test]
    fn the_same_spot_from_the_left_keeps_its_zone_and_its_distance() {
        assert_eq!(
            marker_words(&wheel("120/70-17"), Zone::Shoulder(Side::Right), at("4:30"), Side::Left),
            "front · 7:30 from the left · right shoulder · 707 mm ahead of the valve along the crown (1178 mm behind it)"
        );
    }

    #[test]
    fn a_distance_on_the_rim_says_how_the_rim_is_measured() {
        // 17 × 25.4 × π = 1356.5 mm; 4:30 is 135/360 of it: 508.7 mm, and 847.8 mm the other way.
        assert_eq!(
            marker_words(&wheel("120/70-17"), Zone::RimFlange(Side::Left), at("4:30"), Side::Right),
            "front · 4:30 from the right · left rim flange · 509 mm ahead of the valve along the rim (17 in × 25.4 mm), 848 mm behind it"
        );
    }

    #[test]
    fn a_tie_between_spokes_names_both_with_their_flanges() {
        // House rule 15: 40 spokes at 4:30 lie between 15 and 16; 36 spokes: 14.
        let mut wheel = wheel("3.25-19");
        wheel.rim.kind = RimKind::WireSpoked { spokes: 40, first_flange: Some(Side::Left) };
        let words = marker_words(&wheel, Zone::Spoke, at("4:30"), Side::Right);
        assert!(
            words.contains(
                "spokes 15 and 16 of 40, counted clockwise from the valve (15 left flange, 16 right flange) · "
            ),
            "{words}"
        );
        assert!(words.contains("along the rim (19 in × 25.4 mm)"), "{words}");
        wheel.rim.kind = RimKind::WireSpoked { spokes: 36, first_flange: None };
        let words = marker_words(&wheel, Zone::Spoke, at("4:30"), Side::Left);
        assert!(
            words.contains("7:30 from the left · spoke 14 of 36, counted anticlockwise from the valve · "),
            "{words}"
        );
    }

    #[test]
    fn what_is_not_recorded_gives_no_distance_and_says_so() {
        let bare = Wheel::bare(WheelPosition::Rear);
        for (zone, words) in [
            (
                Zone::Centre,
                "rear · 4:30 from the right · centre of the tread · no distance, the tyre size is not recorded",
            ),
            (Zone::RimWell, "rear · 4:30 from the right · rim well · no distance, the rim size is not recorded"),
            (
                Zone::Disc(Side::Left),
                "rear · 4:30 from the right · left disc · no distance, the disc's diameter is not recorded",
            ),
            (Zone::Hub, "rear · 4:30 from the right · hub"),
        ] {
            assert_eq!(marker_words(&bare, zone, at("4:30"), Side::Right), words);
        }
    }

    #[test]
    fn a_disc_is_measured_round_its_own_edge() {
        // 320 × π × 135/360 = 377.0 mm; the rest of 1005.3 is 628.3.
        let mut wheel = wheel("120/70-17");
        wheel.disc_diameter = Some(Length::mm(320.0));
        let words = marker_words(&wheel, Zone::Disc(Side::Right), at("4:30"), Side::Right);
        assert!(words.contains("377 mm ahead of the valve along the edge of the disc (320"), "{words}");
        assert!(words.ends_with("628 mm behind it"), "{words}");
    }

    #[test]
    fn at_the_valve_and_all_round_need_no_distance() {
        let wheel = wheel("120/70-17");
        assert_eq!(
            marker_words(&wheel, Zone::Centre, Spot::VALVE, Side::Left),
            "front · 12:00 from the left · centre of the tread · at the valve"
        );
        assert_eq!(marker_words(&wheel, Zone::Centre, None, Side::Left), "front · centre of the tread · all round");
        assert_eq!(marker_words(&wheel, Zone::Hub, None, Side::Left), "front · hub");
    }

    #[test]
    fn distances_follow_the_users_unit() {
        // 706.6 mm = 27.8 in, 1177.7 mm = 46.4 in.
        let units = Preferences { length: "in".into(), ..Preferences::default() };
        let words = marker_words_in(&wheel("120/70-17"), Zone::Centre, at("4:30"), Side::Right, &units);
        assert!(words.contains("27.8") && words.contains("46.4") && !words.contains("mm"), "{words}");
    }
}
