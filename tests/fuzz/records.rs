//! Records as text: the reader that opening uses against the general one, and a garage's own regions and kinds.

use std::fs;
use std::path::{Path, PathBuf};

use stemclock::catalogue::Catalogue;
use stemclock::guard::is_hidden;
use stemclock::store::{By, Sort, normal_form, reads};

use crate::driver::Target;

/// Every record of the sample garage, and of those that older versions wrote.
fn sample() -> Vec<PathBuf> {
    fn walk(folder: &Path, into: &mut Vec<PathBuf>) {
        for entry in fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                walk(&path, into);
            } else if path.extension().is_some_and(|ending| ending == "ron") {
                into.push(path);
            }
        }
    }
    let mut found = Vec::new();
    let home = Path::new(env!("CARGO_MANIFEST_DIR"));
    walk(&home.join("sample-garage"), &mut found);
    walk(&home.join("tests/old_garages"), &mut found);
    found.sort();
    assert!(found.len() > 50, "{}", found.len());
    found
}

/// By which word at its head a text is read; each sort where none is there.
const HEADS: [(&str, Sort); 8] = [
    ("garage", Sort::Garage),
    ("machine", Sort::Machine),
    ("inspection", Sort::Inspection),
    ("event", Sort::Event),
    ("kind", Sort::Kinds),
    ("exercise", Sort::Exercise),
    ("key", Sort::Key),
    ("sheet", Sort::Sheet),
];

/// Reads a text as one sort, by both readers, and gives what came of it.
fn read(sort: Sort, bytes: &[u8]) -> String {
    let opened = normal_form(sort, By::Opening, bytes);
    let general = normal_form(sort, By::General, bytes);
    match (opened, general) {
        (Ok(opened), Ok(general)) => {
            assert!(opened == general, "the two readers differ in {sort:?}:\n{opened}\n{general}");
            let again = normal_form(sort, By::Opening, opened.as_bytes());
            assert_eq!(again.as_ref(), Ok(&opened), "{sort:?} does not come back the same");
            assert!(!opened.contains(is_hidden), "hidden signs are in {opened:?}");
            // Which fields are there is what came of it, and whether the swift reader took it.
            let fields = opened.lines().map(|line| line.split_once(':').map_or(line.trim(), |(name, _)| name.trim()));
            let is_swift = reads(sort, By::Swift, bytes).is_ok();
            std::iter::once(if is_swift { "swift " } else { "general " }).chain(fields).collect()
        }
        (Err(opened), Err(general)) => {
            assert_eq!(opened, general, "{sort:?}");
            let words = general.to_string();
            assert!(words.len() < 4000 && !words.contains(is_hidden), "{words:?}");
            words
        }
        (opened, general) => panic!("only one of the two readers takes it as {sort:?}: {opened:?} {general:?}"),
    }
}

pub mod loader {
    use super::*;

    pub fn target() -> Target {
        let seeds = sample().iter().map(|path| fs::read(path).unwrap()).collect();
        let catalogue = Catalogue::builtin().clone();
        Target {
            name: "loader",
            seeds,
            words: &[
                "(",
                ")",
                "[",
                "]",
                "{",
                "}",
                ",",
                ":",
                "\"",
                "Some(",
                "None",
                "r#",
                "r\"",
                "/*",
                "*/",
                "//",
                "schema: 2,",
                "schema: 1,",
                "schema: 0,",
                "<<<<<<< a\n",
                "Sound",
                "Number(",
                "Choice(",
                "Quantity(",
                "photos: [",
                "findings: [",
                "carried: {",
                "note: \"",
                "Wheel(position: Rear, zone: RimFlange(Left), spot: ",
                "\\u{202e}",
                "\\x00",
                "b\"",
                "'a'",
                "true",
                "()",
                "#![enable(implicit_some)]",
                "#![enable(unwrap_newtypes)]",
                "replaces: true,",
                "checks: [",
                "tread: [",
                "\"36 psi\"",
                "\"1e308 psi\"",
                "\"2026-02-30\"",
                "\"+262143-01-01\"",
            ],
            most: 256 << 10,
            rounds: 300,
            run: Box::new(move |bytes| {
                let head = String::from_utf8_lossy(&bytes[..bytes.len().min(60)]).into_owned();
                let named = HEADS.iter().find(|(word, _)| head.contains(&format!("Stemclock {word} record")));
                let mut came = match named {
                    Some((_, sort)) => read(*sort, bytes),
                    None => Sort::ALL.map(|sort| read(sort, bytes)).concat(),
                };
                // A garage's own files have no head.
                if named.is_none()
                    && let Ok(text) = std::str::from_utf8(bytes)
                {
                    let mut with = catalogue.clone();
                    came +=
                        &with.add_region("regions/x.ron", text).map_or_else(|e| e.to_string(), |()| "region".into());
                    for error in with.add_kinds(&[("kinds/x.ron".to_owned(), text.to_owned())]) {
                        came += &error.to_string();
                    }
                }
                came
            }),
        }
    }
}
