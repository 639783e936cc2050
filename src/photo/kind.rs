//! The true kind of a picture file, told by its first bytes and never by its name.

use std::fmt;

use super::Refusal;
use crate::guard;

/// A kind of picture file that is taken.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Kind {
    /// ISO/IEC 10918-1.
    Jpeg,
    /// ISO/IEC 15948.
    Png,
    /// RFC 9649.
    WebP,
}

impl fmt::Display for Kind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Jpeg => "JPEG",
            Self::Png => "PNG",
            Self::WebP => "WebP",
        })
    }
}

impl Kind {
    /// Every kind.
    pub const ALL: [Self; 3] = [Self::Jpeg, Self::Png, Self::WebP];
    /// The endings of file names that are taken, for a file dialog.
    pub const ENDINGS: &[&str] = &["jpg", "jpeg", "png", "webp"];
    /// The ending that a file of this kind gets.
    pub fn ending(self) -> &'static str {
        match self {
            Self::Jpeg => "jpg",
            Self::Png => "png",
            Self::WebP => "webp",
        }
    }
    pub(super) fn with_article(self) -> &'static str {
        match self {
            Self::Jpeg => "a JPEG",
            Self::Png => "a PNG",
            Self::WebP => "a WebP",
        }
    }
    pub(super) fn format(self) -> image::ImageFormat {
        match self {
            Self::Jpeg => image::ImageFormat::Jpeg,
            Self::Png => image::ImageFormat::Png,
            Self::WebP => image::ImageFormat::WebP,
        }
    }
    /// The kind that an ending names, case forgiven.
    pub fn of_ending(ending: &str) -> Option<Self> {
        match ending.to_ascii_lowercase().as_str() {
            "jpg" | "jpeg" | "jpe" | "jfif" => Some(Self::Jpeg),
            "png" => Some(Self::Png),
            "webp" => Some(Self::WebP),
            _ => None,
        }
    }
    /// The kind by the first bytes.
    pub fn of(bytes: &[u8]) -> Result<Self, Refusal> {
        let found = |found, way_out| Err(Refusal::NoPicture { found, way_out });
        let export = "export it as JPEG and add that";
        match bytes {
            [] => found("an empty file", "copy it again from the camera or phone"),
            [0xff, 0xd8, 0xff, ..] => Ok(Self::Jpeg),
            [0x89, b'P', b'N', b'G', 0x0d, 0x0a, 0x1a, 0x0a, ..] => Ok(Self::Png),
            [b'R', b'I', b'F', b'F', _, _, _, _, b'W', b'E', b'B', b'P', ..] => Ok(Self::WebP),
            [b'G', b'I', b'F', b'8', ..] => found("a GIF", export),
            [b'B', b'M', ..] => found("a BMP", export),
            [b'I', b'I', 42, 0, ..] | [b'M', b'M', 0, 42, ..] => found("a TIFF or a camera's raw file", export),
            [_, _, _, _, b'f', b't', b'y', b'p', b'a', b'v', b'i', ..] => found("an AVIF", export),
            [_, _, _, _, b'f', b't', b'y', b'p', b'h' | b'm', b'e' | b'i', ..] => {
                found("a HEIF picture", "set the phone to save the most compatible form, or export it as JPEG")
            }
            [_, _, _, _, b'f', b't', b'y', b'p', ..] => found("a film", "save one picture of it and add that"),
            [b'%', b'P', b'D', b'F', ..] => found("a PDF", "export the page as a picture and add that"),
            [b'<', ..] => found("a text, perhaps an SVG or a web page", export),
            _ => found("something else", "choose a picture file"),
        }
    }
    /// Refuses a name whose ending says something else than the bytes; a name without an ending says nothing.
    pub(super) fn must_be_named(self, name: &str) -> Result<(), Refusal> {
        let ending = name.rsplit(['/', '\\']).next().and_then(|file| file.rsplit_once('.')).map(|(_, ending)| ending);
        match ending.filter(|e| !e.is_empty()) {
            Some(ending) if Self::of_ending(ending) != Some(self) => Err(Refusal::LyingName {
                ending: guard::line(&ending.chars().take(12).collect::<String>()).into_owned(),
                is: self,
            }),
            _ => Ok(()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_lying_name_is_refused_with_both_named() {
        let why = Kind::Jpeg.must_be_named("holiday/front.PNG").expect_err("no PNG").to_string();
        assert!(why.contains("expected a PNG file") && why.contains("found a JPEG file"), "{why}");
        let why = Kind::Png.must_be_named("notes.txt").expect_err("no text").to_string();
        assert!(why.contains(".txt") && why.contains("found a PNG file"), "{why}");
        for good in ["front.JPG", "front.jpeg", "front", "two.words.jpg", ".jpg"] {
            assert_eq!(Kind::Jpeg.must_be_named(good), Ok(()), "{good}");
        }
    }

    #[test]
    fn other_files_are_named_for_what_they_are() {
        for (bytes, words) in [
            (&b""[..], "empty"),
            (b"GIF89a", "GIF"),
            (b"\0\0\0\x18ftypheic", "HEIF"),
            (b"\0\0\0\x18ftypmp42", "film"),
            (b"%PDF-1.7", "PDF"),
            (b"hello", "something else"),
        ] {
            let why = Kind::of(bytes).expect_err("no picture").to_string();
            assert!(why.starts_with("expected a JPEG, PNG or WebP picture") && why.contains(words), "{why}");
        }
    }
}
