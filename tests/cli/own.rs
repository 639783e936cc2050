//! What a garage brings of its own: a region and a check from its folders, judged with no line of code changed.

use std::fs;
use std::path::Path;

use stemclock::catalogue::Catalogue;
use stemclock::inspection::{CheckRef, Inspection, TreadPoint, Value, Zone};
use stemclock::store;
use stemclock::units::Length;

use crate::bench::{garage, run, text};

/// A law of an invented island: 2 mm since 2020, 3 mm from 2030 on, and a rule on one axle.
const ISLE: &str = r#"(
    id: "isle",
    name: "The isle",
    directive_in_force: false,
    laws: [(rule: "rim-runout", citation: "Isle act 7", from: "2020-01-01")],
    tread: [
        (minimum: "3 mm", geometry: ThinnestGroove, binds: true, citation: "Isle act 9", from: "2030-01-01"),
        (minimum: "2 mm", geometry: ThinnestGroove, binds: true, citation: "Isle act 4", from: "2020-01-01", until: "2029-12-31"),
    ],
)"#;

/// A check that no catalogue has, and a kind that asks it beside one that is built in.
const OWN: &str = r#"(
    id: "ferry",
    name: "before the ferry",
    called: "a look before the ferry",
    checks: These(["lashing-points", "tyre-tread"]),
    required: These(["lashing-points"]),
    lapses_after_days: 1,
    lapses_after_km: 50,
    own_checks: [
        (
            id: "lashing-points",
            title: "Lashing points",
            on: Machine,
            station: LeftFlank,
            why: "A machine that falls on the car deck takes others with it.",
            how: "Pull hard on each point by hand, in the direction of the strap.",
            stance: SideStand,
            engine: Off,
            minutes: 2.0,
            fields: [
                (id: "pulled", label: "Pulled by hand", kind: Choice([
                    (id: "firm", label: "firm"),
                    (id: "gives", label: "gives", fault: "gives"),
                ])),
            ],
            decided_by: ["pulled"],
            faults: [(id: "gives", words: "a lashing point gives", severity: Major)],
        ),
    ],
)"#;

/// The bench garage with one more inspection of the first machine, and the files given.
fn on_disk(files: &[(&str, &str)]) -> (tempfile::TempDir, std::path::PathBuf) {
    let dir = tempfile::tempdir().unwrap();
    let folder = dir.path().join("garage");
    let mut garage = garage();
    let mut look: Inspection = crate::bench::inspection("2026-11-24-ferry-cc", "2026-11-24");
    look.kind = "ferry".into();
    let mut put = |check: &str, field: &str, value: Value| {
        let answer = look.answers.entry(CheckRef::try_from(check.to_owned()).unwrap()).or_default();
        answer.readings.insert(field.into(), value);
    };
    put("lashing-points@machine", "pulled", Value::Choice("gives".into()));
    let point = |eighth: u32| TreadPoint {
        spot: stemclock::clock::Spot::from_degrees(45.0 * f64::from(eighth)).unwrap(),
        depths: Zone::TREAD.into_iter().map(|zone| (zone, Length::mm(1.7))).collect(),
    };
    put("tyre-tread@rear", "depths", Value::Tread((0..8).map(point).collect()));
    garage.bays[0].inspections.push(look);
    store::save_all(&folder, &garage).unwrap();
    for (path, words) in files {
        let path = folder.join(path);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, words).unwrap();
    }
    (dir, folder)
}

fn judge(folder: &Path, region: &str, on: &str) -> serde_json::Value {
    let done = run(&["judge", text(folder), "--machine", "heron-7c1e", "--region", region, "--on", on, "--json"]);
    assert_eq!(done.code, 0, "{}", done.err);
    done.json()
}

fn check<'a>(judged: &'a serde_json::Value, id: &str) -> &'a serde_json::Value {
    judged["checks"].as_array().unwrap().iter().find(|c| c["check"] == id).unwrap()
}

#[test]
fn a_region_and_a_check_from_a_garages_folders_are_judged_with_no_line_of_code() {
    let (_dir, folder) = on_disk(&[("regions/isle.ron", ISLE), ("kinds/ferry.ron", OWN)]);
    let judged = judge(&folder, "ISLE", "2026-11-25");
    assert_eq!(judged["region"], "isle");
    assert_eq!(judged["decision"], "do-not-ride");
    let lashing = check(&judged, "lashing-points@machine");
    assert_eq!((lashing["severity"].as_str(), lashing["required"].as_bool()), (Some("major"), Some(true)));
    let tread = check(&judged, "tyre-tread@rear");
    assert_eq!(tread["severity"], "dangerous", "1.7 mm under the 2 mm of this year's act");
    let proof = &tread["judgements"][0];
    let source = proof["limit"]["source"].as_str().unwrap();
    assert!(
        source.contains("Isle act 4") && source.contains("in force from 1 January 2020 to 31 December 2029"),
        "{source}"
    );
    // What is not yet law is told and does not bind.
    let later =
        proof["others"].as_array().unwrap().iter().find(|o| o["source"].as_str().unwrap().contains("Isle act 9"));
    assert!(later.unwrap()["value"].as_str().unwrap().contains("not in force today"), "{proof}");
    // The same readings under the machine's own region, and what the move changed.
    let changed = &judged["changed_by_region"][0];
    assert_eq!((changed["check"].as_str(), changed["before"].as_str()), (Some("tyre-tread@rear"), Some("sound")));
    assert_eq!(changed["here"], "dangerous");
    // The day chooses the law.
    let before = judge(&folder, "isle", "2019-06-01");
    assert_eq!(check(&before, "tyre-tread@rear")["severity"], serde_json::Value::Null, "no act was in force");
    let after = judge(&folder, "isle", "2031-06-01");
    let source = check(&after, "tyre-tread@rear")["judgements"][0]["limit"]["source"].as_str().unwrap();
    assert!(source.contains("Isle act 9"), "{source}");
    let done = run(&["validate", text(&folder)]);
    assert_eq!((done.code, done.err.as_str()), (0, ""), "{}", done.out);
}

#[test]
fn a_state_without_rules_here_takes_those_of_the_country_and_an_unknown_place_is_told() {
    let (_dir, folder) = on_disk(&[("kinds/ferry.ron", OWN)]);
    assert_eq!(judge(&folder, "us-tx", "2026-11-25")["region"], "us");
    let done = run(&["judge", text(&folder), "--machine", "heron-7c1e", "--region", "moon"]);
    assert_eq!(done.code, 1);
    for words in ["expected a region", "us-md", "found \"moon\"", "regions"] {
        assert!(done.err.contains(words), "{words}: {}", done.err);
    }
}

#[test]
fn a_bad_file_is_told_by_line_and_column_and_the_rest_counts() {
    for (path, words, expected) in [
        (
            "kinds/horn.ron",
            "(\n  own_checks: [(id: \"horn\", title: \"Horn\", on: Machine, station: Bars, why: \"w\", how: \"h\", stance: SideStand, engine: Off, minutes: 1.0)],\n)",
            "kinds/horn.ron:2:21: expected an id that no check has yet, found \"horn\"",
        ),
        ("kinds/odd.ron", "(\n  id: \"odd\",\n  nmae: \"x\",\n)", "kinds/odd.ron:3:"),
        ("kinds/half.ron", "(id: \"half\", name: \"half\")", "found no called"),
        ("kinds/none.ron", "()", "found no id"),
        (
            "kinds/what.ron",
            "(id: \"what\", name: \"w\", called: \"a what\", checks: These([\n\"hron\"]), required: All, lapses_after_days: 1, lapses_after_km: 1)",
            "kinds/what.ron:2:1: expected checks that are there in the kind what, found \"hron\"",
        ),
        (
            "regions/gb.ron",
            "(id: \"gb\", name: \"Mine\", directive_in_force: false, tread: [])",
            "regions/gb.ron:1:6: expected an id that no region has yet",
        ),
        (
            "regions/deep.ron",
            "(id: \"deep\", name: \"Deep\", directive_in_force: false, tread: [(minimum: \"0 mm\", geometry: ThinnestGroove, binds: true, citation: \"x\")])",
            "expected a least depth above zero",
        ),
        (
            "regions/uncited.ron",
            "(id: \"uncited\", name: \"U\", directive_in_force: false, tread: [(minimum: \"1 mm\", geometry: ThinnestGroove, binds: true, citation: \" \")])",
            "expected the document that a rule stands in",
        ),
        (
            "regions/rule.ron",
            "(id: \"rule\", name: \"R\", directive_in_force: false, laws: [(rule: \"rim-runuot\", citation: \"x\")], tread: [])",
            "expected the id of a rule (cold-pressure",
        ),
        (
            "regions/turned.ron",
            "(id: \"turned\", name: \"T\", directive_in_force: false, tread: [(minimum: \"1 mm\", geometry: ThinnestGroove, binds: true, citation: \"x\", from: \"2026-01-01\", until: \"2025-01-01\")])",
            "expected a last day in force on or after the first",
        ),
    ] {
        let (_dir, folder) = on_disk(&[("regions/isle.ron", ISLE), ("kinds/ferry.ron", OWN), (path, words)]);
        let done = run(&["validate", text(&folder)]);
        assert_eq!(done.code, 1, "{path}: {}", done.out);
        assert!(done.out.contains(expected), "{path}: expected {expected} in {}", done.out);
        assert!(done.out.contains("1 problem") && done.out.contains("expected"), "{path}: {}", done.out);
        assert_eq!(judge(&folder, "isle", "2026-11-25")["region"], "isle", "{path} stops nothing else");
    }
}

#[test]
fn an_entry_that_says_so_stands_in_the_place_of_a_built_in_one() {
    let horn = r#"(own_checks: [(id: "horn", replaces: true, title: "Klaxon", on: Machine, station: Bars, why: "w", how: "h",
        stance: SideStand, engine: Off, minutes: 1.0)])"#;
    let (_dir, folder) = on_disk(&[("kinds/ferry.ron", OWN), ("kinds/horn.ron", horn)]);
    let catalogue = store::read(&folder).unwrap().catalogue;
    assert_eq!(catalogue.check("horn").unwrap().title, "Klaxon");
    assert_eq!(catalogue.checks.iter().filter(|c| c.id == "horn").count(), 1);
}

/// The built-in region of Great Britain as a file of a garage, with a least tread of a tenth of its own.
fn gb_made_lenient() -> String {
    let mut region = Catalogue::builtin().region("gb").unwrap().clone();
    region.replaces = true;
    for law in &mut region.tread {
        law.minimum = Length::mm(0.1);
    }
    ron::to_string(&region).unwrap()
}

/// The words and the file of a report on the first machine.
fn reported(folder: &Path, kind: &str, to: &Path) -> (String, std::path::PathBuf) {
    let out = to.join(format!("{kind}.pdf"));
    let mut asked = vec!["report", text(folder), "--kind", kind, "--on", "2026-11-25", "--text", "--out", text(&out)];
    if kind != "garage" {
        asked.extend(["--machine", "heron-7c1e"]);
    }
    if kind == "comparison" {
        asked.extend(["--against", "2026-03-01"]);
    }
    let done = run(&asked);
    assert_eq!(done.code, 0, "{}", done.err);
    (done.out.split_whitespace().collect::<Vec<_>>().join(" "), out)
}

/// The garage with the machine under the rules of Great Britain, and the files given.
fn in_britain(files: &[(&str, &str)]) -> (tempfile::TempDir, std::path::PathBuf) {
    let (dir, folder) = on_disk(files);
    let mut bay = store::read(&folder).unwrap().garage.bays.swap_remove(0);
    bay.machine.region = "gb".into();
    let opened = store::read(&folder).unwrap();
    let command = stemclock::edit::Command::EditMachine(bay.machine);
    let change = stemclock::edit::decide(&opened.garage, &opened.catalogue, command).unwrap();
    store::save(&folder, &change).unwrap();
    (dir, folder)
}

const CHANGED: &str = "Great Britain, as changed by this garage (regions/gb.ron)";

#[test]
fn whatever_names_the_rules_names_the_file_that_changed_them() {
    let (dir, folder) = in_britain(&[("regions/gb.ron", &gb_made_lenient()), ("kinds/ferry.ron", OWN)]);
    for asked in [
        &["judge", text(&folder), "--machine", "heron-7c1e", "--on", "2026-11-25"][..],
        &["status", text(&folder), "--on", "2026-11-25", "--anew"],
        &["status", text(&folder), "--on", "2026-11-25", "--anew", "--json"],
        &["validate", text(&folder)],
        &["judge", text(&folder), "--machine", "heron-7c1e", "--json"],
    ] {
        let done = run(asked);
        assert_eq!(done.code, 0, "{asked:?}: {}", done.err);
        assert!(done.out.contains(CHANGED), "{asked:?}: {}", done.out);
    }
    let judged = run(&["judge", text(&folder), "--machine", "heron-7c1e", "--on", "2026-11-25"]).out;
    assert!(judged.contains(&format!("Rules: {CHANGED}")), "{judged}");
    assert!(!judged.contains("meets the law"), "{judged}");
    assert!(judged.contains("meets this garage's own rule (regions/gb.ron) all round: at least 0.1 mm"), "{judged}");
    // The document is not cited alone for a figure that it does not hold.
    let cites = judged.lines().filter(|l| l.contains("Construction and Use") && l.contains("0.1 mm"));
    let cites: Vec<&str> = cites.collect();
    assert!(
        !cites.is_empty() && cites.iter().all(|l| l.contains("as changed by this garage (regions/gb.ron)")),
        "{judged}"
    );
    for kind in ["record", "sale", "garage", "comparison"] {
        let (words, out) = reported(&folder, kind, dir.path());
        assert!(words.contains(CHANGED), "{kind}: {words}");
        assert!(!words.contains("Great Britain Record"), "{kind}: {words}");
        let verified = run(&["verify", text(&out)]);
        assert_eq!(verified.code, 0, "{kind}: {}{}", verified.out, verified.err);
        let words = format!("by rules changed by the garage: the region {CHANGED}");
        assert!(verified.out.contains(&words), "{kind}: {}", verified.out);
    }
    let mine = dir.path().join("mine");
    store::create(&mine, &Default::default()).unwrap();
    let taken = run(&["verify", text(&dir.path().join("sale.pdf")), "--import", text(&mine)]);
    assert!(taken.out.contains(CHANGED) && taken.out.contains("not taken in"), "{}{}", taken.out, taken.err);
}

#[test]
fn what_is_built_in_is_named_as_before() {
    let (dir, folder) = in_britain(&[("kinds/ferry.ron", OWN)]);
    let judged = run(&["judge", text(&folder), "--machine", "heron-7c1e", "--on", "2026-11-25"]).out;
    assert!(judged.contains("Rules: Great Britain\n") && judged.contains("meets the law all round"), "{judged}");
    assert!(judged.contains("on a look before the ferry, of this garage (kinds/ferry.ron), of"), "{judged}");
    let (_, out) = reported(&folder, "record", dir.path());
    let verified = run(&["verify", text(&out)]);
    assert!(verified.out.contains("by rules of the garage's own: the kind before the ferry"), "{}", verified.out);
}

#[test]
fn the_verdict_names_a_changed_kind_and_a_changed_check() {
    let ride = r#"(id: "ride", replaces: true, name: "before a ride", called: "a before-ride look", checks: These(["horn"]),
        required: These([]), lapses_after_days: 90, lapses_after_km: 9000)"#;
    // Cord that shows is dangerous by the directive; this file calls it minor.
    let mut look = Catalogue::builtin().check("tyre-look").unwrap().clone();
    look.replaces = true;
    for fault in look.faults.iter_mut().filter(|f| f.id == "cord") {
        fault.severity = stemclock::inspection::Severity::Minor;
    }
    let look = format!("(own_checks: [{}])", ron::to_string(&look).unwrap());
    let (dir, folder) = on_disk(&[("kinds/quick.ron", ride), ("kinds/look.ron", &look)]);
    fs::remove_file(folder.join("machines/heron-7c1e/inspections/2026-11-24-ferry-cc.ron")).unwrap();
    let judged = run(&["judge", text(&folder), "--machine", "heron-7c1e", "--on", "2026-11-25"]);
    let verdict = judged.out.lines().nth(1).unwrap();
    assert!(
        verdict.contains("a before-ride look, as changed by this garage (kinds/quick.ron), of"),
        "{}{}",
        judged.out,
        judged.err
    );
    assert!(
        verdict.contains("judged by the check") && verdict.contains("as changed by this garage (kinds/look.ron)"),
        "{verdict}"
    );
    let class = judged.out.lines().find(|l| l.trim_start().starts_with("class")).unwrap();
    assert!(class.contains("5.2.3") && class.contains("as changed by this garage (kinds/look.ron)"), "{class}");
    let (words, _) = reported(&folder, "sale", dir.path());
    assert!(words.contains("as changed by this garage (kinds/look.ron)"), "{words}");
}

#[test]
fn a_pack_says_at_the_door_which_rules_it_brings() {
    let dir = tempfile::tempdir().unwrap();
    let folder = dir.path().join("garage");
    store::copy_sample(&folder).unwrap();
    fs::create_dir_all(folder.join("regions")).unwrap();
    fs::write(folder.join("regions/gb.ron"), gb_made_lenient()).unwrap();
    let courses = store::read(&folder).unwrap().garage.courses;
    let pack = dir.path().join("class.zip");
    let packed = run(&["class", text(&folder), "--key", &courses[0].exercise.id.0, "--pack", text(&pack)]);
    assert!(packed.code == 0 && packed.out.contains(CHANGED), "{}{}", packed.out, packed.err);
    let unpacked = run(&["class", text(&dir.path().join("mine")), "--unpack", text(&pack)]);
    assert!(unpacked.code == 0 && unpacked.out.contains(CHANGED), "{}{}", unpacked.out, unpacked.err);
}
