//! A garage's own kinds, written through the one write path: into the folder, out of it again, and held to the catalogue.

use std::collections::BTreeSet;

use stemclock::catalogue::{Check, OwnKinds, Selection};
use stemclock::edit::{Command, decide};
use stemclock::store;

use super::fixture::*;

/// A kind of two checks of the catalogue and one of its own.
fn track_day() -> OwnKinds {
    let own = Check::of_ones_own(
        "bungs-a1",
        "Crash bungs",
        stemclock::inspection::Station::LeftFlank,
        "A loose one turns into the frame.",
        "Look at each and rock it.",
        1.0,
    );
    OwnKinds {
        id: Some("track-day".into()),
        name: Some("before a track day".into()),
        called: Some("a track-day look".into()),
        in_order: true,
        checks: Some(Selection::These(vec!["horn".into(), "bungs-a1".into(), "tyre-tread".into()])),
        required: Some(Selection::These(vec!["tyre-tread".into()])),
        lapses_after_days: Some(1),
        lapses_after_km: Some(300),
        own_checks: vec![own],
        ..OwnKinds::default()
    }
}

#[test]
fn a_kind_is_kept_as_a_file_asked_in_its_order_changed_and_taken_out() {
    let (_dir, folder) = on_disk();
    let opened = store::open(&folder).unwrap();
    let put = Command::PutOwn("track-day".into(), track_day());
    let change = decide(&opened.garage, &opened.catalogue, put).unwrap();
    store::save_record(&folder, &change).unwrap();
    drop(opened);
    let opened = store::open(&folder).unwrap();
    assert_eq!(opened.unreadable, vec![]);
    assert_eq!(opened.garage.own["track-day"], track_day());
    let kind = opened.catalogue.kind("track-day").unwrap();
    let asked: Vec<String> =
        opened.catalogue.checks_for(&machine(), kind).iter().map(|(check, _)| check.check.clone()).collect();
    assert_eq!((asked[0].as_str(), asked[1].as_str()), ("horn", "bungs-a1"));
    assert_eq!(asked.iter().skip(2).collect::<BTreeSet<_>>().len(), 1, "then the tread of each wheel: {asked:?}");

    // What undo does: the inverse takes the file away again.
    let back = change.inverse();
    store::save_record(&folder, &back).unwrap();
    drop(opened);
    let opened = store::open(&folder).unwrap();
    assert!(opened.garage.own.is_empty() && opened.catalogue.kind("track-day").is_none());
    assert!(!folder.join("kinds/track-day.ron").exists());
}

#[test]
fn a_kind_that_the_catalogue_cannot_take_is_rejected_with_the_way_out() {
    let (_dir, folder) = on_disk();
    let opened = store::open(&folder).unwrap();
    let refused = |change: &dyn Fn(&mut OwnKinds)| {
        let mut own = track_day();
        change(&mut own);
        decide(&opened.garage, &opened.catalogue, Command::PutOwn("track-day".into(), own)).unwrap_err().to_string()
    };
    let unknown = refused(&|own| own.checks = Some(Selection::These(vec!["no-such-check".into()])));
    assert!(unknown.contains("no-such-check") && unknown.contains("correct the id"), "{unknown}");
    let taken = refused(&|own| own.id = Some("season".into()));
    assert!(taken.contains("taken") && taken.contains("choose another id"), "{taken}");
    let minutes = refused(&|own| own.own_checks[0].minutes = f32::NAN);
    assert!(minutes.contains("minutes"), "{minutes}");
    let gone = decide(&opened.garage, &opened.catalogue, Command::RemoveOwn("track-day".into())).unwrap_err();
    assert!(gone.to_string().contains("kinds/track-day.ron"), "{gone}");
}

#[test]
fn a_file_that_the_catalogue_does_not_take_is_never_written_over() {
    let (_dir, folder) = on_disk();
    std::fs::create_dir_all(folder.join("kinds")).unwrap();
    std::fs::write(folder.join("kinds/mine.ron"), "(id: \"season\", nonsense: 3)").unwrap();
    let opened = store::open(&folder).unwrap();
    assert_eq!(opened.unreadable.len(), 1, "{:?}", opened.unreadable);
    assert!(opened.garage.own.is_empty());
}
