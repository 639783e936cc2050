//! Two PDFs side by side: whether their pages show the same, and if not, where. A file that another program saved anew
//! without changing it is the same; words, lines, photos, fonts, notes laid over a page or a page turned round are not.
//!
//! It must not know what a report says.

use std::fmt;

use lopdf::content::{Content, Operation};
use lopdf::{Dictionary, Document, Encoding, Object, ObjectId};

use super::read::{Read, UNPACKED_MOST};
use crate::guard;
use crate::guard::limits::{PDF_BOOKMARKS, PDF_DEPTH, PDF_FONT_LETTERS, PDF_FONTS, PDF_PAGE};

/// How deep objects are followed.
const DEEPEST: usize = PDF_DEPTH.size();
/// The most differences that are told of one page; the rest is counted.
const TOLD: usize = 4;
/// The most pages whose differences are told; the others are not looked at any more.
const PAGES_TOLD: usize = 40;
/// The most typefaces of a page whose letters are read.
const FONTS_MOST: usize = PDF_FONTS.size();
/// The most that the letters of a typeface may unpack to, in bytes.
const LETTERS_MOST: usize = PDF_FONT_LETTERS.size();
/// The most that a page may unpack to, in bytes.
const PAGE_MOST: usize = PDF_PAGE.size();
/// By how much a part may be longer while it is half unpacked, in bytes, however short it is in the end.
const SLACK: usize = 4096;
/// Numbers nearer than this are the same: programs round in their own ways.
const NEAR: f32 = 0.006;

/// A difference between a file and what it should be.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Difference {
    /// The page from 1; none where it is beside the pages.
    pub page: Option<usize>,
    /// What differs.
    pub what: String,
}

impl fmt::Display for Difference {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.page {
            Some(page) => write!(f, "page {page}: {}", self.what),
            None => f.write_str(&self.what),
        }
    }
}

/// Compares the pages of a file with those that were made anew, and what stands beside the pages and can do something.
pub fn compare(found: &Read, made: &Read) -> Vec<Difference> {
    let mut differences = Vec::new();
    let mut tell = |page: Option<usize>, what: String| differences.push(Difference { page, what });
    let (a, b) = (found.page_count(), made.page_count());
    if a != b {
        tell(None, format!("the file has {a} pages, the record gives {b}"));
    }
    let mut has_own_letters = true;
    let mut differing = 0;
    for (i, (x, y)) in found.pages.iter().zip(&made.pages).enumerate() {
        if differing == PAGES_TOLD {
            tell(None, format!("{PAGES_TOLD} pages differ so far, and those after page {i} were not looked at"));
            return differences;
        }
        let seen = page(found, *x, made, *y);
        has_own_letters &= seen.has_own_letters;
        differing += usize::from(!seen.told.is_empty());
        for what in seen.told {
            tell(Some(i + 1), what);
        }
    }
    for number in (b + 1..=a).take(PAGES_TOLD) {
        let page = found.pages.get(number - 1).copied();
        let words = page.map(|page| words(&runs(found, page))).unwrap_or_default();
        tell(Some(number), format!("is not in the record; it says “{}”", short(&words)));
    }
    // What a viewer would carry out, or show beside the pages.
    if let (Ok(x), Ok(y)) = (found.document.catalog(), made.document.catalog()) {
        for (key, what) in [
            (&b"OpenAction"[..], "an action on opening was added"),
            (b"AA", "actions were added"),
            (b"AcroForm", "form fields were added"),
            (b"Outlines", "the bookmarks were changed"),
        ] {
            let is_same = match (x.get(key), y.get(key)) {
                (Ok(x), Ok(y)) => key == b"Outlines" && outline(found, x) == outline(made, y),
                (Err(_), Err(_)) => true,
                _ => false,
            };
            if !is_same {
                tell(None, what.to_owned());
            }
        }
    }
    // Other words need other letters, so this says something only where the words are the same.
    if differences.is_empty() && !has_own_letters {
        let what = "the typefaces inside the file were changed, so the pages may show other letters than they hold";
        differences.push(Difference { page: None, what: what.to_owned() });
    }
    differences
}

/// What is to be said of a page.
struct Seen {
    told: Vec<String>,
    /// Whether the page's typefaces are those that were made.
    has_own_letters: bool,
}

fn page(found: &Read, x: ObjectId, made: &Read, y: ObjectId) -> Seen {
    let mut told = Vec::new();
    let resource = |read: &'_ Read, page, key: &[u8]| -> Option<Object> {
        let (_, resources) = read.document.dereference(read.inherited(page, b"Resources")?).ok()?;
        resources.as_dict().ok()?.get(key).ok().cloned()
    };
    let same_resource =
        |key: &[u8]| same_option(found, resource(found, x, key).as_ref(), made, resource(made, y, key).as_ref());
    let has_own_letters = same_resource(b"Font");
    for (key, what) in [
        (&b"MediaBox"[..], "the size of the page was changed"),
        (b"CropBox", "the page was cropped"),
        (b"Rotate", "the page was turned"),
        (b"UserUnit", "the page was scaled"),
        (b"Annots", "something was laid over the page, or a link was changed"),
    ] {
        if !same_option(found, found.inherited(x, key), made, made.inherited(y, key)) {
            told.push(what.to_owned());
        }
    }
    let operations = |read: &Read, id| {
        let bytes = read.document.get_page_content_with_limit(id, PAGE_MOST).ok()?;
        let mut operations = Content::decode(&bytes).ok()?.operations;
        // Where the typefaces hold other letters, the letters have other numbers: their meaning is compared.
        if !has_own_letters {
            read_letters(read, id, &mut operations);
        }
        Some(operations)
    };
    match (operations(found, x), operations(made, y)) {
        (Some(a), Some(b)) => {
            let same = a.len() == b.len()
                && a.iter().zip(&b).all(|(a, b)| {
                    a.operator == b.operator && same_list(found, &a.operands, made, &b.operands, DEEPEST)
                });
            if !same {
                let words = words_that_differ(&runs(found, x), &runs(made, y));
                if words.is_empty() {
                    told.push("lines, areas or colours differ from what the record gives".into());
                }
                told.extend(words);
            }
        }
        _ => told.push("what it shows cannot be read".into()),
    }
    if !same_resource(b"XObject") {
        told.push("a photo was changed".into());
    }
    if [&b"ExtGState"[..], b"Pattern", b"Shading", b"ColorSpace"].into_iter().any(|key| !same_resource(key)) {
        told.push("how it is painted was changed".into());
    }
    Seen { told, has_own_letters }
}

/// Puts the letters in the place of their numbers in a typeface.
fn read_letters(read: &Read, page: ObjectId, operations: &mut [Operation]) {
    fn put(encoding: Option<&Encoding<'_>>, operand: &mut Object) {
        match operand {
            Object::String(bytes, _) => {
                if let Some(text) = encoding.and_then(|encoding| Document::decode_text(encoding, bytes).ok()) {
                    *bytes = text.into_bytes();
                }
            }
            Object::Array(items) => items.iter_mut().for_each(|item| put(encoding, item)),
            _ => {}
        }
    }
    let encodings = encodings(read, page);
    let mut encoding = None;
    for operation in operations {
        match operation.operator.as_str() {
            "Tf" => encoding = named(&encodings, &operation.operands),
            "Tj" | "TJ" | "'" | "\"" => {
                operation.operands.iter_mut().for_each(|operand| put(encoding, operand));
            }
            _ => {}
        }
    }
}

/// The typefaces of a page by the names in which it sets them.
fn encodings(read: &Read, page: ObjectId) -> Vec<(Vec<u8>, Encoding<'_>)> {
    let fonts = read.document.get_page_fonts(page).unwrap_or_default();
    fonts
        .into_iter()
        .take(FONTS_MOST)
        .filter_map(|(name, font)| Some((name, font.get_font_encoding_with_limit(&read.document, LETTERS_MOST).ok()?)))
        .collect()
}

fn named<'a, 'b>(encodings: &'a [(Vec<u8>, Encoding<'b>)], operands: &[Object]) -> Option<&'a Encoding<'b>> {
    let name = operands.first().and_then(|operand| operand.as_name().ok())?;
    encodings.iter().find(|(known, _)| known == name).map(|(_, encoding)| encoding)
}

/// Words at their place on a page.
#[derive(Clone, Debug, PartialEq)]
struct Run {
    text: String,
    x: f32,
    y: f32,
}

/// The words that a page shows, in the order of the file.
fn runs(read: &Read, page: ObjectId) -> Vec<Run> {
    let document = &read.document;
    let Ok(bytes) = document.get_page_content_with_limit(page, PAGE_MOST) else { return Vec::new() };
    let Ok(content) = Content::decode(&bytes) else { return Vec::new() };
    let encodings = encodings(read, page);
    let mut encoding: Option<&Encoding<'_>> = None;
    let (mut x, mut y) = (0.0, 0.0);
    let mut runs: Vec<Run> = Vec::new();
    let number = |operands: &[Object], i: usize| operands.get(i).and_then(|o| o.as_float().ok()).unwrap_or_default();
    for operation in &content.operations {
        let operands = &operation.operands;
        match operation.operator.as_str() {
            "Tf" => encoding = named(&encodings, operands),
            "Tm" => (x, y) = (number(operands, 4), number(operands, 5)),
            "Td" | "TD" => (x, y) = (x + number(operands, 0), y + number(operands, 1)),
            "Tj" | "TJ" | "'" | "\"" => {
                let mut text = String::new();
                gather(encoding, operands, &mut text);
                match runs.last_mut().filter(|run| run.x == x && run.y == y) {
                    Some(run) => run.text.push_str(&text),
                    None => runs.push(Run { text, x, y }),
                }
            }
            _ => {}
        }
    }
    runs
}

fn gather(encoding: Option<&Encoding<'_>>, operands: &[Object], text: &mut String) {
    for operand in operands {
        match operand {
            Object::String(bytes, _) => {
                let words = encoding.and_then(|encoding| Document::decode_text(encoding, bytes).ok());
                text.push_str(&words.unwrap_or_else(|| String::from_utf8_lossy(bytes).into_owned()));
            }
            Object::Array(items) => gather(encoding, items, text),
            _ => {}
        }
    }
}

/// What differs between the words of two pages, as sentences.
fn words_that_differ(found: &[Run], made: &[Run]) -> Vec<String> {
    let near = |a: &Run, b: &Run| a.text == b.text && (a.x - b.x).abs() < NEAR && (a.y - b.y).abs() < NEAR;
    let before = found.iter().zip(made).take_while(|(a, b)| near(a, b)).count();
    let (a, b) = (&found[before..], &made[before..]);
    let after = a.iter().rev().zip(b.iter().rev()).take_while(|(a, b)| near(a, b)).count();
    let (a, b) = (&a[..a.len() - after], &b[..b.len() - after]);
    let at = |run: &Run| format!("{:.0} points from the left and {:.0} from the bottom", run.x, run.y);
    let mut told = Vec::new();
    if a.len() == b.len() {
        let pairs: Vec<_> = a.iter().zip(b).filter(|(a, b)| !near(a, b)).collect();
        for (a, b) in pairs.iter().take(TOLD) {
            told.push(if a.text == b.text {
                format!("“{}” stands {}, the record puts it {}", short(&a.text), at(a), at(b))
            } else {
                format!("says “{}” where the record gives “{}” ({})", short(&a.text), short(&b.text), at(b))
            });
        }
        if pairs.len() > TOLD {
            told.push(format!("and {} places more", pairs.len() - TOLD));
        }
        return told;
    }
    if !a.is_empty() {
        told.push(format!("says “{}” where the record gives “{}”", short(&words(a)), short(&words(b))));
    } else {
        told.push(format!("lacks “{}”", short(&words(b))));
    }
    told
}

fn words(runs: &[Run]) -> String {
    runs.iter().map(|run| run.text.trim()).filter(|text| !text.is_empty()).collect::<Vec<_>>().join(" ")
}

/// At most eighty letters.
fn short(text: &str) -> String {
    let text = guard::line(&text.split_whitespace().collect::<Vec<_>>().join(" ")).into_owned();
    match text.char_indices().nth(80) {
        Some((at, _)) => format!("{}…", &text[..at]),
        None => text,
    }
}

/// The titles of the bookmarks in order.
fn outline(read: &Read, root: &Object) -> Vec<String> {
    fn walk(read: &Read, first: Option<&Object>, depth: usize, left: &mut usize, titles: &mut Vec<String>) {
        let mut next = first;
        while let Some(item) = next.and_then(|o| read.document.dereference(o).ok()).and_then(|(_, o)| o.as_dict().ok())
            && *left > 0
        {
            *left -= 1;
            let title = item.get_deref(b"Title", &read.document).and_then(lopdf::decode_text_string);
            titles.push(title.unwrap_or_default());
            if depth > 0 {
                walk(read, item.get(b"First").ok(), depth - 1, left, titles);
            }
            next = item.get(b"Next").ok();
        }
    }
    let mut titles = Vec::new();
    let root = read.document.dereference(root).ok().and_then(|(_, o)| o.as_dict().ok());
    // A list that runs in a circle ends at the count.
    walk(read, root.and_then(|root| root.get(b"First").ok()), DEEPEST, &mut PDF_BOOKMARKS.size(), &mut titles);
    titles
}

fn same_option(a_in: &Read, a: Option<&Object>, b_in: &Read, b: Option<&Object>) -> bool {
    match (a, b) {
        (Some(a), Some(b)) => same(a_in, a, b_in, b, DEEPEST),
        (None, None) => true,
        // Nothing, and an empty list or a turn by nothing, are one.
        (Some(one), None) | (None, Some(one)) => match one {
            Object::Array(items) => items.is_empty(),
            Object::Integer(0) | Object::Null => true,
            _ => false,
        },
    }
}

fn same(a_in: &Read, a: &Object, b_in: &Read, b: &Object, depth: usize) -> bool {
    let Some(depth) = depth.checked_sub(1) else { return false };
    let pages = (a.as_reference(), b.as_reference());
    if let (Ok(a), Ok(b)) = pages
        && let (Some(a), Some(b)) = (page_index(a_in, a), page_index(b_in, b))
    {
        // A link to a page; the page itself is compared on its own.
        return a == b;
    }
    let (Ok((_, a)), Ok((_, b))) = (a_in.document.dereference(a), b_in.document.dereference(b)) else { return false };
    match (a, b) {
        (Object::Array(a), Object::Array(b)) => same_list(a_in, a, b_in, b, depth),
        (Object::Dictionary(a), Object::Dictionary(b)) => same_entries(a_in, a, b_in, b, depth, &[b"Parent", b"P"]),
        (Object::Stream(a), Object::Stream(b)) => {
            let packing: [&[u8]; 5] = [b"Length", b"Filter", b"DecodeParms", b"DL", b"Length1"];
            let unpacked = |stream: &lopdf::Stream, most: usize| {
                let is_photo = stream.filters().is_ok_and(|filters| filters.contains(&&b"DCTDecode"[..]));
                if is_photo { Some(stream.content.clone()) } else { stream.get_plain_content_with_limit(most).ok() }
            };
            // A stranger's part is unpacked no further than ours goes, or a report of many pages could hide a typeface in
            // each that fills the memory again and again. Twice, because a packing within a packing may be longer.
            same_entries(a_in, &a.dict, b_in, &b.dict, depth, &packing)
                && unpacked(b, UNPACKED_MOST).is_some_and(|b| unpacked(a, 2 * b.len() + SLACK).is_some_and(|a| a == b))
        }
        (Object::String(a, _), Object::String(b, _)) => a == b,
        _ => match (a.as_float(), b.as_float()) {
            (Ok(a), Ok(b)) => (a - b).abs() < NEAR,
            _ => a == b,
        },
    }
}

fn same_list(a_in: &Read, a: &[Object], b_in: &Read, b: &[Object], depth: usize) -> bool {
    a.len() == b.len() && a.iter().zip(b).all(|(a, b)| same(a_in, a, b_in, b, depth))
}

fn same_entries(a_in: &Read, a: &Dictionary, b_in: &Read, b: &Dictionary, depth: usize, but: &[&[u8]]) -> bool {
    let counted = |d: &Dictionary| d.iter().filter(|(key, _)| !but.contains(&key.as_slice())).count();
    counted(a) == counted(b)
        && a.iter()
            .filter(|(key, _)| !but.contains(&key.as_slice()))
            .all(|(key, value)| b.get(key).is_ok_and(|other| same(a_in, value, b_in, other, depth)))
}

fn page_index(read: &Read, id: ObjectId) -> Option<usize> {
    read.pages.iter().position(|page| *page == id)
}
