//! Every command on a copy of the sample garage, as a first-time user would try them.

use std::path::PathBuf;

use stemclock::store;

use crate::bench::{run, text};

/// A copy of the sample garage, so that nobody edits the repository's own.
fn sample() -> (tempfile::TempDir, PathBuf) {
    let dir = tempfile::tempdir().unwrap();
    let folder = dir.path().join("sample");
    store::copy_sample(&folder).unwrap();
    (dir, folder)
}

#[test]
fn the_sample_garage_answers_every_command() {
    let (dir, folder) = sample();
    let folder = text(&folder);
    let done = run(&["validate", folder]);
    assert_eq!((done.code, done.err.as_str()), (0, ""), "{}", done.out);

    let status = run(&["status", folder, "--on", "2026-11-25", "--json"]).json();
    let machines = status["machines"].as_array().unwrap();
    assert_eq!((machines.len(), status["unreadable"].as_array().unwrap().len()), (4, 0));
    let decision = |wanted: &str| machines.iter().filter(|m| m["decision"] == wanted).count();
    // The issue asks for one machine with a dangerous finding and one half-done inspection.
    assert_eq!((decision("do-not-ride"), decision("not-yet-decided")), (1, 1));

    for machine in machines {
        let id = machine["id"].as_str().unwrap();
        let name = machine["name"].as_str().unwrap();
        let judged = run(&["judge", folder, "--machine", name, "--on", "2026-11-25", "--json"]);
        assert_eq!(judged.code, 0, "{name}: {}", judged.err);
        assert_eq!(judged.json()["machine"]["id"], id);
        let out = dir.path().join(format!("{id}.pdf"));
        let report =
            run(&["report", folder, "--machine", id, "--kind", "record", "--out", text(&out), "--on", "2026-11-25"]);
        assert_eq!((report.code, report.err.as_str()), (0, ""), "{name}");
        assert!(std::fs::read(&out).unwrap().starts_with(b"%PDF-"), "{name}");
    }
}

#[test]
fn two_answers_about_the_same_day_are_the_same() {
    let (_dir, folder) = sample();
    for command in [vec!["status"], vec!["judge", "--machine", "outfit"]] {
        let mut all = vec![command[0], text(&folder)];
        all.extend(&command[1..]);
        all.extend(["--on", "2026-11-25", "--json"]);
        assert_eq!(run(&all).out, run(&all).out);
    }
}

#[test]
fn the_readings_behind_a_judgement_carry_their_units_in_their_names() {
    let (_dir, folder) = sample();
    let json = run(&["judge", text(&folder), "--machine", "tourer", "--json"]).json();
    let checks = json["checks"].as_array().unwrap();
    let readings = |id: &str| &checks.iter().find(|c| c["check"] == id).unwrap()["readings"];
    // 36 psi, as the sample has it, is 248.2112626 kPa (check value 13.1).
    let cold = readings("tyre-pressure@front")["cold"]["pressure_kpa"].as_f64().unwrap();
    assert!((cold - 248.211_262_6).abs() < 1e-6, "{cold}");
    let first = &readings("tyre-tread@front")["depths"]["tread"][0];
    // 4/32 in is 3.175 mm.
    assert_eq!(
        (first["clock_from_right"].as_str(), first["depth_mm"]["centre of the tread"].as_f64()),
        (Some("12:00"), Some(3.175))
    );
    assert!(readings("disc@front.left")["runout"]["dial"][0]["reading_mm"].is_f64());
}
