//! The report engine: content blocks become laid-out pages, and pages become a PDF or pixels.
//!
//! ```text
//! content  the domain turned into blocks; the only part that knows machines and inspections
//! block    what a document says (headings, tables, figures), as plain data
//! layout   blocks and fonts -> pages of placed items, in points; the only place where layout is decided
//! palette  the colours that each ink has on paper
//! pdf      pages -> PDF bytes, and PDF bytes read back and compared; the only part that names the PDF writer
//! raster   pages -> pixels, for the preview in the window and for PNG files
//! text     blocks -> plain text, for listings that take no file
//! ```
//!
//! Nothing here knows files or the clock: the date printed is an argument. Beside `content`, nothing knows a machine or
//! an inspection. The painters make no layout decision, so what the preview shows is what is saved.

pub mod block;
pub mod content;
pub mod layout;
pub mod palette;
pub mod pdf;
pub mod raster;
pub mod text;
