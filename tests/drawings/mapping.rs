//! Places to points and back: the face mirrors, the strip makes half a turn, and a click finds what was drawn.

use proptest::prelude::*;
use stemclock::clock::{Parked, Side, Spot};
use stemclock::drawing::clock_face::{self, ClockFace};
use stemclock::drawing::shape::pt;
use stemclock::drawing::strip::{self, Strip};
use stemclock::inspection::Zone;
use stemclock::machine::{RimKind, Wheel, WheelPosition};
use stemclock::units::Preferences;

use crate::support::{at, cast_front, wire_rear};

fn any_spot() -> impl Strategy<Value = Spot> {
    (0.0..360.0f64).prop_map(|d| Spot::from_degrees(d).unwrap())
}

fn any_side() -> impl Strategy<Value = Side> {
    prop_oneof![Just(Side::Left), Just(Side::Right)]
}

fn any_wheel() -> impl Strategy<Value = Wheel> {
    prop_oneof![
        Just(cast_front()),
        Just(wire_rear(36)),
        Just(Wheel::bare(WheelPosition::Sidecar)),
        Just({
            let mut wheel = wire_rear(36);
            wheel.rim.kind = RimKind::Pressed;
            wheel
        })
    ]
}

fn face(wheel: &Wheel, side: Side, parked: Option<Parked>, size: f32) -> ClockFace<'_> {
    ClockFace { wheel, side, parked, marks: Vec::new(), size }
}

fn unrolled<'a>(wheel: &'a Wheel, side: Side, units: &'a Preferences) -> Strip<'a> {
    Strip {
        wheel,
        side,
        width: 600.0,
        height: 180.0,
        marks: Vec::new(),
        depths: Vec::new(),
        wear_bars: Vec::new(),
        parked: None,
        units,
    }
}

/// Zones that a face seen from a side can be clicked on.
fn in_view(wheel: &Wheel, side: Side) -> Vec<Zone> {
    let shown = |zone: Zone| match zone {
        Zone::Disc(s) => s == side && wheel.disc_sides().contains(&side),
        Zone::Spoke => wheel.rim.kind != RimKind::Pressed,
        other => other.side().is_none_or(|s| s == side),
    };
    Zone::ALL.into_iter().filter(|z| shown(*z)).collect()
}

proptest! {
    #[test]
    fn a_click_on_a_face_finds_what_was_drawn(
        spot in any_spot(), side in any_side(), wheel in any_wheel(), valve in proptest::option::of(any_spot()),
        size in 80.0..600.0f32, pick in 0usize..16,
    ) {
        let zones = in_view(&wheel, side);
        let zone = zones[pick % zones.len()];
        let face = face(&wheel, side, valve.map(Parked::from_spot), size);
        let (found, in_zone) = clock_face::spot_at(&face, clock_face::pt_of(&face, spot, zone)).unwrap();
        prop_assert_eq!(in_zone, zone);
        // A hub drawn a few points wide gives back the angle only roughly.
        prop_assert!(found.apart(spot) < 0.1, "{:?} became {:?}", spot, found);
    }

    #[test]
    fn the_face_mirrors_about_its_upright(spot in any_spot(), zone in 0usize..16, size in 80.0..600.0f32) {
        let wheel = cast_front();
        let zone = Zone::ALL[zone];
        let right = clock_face::pt_of(&face(&wheel, Side::Right, None, size), spot, zone);
        let left = clock_face::pt_of(&face(&wheel, Side::Left, None, size), spot, zone);
        prop_assert!((right.x + left.x - size).abs() < 0.01);
        prop_assert!((right.y - left.y).abs() < 0.01);
    }

    #[test]
    fn a_click_on_a_strip_finds_what_was_drawn(spot in any_spot(), side in any_side(), zone in 0usize..7) {
        let (wheel, units) = (cast_front(), Preferences::default());
        let strip = unrolled(&wheel, side, &units);
        let zone = Zone::ALL[zone];
        let (found, in_zone) = strip::spot_at(&strip, strip::pt_of(&strip, spot, zone).unwrap()).unwrap();
        prop_assert_eq!(in_zone, zone);
        prop_assert!(found.apart(spot) < 0.01);
    }

    #[test]
    fn changing_sides_turns_the_strip_by_half_a_turn(degrees in 0.01..359.99f64, zone in 0usize..7) {
        let (wheel, units) = (cast_front(), Preferences::default());
        let (right, left) = (unrolled(&wheel, Side::Right, &units), unrolled(&wheel, Side::Left, &units));
        let spot = Spot::from_degrees(degrees).unwrap();
        let a = strip::pt_of(&right, spot, Zone::ALL[zone]).unwrap();
        let b = strip::pt_of(&left, spot, Zone::ALL[zone]).unwrap();
        let [x0, y0, x1, y1] = right.rubber();
        prop_assert!((a.x + b.x - (x0 + x1)).abs() < 0.01, "not turned about 6:00");
        prop_assert!((a.y + b.y - (y0 + y1)).abs() < 0.01, "not turned about the middle");
    }
}

#[test]
fn from_the_right_the_right_shoulder_is_below_and_three_is_left_of_nine() {
    let (wheel, units) = (cast_front(), Preferences::default());
    let strip = unrolled(&wheel, Side::Right, &units);
    let point = |time, zone| strip::pt_of(&strip, at(time, Side::Right), zone).unwrap();
    assert!(point("3:00", Zone::Shoulder(Side::Right)).y > point("3:00", Zone::Centre).y);
    assert!(point("3:00", Zone::Sidewall(Side::Right)).y > point("3:00", Zone::Shoulder(Side::Right)).y);
    assert!(point("3:00", Zone::Centre).x < point("9:00", Zone::Centre).x);
    assert_eq!(strip::pt_of(&strip, at("3:00", Side::Right), Zone::RimWell), None);
}

#[test]
fn from_the_right_three_is_toward_the_nose_at_the_viewers_right() {
    let wheel = cast_front();
    let right = face(&wheel, Side::Right, None, 300.0);
    assert!(clock_face::pt_of(&right, at("3:00", Side::Right), Zone::Centre).x > 150.0);
    let left = face(&wheel, Side::Left, None, 300.0);
    assert!(clock_face::pt_of(&left, at("3:00", Side::Right), Zone::Centre).x < 150.0);
}

#[test]
fn a_parked_wheel_turns_its_markers() {
    // House rule 14: valve at 2:00 and 4:30 from the right stands at 6:30: low, and a little left of straight down.
    let wheel = cast_front();
    let parked = Parked::from_spot(at("2:00", Side::Right));
    let face = face(&wheel, Side::Right, Some(parked), 300.0);
    let point = clock_face::pt_of(&face, at("4:30", Side::Right), Zone::Centre);
    assert!(point.y > 250.0 && point.x < 150.0 && point.x > 90.0, "{point:?}");
    // Dragging the valve to three o'clock of the drawing parks it there.
    let dragged = clock_face::parked_toward(&face, pt(290.0, 150.0));
    assert!(dragged.valve().apart(at("3:00", Side::Right)) < 0.01);
}

#[test]
fn beside_the_rubber_is_no_place() {
    let (wheel, units) = (cast_front(), Preferences::default());
    assert_eq!(clock_face::spot_at(&face(&wheel, Side::Left, None, 300.0), pt(2.0, 2.0)), None);
    assert_eq!(clock_face::spot_at(&face(&wheel, Side::Left, None, 300.0), pt(f32::NAN, 2.0)), None);
    assert_eq!(strip::spot_at(&unrolled(&wheel, Side::Left, &units), pt(1.0, 90.0)), None);
}
