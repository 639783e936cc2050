//! Records in the very form that this program writes, read at speed. Anything else about a text, a remark, an escape, a
//! name twice, is answered with "unusual", and the general reader then reads it and says what is wrong. Must not know
//! paths.
//!
//! It stands beside the general reader because of what it saves: `tests/benches/readers.rs` measures both in one run. What is read here reads the same there: a test sends thousands of damaged records through both.

mod tokens;
mod values;

use std::fmt;

use serde::de::{self, DeserializeOwned};

use tokens::Swift;

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Unusual;

impl fmt::Display for Unusual {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("unusual")
    }
}
impl std::error::Error for Unusual {}
impl de::Error for Unusual {
    fn custom<T: fmt::Display>(_: T) -> Self {
        Self
    }
    fn unknown_field(_: &str, _: &'static [&'static str]) -> Self {
        Self
    }
    fn unknown_variant(_: &str, _: &'static [&'static str]) -> Self {
        Self
    }
    fn invalid_type(_: de::Unexpected<'_>, _: &dyn de::Expected) -> Self {
        Self
    }
    fn invalid_value(_: de::Unexpected<'_>, _: &dyn de::Expected) -> Self {
        Self
    }
    fn missing_field(_: &'static str) -> Self {
        Self
    }
}

type Outcome<T> = Result<T, Unusual>;

/// Reads a record whose first field is the schema `known`.
pub(super) fn read<T: DeserializeOwned>(text: &str, known: u32) -> Outcome<T> {
    let mut swift = Swift::new(text)?;
    swift.schema(known)?;
    let record = T::deserialize(&mut swift)?;
    if swift.is_at_end() { Ok(record) } else { Err(Unusual) }
}

#[cfg(test)]
mod tests {
    use std::path::{Path, PathBuf};

    use super::*;
    use crate::exercise::{Exercise, Key, Sheet};
    use crate::garage::GarageInfo;
    use crate::inspection::{Event, Inspection};
    use crate::machine::Machine;
    use crate::store::codec;
    use crate::store::stored::Stored;

    fn records(folder: &Path, into: &mut Vec<(PathBuf, String)>) {
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                records(&path, into);
            } else if path.extension().is_some_and(|e| e == "ron") {
                let text = std::fs::read_to_string(&path).unwrap();
                into.push((path, text));
            }
        }
    }

    fn sample() -> Vec<(PathBuf, String)> {
        let mut found = Vec::new();
        records(&Path::new(env!("CARGO_MANIFEST_DIR")).join("sample-garage"), &mut found);
        assert!(found.len() > 80, "{}", found.len());
        found.sort();
        found
    }

    /// Whether the swift reader takes a text; where it does, the general reader must read the very same.
    fn agree<T: Stored + fmt::Debug>(path: &Path, text: &str) -> bool {
        let Ok(swift) = read::<T>(text, crate::machine::SCHEMA) else { return false };
        let Some(flaw) = swift.flaw() else {
            let general = codec::decode_any_form::<T>("x.ron", text.as_bytes());
            let general =
                general.unwrap_or_else(|e| panic!("{}: only the swift reader takes it: {e}\n{text}", path.display()));
            assert_eq!(format!("{swift:?}"), format!("{general:?}"), "{}\n{text}", path.display());
            return true;
        };
        assert!(codec::decode_any_form::<T>("x.ron", text.as_bytes()).is_err(), "{}", flaw.message);
        true
    }

    fn agree_on(path: &Path, text: &str) -> bool {
        let name = |p: &Path| p.file_name().and_then(|n| n.to_str()).unwrap_or_default().to_owned();
        match (name(path.parent().unwrap()).as_str(), name(path).as_str()) {
            ("inspections", _) => agree::<Inspection>(path, text),
            ("events", _) => agree::<Event>(path, text),
            ("sheets", _) => agree::<Sheet>(path, text),
            (_, "machine.ron") => agree::<Machine>(path, text),
            (_, "garage.ron") => agree::<GarageInfo>(path, text),
            (_, "exercise.ron") => agree::<Exercise>(path, text),
            (_, "key.ron") => agree::<Key>(path, text),
            _ => panic!("{} is of no sort that is read swiftly", path.display()),
        }
    }

    #[test]
    fn every_record_of_the_sample_is_read_swiftly_and_the_same() {
        for (path, text) in sample() {
            let is_swift = agree_on(&path, &text);
            // A photo with words and marks is for the general reader.
            assert!(is_swift || text.contains("photos: [\n") || text.contains("photos: [("), "{}", path.display());
        }
    }

    #[test]
    fn a_damaged_record_is_never_taken_by_the_swift_reader_alone() {
        const PIECES: [&str; 27] = [
            "(",
            ")",
            "{",
            "}",
            "[",
            "]",
            ",",
            ":",
            "\"",
            "None",
            "Some(",
            "-",
            ".",
            "0",
            "1e9",
            "inf",
            "\\n",
            " ",
            "\n",
            "//",
            "/* */",
            "Sound",
            "schema: 2,",
            "r#x",
            "\u{202e}",
            "\u{200b}",
            "\\u{1b}",
        ];
        let records = sample();
        let mut rng = fastrand::Rng::with_seed(8);
        let mut taken = 0;
        for _ in 0..12_000 {
            let (path, text) = &records[rng.usize(..records.len())];
            let mut damaged: Vec<char> = text.chars().collect();
            for _ in 0..rng.usize(1..3) {
                let at = rng.usize(..damaged.len());
                let end = (at + rng.usize(0..6)).min(damaged.len());
                match rng.u8(..5) {
                    0 => drop(damaged.drain(at..end)),
                    1 => drop(damaged.splice(at..end, PIECES[rng.usize(..PIECES.len())].chars())),
                    2 => damaged.insert(at, PIECES[rng.usize(..PIECES.len())].chars().next().unwrap()),
                    3 => damaged[at] = char::from(rng.u8(1..127)),
                    // A whole line twice, or out of its place.
                    _ => {
                        let text: String = damaged.iter().collect();
                        let mut lines: Vec<&str> = text.split_inclusive('\n').collect();
                        let line = lines[rng.usize(..lines.len())];
                        lines.insert(rng.usize(..lines.len()), line);
                        damaged = lines.concat().chars().collect();
                    }
                }
            }
            taken += usize::from(agree_on(path, &damaged.into_iter().collect::<String>()));
        }
        assert!(taken > 300, "the damage leaves some records readable, {taken}");
    }

    #[test]
    fn a_name_that_stands_twice_is_never_taken() {
        let twice = "(\n    schema: 1,\n    id: \"a\",\n    kind: \"ride\",\n    date: \"2026-01-02\",\n    answers: {\n        \
                     \"horn@machine\": (state: Sound),\n        \"horn@machine\": (state: Unchecked),\n    },\n)\n";
        assert_eq!(read::<Inspection>(twice, 1), Err(Unusual));
        assert!(codec::decode_any_form::<Inspection>("x.ron", twice.as_bytes()).is_err());
    }
}
