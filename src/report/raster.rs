//! Pages to pixels: the preview in the window and PNG files.
//!
//! It walks the same placed items as the PDF painter, with the same fonts and colours, and decides nothing. It must
//! not know blocks, windows or files.

use std::cell::RefCell;
use std::collections::HashMap;
use std::io::Cursor;
use std::rc::Rc;

use image::codecs::png::PngEncoder;
use image::{ExtendedColorType, ImageEncoder as _};
use skrifa::instance::{LocationRef, Size};
use skrifa::outline::{DrawSettings, OutlinePen};
use skrifa::{GlyphId, MetadataProvider as _};
use tiny_skia::{
    Color, FillRule, FilterQuality, LineCap, LineJoin, Paint, Path, PathBuilder, Pixmap, PixmapPaint,
    PremultipliedColorU8, Rect, StrokeDash, Transform,
};

use super::layout::fonts;
use super::layout::{Area, Face, Layout, Placed, TextRun};
use super::palette;
use crate::drawing::shape::{Ink, Stroke};

/// The longest side of a bitmap in pixels: what every graphics card since OpenGL 4 takes as one texture.
pub const LONGEST_SIDE: u32 = 8192;

/// A page in pixels, from the top left, four bytes a pixel: red, green, blue, opacity. The paper is opaque white.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Bitmap {
    /// Width in pixels.
    pub width: u32,
    /// Height in pixels.
    pub height: u32,
    /// `width × height × 4` bytes.
    pub rgba: Vec<u8>,
}

/// Why a page could not be painted.
#[derive(Debug, thiserror::Error)]
pub enum RasterError {
    /// There is no such page.
    #[error("expected a page from 1 to {count}, found page {}; choose one of these", .index + 1)]
    NoSuchPage {
        /// The index asked for, from 0.
        index: usize,
        /// How many pages there are.
        count: usize,
    },
    /// The scale gives no bitmap or one that is too large.
    #[error(
        "a page cannot be painted at {pixels_per_point} pixels a point: expected a scale that gives 1 to {LONGEST_SIDE} pixels a side; choose another zoom"
    )]
    Scale {
        /// The scale asked for.
        pixels_per_point: f32,
    },
    /// A photo cannot be read.
    #[error(
        "the photo “{summary}” could not be painted: expected a JPEG file, found {found}; export it again as a JPEG, or leave it out of the report"
    )]
    Photo {
        /// What the photo shows.
        summary: String,
        /// What was found instead.
        found: String,
    },
    /// The PNG file could not be put together.
    #[error("the picture could not be put together in memory: {0}; close other programs and try again")]
    Png(String),
}

impl Bitmap {
    /// The bitmap as a PNG file without an opacity channel: the paper is opaque.
    ///
    /// # Errors
    /// When the encoder has no memory left.
    pub fn png(&self) -> Result<Vec<u8>, RasterError> {
        let rgb: Vec<u8> = self.rgba.chunks_exact(4).flat_map(|pixel| [pixel[0], pixel[1], pixel[2]]).collect();
        let mut bytes = Vec::new();
        PngEncoder::new(&mut bytes)
            .write_image(&rgb, self.width, self.height, ExtendedColorType::Rgb8)
            .map_err(|error| RasterError::Png(error.to_string()))?;
        Ok(bytes)
    }
}

/// Paints a page at the given scale; 1 pixel a point is 72 pixels an inch.
///
/// # Errors
/// When there is no such page, the scale is out of reason, or a photo is no JPEG file.
pub fn page(layout: &Layout, index: usize, pixels_per_point: f32) -> Result<Bitmap, RasterError> {
    let count = layout.pages.len();
    let page = layout.pages.get(index).ok_or(RasterError::NoSuchPage { index, count })?;
    let side = |points: f32| {
        let pixels = (points * pixels_per_point).round();
        // The comparison also refuses what is no number.
        (pixels >= 1.0 && pixels <= LONGEST_SIDE as f32).then_some(pixels as u32)
    };
    let pixmap = side(page.width).zip(side(page.height)).and_then(|(width, height)| Pixmap::new(width, height));
    let mut pixmap = pixmap.ok_or(RasterError::Scale { pixels_per_point })?;
    pixmap.fill(colour(Ink::Paper));
    let mut painter = Painter { pixmap, scale: pixels_per_point };
    painter.items(&page.items)?;
    let pixmap = painter.pixmap;
    // The paper is opaque, so premultiplied and plain colours are the same.
    Ok(Bitmap { width: pixmap.width(), height: pixmap.height(), rgba: pixmap.take() })
}

struct Painter {
    pixmap: Pixmap,
    scale: f32,
}

impl Painter {
    fn items(&mut self, items: &[Placed]) -> Result<(), RasterError> {
        for item in items {
            match item {
                Placed::Text(run) => self.text(run),
                Placed::Path { points, closed, fill, stroke } => {
                    let mut path = PathBuilder::new();
                    for (i, p) in points.iter().enumerate() {
                        if i == 0 { path.move_to(p.x, p.y) } else { path.line_to(p.x, p.y) }
                    }
                    if *closed {
                        path.close();
                    }
                    self.shape(path.finish(), fill.filter(|_| *closed), *stroke);
                }
                Placed::Circle { centre, radius, fill, stroke } => {
                    self.shape(PathBuilder::from_circle(centre.x, centre.y, *radius), *fill, *stroke);
                }
                Placed::Rect { area, ink } => {
                    let rect = Rect::from_xywh(area.x, area.y, area.width, area.height);
                    self.shape(rect.map(PathBuilder::from_rect), Some(*ink), None);
                }
                Placed::Rule { from, to, width, ink } => self.rule([from.x, from.y], [to.x, to.y], *width, *ink),
                Placed::Photo { area, jpeg, summary } => self.photo(*area, jpeg, summary)?,
                Placed::Drawing { items, .. } => self.items(items)?,
            }
        }
        Ok(())
    }

    /// Paints an area and its outline; a path that has collapsed to nothing is not seen on paper either.
    fn shape(&mut self, path: Option<Path>, fill: Option<Ink>, stroke: Option<Stroke>) {
        let Some(path) = path else { return };
        let transform = Transform::from_scale(self.scale, self.scale);
        if let Some(ink) = fill {
            self.pixmap.fill_path(&path, &paint(ink), FillRule::Winding, transform, None);
        }
        if let Some(stroke) = stroke {
            let line = tiny_skia::Stroke {
                width: stroke.width,
                line_cap: LineCap::Butt,
                line_join: LineJoin::Round,
                dash: stroke.dash.and_then(|lengths| StrokeDash::new(lengths.to_vec(), 0.0)),
                ..tiny_skia::Stroke::default()
            };
            self.pixmap.stroke_path(&path, &paint(stroke.ink), &line, transform, None);
        }
    }

    /// Paints a rule on whole pixels, so that it is crisp at every zoom; one thinner than a pixel is a pale pixel.
    fn rule(&mut self, from: [f32; 2], to: [f32; 2], width: f32, ink: Ink) {
        let thick = (width * self.scale).round().max(1.0);
        let across = usize::from((from[0] - to[0]).abs() >= (from[1] - to[1]).abs());
        let along = 1 - across;
        let [start, end] = [from[along].min(to[along]), from[along].max(to[along])].map(|x| (x * self.scale).round());
        let top = (from[across] * self.scale - thick / 2.0).round();
        let area = if across == 1 {
            Rect::from_xywh(start, top, end - start, thick)
        } else {
            Rect::from_xywh(top, start, thick, end - start)
        };
        let mut paint = paint(ink);
        let mut shade = colour(ink);
        shade.set_alpha((width * self.scale).min(1.0));
        paint.set_color(shade);
        if let Some(area) = area {
            self.pixmap.fill_rect(area, &paint, Transform::identity(), None);
        }
    }

    fn text(&mut self, run: &TextRun) {
        let size = run.size / fonts::data(run.face).units * self.scale;
        let ink = paint(run.ink);
        let mut x = run.x;
        for glyph in &run.glyphs {
            if let Some(path) = outline(run.face, glyph.id) {
                let at = ((x + glyph.dx) * self.scale, (run.y + glyph.dy) * self.scale);
                // Outlines have y up.
                let transform = Transform::from_row(size, 0.0, 0.0, -size, at.0, at.1);
                self.pixmap.fill_path(&path, &ink, FillRule::Winding, transform, None);
            }
            x += glyph.advance;
        }
    }

    fn photo(&mut self, area: Area, jpeg: &[u8], summary: &str) -> Result<(), RasterError> {
        let decoded = image::ImageReader::with_format(Cursor::new(jpeg), image::ImageFormat::Jpeg).decode();
        let decoded =
            decoded.map_err(|error| RasterError::Photo { summary: summary.to_owned(), found: error.to_string() })?;
        let pixels = |points: f32| (points * self.scale).round().clamp(1.0, LONGEST_SIDE as f32) as u32;
        // Scaling down first averages all pixels; the painter's own filter would look at four of them only.
        let scaled = decoded
            .resize_exact(pixels(area.width), pixels(area.height), image::imageops::FilterType::Triangle)
            .to_rgb8();
        let Some(mut bitmap) = Pixmap::new(scaled.width(), scaled.height()) else { return Ok(()) };
        for (target, source) in bitmap.pixels_mut().iter_mut().zip(scaled.pixels()) {
            let [r, g, b] = source.0;
            if let Some(pixel) = PremultipliedColorU8::from_rgba(r, g, b, 255) {
                *target = pixel;
            }
        }
        let look = PixmapPaint { quality: FilterQuality::Bilinear, ..PixmapPaint::default() };
        let place = Transform::from_row(
            area.width * self.scale / bitmap.width() as f32,
            0.0,
            0.0,
            area.height * self.scale / bitmap.height() as f32,
            area.x * self.scale,
            area.y * self.scale,
        );
        self.pixmap.draw_pixmap(0, 0, bitmap.as_ref(), &look, place, None);
        Ok(())
    }
}

fn colour(ink: Ink) -> Color {
    let palette::Rgb(r, g, b) = palette::print(ink);
    Color::from_rgba8(r, g, b, 255)
}

fn paint(ink: Ink) -> Paint<'static> {
    let mut paint = Paint::default();
    paint.set_color(colour(ink));
    paint
}

/// Outlines in font units; none for a glyph without ink.
type Outlines = HashMap<(Face, u16), Option<Rc<Path>>>;

thread_local! {
    /// Kept between pages: a report uses a few hundred glyphs thousands of times.
    static OUTLINES: RefCell<Outlines> = RefCell::new(HashMap::new());
}

/// A glyph's outline in font units, or none for a glyph without ink, such as a space.
fn outline(face: Face, id: u16) -> Option<Rc<Path>> {
    OUTLINES.with_borrow_mut(|known| known.entry((face, id)).or_insert_with(|| draw(face, id).map(Rc::new)).clone())
}

fn draw(face: Face, id: u16) -> Option<Path> {
    let glyph = fonts::data(face).font.outline_glyphs().get(GlyphId::from(id))?;
    let mut pen = Pen(PathBuilder::new());
    let settings = DrawSettings::unhinted(Size::unscaled(), LocationRef::default());
    // The fonts are part of the program and every glyph of theirs has been drawn by the tests.
    glyph.draw(settings, &mut pen).ok()?;
    pen.0.finish()
}

struct Pen(PathBuilder);

impl OutlinePen for Pen {
    fn move_to(&mut self, x: f32, y: f32) {
        self.0.move_to(x, y);
    }
    fn line_to(&mut self, x: f32, y: f32) {
        self.0.line_to(x, y);
    }
    fn quad_to(&mut self, cx: f32, cy: f32, x: f32, y: f32) {
        self.0.quad_to(cx, cy, x, y);
    }
    fn curve_to(&mut self, cx0: f32, cy0: f32, cx1: f32, cy1: f32, x: f32, y: f32) {
        self.0.cubic_to(cx0, cy0, cx1, cy1, x, y);
    }
    fn close(&mut self) {
        self.0.close();
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_glyph_of_the_fonts_can_be_drawn() {
        for face in Face::ALL {
            let glyphs = fonts::data(face).font.outline_glyphs();
            let mut drawn = 0;
            for (id, glyph) in glyphs.iter() {
                let mut pen = Pen(PathBuilder::new());
                let settings = DrawSettings::unhinted(Size::unscaled(), LocationRef::default());
                assert!(glyph.draw(settings, &mut pen).is_ok(), "{face:?} {id}");
                drawn += 1;
            }
            assert!(drawn > 2000, "{face:?} has {drawn} glyphs");
        }
    }
}
