//! `stemclock report`: the record as a PDF, and the places it must not be written to.

use std::fs;

use crate::bench::{on_disk, run, text};

#[test]
fn the_record_is_written_on_either_paper() {
    let (dir, folder) = on_disk();
    for paper in ["a4", "letter"] {
        let out = dir.path().join(format!("{paper}.pdf"));
        let done = run(&[
            "report",
            text(&folder),
            "--machine",
            "heron-7",
            "--kind",
            "record",
            "--paper",
            paper,
            "--out",
            text(&out),
            "--on",
            "2026-11-25",
            "--json",
        ]);
        assert_eq!((done.code, done.err.as_str()), (0, ""));
        let json = done.json();
        assert_eq!((json["machine"].as_str(), json["paper"].as_str()), (Some("heron-7c1e"), Some(paper)));
        assert_eq!(json["inspection"], "2026-11-20-ride-bb", "the newest is printed");
        assert!(json["pages"].as_u64().unwrap() >= 1);
        let bytes = fs::read(&out).unwrap();
        assert!(bytes.starts_with(b"%PDF-") && bytes.len() as u64 == json["size_bytes"].as_u64().unwrap());
    }
}

#[test]
fn an_earlier_inspection_is_printed_when_it_is_named() {
    let (dir, folder) = on_disk();
    let out = dir.path().join("earlier.pdf");
    let done = run(&[
        "report",
        text(&folder),
        "--machine",
        "Heron",
        "--inspection",
        "2026-03",
        "--kind",
        "record",
        "--out",
        text(&out),
    ]);
    assert!(done.code == 0 && done.out.contains("2026-03-01-ride-aa"), "{}{}", done.out, done.err);
}

#[test]
fn where_it_cannot_or_must_not_be_written_it_says_so_and_changes_nothing() {
    let (dir, folder) = on_disk();
    let record = folder.join("machines/heron-7c1e/machine.ron");
    let before = fs::read(&record).unwrap();
    let nowhere = dir.path().join("no/such/folder/record.pdf");
    let a_folder = dir.path().join("folder.pdf");
    fs::create_dir(&a_folder).unwrap();
    for (out, words) in [(&record, "ends in .pdf"), (&nowhere, "expected"), (&a_folder, "expected")] {
        let done = run(&["report", text(&folder), "--machine", "Heron", "--kind", "record", "--out", text(out)]);
        assert_eq!((done.code, done.out.as_str()), (1, ""), "{out:?}");
        assert!(done.err.contains(words), "{out:?}: {}", done.err);
    }
    assert_eq!(fs::read(&record).unwrap(), before);
    assert!(!nowhere.exists());
    let left = fs::read_dir(dir.path()).unwrap().count();
    assert_eq!(left, 2, "nothing half-written is left beside the garage and the folder");
}

#[test]
fn a_machine_without_an_inspection_has_no_record() {
    let (dir, folder) = on_disk();
    let out = dir.path().join("none.pdf");
    let done = run(&["report", text(&folder), "--machine", "Little one", "--kind", "record", "--out", text(&out)]);
    assert!(done.code == 1 && done.err.contains("an inspection of Little one, found none"), "{}", done.err);
    assert!(!out.exists());
}

#[test]
fn a_missing_folder_and_a_folder_in_the_file_s_place_are_named_as_the_trouble() {
    let (dir, folder) = on_disk();
    let report = |out: &std::path::Path| {
        run(&["report", text(&folder), "--machine", "heron-7", "--kind", "record", "--out", text(out)])
    };
    let missing = report(&dir.path().join("no-such-folder/record.pdf"));
    assert_eq!(missing.code, 1);
    assert!(missing.err.contains("make the folder first"), "{}", missing.err);
    assert!(!missing.err.contains("garage"), "the garage is not the trouble: {}", missing.err);
    let taken = dir.path().join("taken.pdf");
    fs::create_dir(&taken).unwrap();
    let done = report(&taken);
    assert!(done.code == 1 && done.err.contains("add a name to it"), "{}", done.err);
}

#[test]
fn a_carry_sheet_takes_only_what_fits_where_that_is_asked_and_says_what_it_means() {
    let (dir, folder) = on_disk();
    let sheet = |part: &[&str]| {
        let out = dir.path().join("sheet.pdf");
        let mut args = vec!["report", text(&folder), "--machine", "heron-7", "--kind", "carry", "--minutes", "20"];
        args.extend(["--inspection-kind", "periodic", "--out", text(&out), "--on", "2026-11-25", "--json"]);
        args.extend(part);
        let done = run(&args);
        assert_eq!(done.code, 0, "{}", done.err);
        let json = done.json();
        (json["notes"].to_string(), json["pages"].as_u64().unwrap())
    };
    let (all, part) = (sheet(&[]), sheet(&["--part"]));
    assert!(all.0.contains("--part prints only what fits"), "{}", all.0);
    assert!(part.0.contains("required checks are not on the sheet: the verdict will be"), "{}", part.0);
    assert!(part.1 < all.1, "{} and {} pages", part.1, all.1);
}
