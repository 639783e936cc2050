//! The typesetter: blocks and fonts in, pages of placed items out.
//!
//! ```text
//! page     the result: pages, placed items, glyphs
//! style    the measures: margins, sizes, gaps
//! fonts    the embedded faces and their metrics
//! shape    words -> glyphs, with a cache; what cannot be printed is replaced and reported
//! lines    spans -> lines of a given width (Unicode line breaking)
//! slab     a piece of content of known height that moves as one, and how an over-tall one is cut
//! blocks   each kind of block -> slabs
//! table    tables -> slabs, with the head that each page repeats
//! art      drawings and photos -> placed items
//! flow     slabs -> pages, with heads and feet
//! dump     pages -> text, for tests
//! ```
//!
//! Layout is pure: the same blocks give the same pages on every machine. It must not know the domain, files, the clock
//! or any painter.

mod art;
mod blocks;
mod dump;
mod flow;
pub mod fonts;
mod lines;
mod page;
mod shape;
mod slab;
mod style;
mod table;

pub use dump::dump;
pub use lines::breaks;
pub use page::{Area, Face, Glyph, Layout, Meta, MissingGlyph, OutlineEntry, Page, Placed, TextRun, TooLong};

use crate::report::block::DocumentSpec;

/// Lays a document out.
///
/// This cannot fail: empty tables, columns without width, words longer than a line and drawings larger than the page
/// are all given a place, characters that cannot be printed are named in [`Layout::missing`], and a document that is too
/// long says so by [`Layout::whole`].
pub fn lay_out(spec: &DocumentSpec) -> Layout {
    // Nobody stops it, so there is always a layout; the empty one is never reached.
    lay_out_watched(spec, &mut |_, _| true).unwrap_or_else(|| Layout {
        pages: Vec::new(),
        outline: Vec::new(),
        missing: Vec::new(),
        meta: meta(spec),
        is_whole: true,
    })
}

/// Lays a document out and says after each block how many are done of how many. `None` once the watcher gives false.
pub fn lay_out_watched(spec: &DocumentSpec, watch: &mut dyn FnMut(usize, usize) -> bool) -> Option<Layout> {
    let mut shaper = shape::Typesetter::new(&spec.language);
    let frame = style::Frame::of(spec.paper);
    let count = spec.blocks.len();
    let mut done = 0;
    let slabs = blocks::slabs(&mut shaper, &spec.blocks, frame.body_size(), &mut || {
        done += 1;
        watch(done.min(count), count)
    })?;
    let set = if shaper.is_spent() { None } else { flow::paginate(&mut shaper, spec, &frame, slabs) };
    // The heads and feet of pages count too.
    let set = set.filter(|_| !shaper.is_spent());
    let is_whole = set.is_some();
    let (pages, outline) = set.unwrap_or_default();
    Some(Layout { pages, outline, missing: shaper.into_missing(), meta: meta(spec), is_whole })
}

/// The width of words on one line in points, kerning and ligatures included.
pub fn width(text: &str, face: Face, size: f32) -> f32 {
    let mut shaper = shape::Typesetter::new("en");
    let style = shape::Style { face, size, ink: crate::drawing::shape::Ink::Line, link: 0 };
    lines::one_line(&mut shaper, text, style).width
}

fn meta(spec: &DocumentSpec) -> Meta {
    Meta {
        title: spec.title.clone(),
        author: spec.author.clone(),
        subject: spec.subject.clone(),
        language: spec.language.clone(),
        created: spec.created,
        attachments: spec.attachments.clone(),
    }
}
