//! The invariants of the house: who may import whom, who touches files, the clock, the dialogs and the PDF writer,
//! how long a file may be, and that each says what it is.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops at the first surprise")]

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

/// Each room and the rooms it may name. A room may always name itself.
#[rustfmt::skip]
const ROOMS: &[(&str, &[&str])] = &[
    ("guard", &[]),
    ("units", &[]),
    ("clock", &[]),
    ("physics", &["units"]),
    ("stats", &[]),
    ("photo", &["guard"]),
    ("tyre", &["units"]),
    ("machine", &["units", "clock", "tyre", "photo"]),
    ("inspection", &["units", "clock", "tyre", "photo", "machine"]),
    ("exercise", &["units", "machine", "inspection"]),
    ("survey", &["units", "clock", "inspection", "stats"]),
    ("garage", &["guard", "catalogue", "units", "machine", "inspection", "exercise"]),
    ("history", &["units", "clock", "tyre", "machine", "inspection", "garage", "stats"]),
    ("catalogue", &["guard", "units", "clock", "tyre", "machine", "inspection"]),
    ("rules", &["survey", "units", "clock", "physics", "tyre", "machine", "inspection", "garage", "history", "catalogue"]),
    ("forecast", &["guard", "survey", "units", "clock", "tyre", "machine", "inspection", "garage", "history", "catalogue", "rules", "stats"]),
    ("class", &["guard", "units", "clock", "machine", "inspection", "exercise", "garage", "catalogue", "rules", "stats"]),
    ("walk", &["units", "clock", "machine", "inspection", "garage", "catalogue", "rules", "forecast"]),
    ("guide", &["units", "machine", "inspection", "garage", "catalogue", "walk"]),
    ("edit", &["units", "clock", "photo", "machine", "inspection", "exercise", "garage", "history", "catalogue"]),
    ("reckon", &["survey", "units", "clock", "physics", "tyre", "machine", "inspection", "catalogue", "rules", "stats", "forecast"]),
    ("repair", &["units", "clock", "machine", "inspection", "garage", "history", "catalogue", "rules", "reckon"]),
    ("drawing", &["survey", "units", "clock", "tyre", "machine", "inspection"]),
    ("report::engine", &["drawing", "guard"]),
    (
        "report::content",
        &["guard", "survey", "units", "clock", "tyre", "photo", "machine", "inspection", "exercise", "garage", "history", "catalogue", "rules", "class", "walk", "guide", "repair", "forecast", "drawing", "report"],
    ),
    ("store", &["guard", "units", "clock", "photo", "machine", "inspection", "exercise", "garage", "history", "catalogue", "rules", "edit"]),
];

/// The outer rooms, which may name every room but these.
const OUTER: &[(&str, &[&str])] = &[("ui", &["store", "app", "cli"]), ("app", &["cli"]), ("cli", &["ui"])];

/// Words that only these files may say, with the reason.
const RESERVED: &[(&str, &[&str], &str)] = &[
    ("printpdf", &["src/report/pdf.rs", "src/report/pdf/"], "only the PDF writer names printpdf"),
    ("lopdf", &["src/report/pdf.rs", "src/report/pdf/"], "only the PDF writer and reader name lopdf"),
    ("rfd::", &["src/app/dialogs.rs"], "only one file opens the system's dialogs"),
    ("std::fs", &["src/store/"], "only the store touches files"),
    ("fs::write", &["src/store/medium.rs"], "what changes a disk goes through one seam, where a test can refuse it"),
    ("fs::rename", &["src/store/medium.rs"], "what changes a disk goes through one seam, where a test can refuse it"),
    ("fs::remove", &["src/store/medium.rs"], "what changes a disk goes through one seam, where a test can refuse it"),
    ("fs::create", &["src/store/medium.rs"], "what changes a disk goes through one seam, where a test can refuse it"),
    ("sync_all", &["src/store/medium.rs"], "what changes a disk goes through one seam, where a test can refuse it"),
    ("OpenOptions", &["src/store/medium.rs"], "what changes a disk goes through one seam, where a test can refuse it"),
    ("File::create", &["src/store/medium.rs"], "what changes a disk goes through one seam, where a test can refuse it"),
    ("File::", &["src/store/"], "only the store touches files"),
    ("Local::now", &["src/app/clock.rs"], "only one file reads the clock"),
    ("Utc::now", &["src/app/clock.rs"], "only one file reads the clock"),
    ("SystemTime::now", &["src/app/clock.rs"], "only one file reads the clock"),
    ("process::Command", &[], "a garage can start nothing"),
    ("std::net", &[], "the program talks to nobody"),
    ("std::env::var", &["src/app/", "src/cli/window.rs"], "only the window looks at its surroundings"),
    ("Color32::from_", &["src/ui/theme/"], "only the theme makes colours"),
    ("egui", &["src/ui/", "src/app/", "src/lib.rs"], "only the window knows egui"),
];

struct Source {
    path: String,
    text: String,
    /// The code above the unit tests, comments left out.
    code: String,
}

fn sources() -> Vec<Source> {
    fn walk(dir: &Path, into: &mut Vec<PathBuf>) {
        for entry in fs::read_dir(dir).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                walk(&path, into);
            } else if path.extension().is_some_and(|e| e == "rs") {
                into.push(path);
            }
        }
    }
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut paths = Vec::new();
    walk(&root.join("src"), &mut paths);
    paths.sort();
    let read = |path: &PathBuf| {
        let text = fs::read_to_string(path).unwrap();
        let code = text
            .split("#[cfg(test)]")
            .next()
            .unwrap()
            .lines()
            .filter(|l| !l.trim_start().starts_with("//"))
            .collect::<Vec<_>>()
            .join("\n");
        Source { path: path.strip_prefix(root).unwrap().to_string_lossy().into_owned(), text, code }
    };
    paths.iter().map(read).collect()
}

fn room(path: &str) -> Option<&'static str> {
    let inner = path.strip_prefix("src/")?;
    if inner.starts_with("report/") {
        return Some(if inner.starts_with("report/content") { "report::content" } else { "report::engine" });
    }
    let first = inner.split('/').next()?.trim_end_matches(".rs");
    rooms().find(|name| *name == first)
}

/// Every room by its name.
fn rooms() -> impl Iterator<Item = &'static str> {
    ROOMS.iter().chain(OUTER).map(|(name, _)| *name)
}

/// Whether a room may name another one.
fn may_name(room: &str, other: &str) -> bool {
    let listed =
        |table: &'static [(&str, &[&str])]| table.iter().find(|(name, _)| *name == room).map(|(_, list)| *list);
    match (listed(ROOMS), listed(OUTER)) {
        (Some(allowed), _) => allowed.contains(&other),
        (None, Some(forbidden)) => !forbidden.contains(&other),
        (None, None) => false,
    }
}

/// The rooms that a text names as `crate::room`, also inside `use crate::{a::x, b::y}`.
fn named_rooms(code: &str) -> Vec<String> {
    let mut named = Vec::new();
    for (at, _) in code.match_indices("crate::") {
        let rest = &code[at + "crate::".len()..];
        if rest.starts_with('{') {
            panic!(
                "write one `use crate::room::…` a room, so that this test can read it: {}",
                &rest[..60.min(rest.len())]
            );
        }
        named.push(rest.chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect());
    }
    named
}

#[test]
fn rooms_name_only_the_rooms_they_may() {
    let mut wrong = Vec::new();
    for source in sources() {
        if ["src/main.rs", "src/lib.rs"].contains(&source.path.as_str()) {
            continue;
        }
        let Some(room) = room(&source.path) else {
            wrong.push(format!("{} is in no room: give it a line in ROOMS", source.path));
            continue;
        };
        let own = room.split("::").next().unwrap();
        for named in named_rooms(&source.code) {
            if named != own && !may_name(room, &named) {
                wrong.push(format!("{} names {named}, which {room} may not", source.path));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn the_report_engine_and_the_window_keep_apart() {
    for source in sources() {
        if room(&source.path) == Some("report::engine") {
            assert!(!source.code.contains("super::content"), "{}: the engine knows no content", source.path);
        }
        if room(&source.path) == Some("ui") {
            assert!(!source.code.contains("report::pdf"), "{}: the window paints pages, it writes no PDF", source.path);
        }
    }
}

#[test]
fn reserved_words_stay_where_they_belong() {
    let mut wrong = Vec::new();
    for source in sources() {
        for (word, places, why) in RESERVED {
            if source.code.contains(word) && !places.iter().any(|place| source.path.starts_with(place)) {
                wrong.push(format!("{} says {word}: {why}", source.path));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_file_says_what_it_is_and_none_is_too_long() {
    let sources = sources();
    let mut lengths: Vec<usize> = Vec::new();
    let mut wrong = Vec::new();
    for source in &sources {
        let lines = source.text.lines().count();
        lengths.push(lines);
        if !source.text.starts_with("//!") {
            wrong.push(format!("{} does not begin with what it is (//!)", source.path));
        }
        if lines > 600 {
            wrong.push(format!("{} has {lines} lines, more than 600: it says more than one thing", source.path));
        }
    }
    lengths.sort_unstable();
    println!(
        "{} files, median {} lines, longest {}",
        lengths.len(),
        lengths[lengths.len() / 2],
        lengths.last().unwrap()
    );
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn the_top_level_holds_what_it_should_and_nothing_else() {
    let allowed = [
        "Cargo.toml",
        "Cargo.lock",
        "README.md",
        "DEVELOPERS.md",
        "LICENSE",
        "src",
        "assets",
        "tests",
        "sample-garage",
        "target",
    ];
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    for entry in fs::read_dir(root).unwrap() {
        let name = entry.unwrap().file_name().to_string_lossy().into_owned();
        assert!(name.starts_with('.') || allowed.contains(&name.as_str()), "{name} has no place at the top level");
    }
}

#[test]
fn the_map_for_contributors_names_every_room() {
    let map = fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("DEVELOPERS.md")).unwrap();
    let missing: Vec<&str> = rooms()
        .map(|name| name.split("::").next().unwrap())
        .filter(|name| !map.contains(&format!("`{name}`")))
        .collect();
    assert!(missing.is_empty(), "DEVELOPERS.md does not name {missing:?}");
}

/// The table of rules as DEVELOPERS.md must hold it, made of the rules themselves.
fn table_of_rules() -> String {
    let mut table = String::from("| rule | checks | what it judges, and by which sources |\n|---|---|---|\n");
    for rule in stemclock::rules::RULES {
        let checks = match rule.checks() {
            [] => "every check".to_owned(),
            some => some.iter().map(|c| format!("`{c}`")).collect::<Vec<_>>().join(", "),
        };
        table.push_str(&format!("| `{}` | {checks} | {} |\n", rule.id(), rule.explain()));
    }
    table
}

#[test]
fn the_map_for_contributors_holds_the_table_of_rules_as_they_are() {
    let map = fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("DEVELOPERS.md")).unwrap();
    let table = table_of_rules();
    assert!(
        map.contains(&table),
        "the table of rules in DEVELOPERS.md is not that of RULES; put this there:\n\n{table}"
    );
    let missing: Vec<&str> =
        stemclock::reckon::CALCULATORS.iter().map(|c| c.id).filter(|id| !map.contains(&format!("`{id}`"))).collect();
    assert!(missing.is_empty(), "DEVELOPERS.md does not name the calculators {missing:?}");
}

#[test]
fn the_map_for_contributors_holds_the_table_of_limits_as_they_are() {
    let map = fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("DEVELOPERS.md")).unwrap();
    let mut table = String::from("| limit | at most | why this number |\n|---|---|---|\n");
    for limit in stemclock::guard::LIMITS {
        let most = match limit.most {
            bytes if limit.unit == "bytes" && bytes % (1 << 20) == 0 => format!("{} MiB", bytes >> 20),
            most => format!("{most} {}", limit.unit),
        };
        table.push_str(&format!("| {} | {most} | {} |\n", limit.what, limit.why));
    }
    assert!(map.contains(&table), "the table of limits in DEVELOPERS.md is not LIMITS; put this there:\n\n{table}");
}

#[test]
fn tests_are_run_and_lints_are_allowed_with_a_reason() {
    let mut wrong = Vec::new();
    for source in sources() {
        for (number, line) in source.text.lines().enumerate() {
            let line = line.trim();
            if line.starts_with("#[ignore") {
                wrong.push(format!("{}:{}: a test that is not run says nothing", source.path, number + 1));
            }
            let allows = line.starts_with("#[allow(") || line.starts_with("#![allow(") || line.starts_with("#[expect(");
            if allows && line.ends_with(")]") && !line.contains("reason = ") {
                wrong.push(format!("{}:{}: a lint is allowed without a reason", source.path, number + 1));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn rules_and_calculators_are_each_one_file_and_one_line_in_one_table() {
    // A rule file that is not in the table would judge nothing, and nobody would notice.
    let table = fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("src/rules/mod.rs")).unwrap();
    let mut seen = BTreeMap::new();
    for source in sources().iter().filter(|s| s.path.starts_with("src/rules/") && s.code.contains("impl Rule for")) {
        let file = source
            .path
            .trim_start_matches("src/rules/")
            .trim_end_matches(".rs")
            .trim_end_matches("/mod")
            .replace('/', "::");
        let module = file.split("::").last().unwrap().to_owned();
        let lines = table
            .lines()
            .filter(|l| l.contains(&format!("&{module}::")) || l.contains(&format!("::{module}::")))
            .count();
        assert!(lines >= 1, "{} is in no line of RULES", source.path);
        *seen.entry(module).or_insert(0) += 1;
    }
    assert!(!seen.is_empty(), "no rule was found at all");
    let table = fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("src/reckon/mod.rs")).unwrap();
    let mut count = 0;
    for source in sources().iter().filter(|s| s.path.starts_with("src/reckon/")) {
        let Some((_, name)) = source.code.split_once("impl Reckon for ") else { continue };
        let name: String = name.chars().take_while(|c| c.is_alphanumeric()).collect();
        assert!(table.contains(&format!("of::<{name}>()")), "{} is in no line of CALCULATORS", source.path);
        count += 1;
    }
    assert_eq!(count, stemclock::reckon::CALCULATORS.len(), "every calculator is a file of its own");
}
