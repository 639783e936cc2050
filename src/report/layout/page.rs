//! What a laid-out document is: pages of placed items, with every position absolute and every glyph chosen.
//!
//! Lengths are in points of 1/72 inch, x to the right and y **down** from the top left corner of the page. The painters
//! (PDF, pixels) walk these items in order and decide nothing. This file must not know blocks or how they are laid out.

use std::sync::Arc;

use chrono::{DateTime, FixedOffset};

use crate::drawing::shape::{Ink, Pt, Stroke};
use crate::guard::limits::{PAGES_LETTERS, PDF_PAGES};
use crate::report::block::{Attachment, Link};

/// A laid-out document.
#[derive(Clone, Debug)]
pub struct Layout {
    /// The pages in order; there is always at least one.
    pub pages: Vec<Page>,
    /// The headings in reading order, for bookmarks.
    pub outline: Vec<OutlineEntry>,
    /// Every character that the fonts lack or that has no shape, with what stands in its place.
    pub missing: Vec<MissingGlyph>,
    /// Title, author and the like.
    pub meta: Meta,
    /// False where the document is longer than is laid out; its pages then show nothing of it.
    pub is_whole: bool,
}

/// The document is longer than is laid out.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error(
    "expected a report of at most {} pages and {} letters, found a longer one: choose less of it, such as one machine or \
     one inspection, or shorten the longest notes",
    PDF_PAGES.most,
    PAGES_LETTERS.most
)]
pub struct TooLong;

impl Layout {
    /// Whether all of the document is on its pages.
    ///
    /// # Errors
    /// When it is longer than is laid out.
    pub fn whole(&self) -> Result<(), TooLong> {
        if self.is_whole { Ok(()) } else { Err(TooLong) }
    }
}

/// What is said about the document as a whole.
#[derive(Clone, Debug)]
pub struct Meta {
    /// The title.
    pub title: String,
    /// Who wrote it.
    pub author: String,
    /// What it is about.
    pub subject: String,
    /// Language as a BCP 47 tag.
    pub language: String,
    /// When it was made.
    pub created: DateTime<FixedOffset>,
    /// Files carried inside the PDF.
    pub attachments: Vec<Attachment>,
}

/// A page.
#[derive(Clone, Debug)]
pub struct Page {
    /// Width in points.
    pub width: f32,
    /// Height in points.
    pub height: f32,
    /// What stands on it, in painting and reading order.
    pub items: Vec<Placed>,
}

/// A bookmark.
#[derive(Clone, Debug, PartialEq)]
pub struct OutlineEntry {
    /// 1, 2 or 3.
    pub level: u8,
    /// The heading's words.
    pub text: String,
    /// Index of the page, from 0.
    pub page: usize,
    /// The heading's top in points from the page's top.
    pub y: f32,
}

/// A character that could not be set as it was written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MissingGlyph {
    /// The character.
    pub character: char,
    /// How often it came up.
    pub count: usize,
    /// Some of the words around its first place.
    pub context: String,
}

impl MissingGlyph {
    /// The report as a sentence with what was expected, what was found and the way out.
    pub fn message(&self) -> String {
        let times = if self.count == 1 { "once".to_owned() } else { format!("{} times", self.count) };
        format!(
            "U+{:04X} has no shape in the report's fonts and is printed as a replacement mark, {times}, first in “{}”: \
             write it in Latin, Greek or Cyrillic letters",
            u32::from(self.character),
            self.context
        )
    }
}

/// The faces that the reports are set in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Face {
    /// Noto Sans Regular.
    Regular,
    /// Noto Sans Bold.
    Bold,
    /// Noto Sans Math, for the signs that the other two lack: −, ≤, ≥, ≈, arrows. It has one weight.
    Signs,
}

impl Face {
    /// Every face, in the order of their declaration.
    pub const ALL: [Self; 3] = [Self::Regular, Self::Bold, Self::Signs];
}

/// Something placed on a page.
#[derive(Clone, Debug)]
pub enum Placed {
    /// Words on one line.
    Text(TextRun),
    /// Straight pieces; a filled path is closed and convex.
    Path {
        /// The corners in order.
        points: Vec<Pt>,
        /// Whether the last corner joins the first.
        closed: bool,
        /// The area's ink.
        fill: Option<Ink>,
        /// The outline.
        stroke: Option<Stroke>,
    },
    /// A circle.
    Circle {
        /// Its middle.
        centre: Pt,
        /// Its radius.
        radius: f32,
        /// The area's ink.
        fill: Option<Ink>,
        /// The outline.
        stroke: Option<Stroke>,
    },
    /// A filled rectangle.
    Rect {
        /// Where it stands.
        area: Area,
        /// Its ink.
        ink: Ink,
    },
    /// A straight horizontal or vertical line between rows and columns.
    Rule {
        /// One end.
        from: Pt,
        /// The other end.
        to: Pt,
        /// Its width in points.
        width: f32,
        /// Its ink.
        ink: Ink,
    },
    /// A photo.
    Photo {
        /// Where it stands.
        area: Area,
        /// The JPEG file's bytes.
        jpeg: Arc<[u8]>,
        /// What it shows.
        summary: String,
    },
    /// A drawing: its pieces, already at their places on the page, and what they say together.
    Drawing {
        /// Where it stands.
        area: Area,
        /// What it shows, as a sentence.
        summary: String,
        /// Its pieces.
        items: Vec<Placed>,
    },
}

/// A rectangle on a page.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Area {
    /// Left edge.
    pub x: f32,
    /// Top edge.
    pub y: f32,
    /// Width.
    pub width: f32,
    /// Height.
    pub height: f32,
}

/// Words on one line, with a glyph chosen and placed for each of them.
#[derive(Clone, Debug, PartialEq)]
pub struct TextRun {
    /// Left end of the baseline.
    pub x: f32,
    /// The baseline.
    pub y: f32,
    /// The face.
    pub face: Face,
    /// Type size in points.
    pub size: f32,
    /// What the words stand for.
    pub ink: Ink,
    /// The words as they can be copied; what is not printable is already replaced.
    pub text: String,
    /// The glyphs from left to right.
    pub glyphs: Vec<Glyph>,
    /// The sum of the advances.
    pub width: f32,
    /// Where a press on them leads.
    pub link: Option<Arc<Link>>,
}

impl TextRun {
    /// The area of the words, from the tallest letters to the lowest.
    pub fn area(&self) -> Area {
        Area { x: self.x, y: self.y - self.size, width: self.width, height: self.size * 1.3 }
    }

    /// The words that a glyph stands for; empty for the second and later glyphs of one cluster.
    pub fn cluster(&self, glyph: &Glyph) -> &str {
        let start = glyph.start as usize;
        self.text.get(start..start + glyph.len as usize).unwrap_or_default()
    }
}

/// A glyph in its place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Glyph {
    /// Its number in the font.
    pub id: u16,
    /// Length in bytes of the words it stands for.
    pub len: u32,
    /// Where in the run's text these words begin, in bytes.
    pub start: u32,
    /// How far the next glyph's place is to the right, in points, kerning included.
    pub advance: f32,
    /// How far it is moved to the right from its place, in points.
    pub dx: f32,
    /// How far it is moved **down** from the baseline, in points.
    pub dy: f32,
}

impl Page {
    /// The runs of words that lead somewhere, with their links. Those in drawings lead nowhere.
    pub fn links(&self) -> impl Iterator<Item = (&TextRun, &Link)> {
        self.items.iter().filter_map(|item| match item {
            Placed::Text(run) => Some((run, run.link.as_deref()?)),
            _ => None,
        })
    }
}

impl Placed {
    /// The top and bottom that the item covers, in points. For words this is the line's height around the baseline.
    pub fn extent(&self) -> (f32, f32) {
        match self {
            Self::Text(run) => (run.y - run.size, run.y + run.size * 0.3),
            Self::Path { points, .. } => points
                .iter()
                .fold((f32::INFINITY, f32::NEG_INFINITY), |(top, bottom), p| (top.min(p.y), bottom.max(p.y))),
            Self::Circle { centre, radius, .. } => (centre.y - radius, centre.y + radius),
            Self::Rect { area, .. } | Self::Photo { area, .. } | Self::Drawing { area, .. } => {
                (area.y, area.y + area.height)
            }
            Self::Rule { from, to, .. } => (from.y.min(to.y), from.y.max(to.y)),
        }
    }

    /// Moves the item by the given distances.
    pub fn shift(&mut self, dx: f32, dy: f32) {
        match self {
            Self::Text(run) => {
                run.x += dx;
                run.y += dy;
            }
            Self::Path { points, .. } => {
                for p in points {
                    p.x += dx;
                    p.y += dy;
                }
            }
            Self::Circle { centre, .. } => {
                centre.x += dx;
                centre.y += dy;
            }
            Self::Rect { area, .. } | Self::Photo { area, .. } => {
                area.x += dx;
                area.y += dy;
            }
            Self::Rule { from, to, .. } => {
                for p in [from, to] {
                    p.x += dx;
                    p.y += dy;
                }
            }
            Self::Drawing { area, items, .. } => {
                area.x += dx;
                area.y += dy;
                for item in items {
                    item.shift(dx, dy);
                }
            }
        }
    }
}
