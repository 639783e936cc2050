//! Where a finding is: clicked, typed or dragged on the wheel, told by a spoke, or at a station.

use egui::{Key, Theme, accesskit::Role};
use egui_kittest::kittest::Queryable as _;
use stemclock::clock::Side;
use stemclock::inspection::{Place, Station, Zone};
use stemclock::machine::RimKind;

use crate::bench::{Bench, CUT, Window, begun, enter, press, told, window};

fn click_face(window: &mut Window, share: [f32; 2]) {
    let face = window.get_by_label_contains("Clock face of the front wheel");
    let rect = face.rect();
    // The wheel's box is square; below it stands the line with the side and the nose.
    let at = rect.left_top() + egui::vec2(share[0], share[1]) * rect.width();
    window.hover_at(at);
    window.drag_at(at);
    window.run();
    window.drop_at(at);
    window.run();
}

#[test]
fn who_types_a_spoke_means_the_spokes_and_sees_the_place_before_enter() {
    let mut bench = Bench::new();
    bench.garage.bays[0].machine.wheels[0].rim.kind = RimKind::WireSpoked { spokes: 36, first_flange: None };
    let mut window = window([1600.0, 1000.0], Theme::Light, bench);
    window.run();
    press(&mut window, "Begin the inspection");
    window.get_by_role_and_label(Role::TextInput, "Place, from the right").focus();
    window.run();
    window.get_by_role_and_label(Role::TextInput, "Place, from the right").type_text("spoke 14");
    window.run();
    // House rule 15: spoke 14 of 36 stands at (14 - 1/2) x 10 = 135 degrees, 4:30 from the right.
    assert!(told(&window, "front · 4:30 from the right · spoke") > 0, "told while it is typed");
    window.key_press(Key::Enter);
    window.run();
    window.get_by_label("What is seen here?");
    press(&mut window, "Spoke loose");
    let Place::Wheel { zone, .. } = window.state().last_finding().place else { panic!("on the wheel") };
    assert_eq!(zone, Zone::Spoke);
}

#[test]
fn a_click_on_the_face_proposes_the_place_and_a_fault_makes_the_finding() {
    let mut window = begun();
    // Straight right of the middle near the crown, seen from the right: 3:00, the near side or the centre.
    click_face(&mut window, [0.95, 0.5]);
    window.get_by_label("What is seen here?");
    window.get_all_by_role_and_label(Role::Button, CUT).next().expect("a cut is offered").click();
    window.run();
    let finding = window.state().last_finding().clone();
    let Place::Wheel { spot: Some(spot), zone, .. } = finding.place else { panic!("on the wheel: {finding:?}") };
    assert_eq!(spot.time(Side::Right).to_string(), "3:00");
    assert!(
        zone.is_tread() && zone != Zone::Shoulder(Side::Left) && zone != Zone::Intermediate(Side::Left),
        "{zone:?}"
    );
    assert_eq!(window.state().state.finding, Some(finding.id));
}

#[test]
fn a_typed_place_is_read_from_the_side_and_flips_with_it() {
    let mut window = begun();
    enter(&mut window, "Place, from the right", "4:30");
    // House rule 12: 4:30 from the right of a 120/70-17 is 707 mm ahead of the valve, 1178 mm behind it.
    let marker = "front · 4:30 from the right · centre of the tread · 707 mm ahead of the valve along the crown (1178 mm behind it)";
    assert!(told(&window, marker) > 0, "the marker is told");
    press(&mut window, "from the left");
    let flipped = marker.replace("4:30 from the right", "7:30 from the left");
    assert!(told(&window, &flipped) > 0, "the side flips the clock, not the distance");
}

#[test]
fn a_marker_is_dragged_to_a_new_place() {
    let mut window = begun();
    click_face(&mut window, [0.95, 0.5]);
    window.key_press(Key::Escape);
    window.get_all_by_role_and_label(Role::Button, CUT).next().expect("a cut is offered").click();
    window.run();
    let face = window.get_by_label_contains("Clock face of the front wheel").rect();
    let at = |x: f32, y: f32| face.left_top() + egui::vec2(x, y) * face.width();
    // From 3:00 to 6:00, seen from the right.
    window.hover_at(at(0.95, 0.5));
    window.drag_at(at(0.95, 0.5));
    window.run();
    for step in [(0.85, 0.8), (0.6, 0.92), (0.5, 0.95)] {
        window.hover_at(at(step.0, step.1));
        window.run();
    }
    window.drop_at(at(0.5, 0.95));
    window.run();
    let Place::Wheel { spot: Some(spot), .. } = window.state().last_finding().place else { panic!("on the wheel") };
    assert_eq!(spot.time(Side::Right).to_string(), "6:00");
}

#[test]
fn the_valve_of_the_parked_wheel_turns_every_marker() {
    let mut window = begun();
    enter(&mut window, "Place, from the right", "4:30");
    press(&mut window, "Where does the valve stand now?");
    enter(&mut window, "Valve stands at, from the right", "2:00");
    // House rule 14: 2:00 + 4:30 = 6:30 from the right, under the tyre; forward 864 mm or back 1021 mm.
    assert!(told(&window, "roll it") > 0);
    assert!(told(&window, "864 mm") > 0 && told(&window, "1021 mm") > 0);
}

#[test]
fn a_finding_away_from_the_wheels_goes_to_a_station_and_a_part() {
    let mut window = begun();
    press(&mut window, "station: at the bars");
    press(&mut window, "Note a finding here…");
    enter(&mut window, "Which part", "left mirror stalk");
    let narrow = window.get_by_role_and_label(Role::TextInput, "Narrow by a word");
    narrow.focus();
    narrow.type_text("mirror loose");
    window.run();
    press(&mut window, "Slightly damaged or loose");
    let Place::Part { station, part } = &window.state().last_finding().place else { panic!("a part") };
    assert_eq!((*station, part.as_str()), (Station::Bars, "left mirror stalk"));
    enter(&mut window, "Which part", " and clamp");
    let Place::Part { part, .. } = &window.state().last_finding().place else { panic!("a part") };
    assert!(part.contains("clamp"), "the part is changed by typing: {part}");
}
