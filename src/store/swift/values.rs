//! Values made of a record's text: numbers, words, lists, maps, structs and variants, as serde asks for them. Must not know
//! how their parts are written.

use serde::de::{self, DeserializeSeed, EnumAccess, MapAccess, SeqAccess, VariantAccess, Visitor};

use super::tokens::Swift;
use super::{Outcome, Unusual};
use crate::guard;
use crate::guard::limits::LINE_CHARS;

/// Greatest number of keys of one map, and of items of one list: whether more are too many, the general reader says.
const MOST_KEYS: usize = 1_000;
const MOST_ITEMS: usize = 10_000;

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
        let written = self.swift.since(from)?;
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
        self.0.has_lines = guard::has_lines(self.0.since(from)?);
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
