//! Words that no text of the house says: those of an official test, folders of one machine, hosts of package registries.

use std::fs;

use super::{called, root, under};

/// Where texts are: all that is handed on but the list of packages that cargo writes.
const PLACES: &[&str] = &[
    "README.md",
    "DEVELOPERS.md",
    "LICENSE",
    "Cargo.toml",
    ".ci",
    ".clippy.toml",
    ".deny.toml",
    ".gitignore",
    ".rustfmt.toml",
    "assets",
    "sample-garage",
    "src",
    "tests",
];

/// The files that hold these words to look for them.
const LOOKS_FOR_THEM: &[&str] =
    &["tests/tidy/words.rs", "tests/catalogue/main.rs", "tests/record/record.rs", "tests/rules.rs"];

/// Words of an official test: what is judged here must not look like one.
const OFFICIAL: &[&str] = &["certificate", "advisory"];

/// A word that stands only where it is denied, and the files where it is a name.
const ONLY_DENIED: (&str, &[&str]) = ("roadworth", &["assets/catalogue/regions.ron"]);

/// Folders of one machine. What follows a letter, a figure or a dot is a part of another path.
const FOLDERS: &[&str] = &["/tmp/", "/home/", "/root/", "/Users/", "/work/", "/mnt/", "C:\\"];

/// Files that need such a folder, with the reason.
const NEED_FOLDERS: &[(&str, &str)] = &[
    ("src/app/paths.rs", "a test reads what people type for a home folder"),
    ("src/ui/panels/photos/arrivals.rs", "a test pastes the paths that file managers copy"),
    ("tests/class/leak.rs", "a pack whose files would land outside is refused"),
    ("tests/strangers/packs.rs", "a pack whose files would land outside is refused"),
];

/// Hosts and names of package registries, in two parts, so that this file does not say them either.
const REGISTRIES: &[[&str; 2]] = &[
    ["crates", ".io"],
    ["docs", ".rs"],
    ["py", "pi"],
    ["python", "hosted"],
    ["npm", "js"],
    ["ruby", "gems"],
    ["proxy.go", "lang"],
    ["ana", "conda"],
    ["maven", ".org"],
];

/// A text of the house.
struct Text {
    path: String,
    /// What it says, with the line breaks and the joints of Rust's long strings as single blanks.
    words: String,
}

fn texts() -> Vec<Text> {
    let read = |path: std::path::PathBuf| {
        // What is no text (a picture, a PDF, a font) says no words.
        let text = String::from_utf8(fs::read(&path).unwrap()).ok()?;
        Some(Text { path: called(&path), words: run_on(&text) })
    };
    PLACES.iter().flat_map(|place| under(place)).filter_map(read).collect()
}

fn run_on(text: &str) -> String {
    let text = text.replace("\\n", " ");
    let words = text.split_whitespace().filter(|word| !["\\", "//", "///", "//!", "#"].contains(word));
    words.collect::<Vec<_>>().join(" ")
}

/// Whether what stands before a word, in small letters, denies it.
fn is_denied(before: &str) -> bool {
    let words = before.split(|c: char| !c.is_alphabetic()).filter(|word| !word.is_empty());
    words.rev().take(12).any(|word| ["not", "never", "no", "nor", "neither"].contains(&word))
}

/// The places of a word in a text, each as what stands before it and what stands from there on.
fn places<'a>(text: &'a str, word: &'a str) -> impl Iterator<Item = (&'a str, &'a str)> {
    text.match_indices(word).map(|(at, _)| text.split_at(at))
}

/// The end of one text and the beginning of another, to be shown.
fn around(before: &str, after: &str) -> String {
    let near: String = before.chars().rev().take(40).collect();
    let near: String = near.chars().rev().collect();
    near + &after.chars().take(40).collect::<String>()
}

/// What is wrong in a text.
fn wrong_in(text: &Text) -> Vec<String> {
    let mut wrong = Vec::new();
    let lower = text.words.to_lowercase();
    let mut say = |why: &str, before: &str, after: &str| {
        wrong.push(format!("{} says {why}: … {} …", text.path, around(before, after)));
    };
    for parts in REGISTRIES {
        let host = parts.concat();
        for (before, after) in places(&lower, &host) {
            say("a package registry by name", before, after);
        }
    }
    if !LOOKS_FOR_THEM.contains(&text.path.as_str()) {
        for word in OFFICIAL {
            for (before, after) in places(&lower, word) {
                say("a word of an official test", before, after);
            }
        }
        let (word, names) = ONLY_DENIED;
        for (before, after) in places(&lower, word) {
            if !names.contains(&text.path.as_str()) && !is_denied(before) {
                say("of a machine what only the law says", before, after);
            }
        }
        for folder in FOLDERS {
            for (before, after) in places(&text.words, folder) {
                let is_whole = !before.ends_with(|c: char| c.is_alphanumeric() || "._-~$}/".contains(c));
                if is_whole && !NEED_FOLDERS.iter().any(|(path, _)| *path == text.path) {
                    say("a folder of one machine", before, after);
                }
            }
        }
    }
    wrong
}

#[test]
fn no_text_says_what_nothing_here_may_say() {
    let texts = texts();
    println!("{} texts", texts.len());
    for place in PLACES {
        assert!(texts.iter().any(|text| text.path.starts_with(place)), "{place} was read");
    }
    let wrong: Vec<String> = texts.iter().flat_map(wrong_in).collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_exception_is_needed() {
    let all = texts();
    let text = |path: &str| all.iter().find(|text| text.path == path).unwrap_or_else(|| panic!("{path} is not there"));
    for (path, why) in NEED_FOLDERS {
        assert!(
            FOLDERS.iter().any(|folder| text(path).words.contains(folder)),
            "{path} needs no folder any more: {why}"
        );
    }
    for path in LOOKS_FOR_THEM {
        assert!(OFFICIAL.iter().any(|word| text(path).words.contains(word)), "{path} looks for none of the words");
    }
    for path in ONLY_DENIED.1 {
        assert!(text(path).words.contains(ONLY_DENIED.0), "{path} names nothing so any more");
    }
    assert!(root().join("Cargo.lock").is_file(), "cargo's own list is the one text that is left out");
}

#[test]
fn each_kind_of_word_is_found() {
    let said = |text: &str| wrong_in(&Text { path: "README.md".into(), words: run_on(text) }).len();
    assert_eq!(said("A Certificate of it"), 1);
    assert_eq!(said("It is roadworthy.") + said("Nothing new: it is roadworthy."), 2);
    assert_eq!(said("says \\\n    nothing of legal roadworthiness, and never that it is\n/// roadworthy"), 1);
    assert_eq!(said("It is not a statement of legal \\\n        roadworthiness."), 0);
    assert_eq!(said("let words = \"one\\n\\nNot a statement of roadworthiness\";"), 0);
    assert_eq!(said("in /tmp/x, in \"/home/me\", in C:\\x") + said("in target/tmp/x, in ~/work/x"), 3);
    assert_eq!(said(&format!("from {}", REGISTRIES[0].concat())), 1);
}
