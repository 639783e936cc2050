//! Ids that point nowhere, days to come, an odometer that goes back.

use std::fs;

use stemclock::garage::Garage;
use stemclock::inspection::Value;
use stemclock::store;
use stemclock::units::Pressure;

use super::fixture::*;

/// A garage in which nothing points nowhere, under a machine with plain wheels.
fn sound_garage() -> Garage {
    let mut garage = garage();
    let bay = &mut garage.bays[0];
    bay.inspections.truncate(1);
    bay.events.retain(|e| e.id.0 == "e-1" || e.id.0 == "e-5");
    bay.machine.region = "generic".into();
    let inspection = &mut bay.inspections[0];
    inspection.answers.retain(|check, _| check.check == "tyre-pressure");
    for answer in inspection.answers.values_mut() {
        answer.readings =
            [("cold".to_owned(), Value::Pressure(Pressure::psi(28.0))), ("hot".to_owned(), Value::Choice("no".into()))]
                .into();
    }
    garage
}

#[test]
fn validating_finds_what_points_nowhere_with_its_line() {
    let inspection = FIRST;
    let closing = "machines/outfit-7c1e/events/e-1.ron";
    let odometer = "machines/outfit-7c1e/events/e-5.ron";
    for (file, from, to, words) in [
        (MACHINE, "region: \"generic\"", "region: \"moon\"", "expected a region"),
        (MACHINE, "spokes: 40", "spokes: 400", "2 to 120 spokes"),
        (MACHINE, "first_use: \"1998-05-02\"", "first_use: \"2027-05-02\"", "on or before today"),
        (inspection, "kind: \"season\"", "kind: \"seasn\"", "expected a kind of inspection"),
        (inspection, "date: \"2026-03-01\"", "date: \"2026-11-26\"", "found 2026-11-26"),
        (inspection, "\"tyre-pressure@front\": (", "\"tyre-presure@front\": (", "expected a check of the catalogue"),
        (inspection, "\"tyre-pressure@front\": (", "\"tyre-pressure@rear-left\": (", "expected a part of this machine"),
        (inspection, "\"cold\": ", "\"cool\": ", "expected a reading of tyre-pressure@front (cold"),
        (inspection, "Pressure(\"28 psi\")", "Length(\"28 mm\")", "kind pressure"),
        (inspection, "Choice(\"no\")", "Choice(\"perhaps\")", "expected a choice"),
        (inspection, "fault: \"low\"", "fault: \"lo\"", "expected a fault of tyre-pressure@front (low"),
        (inspection, "position: Front", "position: RearLeft", "expected a wheel of this machine"),
        (inspection, "zone: Shoulder(Right)", "zone: Disc(Right)", ""),
        (inspection, "photos: []", "photos: [\"nail.jpg\"]", "expected the photo"),
        (inspection, "photos: []", "photos: [\"../../x.jpg\"]", "expected the photo"),
        (closing, "2026-03-01-season-aa", "2026-03-01-season-zz", "expected an inspection of this machine"),
        (closing, "f-1a2b", "f-9999", "expected a finding of the inspection"),
        (closing, "date: \"2026-03-02\"", "date: \"2026-02-02\"", "closing on or after"),
        (odometer, "41400 mi", "41200 mi", "expected an odometer of at least 41300 mi"),
        ("garage.ron", "pressure: \"bar\"", "pressure: \"bahr\"", "expected a unit of pressure"),
    ] {
        let dir = tempfile::tempdir().unwrap();
        store::save_all(dir.path(), &sound_garage()).unwrap();
        assert_eq!(store::validate(dir.path(), today()), vec![], "sound before the slip");
        edit(dir.path(), file, from, to);
        let problems = store::validate(dir.path(), today());
        if words.is_empty() {
            // This one is no slip: the front wheel has a right disc.
            assert_eq!(problems, vec![], "{to}");
            continue;
        }
        let about: Vec<String> = problems.iter().map(ToString::to_string).filter(|p| p.contains(words)).collect();
        assert_eq!(about.len(), 1, "{to}: {problems:?}");
        assert!(about[0].starts_with(&format!("{file}:")), "{}", about[0]);
        assert!(about[0].contains(" | "), "the line is shown: {}", about[0]);
    }
}

#[test]
fn validating_finds_two_closings_and_copies_set_aside() {
    let dir = tempfile::tempdir().unwrap();
    let mut garage = sound_garage();
    garage.bays[0].events.push(every_event()[1].clone());
    store::save_all(dir.path(), &garage).unwrap();
    fs::write(dir.path().join(format!("{MACHINE}.set-aside-1")), "old").unwrap();
    let shown: Vec<String> = store::validate(dir.path(), today()).iter().map(ToString::to_string).collect();
    assert_eq!(shown.len(), 2, "{shown:?}");
    assert!(shown[0].contains("expected one closing of each finding, found that e-1"), "{}", shown[0]);
    assert!(shown[1].contains("set aside"), "{}", shown[1]);
}
