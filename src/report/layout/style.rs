//! The measures of a report: margins, sizes of type, gaps. It must not know blocks or fonts.
//!
//! All lengths are in points. They are the house's own choice: a 10 point body on a 14 point line, wide margins, few
//! rules.

use crate::drawing::shape::Ink;
use crate::report::block::Paper;

/// A size of type with its line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Type {
    /// Size of the letters.
    pub size: f32,
    /// From one baseline to the next.
    pub leading: f32,
    /// Size of spans that are marked small.
    pub small: f32,
    /// Whether every span is set in the heavier face.
    pub strong: bool,
}

impl Type {
    const fn new(size: f32, leading: f32, small: f32, strong: bool) -> Self {
        Self { size, leading, small, strong }
    }
    /// How far below the line's top the baseline stands: the letters are centred in the line by their capitals.
    pub fn baseline(self) -> f32 {
        // Noto Sans has capitals of 0.714 em, as its OS/2 table says; a test in `fonts` holds this figure.
        (self.leading + self.size * 0.714) / 2.0
    }
}

/// Running text.
pub const BODY: Type = Type::new(10.0, 14.0, 8.5, false);
/// Running text of which every span is small: lists that are proof more than reading.
pub const FINE: Type = Type::new(8.5, 11.8, 8.5, false);
/// Cells of tables.
pub const CELL: Type = Type::new(9.0, 12.5, 8.0, false);
/// Heads of tables.
pub const CELL_HEAD: Type = Type::new(8.0, 11.0, 8.0, true);
/// Labels before values.
pub const LABEL: Type = Type::new(8.5, 14.0, 8.0, false);
/// Captions.
pub const CAPTION: Type = Type::new(8.5, 11.5, 8.0, false);
/// Heads and feet of pages.
pub const FURNITURE: Type = Type::new(8.0, 11.0, 8.0, false);
/// The title of a callout.
pub const CALLOUT_TITLE: Type = Type::new(10.0, 14.0, 8.5, true);
/// The title of a banner.
pub const BANNER_TITLE: Type = Type::new(16.0, 21.0, 10.0, true);

/// A heading's type and the gaps above and below it.
pub const fn heading(level: u8) -> (Type, f32, f32) {
    match level {
        0 | 1 => (Type::new(22.0, 28.0, 14.0, true), 26.0, 8.0),
        2 => (Type::new(13.5, 18.0, 10.0, true), 22.0, 6.0),
        _ => (Type::new(10.5, 14.5, 8.5, true), 12.0, 3.0),
    }
}

/// Below paragraphs and lists.
pub const PARAGRAPH_GAP: f32 = 7.0;
/// Between the points of a list.
pub const BULLET_GAP: f32 = 3.0;
/// The indent of a point.
pub const BULLET_INDENT: f32 = 13.0;
/// Above and below tables, figures and boxes.
pub const BLOCK_GAP: f32 = 11.0;
/// Between the two sides of a side-by-side block.
pub const SIDE_GAP: f32 = 16.0;
/// Inside a box.
pub const BOX_PADDING: f32 = 11.0;
/// Width of the bar at a box's left edge.
pub const BAR: f32 = 3.0;
/// Left and right of a cell's words.
pub const CELL_SIDE: f32 = 6.0;
/// Above and below a cell's words.
pub const CELL_TOP: f32 = 4.0;
/// The narrowest that a column may become, however small its share.
pub const COLUMN_LEAST: f32 = 14.0;
/// Between a mark and its words.
pub const MARK_GAP: f32 = 5.0;
/// Between the pairs of a two-up grid.
pub const PAIR_GAP: f32 = 22.0;
/// Width of the quiet rule between rows.
pub const HAIRLINE: f32 = 0.3;
/// Its ink: the palette's lightest line, so that rules stay behind the words on a screen too, where no line is thinner
/// than a pixel.
pub const HAIRLINE_INK: Ink = Ink::Metal;
/// Width of the rule below a table's head.
pub const HEAD_RULE: f32 = 0.8;

/// The page with its margins.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Frame {
    /// Width of the page.
    pub width: f32,
    /// Height of the page.
    pub height: f32,
    /// Left and right margin.
    pub side: f32,
    /// Top of the body.
    pub top: f32,
    /// Bottom of the body, from the page's top.
    pub bottom: f32,
    /// Baseline of the page's head.
    pub head_baseline: f32,
    /// Baseline of the page's foot.
    pub foot_baseline: f32,
}

impl Frame {
    /// The frame of a paper size.
    pub fn of(paper: Paper) -> Self {
        let (width, height) = paper.size();
        Self {
            width,
            height,
            side: 62.0,
            top: 70.0,
            bottom: height - 64.0,
            head_baseline: 42.0,
            foot_baseline: height - 38.0,
        }
    }
    /// Width and height of the body.
    pub fn body_size(&self) -> (f32, f32) {
        (self.width - 2.0 * self.side, self.bottom - self.top)
    }
}

/// A list of rows no higher than this share of a page is not parted.
pub const SHORT_TABLE: f32 = 0.18;
