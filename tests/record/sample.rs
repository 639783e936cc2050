//! The record of every inspection of the sample garage.

use stemclock::inspection::Place;
use stemclock::report::block::Paper;
use stemclock::report::content::{Album, Options, RecordInput, photos_of, record};
use stemclock::report::layout::lay_out;
use stemclock::report::pdf;
use stemclock::store;

use crate::bench::{says, show};

#[test]
fn every_inspection_of_the_sample_garage_has_its_record() {
    let folder = tempfile::tempdir().unwrap();
    let garage = folder.path().join("garage");
    store::copy_sample(&garage).unwrap();
    let opened = store::open(&garage).unwrap();
    let now = chrono::DateTime::parse_from_rfc3339("2026-11-25T10:00:00+01:00").unwrap();
    let mut records = 0;
    for bay in &opened.garage.bays {
        for inspection in &bay.inspections {
            let mut photos = Album::default();
            for (name, marks) in photos_of(bay) {
                photos.add(&name, &store::photo_bytes(&garage, &bay.machine.id, &name).unwrap(), &marks);
            }
            let input = RecordInput {
                bay,
                inspection,
                catalogue: &opened.catalogue,
                units: &opened.garage.info.units,
                today: now.date_naive(),
                now,
                paper: Paper::A4,
                photos: &photos,
                options: Options::default(),
                off_road: Default::default(),
            };
            let pages = lay_out(&record(&input));
            assert!(pages.missing.is_empty(), "{}: {:?}", inspection.id, pages.missing);
            assert!(!says(&pages, "cannot be shown"), "{}", inspection.id);
            for finding in &inspection.findings {
                if let Place::Wheel { zone, spot: Some(spot), .. } = &finding.place {
                    let side = zone.side().unwrap_or(stemclock::clock::Side::Right);
                    let clock = format!("{} from the {}", spot.time(side), side.word());
                    assert!(says(&pages, &clock), "{}: {clock}", inspection.id);
                }
                assert!(says(&pages, &finding.note), "{}: {}", inspection.id, finding.note);
            }
            assert!(!pdf::write(&pages).unwrap().is_empty());
            if bay.latest().is_some_and(|latest| latest.id == inspection.id) {
                show(&format!("record-sample-{}", bay.machine.id), &pages);
            }
            records += 1;
        }
    }
    assert!(records >= 4, "only {records} inspections in the sample garage");
}
