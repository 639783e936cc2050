//! The commands that read a garage: status, validate, judge; on sound and on damaged folders.

use std::fs;

use stemclock::store;

use crate::bench::{cord, garage, on_disk, run, text};

const MACHINE_FILE: &str = "machines/heron-7c1e/machine.ron";

#[test]
fn status_tells_each_machine_with_its_verdict_and_open_findings() {
    let (_dir, folder) = on_disk();
    let done = run(&["status", text(&folder), "--on", "2026-11-25"]);
    assert_eq!((done.code, done.err.as_str()), (0, ""));
    for words in
        ["Heron (heron-7c1e)", "Do not ride", "1 dangerous", "cord", "5 days ago", "Little one", "Not yet decided"]
    {
        assert!(done.out.contains(words), "{words}: {}", done.out);
    }
    assert!(!done.out.contains("the old one") && done.out.contains("1 more put away"), "{}", done.out);
    assert!(run(&["status", text(&folder), "--all"]).out.contains("the old one"));

    let json = run(&["status", text(&folder), "--on", "2026-11-25", "--json"]).json();
    assert_eq!(json["garage"], "Test bench");
    let heron = &json["machines"][0];
    assert_eq!((heron["id"].as_str(), heron["decision"].as_str()), (Some("heron-7c1e"), Some("do-not-ride")));
    assert_eq!(heron["open"]["dangerous"], 1);
    assert_eq!(heron["findings"][0]["check"], "tyre-look@front");
    assert_eq!(heron["last_inspection"]["age_days"], 5);
    let moped = &json["machines"][1];
    assert_eq!((moped["decision"].as_str(), moped["last_inspection"].is_null()), (Some("not-yet-decided"), true));
}

#[test]
fn the_exit_code_follows_the_verdict_only_when_asked() {
    let (_dir, folder) = on_disk();
    let folder = text(&folder);
    for (arguments, code) in [
        (vec!["status", folder], 0),
        (vec!["status", folder, "--fail-on", "do-not-ride"], 3),
        (vec!["status", folder, "--fail-on", "not-fit"], 3),
        (vec!["judge", folder, "--machine", "heron"], 0),
        (vec!["judge", folder, "--machine", "heron", "--fail-on", "do-not-ride"], 3),
        // The earlier inspection found nothing and checked nothing: not decided, but not "do not ride".
        (vec!["judge", folder, "--machine", "heron", "--inspection", "2026-03", "--fail-on", "not-fit"], 0),
        (vec!["judge", folder, "--machine", "heron", "--inspection", "2026-03", "--fail-on", "not-decided"], 3),
    ] {
        let done = run(&arguments);
        assert_eq!(done.code, code, "{arguments:?}: {}", done.err);
        assert!(!done.out.is_empty(), "{arguments:?} answers whatever its exit code");
    }
}

#[test]
fn judge_shows_each_judgement_with_its_source() {
    let (_dir, folder) = on_disk();
    let done = run(&["judge", text(&folder), "--machine", "HERON"]);
    assert_eq!(done.code, 0, "{}", done.err);
    for words in ["Do not ride", "dangerous", "5.2.3 d", "not law here", "Not checked", "(required)"] {
        assert!(done.out.contains(words), "{words}: {}", done.out);
    }
    let json = run(&["judge", text(&folder), "--machine", "heron-7c1e", "--json"]).json();
    assert_eq!(json["decision"], "do-not-ride");
    assert_eq!(json["inspection"]["id"], "2026-11-20-ride-bb");
    let checks = json["checks"].as_array().unwrap();
    let look = checks.iter().find(|c| c["check"] == "tyre-look@front").unwrap();
    assert_eq!((look["status"].as_str(), look["severity"].as_str()), (Some("has-a-finding"), Some("dangerous")));
    assert!(look["judgements"][0]["graded_by"][0].as_str().unwrap().contains("5.2.3 d"));
    // A judgement without a source is a bug.
    for judgement in checks.iter().flat_map(|c| c["judgements"].as_array().unwrap()) {
        let outcome = judgement["outcome"].as_str().unwrap();
        let sourced = !judgement["graded_by"].as_array().unwrap().is_empty() || !judgement["limit"].is_null();
        assert!(sourced || ["noted", "refused"].contains(&outcome), "{judgement}");
    }
}

#[test]
fn a_machine_is_found_by_id_name_or_beginning_and_never_guessed() {
    let (_dir, folder) = on_disk();
    let folder = text(&folder);
    for wanted in ["heron-7c1e", "heron-7", "Heron", "  heron ", "HERON-7C"] {
        let done = run(&["judge", folder, "--machine", wanted]);
        assert!(done.code == 0 && done.out.contains("heron-7c1e"), "{wanted}: {}", done.err);
    }
    let done = run(&["judge", folder, "--machine", "her"]);
    assert_eq!((done.code, done.out.as_str()), (1, ""));
    assert!(done.err.contains("heron-7c1e") && done.err.contains("heron-old-99zz"), "{}", done.err);
    for nobody in ["crane", "", "x"] {
        let done = run(&["judge", folder, "--machine", nobody]);
        assert_eq!(done.code, 1);
        assert!(done.err.contains("moped-11aa (Little one)"), "{nobody}: the candidates are listed: {}", done.err);
    }
    let done = run(&["judge", folder, "--machine", "moped-11aa"]);
    assert!(done.code == 1 && done.err.contains("an inspection of Little one, found none"), "{}", done.err);
    let done = run(&["judge", folder, "--machine", "heron", "--inspection", "2019"]);
    assert!(done.code == 1 && done.err.contains("2026-11-20-ride-bb"), "{}", done.err);
    let done = run(&["judge", folder, "--machine", "heron", "--inspection", "2026"]);
    assert!(done.code == 1 && done.err.contains("only one"), "{}", done.err);
}

#[test]
fn what_cannot_be_read_is_named_and_the_rest_answers() {
    let (_dir, folder) = on_disk();
    let file = folder.join(MACHINE_FILE);
    let sound = fs::read_to_string(&file).unwrap();
    let damaged = sound.replacen("name:", "nmae:", 1);
    assert_ne!(sound, damaged);
    fs::write(&file, &damaged).unwrap();

    let done = run(&["status", text(&folder)]);
    assert_eq!(done.code, 0);
    assert!(done.err.contains(&format!("{MACHINE_FILE}:")) && done.err.contains("nmae"), "{}", done.err);
    assert!(done.out.contains("Little one") && !done.out.contains("heron-7c1e"), "{}", done.out);
    let json = run(&["status", text(&folder), "--json"]).json();
    assert_eq!(json["unreadable"][0]["path"], MACHINE_FILE);

    let done = run(&["validate", text(&folder)]);
    assert_eq!(done.code, 1);
    let line = 1 + damaged.lines().position(|l| l.contains("nmae")).unwrap();
    assert!(done.out.contains(&format!("{MACHINE_FILE}:{line}:")), "{}", done.out);
    let json = run(&["validate", text(&folder), "--json"]).json();
    assert_eq!(json["problems"][0]["line"], line);
    assert_eq!(fs::read_to_string(&file).unwrap(), damaged, "reading changes nothing");
}

#[test]
fn validate_is_content_with_a_sound_garage() {
    let (_dir, folder) = on_disk();
    let done = run(&["validate", text(&folder)]);
    assert_eq!(done.code, 0, "{}", done.out);
    assert!(done.out.contains("No problem found: 3 machines, 5 records read."), "{}", done.out);
}

#[test]
fn a_folder_that_is_no_garage_is_refused_with_the_way_out() {
    let dir = tempfile::tempdir().unwrap();
    let missing = dir.path().join("missing");
    let file = dir.path().join("file");
    fs::write(&file, "text").unwrap();
    for command in ["status", "validate"] {
        for (path, words) in [
            (dir.path(), "expected garage.ron"),
            (missing.as_path(), "found nothing"),
            (file.as_path(), "found a file"),
        ] {
            let done = run(&[command, text(path)]);
            assert_eq!((done.code, done.out.as_str()), (1, ""), "{command} {path:?}");
            assert!(done.err.contains(words), "{command} {path:?}: {}", done.err);
        }
    }
}

#[test]
fn a_day_that_is_none_is_a_usage_error() {
    let (_dir, folder) = on_disk();
    let done = run(&["status", text(&folder), "--on", "25/11/2026"]);
    assert_eq!(done.code, 2);
    assert!(done.err.contains("expected a day that exists") && done.err.contains("2026-11-25"), "{}", done.err);
}

#[test]
fn a_dangerous_finding_of_an_earlier_day_is_not_lost_by_judging_the_newest_look() {
    // House rule 3: a dangerous clears only by repair and a second look, never by a later look that is silent on it.
    let dir = tempfile::tempdir().unwrap();
    let folder = dir.path().join("garage");
    let mut garage = garage();
    garage.bays[0].inspections[1].findings.clear();
    garage.bays[0].inspections[0].findings.push(cord("f-old"));
    store::save_all(&folder, &garage).unwrap();
    let judge = |more: &[&str]| {
        let mut all = vec!["judge", text(&folder), "--machine", "Heron", "--on", "2026-11-25"];
        all.extend(more);
        run(&all)
    };
    let done = judge(&["--fail-on", "do-not-ride"]);
    assert_eq!(done.code, 3, "{}", done.out);
    assert!(
        done.out.contains("Where the machine stands") && done.out.contains("open since 1 March 2026"),
        "{}",
        done.out
    );
    let json = judge(&["--json"]).json();
    assert_eq!(json["decision"], "not-yet-decided", "the newest look by itself");
    assert_eq!(json["stands"]["decision"], "do-not-ride");
    assert_eq!(json["stands"]["open_from_earlier"][0]["finding"], "f-old");
}
