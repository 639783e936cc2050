//! The invariants of the house, each in a file of its own: who may import whom, who touches files, the clock, the dialogs
//! and the PDF writer, how long a file may be, that each says what it is, and which words nothing here says.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops at the first surprise")]

mod files;
mod map;
mod reserved;
mod rooms;
mod tables;
mod words;

use std::fs;
use std::path::{Path, PathBuf};

/// A file of the program or of its tests.
struct Source {
    path: String,
    text: String,
    /// The code above the unit tests, comments left out.
    code: String,
}

/// The folder of the house.
fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// Every file under a place of the house that is a file itself or a folder, in order.
fn under(place: &str) -> Vec<PathBuf> {
    fn walk(path: PathBuf, into: &mut Vec<PathBuf>) {
        if path.is_dir() {
            for entry in fs::read_dir(path).unwrap() {
                walk(entry.unwrap().path(), into);
            }
        } else {
            into.push(path);
        }
    }
    let mut found = Vec::new();
    walk(root().join(place), &mut found);
    found.sort();
    found
}

/// A path as it is called in the house.
fn called(path: &Path) -> String {
    path.strip_prefix(root()).unwrap().to_string_lossy().replace('\\', "/")
}

/// The code of the program.
fn sources() -> Vec<Source> {
    sources_of("src")
}

/// The code of the program and of its tests.
fn every_source() -> Vec<Source> {
    sources_of("src").into_iter().chain(sources_of("tests")).collect()
}

fn sources_of(place: &str) -> Vec<Source> {
    let read = |path: PathBuf| {
        let text = fs::read_to_string(&path).unwrap();
        Source { path: called(&path), code: code_of(&text), text }
    };
    under(place).into_iter().filter(|p| p.extension().is_some_and(|e| e == "rs")).map(read).collect()
}

/// The code above the unit tests, comments left out.
fn code_of(text: &str) -> String {
    let above = text.split("#[cfg(test)]\nmod tests {").next().unwrap();
    above.lines().filter(|l| !l.trim_start().starts_with("//")).collect::<Vec<_>>().join("\n")
}

#[test]
fn code_ends_where_the_unit_tests_begin_and_not_before() {
    let text = "//! A.\n#[cfg(test)]\nmod fixture;\nfn a() {}\n#[cfg(test)]\nmod tests {\n    fn b() {}\n}\n";
    assert_eq!(code_of(text), "#[cfg(test)]\nmod fixture;\nfn a() {}");
    let tables = sources().into_iter().find(|s| s.path == "src/rules/mod.rs").unwrap();
    assert!(tables.code.contains("pub static RULES"), "the table of rules is read");
}
