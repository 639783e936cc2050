//! Which room may name which.

use super::sources;

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

fn room(path: &str) -> Option<&'static str> {
    let inner = path.strip_prefix("src/")?;
    if inner.starts_with("report/") {
        return Some(if inner.starts_with("report/content") { "report::content" } else { "report::engine" });
    }
    let first = inner.split('/').next()?.trim_end_matches(".rs");
    rooms().find(|name| *name == first)
}

/// Every room by its name.
pub fn rooms() -> impl Iterator<Item = &'static str> {
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
