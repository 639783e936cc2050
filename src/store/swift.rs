//! Records in the very form that this program writes, read at speed. Anything else about a text, a remark, an escape, a
//! name twice, is answered with "unusual", and the general reader then reads it and says what is wrong. Must not know
//! paths.
//!
//! What is read here reads the same there: a test sends thousands of damaged records through both.

use std::borrow::Cow;
use std::fmt;

use serde::de::{self, DeserializeOwned, DeserializeSeed, EnumAccess, MapAccess, SeqAccess, VariantAccess, Visitor};

use crate::guard;
use crate::guard::limits::{LINE_CHARS, RECORD_VALUES};

/// Not in the form that this program writes.
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

/// Greatest number of keys of one map, and of items of one list: whether more are too many, the general reader says.
const MOST_KEYS: usize = 1_000;
const MOST_ITEMS: usize = 10_000;
/// Greatest number of keys and items in all. The general reader counts up to four values for one of them.
const MOST_IN_ALL: u64 = RECORD_VALUES.most / 8;

/// Reads a record whose first field is the schema `known`.
pub(super) fn read<T: DeserializeOwned>(text: &str, known: u32) -> Outcome<T> {
    let mut swift = Swift { text, at: 0, left: MOST_IN_ALL, has_lines: false };
    // The remark at the head.
    if text.starts_with("//") {
        swift.at = text.find('\n').ok_or(Unusual)? + 1;
        if text[..swift.at].contains('\0') {
            return Err(Unusual);
        }
    }
    swift.schema(known)?;
    let record = T::deserialize(&mut swift)?;
    swift.blanks();
    if swift.at == text.len() { Ok(record) } else { Err(Unusual) }
}

struct Swift<'de> {
    text: &'de str,
    at: usize,
    /// How many keys and items may still come.
    left: u64,
    /// Whether the words that come next may surely run over several lines.
    has_lines: bool,
}

impl<'de> Swift<'de> {
    fn peek(&self) -> Option<u8> {
        self.text.as_bytes().get(self.at).copied()
    }
    fn blanks(&mut self) {
        while let Some(b' ' | b'\n') = self.peek() {
            self.at += 1;
        }
    }
    /// Counts a key or an item.
    fn count(&mut self) -> Outcome<()> {
        self.left = self.left.checked_sub(1).ok_or(Unusual)?;
        Ok(())
    }
    /// Goes past blanks and a mark.
    fn take(&mut self, mark: u8) -> Outcome<()> {
        self.blanks();
        self.take_here(mark)
    }
    fn take_here(&mut self, mark: u8) -> Outcome<()> {
        if self.peek() == Some(mark) {
            self.at += 1;
            Ok(())
        } else {
            Err(Unusual)
        }
    }
    /// Goes past a comma, or stands before the end of what it parts.
    fn comma_or(&mut self, end: u8) -> Outcome<()> {
        self.blanks();
        match self.peek() {
            Some(b',') => {
                self.at += 1;
                Ok(())
            }
            Some(mark) if mark == end => Ok(()),
            _ => Err(Unusual),
        }
    }
    /// Goes past the end of a list and says whether it is there.
    fn ends(&mut self, end: u8) -> bool {
        self.blanks();
        let is_end = self.peek() == Some(end);
        self.at += usize::from(is_end);
        is_end
    }
    /// The text while its bytes are of a sort.
    fn while_of(&mut self, is_of: impl Fn(u8) -> bool) -> &'de str {
        let from = self.at;
        while self.peek().is_some_and(&is_of) {
            self.at += 1;
        }
        // Only ASCII was passed over, so these are bounds of characters.
        self.text.get(from..self.at).unwrap_or("")
    }
    /// A name; one that would be taken for a word of the language is written `r#None`.
    fn name(&mut self) -> Outcome<&'de str> {
        self.blanks();
        if self.text.as_bytes().get(self.at..self.at + 2) == Some(b"r#") {
            self.at += 2;
            if self.peek() == Some(b' ') {
                return Err(Unusual);
            }
        }
        self.word()
    }
    fn word(&mut self) -> Outcome<&'de str> {
        self.blanks();
        if !self.peek().is_some_and(|b| b.is_ascii_alphabetic() || b == b'_') {
            return Err(Unusual);
        }
        let word = self.while_of(|b| b.is_ascii_alphanumeric() || b == b'_');
        // A raw name or a byte string is none of ours.
        if matches!(self.peek(), Some(b'#' | b'"' | b'\'')) { Err(Unusual) } else { Ok(word) }
    }
    /// Goes past a word if it is this one.
    fn is_word(&mut self, wanted: &str) -> bool {
        self.blanks();
        let from = self.at;
        let is_it = self.word() == Ok(wanted);
        if !is_it {
            self.at = from;
        }
        is_it
    }
    fn string(&mut self) -> Outcome<Cow<'de, str>> {
        self.take(b'"')?;
        let mut from = self.at;
        let mut before = String::new();
        loop {
            match self.peek() {
                Some(b'"') => break,
                Some(b'\\') => {
                    before.push_str(self.text.get(from..self.at).ok_or(Unusual)?);
                    before.push(match self.text.as_bytes().get(self.at + 1) {
                        Some(mark @ (b'\'' | b'"' | b'\\')) => char::from(*mark),
                        Some(b'n') if self.has_lines => '\n',
                        Some(b't') if self.has_lines => '\t',
                        _ => return Err(Unusual),
                    });
                    self.at += 2;
                    from = self.at;
                }
                // A sign that this program would have written as an escape.
                None | Some(0..=0x1f | 0x7f) => return Err(Unusual),
                Some(_) => self.at += 1,
            }
        }
        let text = self.text.get(from..self.at).ok_or(Unusual)?;
        self.at += 1;
        // The general reader counts the characters, and makes signs that turn or hide what stands beside them visible.
        if before.len() + text.len() > guard::most_words(self.has_lines).size() {
            return Err(Unusual);
        }
        if !text.is_ascii() && text.contains(guard::is_hidden)
            || !before.is_ascii() && before.contains(guard::is_hidden)
        {
            return Err(Unusual);
        }
        if before.is_empty() { Ok(Cow::Borrowed(text)) } else { Ok(Cow::Owned(before + text)) }
    }
    fn give_string<V: Visitor<'de>>(&mut self, visitor: V) -> Outcome<V::Value> {
        match self.string()? {
            Cow::Borrowed(text) => visitor.visit_borrowed_str(text),
            Cow::Owned(text) => visitor.visit_string(text),
        }
    }
    /// Plain figures: `12`, `-0.5`. Written in any other way, a number is for the general reader.
    fn figures(&mut self) -> Outcome<&'de str> {
        self.blanks();
        let text = self.while_of(|b| b.is_ascii_digit() || matches!(b, b'-' | b'.'));
        let unsigned = text.strip_prefix('-').unwrap_or(text);
        let (whole, part) = unsigned.split_once('.').unwrap_or((unsigned, "0"));
        let are_figures = |t: &str| !t.is_empty() && t.bytes().all(|b| b.is_ascii_digit());
        let is_led_by_zero = whole.len() > 1 && whole.starts_with('0');
        let is_cut_short = self.peek().is_some_and(|b| b.is_ascii_alphanumeric() || b == b'_');
        if are_figures(whole) && are_figures(part) && !is_led_by_zero && !is_cut_short {
            Ok(text)
        } else {
            Err(Unusual)
        }
    }
    fn number<N: std::str::FromStr>(&mut self) -> Outcome<N> {
        let figures = self.figures()?;
        // A whole number beyond 64 bits is refused by the general reader, even where a fraction is asked for.
        if figures.len() > 18 && figures.bytes().all(|b| b.is_ascii_digit() || b == b'-') {
            return Err(Unusual);
        }
        figures.parse().map_err(|_| Unusual)
    }
    /// Looks at the schema, which stands first, and goes back.
    fn schema(&mut self, known: u32) -> Outcome<()> {
        let from = self.at;
        self.take(b'(')?;
        if self.word()? != "schema" {
            return Err(Unusual);
        }
        self.take_here(b':')?;
        let schema: u32 = self.number()?;
        self.at = from;
        // An older record is brought up to date by the general reader.
        if schema == known { Ok(()) } else { Err(Unusual) }
    }
}

macro_rules! numbers {
    ($($method:ident => $visit:ident),+ $(,)?) => {$(
        fn $method<V: Visitor<'de>>(self, visitor: V) -> Outcome<V::Value> {
            visitor.$visit(self.number()?)
        }
    )+};
}

macro_rules! strings {
    ($($method:ident),+) => {$(
        fn $method<V: Visitor<'de>>(self, visitor: V) -> Outcome<V::Value> {
            self.give_string(visitor)
        }
    )+};
}

macro_rules! unusual {
    ($($method:ident),+) => {$(
        fn $method<V: Visitor<'de>>(self, _: V) -> Outcome<V::Value> {
            Err(Unusual)
        }
    )+};
}

impl<'de> de::Deserializer<'de> for &mut Swift<'de> {
    type Error = Unusual;

    numbers!(
        deserialize_i8 => visit_i8, deserialize_i16 => visit_i16, deserialize_i32 => visit_i32,
        deserialize_i64 => visit_i64, deserialize_u8 => visit_u8, deserialize_u16 => visit_u16,
        deserialize_u32 => visit_u32, deserialize_u64 => visit_u64, deserialize_f32 => visit_f32,
        deserialize_f64 => visit_f64,
    );
    strings!(deserialize_str, deserialize_string);
    unusual!(deserialize_char, deserialize_bytes, deserialize_byte_buf, deserialize_unit, deserialize_ignored_any);

    /// What may be one thing or another is taken here only where it is text.
    fn deserialize_any<V: Visitor<'de>>(self, visitor: V) -> Outcome<V::Value> {
        self.give_string(visitor)
    }
    fn deserialize_bool<V: Visitor<'de>>(self, visitor: V) -> Outcome<V::Value> {
        match self.word()? {
            "true" => visitor.visit_bool(true),
            "false" => visitor.visit_bool(false),
            _ => Err(Unusual),
        }
    }
    fn deserialize_option<V: Visitor<'de>>(self, visitor: V) -> Outcome<V::Value> {
        if self.is_word("None") {
            return visitor.visit_none();
        }
        if self.is_word("Some") { Err(Unusual) } else { visitor.visit_some(self) }
    }
    fn deserialize_unit_struct<V: Visitor<'de>>(self, _: &'static str, _: V) -> Outcome<V::Value> {
        Err(Unusual)
    }
    fn deserialize_newtype_struct<V: Visitor<'de>>(self, _: &'static str, visitor: V) -> Outcome<V::Value> {
        self.take(b'(')?;
        let value = visitor.visit_newtype_struct(&mut *self)?;
        self.comma_or(b')')?;
        self.take(b')')?;
        Ok(value)
    }
    fn deserialize_seq<V: Visitor<'de>>(self, visitor: V) -> Outcome<V::Value> {
        self.take(b'[')?;
        let value = visitor.visit_seq(Items { swift: self, end: b']', count: 0 })?;
        self.take(b']')?;
        Ok(value)
    }
    fn deserialize_tuple<V: Visitor<'de>>(self, _: usize, visitor: V) -> Outcome<V::Value> {
        self.take(b'(')?;
        let value = visitor.visit_seq(Items { swift: self, end: b')', count: 0 })?;
        self.take(b')')?;
        Ok(value)
    }
    fn deserialize_tuple_struct<V: Visitor<'de>>(self, _: &'static str, len: usize, visitor: V) -> Outcome<V::Value> {
        self.deserialize_tuple(len, visitor)
    }
    fn deserialize_map<V: Visitor<'de>>(self, visitor: V) -> Outcome<V::Value> {
        self.take(b'{')?;
        visitor.visit_map(Entries { swift: self, keys: Vec::new() })
    }
    fn deserialize_struct<V: Visitor<'de>>(
        self,
        _: &'static str,
        _: &'static [&'static str],
        visitor: V,
    ) -> Outcome<V::Value> {
        self.take(b'(')?;
        visitor.visit_map(Fields(self))
    }
    fn deserialize_enum<V: Visitor<'de>>(
        self,
        _: &'static str,
        _: &'static [&'static str],
        visitor: V,
    ) -> Outcome<V::Value> {
        visitor.visit_enum(self)
    }
    fn deserialize_identifier<V: Visitor<'de>>(self, visitor: V) -> Outcome<V::Value> {
        visitor.visit_borrowed_str(self.name()?)
    }
}

/// What stands between `[` and `]`, or `(` and `)`.
struct Items<'a, 'de> {
    swift: &'a mut Swift<'de>,
    end: u8,
    count: usize,
}

impl<'de> SeqAccess<'de> for Items<'_, 'de> {
    type Error = Unusual;
    fn next_element_seed<S: DeserializeSeed<'de>>(&mut self, seed: S) -> Outcome<Option<S::Value>> {
        self.swift.blanks();
        if self.swift.peek() == Some(self.end) {
            return Ok(None);
        }
        self.swift.count()?;
        self.count += 1;
        if self.count > MOST_ITEMS {
            return Err(Unusual);
        }
        let item = seed.deserialize(&mut *self.swift)?;
        self.swift.comma_or(self.end)?;
        Ok(Some(item))
    }
}

/// What stands between `{` and `}`; a key that comes twice is for the general reader to complain of.
struct Entries<'a, 'de> {
    swift: &'a mut Swift<'de>,
    keys: Vec<&'de str>,
}

impl<'de> MapAccess<'de> for Entries<'_, 'de> {
    type Error = Unusual;
    fn next_key_seed<S: DeserializeSeed<'de>>(&mut self, seed: S) -> Outcome<Option<S::Value>> {
        if self.swift.ends(b'}') {
            return Ok(None);
        }
        let from = self.swift.at;
        let key = seed.deserialize(&mut *self.swift)?;
        let written = self.swift.text.get(from..self.swift.at).ok_or(Unusual)?;
        // No record of ours has so many that comparing each with each takes long.
        if self.keys.len() > MOST_KEYS
            || written.len() > LINE_CHARS.size()
            || written.contains('\\')
            || self.keys.contains(&written)
        {
            return Err(Unusual);
        }
        self.keys.push(written);
        self.swift.count()?;
        self.swift.has_lines = false;
        self.swift.take_here(b':')?;
        Ok(Some(key))
    }
    fn next_value_seed<S: DeserializeSeed<'de>>(&mut self, seed: S) -> Outcome<S::Value> {
        let value = seed.deserialize(&mut *self.swift)?;
        self.swift.comma_or(b'}')?;
        Ok(value)
    }
}

/// The fields of a struct; the records themselves refuse one that comes twice.
struct Fields<'a, 'de>(&'a mut Swift<'de>);

impl<'de> MapAccess<'de> for Fields<'_, 'de> {
    type Error = Unusual;
    fn next_key_seed<S: DeserializeSeed<'de>>(&mut self, seed: S) -> Outcome<Option<S::Value>> {
        if self.0.ends(b')') {
            return Ok(None);
        }
        // A field that a record does not know is passed over by the general reader only.
        let from = self.0.at;
        let name = seed.deserialize(&mut *self.0)?;
        self.0.count()?;
        self.0.has_lines = self.0.text.get(from..self.0.at).is_some_and(guard::has_lines);
        self.0.take_here(b':')?;
        Ok(Some(name))
    }
    fn next_value_seed<S: DeserializeSeed<'de>>(&mut self, seed: S) -> Outcome<S::Value> {
        let value = seed.deserialize(&mut *self.0)?;
        self.0.comma_or(b')')?;
        Ok(value)
    }
}

impl<'de> EnumAccess<'de> for &mut Swift<'de> {
    type Error = Unusual;
    type Variant = Self;
    fn variant_seed<S: DeserializeSeed<'de>>(self, seed: S) -> Outcome<(S::Value, Self)> {
        let variant = seed.deserialize(&mut *self)?;
        Ok((variant, self))
    }
}

impl<'de> VariantAccess<'de> for &mut Swift<'de> {
    type Error = Unusual;
    fn unit_variant(self) -> Outcome<()> {
        Ok(())
    }
    fn newtype_variant_seed<S: DeserializeSeed<'de>>(self, seed: S) -> Outcome<S::Value> {
        self.take_here(b'(')?;
        let value = seed.deserialize(&mut *self)?;
        self.comma_or(b')')?;
        self.take(b')')?;
        Ok(value)
    }
    fn tuple_variant<V: Visitor<'de>>(self, len: usize, visitor: V) -> Outcome<V::Value> {
        if self.peek() == Some(b'(') { de::Deserializer::deserialize_tuple(self, len, visitor) } else { Err(Unusual) }
    }
    fn struct_variant<V: Visitor<'de>>(self, _: &'static [&'static str], visitor: V) -> Outcome<V::Value> {
        self.take_here(b'(')?;
        visitor.visit_map(Fields(self))
    }
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
