//! A photo named by a record: its file, what it shows in words, and the marks on it.

use std::fmt;

use serde::de::{self, Deserializer, MapAccess, Visitor};
use serde::ser::{SerializeStruct as _, Serializer};
use serde::{Deserialize, Serialize};

use super::PhotoMark;

/// A photo of a finding or a machine. One with neither words nor marks is written as its file's name alone.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct PhotoRef {
    /// The name of its file in the machine's photo folder.
    pub file: String,
    /// What it shows, in the owner's words; may be empty.
    pub words: String,
    /// The marks on it. The file itself stays as it is.
    pub marks: Vec<PhotoMark>,
}

impl PhotoRef {
    /// A photo with nothing said about it.
    pub fn new(file: impl Into<String>) -> Self {
        Self { file: file.into(), ..Self::default() }
    }
}

impl From<&str> for PhotoRef {
    fn from(file: &str) -> Self {
        Self::new(file)
    }
}

impl Serialize for PhotoRef {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        if self.words.is_empty() && self.marks.is_empty() {
            return serializer.serialize_str(&self.file);
        }
        let mut fields = serializer.serialize_struct("PhotoRef", 3)?;
        fields.serialize_field("file", &self.file)?;
        fields.serialize_field("words", &self.words)?;
        fields.serialize_field("marks", &self.marks)?;
        fields.end()
    }
}

impl<'de> Deserialize<'de> for PhotoRef {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(Reader)
    }
}

struct Reader;

impl<'de> Visitor<'de> for Reader {
    type Value = PhotoRef;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("the file name of a photo in quotes, or (file: \"…\", words: \"…\", marks: […])")
    }
    fn visit_str<E: de::Error>(self, file: &str) -> Result<PhotoRef, E> {
        Ok(PhotoRef::new(file))
    }
    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<PhotoRef, A::Error> {
        const FIELDS: &[&str] = &["file", "words", "marks"];
        let mut photo = PhotoRef::default();
        let mut has_file = false;
        while let Some(field) = map.next_key::<String>()? {
            match field.as_str() {
                "file" => {
                    photo.file = map.next_value()?;
                    has_file = true;
                }
                "words" => photo.words = map.next_value()?,
                "marks" => photo.marks = map.next_value()?,
                other => return Err(de::Error::unknown_field(other, FIELDS)),
            }
        }
        if has_file { Ok(photo) } else { Err(de::Error::missing_field("file")) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::photo::At;

    #[test]
    fn a_plain_photo_is_its_name_and_a_marked_one_says_more() {
        let plain = PhotoRef::new("a.jpg");
        assert_eq!(ron::to_string(&plain).expect("text"), "\"a.jpg\"");
        let marked = PhotoRef {
            marks: vec![
                PhotoMark::Arrow { tail: At { x: 1, y: 2 }, tip: At { x: 3, y: 4 } },
                PhotoMark::Blur { corner: At { x: 1, y: 2 }, across: At { x: 300, y: 400 } },
            ],
            words: "the cut, \"seen\" from behind".into(),
            ..plain.clone()
        };
        for photo in [plain, marked] {
            let text = ron::to_string(&photo).expect("text");
            assert_eq!(ron::from_str::<PhotoRef>(&text).expect(&text), photo);
            let json = serde_json::to_value(&photo).expect("a value");
            assert_eq!(serde_json::from_value::<PhotoRef>(json).expect("the same"), photo);
        }
        let why = ron::from_str::<PhotoRef>("(file: \"a\", wrods: \"x\")").expect_err("no such field").to_string();
        assert!(why.contains("wrods"), "{why}");
        let why = ron::from_str::<PhotoRef>("3").expect_err("no photo").to_string();
        assert!(why.contains("file name of a photo"), "{why}");
    }
}
