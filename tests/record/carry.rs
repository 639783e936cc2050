//! The carry sheet: every planned check in the order of the plan, machine and number on every page, this machine's own
//! limits and last values, a blank face for every wheel from both sides.

use std::process::Command;

use stemclock::garage::{Bay, Garage};
use stemclock::guide::{Wanted, legs, sheet};
use stemclock::inspection::{Inspection, InspectionId};
use stemclock::report::block::Paper;
use stemclock::report::content::{Album, Options, ReportCx, Request, document, kind};
use stemclock::report::layout::{Layout as Pages, lay_out};
use stemclock::report::pdf;
use stemclock::store;

use crate::bench::{says, show};

const NOW: &str = "2026-11-25T10:00:00+01:00";

fn sample() -> (tempfile::TempDir, store::Opened) {
    let folder = tempfile::tempdir().unwrap();
    let garage = folder.path().join("garage");
    store::copy_sample(&garage).unwrap();
    let opened = store::open(&garage).unwrap();
    (folder, opened)
}

/// The sheet of a machine for an inspection that has not begun.
fn pages(garage: &Garage, opened: &store::Opened, bay: &Bay, of: &str, minutes: Option<u32>, paper: Paper) -> Pages {
    let now = chrono::DateTime::parse_from_rfc3339(NOW).unwrap();
    let photos = Album::default();
    let options = Options { minutes, ..Options::default() };
    let cx = ReportCx {
        garage,
        catalogue: &opened.catalogue,
        today: now.date_naive(),
        now,
        paper,
        photos: &photos,
        options,
    };
    let inspection = Inspection::new(InspectionId("not-begun".into()), of, now.date_naive());
    let kind = kind("carry").unwrap();
    let request = Request { kind, cx, bay: Some(bay), inspection: Some(&inspection), earlier: None };
    lay_out(&document(&request).unwrap())
}

/// The words of each page of a PDF, in reading order, as a program that is not ours reads them.
fn words(pages: &Pages) -> Vec<String> {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("carry.pdf");
    std::fs::write(&file, pdf::write(pages).unwrap()).unwrap();
    let read = Command::new("pdftotext").args(["-raw"]).arg(&file).arg("-").output().expect("pdftotext is installed");
    let text = String::from_utf8(read.stdout).unwrap();
    let one_line = |page: &str| page.split_whitespace().collect::<Vec<_>>().join(" ");
    text.split('\u{c}').map(one_line).filter(|p| !p.is_empty()).collect()
}

#[test]
fn every_page_has_machine_and_number_and_the_checks_come_in_the_order_of_the_plan() {
    let (_folder, opened) = sample();
    let day = chrono::DateTime::parse_from_rfc3339(NOW).unwrap().date_naive();
    for bay in &opened.garage.bays {
        for (of, minutes, paper) in [("season", Some(30), Paper::A4), ("ride", None, Paper::Letter)] {
            let kind = opened.catalogue.kind(of).unwrap();
            let wanted = Wanted { kind, asks: &[], minutes, part: false, day };
            let planned = sheet(bay, &opened.catalogue, &opened.garage.info.units, &wanted);
            let pages = pages(&opened.garage, &opened, bay, of, minutes, paper);
            assert!(pages.missing.is_empty(), "{:?}", pages.missing);
            let read = words(&pages);
            assert_eq!(read.len(), pages.pages.len());
            for (index, page) in read.iter().enumerate() {
                let number = planned.number.to_string();
                assert!(page.contains(&bay.machine.name) && page.contains(&number), "page {}: {page}", index + 1);
            }
            let all = read.join(" ");
            // Each title with the number before it, each behind the one before.
            let mut from = 0;
            for (index, step) in planned.plan.steps.iter().enumerate() {
                let row = format!("{} {}", index + 1, step.title);
                let at = all[from..]
                    .find(&row)
                    .unwrap_or_else(|| panic!("{row} behind the one before: {}", bay.machine.name));
                from += at + row.len();
            }
            assert!(!planned.plan.steps.is_empty());
            show(&format!("carry-{}-{of}", bay.machine.id), &pages);
        }
    }
}

#[test]
fn the_sheet_shows_the_machines_own_limits_its_last_values_and_its_cautions() {
    let (_folder, opened) = sample();
    for bay in &opened.garage.bays {
        let pages = pages(&opened.garage, &opened, bay, "season", None, Paper::A4);
        for wheel in &bay.machine.wheels {
            if let Some(placard) = &wheel.placard {
                let shown = opened.garage.info.units.show(placard.solo);
                assert!(says(&pages, &shown), "{}: {shown}", bay.machine.name);
            }
            for side in ["left", "right"] {
                assert!(says(&pages, &format!("from the {side}")));
            }
        }
        let day = chrono::DateTime::parse_from_rfc3339(NOW).unwrap().date_naive();
        let kind = opened.catalogue.kind("season").unwrap();
        let wanted = Wanted { kind, asks: &[], minutes: None, part: false, day };
        let planned = sheet(bay, &opened.catalogue, &opened.garage.info.units, &wanted);
        let mut cautions = 0;
        for caution in legs(&planned.plan, &bay.machine).iter().flat_map(|l| &l.cautions) {
            let caution = opened.catalogue.caution(caution).unwrap();
            assert!(says(&pages, &caution.title) && says(&pages, &caution.text), "{}", caution.id);
            cautions += 1;
        }
        assert!(cautions > 10, "{}", bay.machine.name);
        let measured = bay.inspections.iter().any(|i| i.answers.values().any(|a| !a.readings.is_empty()));
        assert!(!measured || says(&pages, "last: "), "{}", bay.machine.name);
    }
}
