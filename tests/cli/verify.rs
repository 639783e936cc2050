//! `stemclock verify`: a report read back by whoever it was sent to.

use std::fs;
use std::path::PathBuf;

use stemclock::store;

use crate::bench::{on_disk, run, text};

/// A garage on disk and its record as a PDF, with the hash that the program printed.
fn sent() -> (tempfile::TempDir, PathBuf, PathBuf, String) {
    let (dir, folder) = on_disk();
    let out = dir.path().join("sent.pdf");
    let done = run(&[
        "report",
        text(&folder),
        "--machine",
        "heron-7",
        "--kind",
        "record",
        "--out",
        text(&out),
        "--on",
        "2026-11-25",
        "--json",
    ]);
    assert_eq!((done.code, done.err.as_str()), (0, ""));
    let hash = done.json()["sha256"].as_str().unwrap().to_owned();
    (dir, folder, out, hash)
}

#[test]
fn an_intact_report_says_so_and_that_a_hash_is_no_signature() {
    let (_dir, _, out, hash) = sent();
    let done = run(&["verify", text(&out)]);
    assert_eq!((done.code, done.err.as_str()), (0, ""), "{}", done.out);
    assert!(done.out.contains("Intact: every page") && done.out.contains("no signature"), "{}", done.out);
    // As a person copies it from the last page: in eights, in capitals.
    let eights: Vec<String> =
        hash.to_uppercase().as_bytes().chunks(8).map(|c| String::from_utf8(c.to_vec()).unwrap()).collect();
    let json = run(&["verify", text(&out), "--sha256", &eights.join(" "), "--json"]).json();
    assert_eq!((json["intact"].as_bool(), json["sha256_as_sent"].as_bool()), (Some(true), Some(true)));
    let other = run(&["verify", text(&out), "--sha256", &"0".repeat(64)]);
    assert!(other.code == 3 && other.out.contains("NOT the hash"), "{}", other.out);
    let short = run(&["verify", text(&out), "--sha256", "12ab"]);
    assert!(short.code == 1 && short.err.contains("64 figures"), "{}", short.err);
}

#[test]
fn what_is_no_report_is_named_with_its_file() {
    let (dir, folder, out, _) = sent();
    let none = run(&["verify", text(&dir.path().join("none.pdf"))]);
    assert!(none.code == 1 && none.err.contains("none.pdf"), "{}", none.err);
    let record = run(&["verify", text(&folder.join("garage.ron"))]);
    assert!(record.code == 1 && record.err.contains("expected a PDF file"), "{}", record.err);
    let bytes = fs::read(&out).unwrap();
    let cut = dir.path().join("cut.pdf");
    fs::write(&cut, &bytes[..bytes.len() / 2]).unwrap();
    let damaged = run(&["verify", text(&cut)]);
    assert!(damaged.code == 1 && damaged.err.contains("damaged"), "{}", damaged.err);
}

#[test]
fn a_report_goes_into_a_garage_to_be_read_and_not_changed() {
    let (dir, _, out, hash) = sent();
    let mine = dir.path().join("mine");
    store::create(&mine, &Default::default()).unwrap();
    for expected in ["heron-7c1e", "heron-7c1e-2"] {
        let done = run(&["verify", text(&out), "--import", text(&mine)]);
        assert_eq!((done.code, done.err.as_str()), (0, ""), "{}", done.out);
        assert!(done.out.contains(&format!("in the garage as {expected}")), "{}", done.out);
        let is_told = done.out.contains("This very report was taken in before, as heron-7c1e:");
        assert_eq!(is_told, expected.ends_with("-2"), "{}", done.out);
    }
    let opened = store::read(&mine).unwrap();
    assert!(opened.unreadable.is_empty());
    assert_eq!(opened.garage.bays.len(), 2);
    let bay = &opened.garage.bays[0];
    assert_eq!((bay.inspections.len(), bay.inspections[1].findings.len()), (2, 1));
    assert!(bay.machine.read_only.as_ref().unwrap().contains(&hash));
    let edit = stemclock::edit::Command::RemoveInspection(bay.machine.id.clone(), bay.inspections[0].id.clone());
    let refused = stemclock::edit::decide(&opened.garage, &opened.catalogue, edit).unwrap_err().to_string();
    assert!(refused.contains("read and not changed"), "{refused}");
    let checked = run(&["validate", text(&mine)]);
    assert_eq!(checked.code, 0, "{}{}", checked.out, checked.err);
    // What was taken in is printed like any other machine.
    let again = run(&["status", text(&mine), "--on", "2026-11-25"]);
    assert!(again.out.to_lowercase().contains("do not ride"), "{}", again.out);
    // It is told to be somebody else's, and asks for nothing here.
    assert!(again.out.contains("(heron-7c1e), solo, read-only history"), "{}", again.out);
    let due = run(&["due", text(&mine), "--on", "2026-11-25", "--json"]).json();
    assert_eq!(due["due"].as_array().map(Vec::len), Some(0), "{due}");
}

#[test]
fn a_report_is_also_given_as_pictures_and_as_text() {
    let (dir, folder, ..) = sent();
    let pictures = dir.path().join("pictures");
    let done = run(&[
        "report",
        text(&folder),
        "--machine",
        "heron-7",
        "--kind",
        "record",
        "--png",
        text(&pictures),
        "--text",
        "--on",
        "2026-11-25",
    ]);
    assert_eq!((done.code, done.err.as_str()), (0, ""), "{}", done.out);
    assert!(done.out.starts_with("Heron\n") && done.out.contains("Not a statement of legal roadworthiness"));
    let first = image::open(pictures.join("record-heron-7c1e-01.png")).unwrap();
    // A4 at 150 pixels an inch (ISO 216: 210 by 297 mm).
    assert_eq!((first.width(), first.height()), (1240, 1754));
    let nothing = run(&["report", text(&folder), "--machine", "heron-7", "--kind", "record"]);
    assert!(nothing.code == 2 && nothing.err.contains("--out"), "{}", nothing.err);
}

#[test]
fn the_photos_on_its_pages_come_along_and_the_history_is_whole() {
    let dir = tempfile::tempdir().unwrap();
    let sample = dir.path().join("sample");
    store::copy_sample(&sample).unwrap();
    let out = dir.path().join("sent.pdf");
    for machine in ["Belt tourer", "Blue standard"] {
        let report = ["report", text(&sample), "--machine", machine, "--kind", "record", "--out", text(&out)];
        assert_eq!(run(&report).code, 0);
        let mine = dir.path().join(machine);
        store::create(&mine, &Default::default()).unwrap();
        let done = run(&["verify", text(&out), "--import", text(&mine)]);
        assert_eq!((done.code, done.err.as_str()), (0, ""), "{}", done.out);
        let checked = run(&["validate", text(&mine)]);
        assert_eq!(checked.code, 0, "{machine}: {}{}", checked.out, checked.err);
        let opened = store::read(&mine).unwrap();
        let theirs = store::read(&sample).unwrap();
        let sent = theirs.garage.bays.iter().find(|b| b.machine.name == machine).unwrap();
        let bay = &opened.garage.bays[0];
        assert_eq!((bay.inspections.len(), bay.events.len()), (sent.inspections.len(), sent.events.len()));
        let named = bay.inspections.iter().flat_map(|i| &i.findings).flat_map(|f| &f.photos);
        for photo in named.chain(&bay.machine.photos) {
            assert!(store::photo_bytes(&mine, &bay.machine.id, &photo.file).is_ok(), "{}", photo.file);
        }
        // It is judged as it was.
        let verdict = |folder: &PathBuf, id: &str| {
            let told = run(&["status", text(folder), "--on", "2026-11-25", "--json"]).json();
            let all = told["machines"].as_array().unwrap().clone();
            all.into_iter().find(|m| m["id"] == id).map(|m| m["decision"].clone()).unwrap()
        };
        assert_eq!(verdict(&mine, &bay.machine.id.0), verdict(&sample, &sent.machine.id.0), "{machine}");
    }
}

#[test]
fn an_altered_report_says_where_and_is_not_taken_in() {
    let (dir, _, out, _) = sent();
    let altered = dir.path().join("altered.pdf");
    // Another program lays a white box over the first page: an append of its own, in uncompressed form.
    let mut document = lopdf::Document::load(&out).unwrap();
    let page = document.page_iter().next().unwrap();
    document.add_page_contents(page, b"1 1 1 rg 60 600 300 100 re f".to_vec()).unwrap();
    document.save(&altered).unwrap();
    let done = run(&["verify", text(&altered)]);
    assert_eq!(done.code, 3, "{}{}", done.out, done.err);
    assert!(done.out.contains("Altered:") && done.out.contains("page 1: lines, areas or colours"), "{}", done.out);
    let mine = dir.path().join("mine");
    store::create(&mine, &Default::default()).unwrap();
    let refused = run(&["verify", text(&altered), "--import", text(&mine)]);
    assert!(refused.code == 1 && refused.err.contains("an altered one (page 1"), "{}", refused.err);
    assert!(store::read(&mine).unwrap().garage.bays.is_empty());
}

#[test]
fn a_changed_byte_in_the_attached_record_is_called_altered() {
    let (dir, _, out, _) = sent();
    let mut document = lopdf::Document::load(&out).unwrap();
    let mut is_changed = false;
    for object in document.objects.values_mut() {
        let Ok(stream) = object.as_stream_mut() else { continue };
        let Ok(mut plain) = stream.get_plain_content() else { continue };
        // The record begins with its schema; one byte of that word is another.
        let Some(at) = plain.windows(9).take(16).position(|w| w == b"schema: 1") else { continue };
        plain[at] = b'!';
        stream.set_plain_content(plain);
        is_changed = true;
    }
    assert!(is_changed, "the record was not found");
    let altered = dir.path().join("altered.pdf");
    document.save(&altered).unwrap();
    let done = run(&["verify", text(&altered)]);
    assert_eq!((done.code, done.err.as_str()), (3, ""), "{}", done.out);
    assert!(done.out.contains("Altered: the attached record cannot be read"), "{}", done.out);
    assert_eq!(run(&["verify", text(&altered), "--json"]).json()["intact"].as_bool(), Some(false));
}
