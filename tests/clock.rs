//! The clock: properties that must hold for every spot, and the worked figures of the house rules.
#![allow(clippy::unwrap_used, reason = "a test stops at the first surprise")]

use proptest::prelude::*;
use stemclock::clock::{Arc, ClockTime, Parked, Side, SpokeCount, Spot};

fn any_spot() -> impl Strategy<Value = Spot> {
    (0.0..360.0f64).prop_map(|d| Spot::from_degrees(d).unwrap())
}

fn any_minute() -> impl Strategy<Value = ClockTime> {
    (0u16..720).prop_map(|m| ClockTime::parse(&format!("{}:{:02}", m / 60, m % 60)).unwrap())
}

proptest! {
    #[test]
    fn a_mirror_there_and_back_is_the_same_spot(spot in any_spot()) {
        let left = spot.degrees_from(Side::Left);
        let back = Spot::from_side_degrees(left, Side::Left);
        prop_assert!(spot.apart(back) < 1e-9);
    }

    #[test]
    fn the_two_sides_add_up_to_a_full_turn(time in any_minute()) {
        let spot = Spot::at(time, Side::Right);
        let sum = spot.degrees_from(Side::Right) + spot.degrees_from(Side::Left);
        prop_assert!(sum == 0.0 || (sum - 360.0).abs() < 1e-9);
    }

    #[test]
    fn a_clock_minute_read_from_a_side_comes_back_to_the_minute(time in any_minute(), right in any::<bool>()) {
        let side = if right { Side::Right } else { Side::Left };
        prop_assert_eq!(Spot::at(time, side).time(side), time);
    }

    #[test]
    fn both_ways_round_add_up_to_the_circumference(spot in any_spot(), circumference in 500.0..3000.0f64) {
        let arc = Arc::of(spot, circumference);
        prop_assert!((arc.ahead_mm + arc.behind_mm - circumference).abs() < 1e-6);
        let back = Arc::spot_ahead(arc.ahead_mm, circumference).unwrap();
        prop_assert!(spot.apart(back) < 1e-6);
        let behind = Arc::spot_ahead(-arc.behind_mm, circumference).unwrap();
        prop_assert!(spot.apart(behind) < 1e-6);
    }

    #[test]
    fn every_spoke_is_nearest_to_its_own_place(count in 2u32..=120, pick in 0.0..1.0f64) {
        let spokes = SpokeCount::new(count).unwrap();
        let number = (pick * f64::from(count)) as u32 + 1;
        prop_assert_eq!(spokes.nearest(spokes.spot(number).unwrap()), (number as u16, None));
    }

    #[test]
    fn rolling_to_the_top_is_one_turn_both_ways(spot in any_spot(), valve in any_spot()) {
        let roll = Parked::from_spot(valve).roll_to_top(spot, 1884.0);
        let sum = roll.forward_mm + roll.back_mm;
        prop_assert!(sum.abs() < 1e-6 || (sum - 1884.0).abs() < 1e-6);
    }
}

#[test]
fn twelve_and_six_are_the_same_from_both_sides_and_three_is_nine() {
    for (right, left) in [("12:00", "12:00"), ("6:00", "6:00"), ("3:00", "9:00"), ("4:30", "7:30"), ("1:15", "10:45")] {
        let spot = Spot::at(ClockTime::parse(right).unwrap(), Side::Right);
        assert_eq!(spot.time(Side::Left).to_string(), left);
    }
}

#[test]
fn four_thirty_on_a_120_70_17_is_707_mm_ahead() {
    // House rule 12; circumference 1884.3 mm.
    let arc = Arc::of(Spot::at(ClockTime::parse("4:30").unwrap(), Side::Right), 1884.3);
    assert_eq!((arc.ahead_mm.round(), arc.behind_mm.round()), (707.0, 1178.0));
}

#[test]
fn a_tie_between_spokes_names_both() {
    // House rule 15: 40 spokes at 4:30 lie between 15 and 16; 36 spokes: 14.
    let spot = Spot::at(ClockTime::parse("4:30").unwrap(), Side::Right);
    assert_eq!(SpokeCount::new(40).unwrap().nearest(spot), (15, Some(16)));
    assert_eq!(SpokeCount::new(36).unwrap().nearest(spot), (14, None));
    assert_eq!(SpokeCount::new(36).unwrap().nearest(Spot::VALVE), (36, Some(1)));
}

#[test]
fn the_parked_wheel_turns_every_marker_with_it() {
    // House rule 14: from the right 2:00 + 4:30 = 6:30; from the left 10:00 + 7:30 = 5:30.
    let right = Parked::valve_at(ClockTime::parse("2:00").unwrap(), Side::Right);
    let spot = Spot::at(ClockTime::parse("4:30").unwrap(), Side::Right);
    assert_eq!(right.now(spot).time(Side::Right).to_string(), "6:30");
    let left = Parked::valve_at(ClockTime::parse("10:00").unwrap(), Side::Left);
    let same = Spot::at(ClockTime::parse("7:30").unwrap(), Side::Left);
    assert_eq!(left.now(same).time(Side::Left).to_string(), "5:30");
    let roll = right.roll_to_top(spot, 1884.34);
    assert_eq!((roll.forward_mm.round(), roll.back_mm.round()), (864.0, 1021.0));
    assert!(right.is_underneath(spot));
    assert!(!right.is_underneath(Spot::VALVE));
}
