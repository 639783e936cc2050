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
pub use page::{Area, Face, Glyph, Layout, Meta, MissingGlyph, OutlineEntry, Page, Placed, TextRun};

use crate::report::block::DocumentSpec;

/// Lays a document out.
///
/// This cannot fail: empty tables, columns without width, words longer than a line and drawings larger than the page
/// are all given a place, and characters that cannot be printed are named in [`Layout::missing`].
pub fn lay_out(spec: &DocumentSpec) -> Layout {
    let mut shaper = shape::Typesetter::new(&spec.language);
    let frame = style::Frame::of(spec.paper);
    let slabs = blocks::slabs(&mut shaper, &spec.blocks, frame.body_size());
    let (pages, outline) = flow::paginate(&mut shaper, spec, &frame, slabs);
    Layout {
        pages,
        outline,
        missing: shaper.into_missing(),
        meta: Meta {
            title: spec.title.clone(),
            author: spec.author.clone(),
            subject: spec.subject.clone(),
            language: spec.language.clone(),
            created: spec.created,
            attachments: spec.attachments.clone(),
        },
    }
}
