//! What a PDF says beside its pages: information, bookmarks, attachments, as plain objects.
//!
//! It must not know the PDF writer, fonts or how pages are painted; section numbers are those of ISO 32000-1.

use chrono::{DateTime, FixedOffset};
use sha2::{Digest as _, Sha256};

use crate::guard;
use crate::report::block::{Attachment, Link};
use crate::report::layout::{Area, Layout, Meta, OutlineEntry, Page, dump};

/// A PDF object (7.3), as far as this file needs them.
#[derive(Clone, Debug, PartialEq)]
pub enum Object {
    /// The object that is none.
    Null,
    /// Yes or no.
    Bool(bool),
    /// A whole number.
    Int(i64),
    /// A length in points.
    Real(f32),
    /// A name.
    Name(String),
    /// Plain text of ASCII letters.
    Ascii(String),
    /// Any bytes.
    Bytes(Vec<u8>),
    /// A list.
    Array(Vec<Object>),
    /// Names with their objects.
    Dict(Vec<(&'static str, Object)>),
    /// An object that stands elsewhere, by its number and generation.
    Ref((u32, u16)),
    /// Names with their objects, and content.
    Stream(Vec<(&'static str, Object)>, Vec<u8>),
}

/// A text string (7.9.2.2): plain for ASCII, UTF-16 with a byte order mark for the rest.
pub fn text(text: &str) -> Object {
    let text = guard::line(text);
    if text.is_ascii() {
        return Object::Ascii(text.into_owned());
    }
    let units = std::iter::once(0xFEFF).chain(text.encode_utf16());
    Object::Bytes(units.flat_map(u16::to_be_bytes).collect())
}

/// A name.
pub fn name(name: &str) -> Object {
    Object::Name(name.to_owned())
}

/// Title, author and dates, with the offset from universal time (14.3.3).
pub fn info(meta: &Meta) -> Object {
    let date = date(meta.created);
    Object::Dict(vec![
        ("Title", text(&meta.title)),
        ("Author", text(&meta.author)),
        ("Subject", text(&meta.subject)),
        ("Creator", text("Stemclock")),
        ("Producer", text(concat!("Stemclock ", env!("CARGO_PKG_VERSION")))),
        ("CreationDate", date.clone()),
        ("ModDate", date),
    ])
}

/// `D:20261125093000+01'00'` (7.9.4), where ISO 8601 has a colon in the offset.
fn date(date: DateTime<FixedOffset>) -> Object {
    let offset = date.format("%:z").to_string().replace(':', "'");
    Object::Ascii(format!("{}{offset}'", date.format("D:%Y%m%d%H%M%S")))
}

/// The file's two identifiers (14.4), sixteen bytes each: the same layout always has the same, on every machine.
pub fn identity(layout: &Layout) -> Object {
    let mut hasher = Sha256::new();
    hasher.update(dump(layout));
    for file in &layout.meta.attachments {
        hasher.update(&file.name);
        hasher.update(&file.bytes);
    }
    let id = Object::Bytes(hasher.finalize()[..16].to_vec());
    Object::Array(vec![id.clone(), id])
}

/// The bookmarks as objects numbered from `first`: the root, then one for each heading (12.3.3).
pub fn outline(entries: &[OutlineEntry], page_ids: &[(u32, u16)], pages: &[Page], first: u32) -> Vec<Object> {
    let at = |index: usize| Object::Ref((first + 1 + u32::try_from(index).unwrap_or_default(), 0));
    let parent = |index: usize| entries[..index].iter().rposition(|entry| entry.level < entries[index].level);
    let parents: Vec<Option<usize>> = (0..entries.len()).map(parent).collect();
    let children = |of: Option<usize>| -> Vec<usize> { (0..entries.len()).filter(|i| parents[*i] == of).collect() };
    let family = |of: Option<usize>, count: usize| {
        let own = children(of);
        own.first().zip(own.last()).map_or_else(Vec::new, |(a, z)| {
            let count = Object::Int(i64::try_from(count).unwrap_or_default());
            vec![("First", at(*a)), ("Last", at(*z)), ("Count", count)]
        })
    };
    let mut root = vec![("Type", name("Outlines"))];
    root.extend(family(None, entries.len()));
    let mut items = vec![Object::Dict(root)];
    for (i, entry) in entries.iter().enumerate() {
        let siblings = children(parents[i]);
        let place = siblings.iter().position(|sibling| *sibling == i).unwrap_or_default();
        // A little above the heading, so that it does not touch the window's edge.
        let top = pages.get(entry.page).map_or(0.0, |page| (page.height - entry.y + 8.0).round());
        let page = page_ids.get(entry.page).map_or(Object::Null, |id| Object::Ref(*id));
        let destination = vec![page, name("XYZ"), Object::Null, Object::Real(top), Object::Null];
        let mut item = vec![
            ("Title", text(&entry.text)),
            ("Parent", parents[i].map_or(Object::Ref((first, 0)), at)),
            ("Dest", Object::Array(destination)),
        ];
        item.extend(place.checked_sub(1).and_then(|before| siblings.get(before)).map(|i| ("Prev", at(*i))));
        item.extend(siblings.get(place + 1).map(|i| ("Next", at(*i))));
        let below = entries[i + 1..].iter().take_while(|next| next.level > entry.level).count();
        item.extend(family(Some(i), below));
        items.push(Object::Dict(item));
    }
    items
}

/// A link over an area of a page (12.5.6.5), without a frame; none where it leads to a heading that is not there.
pub fn link(area: Area, link: &Link, height: f32, layout: &Layout, page_ids: &[(u32, u16)]) -> Option<Object> {
    let real = |value: f32| Object::Real((value * 100.0).round() / 100.0);
    let corners = [area.x, height - area.y - area.height, area.x + area.width, height - area.y].map(real).to_vec();
    let mut entries = vec![
        ("Type", name("Annot")),
        ("Subtype", name("Link")),
        ("Rect", Object::Array(corners)),
        ("Border", Object::Array(vec![Object::Int(0); 3])),
        // Viewers print what they show only where this says so.
        ("F", Object::Int(4)),
    ];
    let entry = layout.outline.iter().find(|entry| entry.text == link.0)?;
    let top = layout.pages.get(entry.page).map_or(0.0, |page| (page.height - entry.y + 8.0).round());
    let page = Object::Ref(*page_ids.get(entry.page)?);
    entries.push(("Dest", Object::Array(vec![page, name("XYZ"), Object::Null, Object::Real(top), Object::Null])));
    Some(Object::Dict(entries))
}

/// An attachment's content (7.11.4).
pub fn embedded(file: &Attachment, meta: &Meta) -> Object {
    let size = Object::Int(i64::try_from(file.bytes.len()).unwrap_or(i64::MAX));
    let entries = vec![
        ("Type", name("EmbeddedFile")),
        ("Subtype", name(&file.media_type)),
        ("Params", Object::Dict(vec![("Size", size), ("ModDate", date(meta.created))])),
    ];
    Object::Stream(entries, file.bytes.clone())
}

/// An attachment's name and description, with its content at `stream` (7.11.3).
pub fn file_spec(file: &Attachment, stream: (u32, u16)) -> Object {
    Object::Dict(vec![
        ("Type", name("Filespec")),
        ("F", text(&file.name)),
        ("UF", text(&file.name)),
        ("Desc", text(&file.description)),
        ("EF", Object::Dict(vec![("F", Object::Ref(stream)), ("UF", Object::Ref(stream))])),
    ])
}

/// What the catalog (7.7.2) says beside the pages: language, how to open, bookmarks at `outline`, and the attachments'
/// descriptions by name, which must come in order.
pub fn catalog(meta: &Meta, outline: Option<u32>, files: &[(&str, (u32, u16))]) -> Vec<(&'static str, Object)> {
    let mut entries = vec![
        ("Lang", text(&meta.language)),
        ("ViewerPreferences", Object::Dict(vec![("DisplayDocTitle", Object::Bool(true))])),
    ];
    if let Some(root) = outline {
        entries.extend([("Outlines", Object::Ref((root, 0))), ("PageMode", name("UseOutlines"))]);
    }
    if !files.is_empty() {
        let names = files.iter().flat_map(|(name, spec)| [text(name), Object::Ref(*spec)]).collect();
        let tree = Object::Dict(vec![("Names", Object::Array(names))]);
        entries.push(("Names", Object::Dict(vec![("EmbeddedFiles", tree)])));
    }
    entries
}

#[cfg(test)]
mod tests {
    use super::*;

    fn entry(level: u8, text: &str) -> OutlineEntry {
        OutlineEntry { level, text: text.to_owned(), page: 0, y: 100.0 }
    }

    fn value<'a>(object: &'a Object, key: &str) -> Option<&'a Object> {
        match object {
            Object::Dict(entries) => entries.iter().find(|(name, _)| *name == key).map(|(_, value)| value),
            _ => None,
        }
    }

    #[test]
    fn bookmarks_hang_below_the_nearest_higher_heading() {
        // A level that is skipped must not lose its children: c is level 3 directly below level 1.
        let entries = [entry(1, "a"), entry(2, "b"), entry(1, "d"), entry(3, "c")];
        let objects = outline(&entries, &[(3, 0)], &[], 10);
        let at = |n: u32| Object::Ref((n, 0));
        let all = |key: &str| -> Vec<Option<Object>> { objects.iter().map(|o| value(o, key).cloned()).collect() };
        assert_eq!(all("Parent"), [None, Some(at(10)), Some(at(11)), Some(at(10)), Some(at(13))]);
        assert_eq!(all("First"), [Some(at(11)), Some(at(12)), None, Some(at(14)), None]);
        assert_eq!(all("Next"), [None, Some(at(13)), None, None, None]);
        assert_eq!(all("Prev"), [None, None, None, Some(at(11)), None]);
        let count = |n| Some(Object::Int(n));
        assert_eq!(all("Count"), [count(4), count(1), None, count(1), None]);
    }

    #[test]
    fn text_strings_are_plain_or_utf16() {
        assert_eq!(text("plain"), Object::Ascii("plain".to_owned()));
        // U+0141 and U+1F6B2, the latter as the surrogates D83D DEB2.
        assert_eq!(text("Ł🚲"), Object::Bytes(vec![0xFE, 0xFF, 0x01, 0x41, 0xD8, 0x3D, 0xDE, 0xB2]));
    }

    #[test]
    fn dates_carry_their_offset() {
        let made = DateTime::parse_from_rfc3339("2026-01-02T03:04:05-09:30").expect("a date");
        assert_eq!(date(made), Object::Ascii("D:20260102030405-09'30'".to_owned()));
    }
}
