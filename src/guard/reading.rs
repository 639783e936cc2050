//! RON text from a stranger to a value: no deeper than stated, no more values and no longer words than stated, and its
//! words made plain on the way in, so that nothing behind this door has to think of hidden signs.
//!
//! It wraps a reader of serde in one that counts and looks at strings. Values are counted as they are read, so a file
//! that is made to fill the memory is refused before it has.

use std::borrow::Cow;
use std::cell::Cell;
use std::fmt;
use std::marker::PhantomData;

use ron::error::SpannedResult;
use ron::extensions::Extensions;
use serde::de::{
    self, Deserialize, DeserializeSeed, Deserializer, EnumAccess, MapAccess, SeqAccess, VariantAccess, Visitor,
};

use super::limits::{DEPTH, LINE_CHARS, Limit, TEXT_CHARS};
use super::plain;

/// Fields whose words may run over several lines; all others stand on one.
const LINES: &[&str] =
    &["note", "notes", "words", "task", "reason", "work", "steps", "advice", "remark", "how", "why", "text"];

/// Whether the words of the field of this name may run over several lines.
pub fn has_lines(field: &str) -> bool {
    LINES.contains(&field)
}

/// How long words may be, by whether they may run over several lines.
pub fn most_words(has_lines: bool) -> &'static Limit {
    if has_lines { &TEXT_CHARS } else { &LINE_CHARS }
}

/// Reads RON text. Errors: what RON says, more values than `most`, or longer words than [`most_words`], with line and
/// column.
pub fn from_ron<'de, T: Deserialize<'de>>(text: &'de str, most: &Limit) -> SpannedResult<T> {
    let sheet = Sheet { most: *most, left: Cell::new(most.most), has_lines: Cell::new(true) };
    ron::Options::default()
        .with_default_extension(Extensions::IMPLICIT_SOME)
        .with_recursion_limit(DEPTH.size())
        .from_str_seed(text, Seed { seed: PhantomData::<T>, sheet: &sheet, is_key: false })
}

/// What is remembered while one text is read.
struct Sheet {
    most: Limit,
    left: Cell<u64>,
    /// Whether the words that come next may run over several lines.
    has_lines: Cell<bool>,
}

impl Sheet {
    fn count<E: de::Error>(&self) -> Result<(), E> {
        match self.left.get().checked_sub(1) {
            Some(left) => {
                self.left.set(left);
                Ok(())
            }
            None => Err(E::custom(format!(
                "expected at most {} {}, found more: no record is so large; restore the file from a backup",
                self.most.most, self.most.what
            ))),
        }
    }
}

/// A seed or a part of a value, wrapped.
struct Seed<'s, S> {
    seed: S,
    sheet: &'s Sheet,
    is_key: bool,
}

impl<'de, S: DeserializeSeed<'de>> DeserializeSeed<'de> for Seed<'_, S> {
    type Value = S::Value;

    fn deserialize<D: Deserializer<'de>>(self, inner: D) -> Result<S::Value, D::Error> {
        self.seed.deserialize(Reader { inner, sheet: self.sheet, is_key: self.is_key })
    }
}

struct Reader<'s, D> {
    inner: D,
    sheet: &'s Sheet,
    is_key: bool,
}

/// Counts a value and hands its reading on with the visitor wrapped.
macro_rules! hand_on {
    ($($method:ident($($name:ident: $kind:ty),*);)*) => {
        $(fn $method<V: Visitor<'de>>(self, $($name: $kind,)* visitor: V) -> Result<V::Value, D::Error> {
            self.sheet.count()?;
            let visitor = Look { visitor, sheet: self.sheet, is_key: self.is_key };
            self.inner.$method($($name,)* visitor)
        })*
    };
}

impl<'de, D: Deserializer<'de>> Deserializer<'de> for Reader<'_, D> {
    type Error = D::Error;

    hand_on! {
        deserialize_any();
        deserialize_bool();
        deserialize_i8();
        deserialize_i16();
        deserialize_i32();
        deserialize_i64();
        deserialize_u8();
        deserialize_u16();
        deserialize_u32();
        deserialize_u64();
        deserialize_f32();
        deserialize_f64();
        deserialize_char();
        deserialize_str();
        deserialize_string();
        deserialize_bytes();
        deserialize_byte_buf();
        deserialize_option();
        deserialize_unit();
        deserialize_unit_struct(name: &'static str);
        deserialize_newtype_struct(name: &'static str);
        deserialize_seq();
        deserialize_tuple(len: usize);
        deserialize_tuple_struct(name: &'static str, len: usize);
        deserialize_map();
        deserialize_struct(name: &'static str, fields: &'static [&'static str]);
        deserialize_enum(name: &'static str, variants: &'static [&'static str]);
        deserialize_identifier();
        deserialize_ignored_any();
    }

    fn is_human_readable(&self) -> bool {
        self.inner.is_human_readable()
    }
}

struct Look<'s, V> {
    visitor: V,
    sheet: &'s Sheet,
    is_key: bool,
}

impl<V> Look<'_, V> {
    /// A key decides how the words after it are taken.
    fn plain<'a, E: de::Error>(&self, words: &'a str) -> Result<Cow<'a, str>, E> {
        if self.is_key {
            self.sheet.has_lines.set(has_lines(words));
        }
        let has_lines = self.sheet.has_lines.get() && !self.is_key;
        let most = most_words(has_lines);
        // Signs that are written out take more room than they did.
        within(words, most)?;
        let plain = if has_lines { plain::text(words) } else { plain::line(words) };
        within(&plain, most)?;
        Ok(plain)
    }
}

fn within<E: de::Error>(words: &str, most: &Limit) -> Result<(), E> {
    if words.len() <= most.size() {
        return Ok(());
    }
    match words.chars().count() {
        found if found > most.size() => Err(E::custom(format!(
            "expected at most {} {} for {}, found {found}: shorten it, or put the rest into a file of its own",
            most.most, most.unit, most.what
        ))),
        _ => Ok(()),
    }
}

macro_rules! pass {
    ($($method:ident($kind:ty);)*) => {
        $(fn $method<E: de::Error>(self, value: $kind) -> Result<V::Value, E> {
            self.visitor.$method(value)
        })*
    };
}

impl<'de, V: Visitor<'de>> Visitor<'de> for Look<'_, V> {
    type Value = V::Value;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.visitor.expecting(f)
    }

    pass! {
        visit_bool(bool);
        visit_i8(i8);
        visit_i16(i16);
        visit_i32(i32);
        visit_i64(i64);
        visit_u8(u8);
        visit_u16(u16);
        visit_u32(u32);
        visit_u64(u64);
        visit_f32(f32);
        visit_f64(f64);
        visit_char(char);
        visit_bytes(&[u8]);
        visit_borrowed_bytes(&'de [u8]);
        visit_byte_buf(Vec<u8>);
    }

    fn visit_str<E: de::Error>(self, words: &str) -> Result<V::Value, E> {
        let plain = self.plain(words)?;
        self.visitor.visit_str(&plain)
    }
    fn visit_borrowed_str<E: de::Error>(self, words: &'de str) -> Result<V::Value, E> {
        match self.plain(words)? {
            Cow::Borrowed(_) => self.visitor.visit_borrowed_str(words),
            Cow::Owned(plain) => self.visitor.visit_string(plain),
        }
    }
    fn visit_string<E: de::Error>(self, words: String) -> Result<V::Value, E> {
        let plain = self.plain(&words)?.into_owned();
        self.visitor.visit_string(plain)
    }
    fn visit_none<E: de::Error>(self) -> Result<V::Value, E> {
        self.visitor.visit_none()
    }
    fn visit_unit<E: de::Error>(self) -> Result<V::Value, E> {
        self.visitor.visit_unit()
    }
    fn visit_some<D: Deserializer<'de>>(self, inner: D) -> Result<V::Value, D::Error> {
        self.visitor.visit_some(Reader { inner, sheet: self.sheet, is_key: self.is_key })
    }
    fn visit_newtype_struct<D: Deserializer<'de>>(self, inner: D) -> Result<V::Value, D::Error> {
        self.visitor.visit_newtype_struct(Reader { inner, sheet: self.sheet, is_key: self.is_key })
    }
    fn visit_seq<A: SeqAccess<'de>>(self, inner: A) -> Result<V::Value, A::Error> {
        self.visitor.visit_seq(Parts { inner, sheet: self.sheet })
    }
    fn visit_map<A: MapAccess<'de>>(self, inner: A) -> Result<V::Value, A::Error> {
        self.visitor.visit_map(Parts { inner, sheet: self.sheet })
    }
    fn visit_enum<A: EnumAccess<'de>>(self, inner: A) -> Result<V::Value, A::Error> {
        self.visitor.visit_enum(Parts { inner, sheet: self.sheet })
    }
}

/// A list, a map, an enum or its variant, wrapped.
struct Parts<'s, A> {
    inner: A,
    sheet: &'s Sheet,
}

impl<'s, A> Parts<'s, A> {
    fn seed<S>(&self, seed: S, is_key: bool) -> Seed<'s, S> {
        Seed { seed, sheet: self.sheet, is_key }
    }
    fn look<V>(&self, visitor: V) -> Look<'s, V> {
        Look { visitor, sheet: self.sheet, is_key: false }
    }
}

impl<'de, A: SeqAccess<'de>> SeqAccess<'de> for Parts<'_, A> {
    type Error = A::Error;

    fn next_element_seed<S: DeserializeSeed<'de>>(&mut self, seed: S) -> Result<Option<S::Value>, A::Error> {
        let seed = self.seed(seed, false);
        self.inner.next_element_seed(seed)
    }
    fn size_hint(&self) -> Option<usize> {
        self.inner.size_hint()
    }
}

impl<'de, A: MapAccess<'de>> MapAccess<'de> for Parts<'_, A> {
    type Error = A::Error;

    fn next_key_seed<S: DeserializeSeed<'de>>(&mut self, seed: S) -> Result<Option<S::Value>, A::Error> {
        let seed = self.seed(seed, true);
        self.inner.next_key_seed(seed)
    }
    fn next_value_seed<S: DeserializeSeed<'de>>(&mut self, seed: S) -> Result<S::Value, A::Error> {
        let seed = self.seed(seed, false);
        self.inner.next_value_seed(seed)
    }
    fn size_hint(&self) -> Option<usize> {
        self.inner.size_hint()
    }
}

impl<'de, 's, A: EnumAccess<'de>> EnumAccess<'de> for Parts<'s, A> {
    type Error = A::Error;
    type Variant = Parts<'s, A::Variant>;

    fn variant_seed<S: DeserializeSeed<'de>>(self, seed: S) -> Result<(S::Value, Self::Variant), A::Error> {
        let (value, inner) = self.inner.variant_seed(seed)?;
        Ok((value, Parts { inner, sheet: self.sheet }))
    }
}

impl<'de, A: VariantAccess<'de>> VariantAccess<'de> for Parts<'_, A> {
    type Error = A::Error;

    fn unit_variant(self) -> Result<(), A::Error> {
        self.inner.unit_variant()
    }
    fn newtype_variant_seed<S: DeserializeSeed<'de>>(self, seed: S) -> Result<S::Value, A::Error> {
        let seed = self.seed(seed, false);
        self.inner.newtype_variant_seed(seed)
    }
    fn tuple_variant<V: Visitor<'de>>(self, len: usize, visitor: V) -> Result<V::Value, A::Error> {
        let visitor = self.look(visitor);
        self.inner.tuple_variant(len, visitor)
    }
    fn struct_variant<V: Visitor<'de>>(
        self,
        fields: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, A::Error> {
        let visitor = self.look(visitor);
        self.inner.struct_variant(fields, visitor)
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;

    use serde::Deserialize;

    use super::*;
    use crate::guard::limits::RECORD_VALUES;

    #[derive(Debug, PartialEq, Deserialize)]
    #[serde(deny_unknown_fields)]
    struct Bike {
        name: String,
        #[serde(default)]
        note: String,
        #[serde(default)]
        parts: Vec<Part>,
        #[serde(default)]
        figures: BTreeMap<String, f64>,
        vin: Option<String>,
    }

    #[derive(Debug, PartialEq, Deserialize)]
    enum Part {
        Chain,
        Tyre { size: String },
        Named(String, u8),
    }

    #[test]
    fn words_come_in_plain_and_the_rest_as_it_stands() {
        let text = "(name: \"He\\u{202e}ron\\nIntact\", note: \"one\\ntwo\\u{1b}\", vin: \"x\u{200b}\",\
                    parts: [Chain, Tyre(size: \"120\\u{7}\"), Named(\"a\nb\", 3)], figures: {\"k\u{202d}\": 2.5})";
        let bike: Bike = from_ron(text, &RECORD_VALUES).expect("it reads");
        assert_eq!((bike.name.as_str(), bike.note.as_str()), ("He[U+202E]ron[U+000A]Intact", "one\ntwo[U+001B]"));
        assert_eq!(bike.vin.as_deref(), Some("x[U+200B]"));
        let tyre = Part::Tyre { size: "120[U+0007]".into() };
        assert_eq!(bike.parts, [Part::Chain, tyre, Part::Named("a[U+000A]b".into(), 3)]);
        assert_eq!(bike.figures.into_iter().next(), Some(("k[U+202D]".into(), 2.5)));
    }

    #[test]
    fn values_are_counted_before_they_fill_the_memory() {
        let few = Limit { most: 100, ..RECORD_VALUES };
        let list = format!("[{}]", "1,".repeat(99));
        assert_eq!(from_ron::<Vec<u8>>(&list, &few).expect("a hundred with the list itself").len(), 99);
        let list = format!("[{}]", "1,".repeat(100));
        let why = from_ron::<Vec<u8>>(&list, &few).expect_err("one more").code.to_string();
        assert!(why.contains("at most 100 values") && why.contains("found more"), "{why}");
    }

    #[test]
    fn words_are_no_longer_than_stated() {
        let read = |name: usize, note: &str| {
            let text = format!("(name: \"{}\", note: \"{note}\")", "n".repeat(name));
            from_ron::<Bike>(&text, &RECORD_VALUES).map_err(|e| e.code.to_string())
        };
        // Counted in characters, whatever their bytes.
        let longest = "\u{e9}".repeat(TEXT_CHARS.size());
        assert_eq!(read(LINE_CHARS.size(), &longest).expect("the longest").note, longest);
        let why = read(LINE_CHARS.size() + 1, "").expect_err("a long name");
        assert!(why.contains("at most 5000 characters for a name") && why.contains("found 5001: shorten it"), "{why}");
        let why = read(1, &format!("{longest}.")).expect_err("a long note");
        assert!(why.contains("at most 20000 characters for a note") && why.contains("found 20001"), "{why}");
        // Each hidden sign comes in as the eight signs of its number.
        assert!(read(1, &"\\u{202e}".repeat(TEXT_CHARS.size() / 8)).is_ok());
        assert!(read(1, &"\\u{202e}".repeat(TEXT_CHARS.size() / 8 + 1)).is_err());
        // In a field that nobody knows and in a key too.
        for text in ["(name: \"a\", figures: {\"LONG\": 1})", "(name: \"a\", what: \"LONG\")"] {
            let text = text.replace("LONG", &"k".repeat(LINE_CHARS.size() + 1));
            assert!(from_ron::<de::IgnoredAny>(&text, &RECORD_VALUES).is_err());
        }
    }

    #[test]
    fn depth_is_limited_and_errors_keep_their_place() {
        let deep = format!("{}{}", "[".repeat(5000), "]".repeat(5000));
        let error = from_ron::<de::IgnoredAny>(&deep, &RECORD_VALUES).expect_err("too deep");
        assert_eq!(error.code, ron::Error::ExceededRecursionLimit);
        let error = from_ron::<Bike>("(name: \"a\",\n vin: 3)", &RECORD_VALUES).expect_err("no text");
        assert_eq!(error.span.start.line, 2, "{error:?}");
    }
}
