//! The report engine from blocks to pages, PDF and pixels, checked from outside.
//!
//! The PDF is read back with qpdf and poppler's tools, which `tests/all` installs.

mod breaking;
mod pages;
mod pdf;
#[path = "../support/pixels.rs"]
mod pixels;
mod raster;
mod sample;
