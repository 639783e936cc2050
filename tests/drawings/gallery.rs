//! Sheets of drawings in the build's temporary folder, to be looked at; the test holds that they are neither empty
//! nor drowned in ink and that every word on them can be printed.

use stemclock::clock::{Parked, Side};
use stemclock::drawing::clock_face::{self, ClockFace, FaceMark};
use stemclock::drawing::notch::{self, Mark};
use stemclock::drawing::shape::{Anchor, Drawing, Ink, pt};
use stemclock::drawing::strip::{self, Strip, StripDepth, StripMark};
use stemclock::inspection::{Severity, Zone};
use stemclock::machine::{RimKind, Wheel, WheelPosition};
use stemclock::units::Preferences;

use crate::support::{at, cast_front, sheet, wire_rear};

fn looks_drawn(name: &str, drawings: Vec<Drawing>) {
    let inked = sheet(name, drawings);
    assert!((0.002..0.6).contains(&inked), "{name}: {inked} of the pixels are inked");
}

/// Drawings side by side on one.
pub fn row(drawings: Vec<Drawing>) -> Drawing {
    let height = drawings.iter().map(|d| d.height).fold(0.0, f32::max);
    let mut all = Drawing::new(drawings.iter().map(|d| d.width + 8.0).sum(), height, "");
    let mut x = 0.0;
    for drawing in drawings {
        all.place(&drawing, pt(x, 0.0));
        x += drawing.width + 8.0;
    }
    all
}

#[test]
fn notch_marks() {
    let kinds = [
        Mark::Sound,
        Mark::Unchecked,
        Mark::Found(Severity::Minor),
        Mark::Found(Severity::Major),
        Mark::Found(Severity::Dangerous),
    ];
    let sheets = [10.0, 14.0, 20.0, 40.0, 80.0].map(|size: f32| {
        let marks = kinds.map(|kind| {
            let mut with_word = Drawing::new(size.max(60.0), size + 16.0, "");
            with_word.place(&notch::drawing(kind, size), pt(0.0, 0.0));
            with_word.words(pt(0.0, size + 8.0), kind.word(), 9.0, Anchor::Start, Ink::Line);
            with_word
        });
        row(marks.into())
    });
    looks_drawn("notch", sheets.into());
}

fn marks() -> Vec<FaceMark> {
    let mark = |time, zone, severity, selected, label: &str| FaceMark {
        spot: at(time, Side::Right),
        zone,
        severity,
        selected,
        label: label.into(),
    };
    vec![
        mark("4:30", Zone::Shoulder(Side::Right), Some(Severity::Dangerous), true, "1"),
        mark("1:30", Zone::Sidewall(Side::Left), Some(Severity::Major), false, "2"),
        mark("8:10", Zone::RimFlange(Side::Right), Some(Severity::Minor), false, "3"),
        mark("10:00", Zone::Centre, None, false, ""),
        mark("6:30", Zone::Disc(Side::Right), Some(Severity::Minor), false, "12"),
    ]
}

fn face(wheel: &Wheel, side: Side, parked: Option<&str>, size: f32) -> Drawing {
    let parked = parked.map(|time| Parked::from_spot(at(time, Side::Right)));
    clock_face::draw(&ClockFace { wheel, side, parked, marks: marks(), size })
}

#[test]
fn clock_faces() {
    let (cast, wire) = (cast_front(), wire_rear(40));
    let mut pressed = Wheel::bare(WheelPosition::Sidecar);
    pressed.rim.kind = RimKind::Pressed;
    let mut sheets = Vec::new();
    sheets.push(face(&cast, Side::Right, None, 440.0));
    for wheel in [&cast, &wire, &pressed] {
        sheets.push(row(Side::BOTH.map(|side| face(wheel, side, None, 225.0)).into()));
        sheets.push(row(Side::BOTH.map(|side| face(wheel, side, Some("2:00"), 225.0)).into()));
    }
    sheets
        .push(row(Side::BOTH.iter().flat_map(|&s| [face(&cast, s, None, 90.0), face(&wire, s, None, 90.0)]).collect()));
    sheets.push(face(&wire, Side::Left, None, 440.0));
    looks_drawn("clock-face", sheets);
}

#[test]
fn the_face_says_what_it_shows() {
    let wheel = cast_front();
    let drawing = face(&wheel, Side::Left, Some("2:00"), 300.0);
    // House rule 14: from the left the valve stands at 10:00 and 4:30-from-the-right, 7:30 from here, is now at 5:30.
    assert!(drawing.summary.contains("valve at 10:00"), "{}", drawing.summary);
    assert!(
        drawing.summary.contains("7:30 from the left, under the tyre now: roll the machine"),
        "{}",
        drawing.summary
    );
    assert!(drawing.summary.contains("far side"), "{}", drawing.summary);
}

fn strip(wheel: &Wheel, side: Side, width: f32, units: &Preferences, with_depths: bool) -> Drawing {
    let marks = marks()
        .into_iter()
        .map(|m| StripMark { spot: m.spot, zone: m.zone, severity: m.severity, selected: m.selected, label: m.label })
        .collect();
    let mut depths = Vec::new();
    if with_depths {
        for (i, time) in ["12:00", "1:30", "3:00", "4:30", "6:00", "7:30", "9:00", "10:30"].into_iter().enumerate() {
            for (j, zone) in Zone::TREAD.into_iter().enumerate() {
                let tenths = 30 - 3 * (j as i32 - 2).abs() - (i as i32 % 3);
                depths.push(StripDepth {
                    spot: at(time, Side::Right),
                    zone,
                    text: format!("{}.{}", tenths / 10, tenths % 10),
                    is_low: tenths < 24,
                });
            }
        }
    }
    strip::draw(&Strip {
        wheel,
        side,
        width,
        height: 170.0,
        marks,
        depths,
        wear_bars: ["1:00", "3:00", "5:00", "7:00", "9:00", "11:00"].map(|t| at(t, Side::Right)).into(),
        parked: with_depths.then(|| Parked::from_spot(at("5:40", Side::Right))),
        units,
    })
}

#[test]
fn strips() {
    let (cast, bare) = (cast_front(), Wheel::bare(WheelPosition::Rear));
    let metric = Preferences::default();
    let inches = Preferences { length: "in".into(), ..Preferences::default() };
    let sheets = vec![
        strip(&cast, Side::Right, 470.0, &metric, false),
        strip(&cast, Side::Left, 470.0, &metric, false),
        strip(&cast, Side::Right, 470.0, &inches, true),
        strip(&bare, Side::Left, 300.0, &metric, false),
    ];
    looks_drawn("strip", sheets);
}
