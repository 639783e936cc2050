//! What a drawing is made of: flattened paths, circles and words, coloured by meaning rather than by value.
//!
//! Coordinates are in points (1/72 inch at scale 1), x to the right and y **down**, origin at the top left.

/// A place or a distance in a drawing, in points, y down.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pt {
    /// To the right, in points.
    pub x: f32,
    /// Downwards, in points.
    pub y: f32,
}

/// Makes a [`Pt`].
pub const fn pt(x: f32, y: f32) -> Pt {
    Pt { x, y }
}

/// What a line or an area stands for. The window's theme and the report's print palette each give it a colour.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Ink {
    /// Ordinary lines and words.
    Line,
    /// Words and lines that matter most.
    Strong,
    /// Guides, grids and captions that stand back.
    Faint,
    /// The surface that is drawn upon.
    Paper,
    /// A quiet filled area.
    Wash,
    /// What is selected or in hand.
    Accent,
    /// Tyre rubber.
    Rubber,
    /// Rim, spoke, disc and frame.
    Metal,
    /// A minor finding.
    Minor,
    /// A major finding.
    Major,
    /// A dangerous finding.
    Dangerous,
    /// Something that was looked at and found sound.
    Sound,
    /// Something that nobody has looked at yet.
    Unchecked,
}

/// How a line is drawn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stroke {
    /// What it stands for.
    pub ink: Ink,
    /// Width in points.
    pub width: f32,
    /// Dash and gap in points, for a line that is not solid.
    pub dash: Option<[f32; 2]>,
}

impl Stroke {
    /// A solid line.
    pub const fn solid(ink: Ink, width: f32) -> Self {
        Self { ink, width, dash: None }
    }
    /// A dashed line with dash and gap of three widths each.
    pub const fn dashed(ink: Ink, width: f32) -> Self {
        Self { ink, width, dash: Some([width * 3.0, width * 3.0]) }
    }
}

/// Which point of the words stands at the given place, across.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Anchor {
    /// The left end.
    Start,
    /// The middle.
    Middle,
    /// The right end.
    End,
}

/// One piece of a drawing.
#[derive(Clone, Debug, PartialEq)]
pub enum Shape {
    /// A run of straight pieces. A filled path must be closed and **convex**: build concave forms from convex parts.
    Path {
        /// The corners in order.
        points: Vec<Pt>,
        /// Whether the last corner joins the first.
        closed: bool,
        /// The area's ink, for a convex closed path.
        fill: Option<Ink>,
        /// The outline.
        stroke: Option<Stroke>,
    },
    /// A circle.
    Circle {
        /// Its middle.
        centre: Pt,
        /// Its radius in points.
        radius: f32,
        /// The area's ink.
        fill: Option<Ink>,
        /// The outline.
        stroke: Option<Stroke>,
    },
    /// Upright words on one line. `at` is on the words' vertical middle.
    Words {
        /// Where the anchor stands.
        at: Pt,
        /// The words.
        text: String,
        /// Type size in points.
        size: f32,
        /// Which end of the words stands at `at`.
        anchor: Anchor,
        /// Whether the heavier face is used.
        strong: bool,
        /// What the words stand for.
        ink: Ink,
    },
}

/// A finished drawing with its size and what it says in words, for those who cannot see it.
#[derive(Clone, Debug, PartialEq)]
pub struct Drawing {
    /// Width in points.
    pub width: f32,
    /// Height in points.
    pub height: f32,
    /// The pieces, painted in order.
    pub shapes: Vec<Shape>,
    /// What the drawing shows, as a sentence.
    pub summary: String,
}

impl Drawing {
    /// An empty drawing of the given size in points.
    pub fn new(width: f32, height: f32, summary: impl Into<String>) -> Self {
        Self { width, height, shapes: Vec::new(), summary: summary.into() }
    }
    /// Adds a straight line.
    pub fn line(&mut self, from: Pt, to: Pt, stroke: Stroke) {
        self.shapes.push(Shape::Path { points: vec![from, to], closed: false, fill: None, stroke: Some(stroke) });
    }
    /// Adds an open run of lines.
    pub fn polyline(&mut self, points: Vec<Pt>, stroke: Stroke) {
        self.shapes.push(Shape::Path { points, closed: false, fill: None, stroke: Some(stroke) });
    }
    /// Adds a convex closed area.
    pub fn area(&mut self, points: Vec<Pt>, fill: Option<Ink>, stroke: Option<Stroke>) {
        self.shapes.push(Shape::Path { points, closed: true, fill, stroke });
    }
    /// Adds a circle.
    pub fn circle(&mut self, centre: Pt, radius: f32, fill: Option<Ink>, stroke: Option<Stroke>) {
        self.shapes.push(Shape::Circle { centre, radius, fill, stroke });
    }
    /// Adds upright words.
    pub fn words(&mut self, at: Pt, text: impl Into<String>, size: f32, anchor: Anchor, ink: Ink) {
        self.shapes.push(Shape::Words { at, text: text.into(), size, anchor, strong: false, ink });
    }
    /// Places all of another drawing with its top left corner at a point, at its own size.
    pub fn place(&mut self, other: &Self, at: Pt) {
        let moved = |p: &Pt| pt(p.x + at.x, p.y + at.y);
        self.shapes.extend(other.shapes.iter().map(|shape| match shape {
            Shape::Path { points, closed, fill, stroke } => Shape::Path {
                points: points.iter().map(moved).collect(),
                closed: *closed,
                fill: *fill,
                stroke: *stroke,
            },
            Shape::Circle { centre, radius, fill, stroke } => {
                Shape::Circle { centre: moved(centre), radius: *radius, fill: *fill, stroke: *stroke }
            }
            Shape::Words { at: place, text, size, anchor, strong, ink } => Shape::Words {
                at: moved(place),
                text: text.clone(),
                size: *size,
                anchor: *anchor,
                strong: *strong,
                ink: *ink,
            },
        }));
    }
    /// Adds upright words in the heavier face.
    pub fn strong_words(&mut self, at: Pt, text: impl Into<String>, size: f32, anchor: Anchor, ink: Ink) {
        self.shapes.push(Shape::Words { at, text: text.into(), size, anchor, strong: true, ink });
    }
}
