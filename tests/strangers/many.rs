//! Very much of a thing: findings, values in a file, entries of a folder.

use std::fs;
use std::path::Path;

use stemclock::guard::limits::{FOLDER_ENTRIES, MACHINE_FINDINGS, RECORD_VALUES};

use crate::bench::{INSPECTION, MACHINE, records, refused, run, sample, text};

/// The inspection's text with so many findings, and an id of its own.
fn with_findings(before: &str, id: &str, count: usize) -> String {
    let head = before.split("    findings: [").next().unwrap().replace(INSPECTION, id);
    let findings: String = (0..count)
        .map(|n| {
            format!(
                "(id: \"f-{id}-{n}\", check: \"rim-look@rear\", fault: \"chip\", place: Wheel(position: Rear, \
                 zone: RimFlange(Left), spot: {}.0), size: \"3 mm\"),\n",
                n % 360
            )
        })
        .collect();
    format!("{head}    findings: [\n{findings}    ],\n)\n")
}

/// A garage with so many findings in so many inspections each.
fn garage(inspections: usize, each: usize) -> (tempfile::TempDir, std::path::PathBuf) {
    let (home, garage) = sample();
    let (_, inspection) = records(&garage);
    let before = fs::read_to_string(&inspection).unwrap();
    let folder = inspection.parent().unwrap().to_owned();
    fs::remove_dir_all(&folder).unwrap();
    fs::create_dir_all(&folder).unwrap();
    for n in 0..inspections {
        let id = format!("2026-11-21-trip-{n:04x}");
        fs::write(folder.join(format!("{id}.ron")), with_findings(&before, &id, each)).unwrap();
    }
    (home, garage)
}

fn standing(garage: &Path) -> crate::bench::Done {
    run(&["status", text(garage), "--on", "2026-11-25"])
}

#[test]
fn a_hundred_thousand_findings_are_refused_in_one_file_and_in_many() {
    let (_home, one) = garage(1, 100_000);
    refused(&["validate", text(&one)], &["at most 8 MiB", "restore the file"], 32);
    let (_home, many) = garage(200, 500);
    let done = refused(
        &["validate", text(&many)],
        &["at most 10000 findings of one machine", "found 100000", "restore the folder"],
        256,
    );
    assert_eq!(done.out.matches(&format!("machines/{MACHINE}:")).count(), 1, "{}", done.out);
    // Nothing is said of the machine, and the others are there.
    let done = standing(&many);
    assert!(done.code == 0 && done.out.contains("3 machines") && done.err.contains("found 100000"), "{}", done.out);
}

#[test]
fn as_many_findings_as_are_taken_are_judged() {
    let (_home, garage) = garage(10, MACHINE_FINDINGS.size() / 10);
    let done = standing(&garage);
    assert_eq!(done.code, 0, "{}", done.err);
    assert!(done.out.contains("10000 minor"), "{}", &done.out[..2000]);
    assert!(done.peak_mib <= 512, "{} MiB", done.peak_mib);
}

#[test]
fn a_file_made_to_fill_the_memory_is_refused_while_it_is_read() {
    let (_home, garage) = sample();
    let (machine, inspection) = records(&garage);
    let text_of = fs::read_to_string(&inspection).unwrap();
    // Three bytes in the file for each photo of a finding, which takes seventy in memory.
    let photos = format!("photos: [{}]", "\"\",".repeat(2_500_000));
    fs::write(&inspection, text_of.replacen("photos: []", &photos, 1)).unwrap();
    let words = format!("at most {} values", RECORD_VALUES.most);
    refused(&["validate", text(&garage)], &[INSPECTION, &words], 128);
    fs::write(&inspection, &text_of).unwrap();
    let keys: String = (0..700_000).map(|n| format!("\"{n:x}\":1,")).collect();
    let before = fs::read_to_string(&machine).unwrap();
    fs::write(&machine, before.replacen("(\n", &format!("(\n    surprise: {{{keys}}},\n"), 1)).unwrap();
    refused(&["validate", text(&garage)], &["machine.ron"], 128);
}

#[test]
fn a_folder_of_more_entries_than_any_garage_has_is_refused() {
    let (_home, garage) = sample();
    let kinds = garage.join("kinds");
    fs::create_dir_all(&kinds).unwrap();
    for n in 0..=FOLDER_ENTRIES.size() {
        fs::File::create(kinds.join(n.to_string())).unwrap();
    }
    refused(&["status", text(&garage)], &["at most 100000 entries", "take out"], 64);
}
