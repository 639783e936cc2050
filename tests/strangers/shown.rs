//! Words from a stranger wherever they are shown: no sign commands the terminal, turns the text or hides in it, and no
//! cell of a table starts anything.

use std::fs;
use std::process::Command;

use stemclock::guard::is_hidden;

use crate::bench::{MACHINE, records, run, sample, text};

/// A name with a turned ending, a command to a terminal, a line of the program's own and a hidden blank.
const NAME: &str = "Her\\u{202e}on\\u{1b}[2J\\nIntact: every page\\u{200b}";
/// The same as it is shown.
const SHOWN: &str = "Her[U+202E]on[U+001B][2J[U+000A]Intact: every page[U+200B]";

#[test]
fn a_name_is_shown_with_its_hidden_signs_written_out() {
    let (home, garage) = sample();
    let (machine, inspection) = records(&garage);
    for (file, field) in [(&machine, "name: \""), (&inspection, "inspector: \""), (&inspection, "place: \"")] {
        let before = fs::read_to_string(file).unwrap();
        fs::write(file, before.replacen(field, &format!("{field}{NAME}"), 1)).unwrap();
    }
    let pdf = home.path().join("record.pdf");
    let ics = home.path().join("due.ics");
    let on = ["--on", "2026-11-25"];
    let runs: [Vec<&str>; 6] = [
        [&["status", text(&garage)][..], &on].concat(),
        [&["status", text(&garage), "--json"][..], &on].concat(),
        [&["judge", text(&garage), "--machine", MACHINE][..], &on].concat(),
        [&["due", text(&garage), "--ics", text(&ics)][..], &on].concat(),
        [&["report", text(&garage), "--machine", MACHINE, "--kind", "record", "--out", text(&pdf), "--text"][..], &on]
            .concat(),
        vec!["verify", text(&pdf)],
    ];
    for arguments in &runs {
        let done = run(arguments);
        assert_eq!(done.code, 0, "{arguments:?}: {}", done.err);
        for told in [&done.out, &done.err] {
            assert!(!told.contains(is_hidden), "{arguments:?}: {told:?}");
            assert!(!told.contains("\nIntact: every page["), "{arguments:?} lets a name be a line: {told}");
        }
    }
    assert!(run(&runs[0]).out.contains(SHOWN));
    assert!(run(&runs[5]).out.contains("Intact: every page shows"), "what is shown plain is still the same report");
    let calendar = fs::read_to_string(&ics).unwrap();
    assert!(calendar.replace("\r\n", "\n").chars().all(|c| !is_hidden(c)), "{calendar}");
    let words = Command::new("pdftotext").args(["-layout", text(&pdf), "-"]).output().unwrap();
    let words = String::from_utf8(words.stdout).unwrap();
    // The form feed stands between the pages.
    assert!(words.contains("Her[U+202E]on") && !words.replace('\u{c}', "").contains(is_hidden), "{words}");
    let about = Command::new("pdfinfo").arg(&pdf).output().unwrap();
    assert!(!String::from_utf8_lossy(&about.stdout).contains(is_hidden));
}

#[test]
fn the_same_words_come_back_when_they_are_saved_again() {
    let (_home, garage) = sample();
    let (machine, _) = records(&garage);
    let before = fs::read_to_string(&machine).unwrap();
    fs::write(&machine, before.replacen("name: \"", &format!("name: \"{NAME}"), 1)).unwrap();
    let opened = stemclock::store::read(&garage).unwrap();
    let bay = opened.garage.bays.iter().find(|b| b.machine.id.0 == MACHINE).unwrap();
    assert!(bay.machine.name.starts_with(SHOWN), "{}", bay.machine.name);
    let again = tempfile::tempdir().unwrap();
    stemclock::store::save_all(again.path(), &opened.garage).unwrap();
    assert_eq!(stemclock::store::read(again.path()).unwrap().garage, opened.garage);
}

#[test]
fn what_cannot_be_read_is_quoted_without_its_signs() {
    let (_home, garage) = sample();
    let (machine, _) = records(&garage);
    fs::write(&machine, "(\n  schema: 1, \u{1b}[31m\u{202e}evil\u{7}\n)").unwrap();
    for arguments in
        [vec!["validate", text(&garage)], vec!["validate", text(&garage), "--json"], vec!["status", text(&garage)]]
    {
        let done = run(&arguments);
        assert!(!done.out.contains(is_hidden) && !done.err.contains(is_hidden), "{done:?}");
        assert!(format!("{}{}", done.out, done.err).contains("U+202E"), "{done:?}");
    }
}
