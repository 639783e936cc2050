//! Every file, of the tests too: it says what it is, it is not too long, its tests are run, and it allows no lint without
//! a reason. And the top level holds what it should.

use std::fs;

use super::{every_source, root};

#[test]
fn every_file_says_what_it_is_and_none_is_too_long() {
    let sources = every_source();
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

/// The attributes of a text, each in one line with the number of the line where it begins.
fn attributes(text: &str) -> Vec<(usize, String)> {
    let mut found = Vec::new();
    let mut open: Option<(usize, String)> = None;
    for (index, line) in text.lines().enumerate() {
        let line = line.trim();
        let (number, mut words) = match open.take() {
            Some(begun) => begun,
            None if line.starts_with("#[") || line.starts_with("#![") => (index + 1, String::new()),
            None => continue,
        };
        words.push_str(line);
        if words.matches('[').count() > words.matches(']').count() {
            open = Some((number, words));
        } else {
            found.push((number, words));
        }
    }
    found
}

/// What is wrong with an attribute.
fn wrong_with(attribute: &str) -> Option<&'static str> {
    let inner = attribute.trim_start_matches('#').trim_start_matches('!').trim_start_matches('[');
    // Under a condition it is the same: `#[cfg_attr(…, ignore)]`.
    let says = |word: &str| {
        inner.starts_with(word)
            || inner.starts_with("cfg_attr(") && inner.split([',', ' ']).any(|part| part.starts_with(word))
    };
    if says("ignore") {
        return Some("a test that is not run says nothing");
    }
    let allows = says("allow(") || says("expect(");
    (allows && !attribute.contains("reason = ")).then_some("a lint is allowed without a reason")
}

#[test]
fn tests_are_run_and_lints_are_allowed_with_a_reason() {
    let mut wrong = Vec::new();
    for source in every_source() {
        for (number, attribute) in attributes(&source.text) {
            wrong.extend(wrong_with(&attribute).map(|why| format!("{}:{number}: {why}", source.path)));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn an_attribute_is_read_over_its_lines() {
    let text =
        "#![allow(\n    one,\n    two,\n)]\nfn a() {}\n    #[expect(one, reason = \"it [is] so\")]\n#[test]\n#[ignore]";
    let found: Vec<_> =
        attributes(text).into_iter().map(|(line, words)| (line, wrong_with(&words).is_some())).collect();
    assert_eq!(found, [(1, true), (6, false), (7, false), (8, true)]);
    assert!(wrong_with("#[cfg_attr(windows, ignore = \"slow\")]").is_some());
    assert!(wrong_with("#[cfg_attr(test, allow(one))]").is_some());
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
    let root = root();
    for entry in fs::read_dir(root).unwrap() {
        let name = entry.unwrap().file_name().to_string_lossy().into_owned();
        assert!(name.starts_with('.') || allowed.contains(&name.as_str()), "{name} has no place at the top level");
    }
}
