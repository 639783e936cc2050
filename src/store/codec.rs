//! Records as RON text and back, with the place of what cannot be read. Must not know paths beyond their names.

use std::collections::BTreeSet;
use std::fmt;

use ron::extensions::Extensions;
use ron::ser::PrettyConfig;
use serde::de::{self, Deserialize, Deserializer, EnumAccess, MapAccess, SeqAccess, VariantAccess, Visitor};

use super::hints;
use super::migrate;
use super::problem::Problem;
use super::stored::Stored;
use super::swift;
use crate::guard;
use crate::guard::limits::{RECORD_BYTES, RECORD_VALUES};
use crate::machine::SCHEMA;

/// Greatest size of a file of records, in bytes.
pub(super) const FILE_CAP: u64 = RECORD_BYTES.most;

fn options() -> ron::Options {
    ron::Options::default().with_default_extension(Extensions::IMPLICIT_SOME)
}

/// A record as text, the same text for the same record on every system. Errors: a value that must not be stored, and
/// whatever could not be read again, such as words longer than are taken.
pub(super) fn encode<T: Stored>(record: &T) -> Result<String, String> {
    if let Some(flaw) = record.flaw() {
        return Err(flaw.message);
    }
    // Beyond this depth one line holds the whole of a value, so that a clock position of a survey is one line.
    let pretty = PrettyConfig::new().new_line("\n").indentor("    ").depth_limit(5);
    let body = options().to_string_pretty(record, pretty).map_err(|e| {
        format!("expected a record that can be written, found that it cannot ({e}): please report this")
    })?;
    let text = format!(
        "// A Stemclock {} record. It may be edited as text; comments are lost when Stemclock saves the record again.\n{body}\n",
        T::WHAT
    );
    if text.len() > RECORD_BYTES.size() {
        return Err(format!(
            "expected a record of at most {FILE_CAP} bytes, found {}: shorten its words, or divide it",
            text.len()
        ));
    }
    decode::<T>(T::WHAT, text.as_bytes()).map_err(|problem| problem.message)?;
    Ok(text)
}

/// The text of a file without the mark that some editors put at its head. Errors: what is no text.
pub(super) fn text(path: &str, bytes: &[u8]) -> Result<String, Problem> {
    let text = match std::str::from_utf8(bytes) {
        Ok(text) => text.strip_prefix('\u{feff}').unwrap_or(text),
        Err(e) => {
            let good = String::from_utf8_lossy(&bytes[..e.valid_up_to()]).into_owned();
            let line = good.matches('\n').count() + 1;
            let column = good.rsplit('\n').next().unwrap_or("").chars().count() + 1;
            let lossy = String::from_utf8_lossy(bytes);
            let message = format!(
                "expected text in UTF-8, found the byte 0x{:02X}: save the file as UTF-8 in a text editor",
                bytes[e.valid_up_to()]
            );
            return Err(Problem::at(path, &lossy, line, column, message));
        }
    };
    if text.trim().is_empty() {
        return Err(Problem::whole(
            path,
            "expected a record, found an empty file: restore it from a backup, or remove the file",
        ));
    }
    if text.contains('\0') {
        return Err(Problem::whole(
            path,
            "expected text, found zero bytes, as after a power cut: restore the file from a backup",
        ));
    }
    if let Some(line) = text.lines().position(|l| l.starts_with("<<<<<<< ") || l.starts_with(">>>>>>> ")) {
        return Err(Problem::at(
            path,
            text,
            line + 1,
            1,
            "expected a record, found the mark of a merge that was not settled: keep one of the two parts and remove the marks",
        ));
    }
    Ok(text.to_owned())
}

/// Reads a record. The path is for the messages only.
pub(super) fn decode<T: Stored>(path: &str, bytes: &[u8]) -> Result<T, Problem> {
    // Nearly every record is as this program wrote it, and is read many times faster as such.
    decode_swiftly(bytes).map_or_else(|| decode_any_form(path, bytes), Ok)
}

/// Reads a record that is sound and in the very form that this program writes; none where it is not.
pub(super) fn decode_swiftly<T: Stored>(bytes: &[u8]) -> Option<T> {
    let text = std::str::from_utf8(bytes).ok()?;
    if schema_at_head(text) != Some(SCHEMA) {
        return None;
    }
    swift::read::<T>(text, SCHEMA).ok().filter(|record| record.flaw().is_none())
}

/// Reads a record in whatever form a person may have given it, or says what is wrong with it.
pub(super) fn decode_any_form<T: Stored>(path: &str, bytes: &[u8]) -> Result<T, Problem> {
    let text = text(path, bytes)?;
    // The outline first: a file of a newer schema may hold fields that this version does not know.
    let outline: Result<Outline, _> = guard::from_ron(&text, &RECORD_VALUES);
    // Where a newer file cannot even be outlined, the number at its head is still believed.
    let schema = outline.as_ref().map_or_else(|_| schema_at_head(&text), |o| o.schema);
    match schema {
        Some(found) if found > SCHEMA => {
            let message = format!(
                "expected schema {SCHEMA} or older, found schema {found}: open the garage with a newer version of Stemclock; this file is left as it is"
            );
            let mut problem = Problem::near(path, &text, "schema", message);
            problem.newer_schema = Some(found);
            return Err(problem);
        }
        Some(0) => {
            let message = format!("expected schema 1 to {SCHEMA}, found 0: write schema: {SCHEMA}");
            return Err(Problem::near(path, &text, "schema", message));
        }
        _ => {}
    }
    let (text, outline) = match schema {
        Some(found) if found < SCHEMA => {
            let text = migrate::bring_up(T::WHAT, &text, migrate::STEPS, SCHEMA)
                .map_err(|message| Problem::near(path, &text, "schema", message))?;
            let outline = guard::from_ron::<Outline>(&text, &RECORD_VALUES);
            (text, outline)
        }
        _ => (text, outline),
    };
    let record: T = guard::from_ron(&text, &RECORD_VALUES).map_err(|e| hints::explain(path, &text, &e))?;
    // Where the record reads well and the outline does not, a key stands twice.
    outline.map_err(|e| hints::explain(path, &text, &e))?;
    match record.flaw() {
        Some(flaw) => Err(Problem::near(path, &text, &flaw.needle, flaw.message)),
        None => Ok(record),
    }
}

/// The number after the first `schema:` of a text.
pub(super) fn schema_at_head(text: &str) -> Option<u32> {
    // The remark at the head may hold the word too.
    let record = text.trim_start();
    let record = if record.starts_with("//") { record.split_once('\n')?.1 } else { record };
    let (_, after) = record.split_once("schema:")?;
    let digits: String = after.trim_start().chars().take_while(char::is_ascii_digit).collect();
    digits.parse().ok()
}

/// The outline of any RON text: the schema at its head, and no key twice. RON itself would keep the last of two equal
/// keys and lose the first without a word.
struct Outline {
    schema: Option<u32>,
}

impl<'de> Deserialize<'de> for Outline {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        Ok(Self { schema: deserializer.deserialize_any(Walk)?.schema })
    }
}

/// What the walk remembers of a value: its text where it can be a key, its number where it can be a schema.
#[derive(Default)]
struct Seen {
    key: Option<String>,
    number: Option<u32>,
    schema: Option<u32>,
}

impl<'de> Deserialize<'de> for Seen {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(Walk)
    }
}

struct Walk;

impl<'de> Visitor<'de> for Walk {
    type Value = Seen;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a value")
    }
    fn visit_bool<E>(self, _: bool) -> Result<Seen, E> {
        Ok(Seen::default())
    }
    fn visit_i64<E>(self, n: i64) -> Result<Seen, E> {
        Ok(Seen { number: u32::try_from(n).ok(), ..Seen::default() })
    }
    fn visit_u64<E>(self, n: u64) -> Result<Seen, E> {
        Ok(Seen { number: Some(u32::try_from(n).unwrap_or(u32::MAX)), ..Seen::default() })
    }
    fn visit_f64<E>(self, _: f64) -> Result<Seen, E> {
        Ok(Seen::default())
    }
    fn visit_char<E>(self, _: char) -> Result<Seen, E> {
        Ok(Seen::default())
    }
    fn visit_str<E>(self, text: &str) -> Result<Seen, E> {
        Ok(Seen { key: Some(text.to_owned()), ..Seen::default() })
    }
    fn visit_bytes<E>(self, _: &[u8]) -> Result<Seen, E> {
        Ok(Seen::default())
    }
    fn visit_unit<E>(self) -> Result<Seen, E> {
        Ok(Seen::default())
    }
    fn visit_none<E>(self) -> Result<Seen, E> {
        Ok(Seen::default())
    }
    fn visit_some<D: Deserializer<'de>>(self, deserializer: D) -> Result<Seen, D::Error> {
        deserializer.deserialize_any(Walk)
    }
    fn visit_newtype_struct<D: Deserializer<'de>>(self, deserializer: D) -> Result<Seen, D::Error> {
        deserializer.deserialize_any(Walk)
    }
    fn visit_seq<A: SeqAccess<'de>>(self, mut seq: A) -> Result<Seen, A::Error> {
        while seq.next_element::<Seen>()?.is_some() {}
        Ok(Seen::default())
    }
    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Seen, A::Error> {
        let mut keys = BTreeSet::new();
        let mut schema = None;
        while let Some(seen) = map.next_key::<Seen>()? {
            let name = seen.key.clone();
            if let Some(key) = seen.key
                && !keys.insert(key.clone())
            {
                return Err(de::Error::custom(format!(
                    "expected each name once, found \"{key}\" twice: keep one of the two"
                )));
            }
            let value: Seen = map.next_value()?;
            if name.as_deref() == Some("schema") {
                schema = value.number;
            }
        }
        Ok(Seen { schema, ..Seen::default() })
    }
    fn visit_enum<A: EnumAccess<'de>>(self, access: A) -> Result<Seen, A::Error> {
        let (_, variant) = access.variant::<de::IgnoredAny>()?;
        variant.newtype_variant::<Seen>()?;
        Ok(Seen::default())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::garage::GarageInfo;
    use crate::guard::limits::LINE_CHARS;

    #[test]
    fn nothing_is_written_that_could_not_be_read_again() {
        let written = |name: String| encode(&GarageInfo { name, ..GarageInfo::default() });
        let longest = "é".repeat(LINE_CHARS.size());
        let text = written(longest.clone()).expect("the longest name");
        assert_eq!(decode::<GarageInfo>("garage.ron", text.as_bytes()).expect("it reads").name, longest);
        let why = written(longest + "é").expect_err("one letter more");
        assert!(why.contains("at most 5000 characters for a name") && why.contains("found 5001: shorten it"), "{why}");
        // It would come in with each sign written out.
        let why = written("\u{202e}".repeat(LINE_CHARS.size())).expect_err("signs that turn the text");
        assert!(why.contains("at most 5000 characters"), "{why}");
    }
}
