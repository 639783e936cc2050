//! What a document says, as plain data: headings, paragraphs, tables, figures, photos.
//!
//! A block has no position and no page. It must not know fonts, pages, the PDF writer or the domain: whoever knows the
//! domain builds blocks, and [`crate::report::layout::lay_out`] turns them into pages.

use std::sync::Arc;

use chrono::{DateTime, FixedOffset};

use crate::drawing::shape::{Drawing, Ink};

/// A whole document: who and when, the paper, what stands on every page, and the blocks in reading order.
#[derive(Clone, Debug)]
pub struct DocumentSpec {
    /// The document's title, shown by PDF viewers.
    pub title: String,
    /// Who wrote it.
    pub author: String,
    /// What it is about, in one line.
    pub subject: String,
    /// Language as a BCP 47 tag, such as `en-GB`. It reaches the shaper and the PDF.
    pub language: String,
    /// The paper.
    pub paper: Paper,
    /// What stands above the body of every page.
    pub head: Ends,
    /// What stands below the body of every page; the page label follows at the right.
    pub foot: Ends,
    /// The words for the page label: `{page}` and `{pages}` are replaced by the numbers.
    pub page_label: String,
    /// When the document was made. The engine never asks the clock.
    pub created: DateTime<FixedOffset>,
    /// The content in reading order.
    pub blocks: Vec<Block>,
    /// Files that travel inside the PDF. They do not appear on any page.
    pub attachments: Vec<Attachment>,
}

impl DocumentSpec {
    /// An empty A4 document in English.
    pub fn new(title: impl Into<String>, created: DateTime<FixedOffset>) -> Self {
        Self {
            title: title.into(),
            author: String::new(),
            subject: String::new(),
            language: "en".to_owned(),
            paper: Paper::A4,
            head: Ends::default(),
            foot: Ends::default(),
            page_label: "page {page} of {pages}".to_owned(),
            created,
            blocks: Vec::new(),
            attachments: Vec::new(),
        }
    }
}

/// The paper sizes that the reports know.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Paper {
    /// 210 by 297 mm (ISO 216).
    A4,
    /// 8.5 by 11 inches (ANSI/ASME Y14.1 size A).
    Letter,
}

impl Paper {
    /// Width and height in points of 1/72 inch.
    pub fn size(self) -> (f32, f32) {
        match self {
            // ISO 216 gives millimetres; one inch is 25.4 mm and 72 points.
            Self::A4 => (210.0 / 25.4 * 72.0, 297.0 / 25.4 * 72.0),
            Self::Letter => (8.5 * 72.0, 11.0 * 72.0),
        }
    }
}

/// Words at the two ends of a line.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Ends {
    /// At the left margin.
    pub left: String,
    /// At the right margin.
    pub right: String,
}

/// A file carried inside the PDF.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Attachment {
    /// File name without a folder.
    pub name: String,
    /// Media type, such as `text/plain`.
    pub media_type: String,
    /// What it is, as a sentence.
    pub description: String,
    /// Its content.
    pub bytes: Vec<u8>,
}

/// One block with its place in the flow.
#[derive(Clone, Debug)]
pub struct Block {
    /// What it is.
    pub kind: BlockKind,
    /// Whether it must stand on the same page as the beginning of the block after it. Headings always do.
    pub keep_with_next: bool,
}

/// The kinds of block.
#[derive(Clone, Debug)]
pub enum BlockKind {
    /// A heading; level 1 is the document's title, levels 2 and 3 its parts. It becomes a bookmark.
    Heading {
        /// 1, 2 or 3; anything else is taken as the nearest of these.
        level: u8,
        /// The words.
        text: String,
    },
    /// Running text.
    Paragraph {
        /// The words and how they stand out.
        spans: Vec<Span>,
    },
    /// A list of points, each with running text.
    Bullets {
        /// The points.
        items: Vec<Vec<Span>>,
    },
    /// Labels with their values, row by row.
    KeyValues {
        /// Pairs in reading order.
        pairs: Vec<KeyValue>,
        /// Whether two pairs stand side by side in a row.
        two_up: bool,
    },
    /// A table whose head is repeated on each page.
    Table(Table),
    /// A drawing on its own.
    Figure {
        /// The drawing; wider than the page, it is scaled down.
        drawing: Drawing,
        /// Words below it; may be empty.
        caption: Vec<Span>,
    },
    /// A picture at the left and blocks at the right, kept together on one page where a page can hold them.
    SideBySide {
        /// What stands at the left.
        picture: Picture,
        /// What stands at the right.
        blocks: Vec<Block>,
    },
    /// A tinted box that must be noticed: a caution or the verdict.
    Callout(Callout),
    /// A photo on its own.
    Image {
        /// The photo.
        photo: Photo,
        /// Words below it; may be empty.
        caption: Vec<Span>,
    },
    /// Pictures in rows, each with words below it.
    Gallery {
        /// The pictures in reading order.
        pictures: Vec<(Picture, Vec<Span>)>,
        /// How many stand side by side; at least one.
        columns: usize,
    },
    /// Empty height in points.
    Space(f32),
    /// What follows begins on a new page.
    PageBreak,
}

/// A label with its value.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct KeyValue {
    /// The label.
    pub label: String,
    /// The value.
    pub value: Vec<Span>,
}

/// A tinted box.
#[derive(Clone, Debug)]
pub struct Callout {
    /// Shown at the left of the title, such as a severity mark.
    pub mark: Option<Drawing>,
    /// The title.
    pub title: String,
    /// The text below the title, one entry a paragraph.
    pub text: Vec<Vec<Span>>,
    /// The ink of the bar at its left edge.
    pub ink: Ink,
    /// Whether the title is set larger, for a verdict.
    pub banner: bool,
}

/// What may stand at the left of a side-by-side block.
#[derive(Clone, Debug)]
pub enum Picture {
    /// A vector drawing.
    Drawing(Drawing),
    /// A photo.
    Photo(Photo),
}

/// A photo, ready to print: turned upright and scaled beforehand, as an RGB or grey JPEG file.
#[derive(Clone, Debug)]
pub struct Photo {
    /// The name of its file in the machine's photo folder.
    pub name: String,
    /// The bytes of the JPEG file.
    pub jpeg: Arc<[u8]>,
    /// Width in pixels.
    pub pixel_width: u32,
    /// Height in pixels.
    pub pixel_height: u32,
    /// The width wished for on paper in points; without it, the photo is set at 150 pixels an inch.
    pub width: Option<f32>,
    /// What it shows, as a sentence.
    pub summary: String,
}

/// A table.
#[derive(Clone, Debug, Default)]
pub struct Table {
    /// The columns from left to right.
    pub columns: Vec<Column>,
    /// The head's cells; empty for a table without a head.
    pub head: Vec<Cell>,
    /// The rows; a row with too few cells is filled with empty ones, and cells beyond the last column are set below
    /// each other in the last column, so that nothing is lost.
    pub rows: Vec<Vec<Cell>>,
}

/// A column of a table.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Column {
    /// Its share of the width, against the other columns' shares.
    pub weight: f32,
    /// How its cells are set.
    pub align: Align,
}

impl Column {
    /// A column set from the left.
    pub const fn left(weight: f32) -> Self {
        Self { weight, align: Align::Left }
    }
    /// A column set to the right.
    pub const fn right(weight: f32) -> Self {
        Self { weight, align: Align::Right }
    }
    /// A column set about its middle.
    pub const fn middle(weight: f32) -> Self {
        Self { weight, align: Align::Middle }
    }
    /// A column of figures whose decimal marks stand below each other.
    pub const fn decimal(weight: f32) -> Self {
        Self { weight, align: Align::Decimal }
    }
}

/// How words stand in their width.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Align {
    /// From the left edge.
    Left,
    /// About the middle.
    Middle,
    /// To the right edge.
    Right,
    /// To the right edge, with the decimal marks of one-line cells below each other.
    Decimal,
}

/// A cell of a table.
#[derive(Clone, Debug)]
pub enum Cell {
    /// Words.
    Text(Vec<Span>),
    /// A drawing; wider than the column, it is scaled down.
    Drawing(Drawing),
    /// A small drawing with words after it, such as a severity mark with its word.
    Marked(Drawing, Vec<Span>),
}

impl Cell {
    /// A cell of plain words.
    pub fn text(text: impl Into<String>) -> Self {
        Self::Text(vec![Span::text(text)])
    }
    /// A cell of words in the heavier face.
    pub fn strong(text: impl Into<String>) -> Self {
        Self::Text(vec![Span::text(text).strong()])
    }
}

/// Words that look alike. A line feed inside breaks the line.
#[derive(Clone, Debug, PartialEq)]
pub struct Span {
    /// The words.
    pub text: String,
    /// Whether the heavier face is used.
    pub strong: bool,
    /// Whether a smaller size is used.
    pub small: bool,
    /// What the words stand for.
    pub ink: Ink,
    /// Where a press on the words leads.
    pub link: Option<Link>,
}

/// Where words lead: to the first heading of these words in the same document, to nowhere where there is none. Nothing
/// leads outside.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Link(pub String);

impl Span {
    /// Ordinary words.
    pub fn text(text: impl Into<String>) -> Self {
        Self { text: text.into(), strong: false, small: false, ink: Ink::Line, link: None }
    }
    /// The same in the heavier face.
    pub fn strong(mut self) -> Self {
        self.strong = true;
        self
    }
    /// The same in the smaller size.
    pub fn small(mut self) -> Self {
        self.small = true;
        self
    }
    /// The same, leading to a heading of the document.
    pub fn to_heading(mut self, heading: impl Into<String>) -> Self {
        self.link = Some(Link(heading.into()));
        self
    }
    /// The same in the given ink.
    pub fn ink(mut self, ink: Ink) -> Self {
        self.ink = ink;
        self
    }
}

impl Block {
    fn of(kind: BlockKind) -> Self {
        Self { kind, keep_with_next: false }
    }
    /// The same, kept on the page where the next block begins.
    pub fn keep_with_next(mut self) -> Self {
        self.keep_with_next = true;
        self
    }
    /// A heading.
    pub fn heading(level: u8, text: impl Into<String>) -> Self {
        Self::of(BlockKind::Heading { level, text: text.into() })
    }
    /// A paragraph of plain words.
    pub fn paragraph(text: impl Into<String>) -> Self {
        Self::of(BlockKind::Paragraph { spans: vec![Span::text(text)] })
    }
    /// A paragraph of spans.
    pub fn spans(spans: Vec<Span>) -> Self {
        Self::of(BlockKind::Paragraph { spans })
    }
    /// A list of plain points.
    pub fn bullets<T: Into<String>>(items: impl IntoIterator<Item = T>) -> Self {
        Self::of(BlockKind::Bullets { items: items.into_iter().map(|text| vec![Span::text(text)]).collect() })
    }
    /// Labels with values, two pairs a row when `two_up`.
    pub fn key_values<L: Into<String>, V: Into<String>>(pairs: impl IntoIterator<Item = (L, V)>, two_up: bool) -> Self {
        let pairs = pairs
            .into_iter()
            .map(|(label, value)| KeyValue { label: label.into(), value: vec![Span::text(value)] })
            .collect();
        Self::of(BlockKind::KeyValues { pairs, two_up })
    }
    /// A table.
    pub fn table(table: Table) -> Self {
        Self::of(BlockKind::Table(table))
    }
    /// A drawing with a caption of plain words.
    pub fn figure(drawing: Drawing, caption: impl Into<String>) -> Self {
        Self::of(BlockKind::Figure { drawing, caption: vec![Span::text(caption)] })
    }
    /// A picture with blocks at its right.
    pub fn side_by_side(picture: Picture, blocks: Vec<Block>) -> Self {
        Self::of(BlockKind::SideBySide { picture, blocks })
    }
    /// A tinted box with plain paragraphs.
    pub fn callout(title: impl Into<String>, text: impl Into<String>) -> Self {
        Self::of(BlockKind::Callout(Callout {
            mark: None,
            title: title.into(),
            text: vec![vec![Span::text(text)]],
            ink: Ink::Line,
            banner: false,
        }))
    }
    /// The verdict: a large title with its mark, and the sentence below.
    pub fn banner(mark: Drawing, title: impl Into<String>, text: impl Into<String>, ink: Ink) -> Self {
        Self::of(BlockKind::Callout(Callout {
            mark: Some(mark),
            title: title.into(),
            text: vec![vec![Span::text(text)]],
            ink,
            banner: true,
        }))
    }
    /// A photo with a caption of plain words.
    pub fn image(photo: Photo, caption: impl Into<String>) -> Self {
        Self::of(BlockKind::Image { photo, caption: vec![Span::text(caption)] })
    }
    /// Pictures with captions of plain words, in rows of `columns`.
    pub fn gallery<C: Into<String>>(pictures: impl IntoIterator<Item = (Picture, C)>, columns: usize) -> Self {
        let pictures = pictures.into_iter().map(|(picture, caption)| (picture, vec![Span::text(caption)])).collect();
        Self::of(BlockKind::Gallery { pictures, columns })
    }
    /// Empty height in points.
    pub fn space(height: f32) -> Self {
        Self::of(BlockKind::Space(height))
    }
    /// A page break.
    pub fn page_break() -> Self {
        Self::of(BlockKind::PageBreak)
    }
}

impl From<BlockKind> for Block {
    fn from(kind: BlockKind) -> Self {
        Self::of(kind)
    }
}
