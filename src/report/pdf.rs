//! Pages to the bytes of a PDF file. This is the only file that names the PDF writer.
//!
//! It walks the placed items and decides nothing: every glyph and every length comes from the layout. It must not know
//! blocks, and it writes no file; whoever asked for the bytes saves them.
//!
//! The writer crate makes the pages and the font subsets. What it does badly or not at all (the order and depth of
//! bookmarks, the language, dates with their offset, attachments) is built as plain objects in `tree` and set afterwards
//! on the document that the crate hands out. The same layout always gives the same bytes.

pub mod compare;
mod load;
pub mod read;
mod tree;

use std::collections::{BTreeMap, HashMap};
use std::io::Cursor;
use std::sync::{Arc, LazyLock};

use image::ImageDecoder as _;
use printpdf::{
    Codepoint, Color, DictItem, ExternalStream, ExternalXObject, FontId, Line, LineCapStyle, LineDashPattern,
    LineJoinStyle, LinePoint, Op, PaintMode, ParsedFont, PdfDocument, PdfFont, PdfFontHandle, PdfPage,
    PdfParseErrorSeverity, PdfSaveOptions, PdfWarnMsg, Point, Polygon, PolygonRing, Rect, TextItem, TextMatrix,
    XObject, XObjectId, XObjectTransform,
};
use skrifa::instance::{LocationRef, Size};
use skrifa::{GlyphId, MetadataProvider as _};

use self::tree::Object;
use super::layout::fonts;
use super::layout::{Area, Face, Layout, Page, Placed, TextRun, TooLong};
use super::palette;
use crate::drawing::shape::{Ink, Pt, Stroke, pt};

/// What the log is told not to take: the reader's own complaints are about strangers' files and can be many; what matters
/// of them is said once, as a refusal.
pub const UNLOGGED: &str = "lopdf=off";

/// Why a PDF could not be made.
#[derive(Debug, thiserror::Error)]
pub enum PdfError {
    /// A face of the program cannot be embedded.
    #[error(
        "the report's own {face:?} face could not be read for embedding: the program's file is damaged, install it anew"
    )]
    Font {
        /// The face.
        face: Face,
    },
    /// A photo is not what the PDF can carry.
    #[error(
        "the photo “{summary}” could not be placed: expected an RGB or grey JPEG file, found {found}; export it again as a JPEG, or leave it out of the report"
    )]
    Photo {
        /// What the photo shows.
        summary: String,
        /// What was found instead.
        found: String,
    },
    /// The writer complained, so the file would not show what the preview shows.
    #[error("the PDF was not written, because it would have differed from the preview: {}", .messages.join("; "))]
    Writer {
        /// The writer's own words.
        messages: Vec<String>,
    },
    /// It is longer than is laid out.
    #[error(transparent)]
    TooLong(#[from] TooLong),
    /// The bytes could not be put together.
    #[error("the PDF could not be put together in memory: {0}; close other programs and try again")]
    Assemble(#[from] std::io::Error),
}

/// Writes the layout as a PDF file with embedded subset fonts.
///
/// # Errors
/// When it is too long, when a photo is no RGB or grey JPEG, or when the writer gives any warning: a file that may differ from the preview
/// is not handed out.
pub fn write(layout: &Layout) -> Result<Vec<u8>, PdfError> {
    layout.whole()?;
    let mut pdf = PdfDocument::new(&layout.meta.title);
    for face in Face::ALL {
        let font = parsed(face).ok_or(PdfError::Font { face })?;
        pdf.resources.fonts.map.insert(font_id(face), PdfFont::new(font.clone()));
    }
    let mut painter = Painter { words: glyph_words(layout), ..Painter::default() };
    for page in &layout.pages {
        let ops = painter.page(page)?;
        // The crate's own constructor takes millimetres and rounds US Letter up.
        let sheet = Rect::from_wh(printpdf::Pt(round(page.width)), printpdf::Pt(round(page.height)));
        pdf.pages.push(PdfPage { media_box: sheet.clone(), trim_box: sheet.clone(), crop_box: sheet, ops });
    }
    for (id, image) in painter.photos.into_values() {
        pdf.resources.xobjects.map.insert(id, XObject::External(image));
    }

    let options = PdfSaveOptions { image_optimization: None, ..PdfSaveOptions::default() };
    let mut warnings = Vec::new();
    let mut document = pdf.to_lopdf_document(&options, &mut warnings);
    refuse_warnings(warnings)?;
    let page_ids: Vec<(u32, u16)> = document.get_pages().into_values().collect();

    let info = document.add_object(item(tree::info(&layout.meta)).to_lopdf());
    document.trailer.set("Info", info);
    document.trailer.set("ID", item(tree::identity(layout)).to_lopdf());
    let outline = (!layout.outline.is_empty()).then_some(document.max_id + 1);
    if let Some(first) = outline {
        for object in tree::outline(&layout.outline, &page_ids, &layout.pages, first) {
            document.add_object(item(object).to_lopdf());
        }
    }
    for (page, id) in layout.pages.iter().zip(&page_ids) {
        let links: Vec<lopdf::Object> = page
            .links()
            .filter_map(|(run, link)| tree::link(run.area(), link, page.height, layout, &page_ids))
            .map(|link| document.add_object(item(link).to_lopdf()).into())
            .collect();
        if !links.is_empty()
            && let Ok(page) = document.get_dictionary_mut(*id)
        {
            page.set("Annots", links);
        }
    }
    let mut files = Vec::new();
    for file in &layout.meta.attachments {
        let stream = document.add_object(item(tree::embedded(file, &layout.meta)).to_lopdf());
        let spec = document.add_object(item(tree::file_spec(file, stream)).to_lopdf());
        files.push((file.name.as_str(), spec));
    }
    files.sort_unstable();
    let catalog = document.catalog_mut().map_err(|error| PdfError::Writer { messages: vec![error.to_string()] })?;
    for (key, value) in tree::catalog(&layout.meta, outline, &files) {
        catalog.set(key, item(value).to_lopdf());
    }
    // The header's version must not be below what is used: attachments and the language come with 1.4 and later.
    document.version = "1.7".to_owned();
    document.compress();
    let mut bytes = Vec::new();
    document.save_to(&mut bytes)?;
    Ok(bytes)
}

fn refuse_warnings(warnings: Vec<PdfWarnMsg>) -> Result<(), PdfError> {
    let messages: Vec<String> = warnings
        .into_iter()
        .filter(|warning| warning.severity != PdfParseErrorSeverity::Info)
        .map(|warning| warning.msg)
        .collect();
    if messages.is_empty() { Ok(()) } else { Err(PdfError::Writer { messages }) }
}

static REGULAR: LazyLock<Option<ParsedFont>> = LazyLock::new(|| parse(Face::Regular));
static BOLD: LazyLock<Option<ParsedFont>> = LazyLock::new(|| parse(Face::Bold));
static SIGNS: LazyLock<Option<ParsedFont>> = LazyLock::new(|| parse(Face::Signs));

fn parse(face: Face) -> Option<ParsedFont> {
    // What the parser remarks on does not matter: the file is fixed and the tests read back what it embeds.
    ParsedFont::from_bytes(fonts::data(face).bytes, 0, &mut Vec::new())
}

fn parsed(face: Face) -> Option<&'static ParsedFont> {
    match face {
        Face::Regular => REGULAR.as_ref(),
        Face::Bold => BOLD.as_ref(),
        Face::Signs => SIGNS.as_ref(),
    }
}

/// The first six letters become the tag of the subset, which must be capitals (ISO 32000-1, 9.6.4).
fn font_id(face: Face) -> FontId {
    FontId(match face {
        Face::Regular => "STEMRG".to_owned(),
        Face::Bold => "STEMBD".to_owned(),
        Face::Signs => "STEMSG".to_owned(),
    })
}

/// The words that each glyph stands for when text is copied. The PDF keeps one entry a glyph, so the first use counts;
/// runs where a glyph stands for something else carry their words beside them.
fn glyph_words(layout: &Layout) -> HashMap<(Face, u16), String> {
    fn walk(items: &[Placed], words: &mut HashMap<(Face, u16), String>) {
        for item in items {
            match item {
                Placed::Text(run) => {
                    for glyph in run.glyphs.iter().filter(|glyph| glyph.len > 0) {
                        words.entry((run.face, glyph.id)).or_insert_with(|| run.cluster(glyph).to_owned());
                    }
                }
                Placed::Drawing { items, .. } => walk(items, words),
                _ => {}
            }
        }
    }
    let mut words = HashMap::new();
    for page in &layout.pages {
        walk(&page.items, &mut words);
    }
    words
}

/// Turns items into page operations and remembers what is set already, so that nothing is written twice.
#[derive(Default)]
struct Painter {
    words: HashMap<(Face, u16), String>,
    photos: BTreeMap<usize, (XObjectId, ExternalXObject)>,
    ops: Vec<Op>,
    height: f32,
    in_text: bool,
    font: Option<(Face, f32)>,
    fill: Option<Ink>,
    line: Option<Ink>,
    width: Option<f32>,
    dash: Option<[f32; 2]>,
}

/// Hundredths of a point are finer than any printer and keep the file small.
fn round(length: f32) -> f32 {
    (length * 100.0).round() / 100.0
}

impl Painter {
    fn page(&mut self, page: &Page) -> Result<Vec<Op>, PdfError> {
        self.ops =
            vec![Op::SetLineCapStyle { cap: LineCapStyle::Butt }, Op::SetLineJoinStyle { join: LineJoinStyle::Round }];
        self.height = page.height;
        (self.font, self.fill, self.line, self.width, self.dash) = (None, None, None, None, None);
        self.items(&page.items)?;
        self.end_text();
        Ok(std::mem::take(&mut self.ops))
    }

    fn items(&mut self, items: &[Placed]) -> Result<(), PdfError> {
        for item in items {
            match item {
                Placed::Text(run) => self.text(run),
                Placed::Path { points, closed, fill, stroke } => {
                    let ring = points.iter().map(|p| self.corner(*p, false)).collect();
                    self.shape(ring, *closed, *fill, *stroke);
                }
                Placed::Circle { centre, radius, fill, stroke } => {
                    let ring = self.circle(*centre, *radius);
                    self.shape(ring, true, *fill, *stroke);
                }
                Placed::Rect { area, ink } => {
                    self.end_text();
                    self.fill_with(*ink);
                    self.ops.push(Op::DrawRectangle { rectangle: self.rectangle(*area) });
                }
                Placed::Rule { from, to, width, ink } => {
                    let line = vec![self.corner(*from, false), self.corner(*to, false)];
                    self.shape(line, false, None, Some(Stroke::solid(*ink, *width)));
                }
                Placed::Photo { area, jpeg, summary } => self.photo(*area, jpeg, summary)?,
                Placed::Drawing { items, .. } => self.items(items)?,
            }
        }
        Ok(())
    }

    fn y(&self, y: f32) -> f32 {
        round(self.height - y)
    }

    fn corner(&self, p: Pt, bezier: bool) -> LinePoint {
        let (x, y) = (printpdf::Pt(round(p.x)), printpdf::Pt(self.y(p.y)));
        LinePoint { p: Point { x, y }, bezier }
    }

    fn rectangle(&self, area: Area) -> Rect {
        let [x, y, width, height] =
            [round(area.x), self.y(area.y + area.height), round(area.width), round(area.height)].map(printpdf::Pt);
        Rect { mode: Some(PaintMode::Fill), ..Rect::from_xywh(x, y, width, height) }
    }

    /// Four cubic pieces; 0.5523 is 4/3 (√2 − 1), which keeps the circle true to 0.03 % of its radius.
    fn circle(&self, c: Pt, r: f32) -> Vec<LinePoint> {
        let k = r * 0.552_284_8;
        let on = |x, y| self.corner(pt(c.x + x, c.y + y), false);
        let off = |x, y| self.corner(pt(c.x + x, c.y + y), true);
        vec![
            on(r, 0.0),
            off(r, k),
            off(k, r),
            on(0.0, r),
            off(-k, r),
            off(-r, k),
            on(-r, 0.0),
            off(-r, -k),
            off(-k, -r),
            on(0.0, -r),
            off(k, -r),
            off(r, -k),
            on(r, 0.0),
        ]
    }

    fn shape(&mut self, points: Vec<LinePoint>, closed: bool, fill: Option<Ink>, stroke: Option<Stroke>) {
        self.end_text();
        let fill = fill.filter(|_| closed);
        if let Some(ink) = fill {
            self.fill_with(ink);
        }
        if let Some(stroke) = stroke {
            self.stroke_with(stroke);
        }
        let mode = match (fill, stroke) {
            (Some(_), Some(_)) => PaintMode::FillStroke,
            (Some(_), None) => PaintMode::Fill,
            (None, Some(_)) => PaintMode::Stroke,
            (None, None) => return,
        };
        self.ops.push(if closed {
            let rings = vec![PolygonRing { points }];
            Op::DrawPolygon { polygon: Polygon { rings, mode, ..Polygon::default() } }
        } else {
            Op::DrawLine { line: Line { points, is_closed: false } }
        });
    }

    fn fill_with(&mut self, ink: Ink) {
        if self.fill.replace(ink) != Some(ink) {
            self.ops.push(Op::SetFillColor { col: colour(ink) });
        }
    }

    fn stroke_with(&mut self, stroke: Stroke) {
        if self.line.replace(stroke.ink) != Some(stroke.ink) {
            self.ops.push(Op::SetOutlineColor { col: colour(stroke.ink) });
        }
        let width = round(stroke.width);
        if self.width.replace(width) != Some(width) {
            self.ops.push(Op::SetOutlineThickness { pt: printpdf::Pt(width) });
        }
        let dash = usable_dash(stroke.dash);
        if self.dash != dash {
            self.dash = dash;
            let dash = match dash {
                Some(lengths) => LineDashPattern::new(0.0, &lengths.map(round)),
                None => LineDashPattern::solid(),
            };
            self.ops.push(Op::SetLineDashPattern { dash });
        }
    }

    fn end_text(&mut self) {
        if std::mem::take(&mut self.in_text) {
            self.ops.push(Op::EndTextSection);
        }
    }

    fn text(&mut self, run: &TextRun) {
        if run.glyphs.is_empty() {
            return;
        }
        if !std::mem::replace(&mut self.in_text, true) {
            self.ops.push(Op::StartTextSection);
        }
        if self.font.replace((run.face, run.size)) != Some((run.face, run.size)) {
            let font = PdfFontHandle::External(font_id(run.face));
            self.ops.push(Op::SetFont { font, size: printpdf::Pt(run.size) });
        }
        self.fill_with(run.ink);
        let differs = |glyph: &super::layout::Glyph| {
            self.words.get(&(run.face, glyph.id)).is_none_or(|words| words != run.cluster(glyph))
        };
        let beside = run.glyphs.iter().any(differs);
        if beside {
            let properties = item(Object::Dict(vec![("ActualText", tree::text(&run.text))]));
            self.ops.push(Op::BeginMarkedContentWithProperties { tag: "Span".to_owned(), properties });
        }
        self.glyphs(run);
        if beside {
            self.ops.push(Op::EndMarkedContentWithProperties);
        }
    }

    /// Writes the glyphs with the differences between the viewer's own advances and the layout's places.
    fn glyphs(&mut self, run: &TextRun) {
        let data = fonts::data(run.face);
        let metrics = data.font.glyph_metrics(Size::unscaled(), LocationRef::default());
        let mut place = run.x;
        let mut i = 0;
        while i < run.glyphs.len() {
            // Glyphs moved up or down, such as stacked accents, need a matrix of their own.
            let dy = run.glyphs[i].dy;
            let start = place + run.glyphs[i].dx;
            let mut pen = start;
            let mut codes: Vec<Codepoint> = Vec::new();
            while let Some(glyph) = run.glyphs.get(i).filter(|glyph| glyph.dy == dy) {
                let wanted = place + glyph.dx;
                if let Some(last) = codes.last_mut() {
                    // In thousandths of an em, positive to the left; tenths of these are far below a hair.
                    let kern = ((pen - wanted) * 1000.0 / run.size * 10.0).round() / 10.0;
                    last.offset = kern + 0.0;
                    pen -= kern * run.size / 1000.0;
                }
                let words = self.words.get(&(run.face, glyph.id)).cloned();
                codes.push(Codepoint::with_cid(glyph.id, 0.0, words.unwrap_or_else(|| "\u{200b}".to_owned())));
                let natural = metrics.advance_width(GlyphId::from(glyph.id)).unwrap_or_default();
                pen += natural / data.units * run.size;
                place += glyph.advance;
                i += 1;
            }
            let (x, y) = (printpdf::Pt(round(start)), printpdf::Pt(self.y(run.y + dy)));
            self.ops.push(Op::SetTextMatrix { matrix: TextMatrix::Translate(x, y) });
            self.ops.push(Op::ShowText { items: vec![TextItem::GlyphIds(codes)] });
        }
    }

    /// Places a photo; the JPEG's bytes go into the file as they are, so nothing is lost by coding it again.
    fn photo(&mut self, area: Area, jpeg: &Arc<[u8]>, summary: &str) -> Result<(), PdfError> {
        self.end_text();
        let key = jpeg.as_ptr() as usize;
        if !self.photos.contains_key(&key) {
            let image = image_object(jpeg, summary)?;
            let id = XObjectId(format!("Photo{}", self.photos.len() + 1));
            self.photos.insert(key, (id, image));
        }
        if let Some((id, _)) = self.photos.get(&key) {
            let transform = XObjectTransform {
                translate_x: Some(printpdf::Pt(round(area.x))),
                translate_y: Some(printpdf::Pt(self.y(area.y + area.height))),
                scale_x: Some(round(area.width)),
                scale_y: Some(round(area.height)),
                no_auto_scale: true,
                ..XObjectTransform::default()
            };
            self.ops.push(Op::UseXobject { id: id.clone(), transform });
        }
        Ok(())
    }
}

/// A dash that PDF and pixels both accept: lengths above nothing.
fn usable_dash(dash: Option<[f32; 2]>) -> Option<[f32; 2]> {
    dash.filter(|lengths| lengths.iter().all(|length| length.is_finite() && *length >= 0.01))
}

fn colour(ink: Ink) -> Color {
    let palette::Rgb(r, g, b) = palette::print(ink);
    // Thousandths are finer than the 255 steps of the palette.
    let [r, g, b] = [r, g, b].map(|channel| (f32::from(channel) / 255.0 * 1000.0).round() / 1000.0);
    if r == g && g == b {
        return Color::Greyscale(printpdf::Greyscale::new(r, None));
    }
    Color::Rgb(printpdf::Rgb::new(r, g, b, None))
}

fn image_object(jpeg: &Arc<[u8]>, summary: &str) -> Result<ExternalXObject, PdfError> {
    let wrong = |found: String| PdfError::Photo { summary: summary.to_owned(), found };
    let decoder = image::codecs::jpeg::JpegDecoder::new(Cursor::new(jpeg)).map_err(|error| wrong(error.to_string()))?;
    let (width, height) = decoder.dimensions();
    let space = match decoder.original_color_type() {
        image::ExtendedColorType::L8 => "DeviceGray",
        image::ExtendedColorType::Rgb8 => "DeviceRGB",
        other => return Err(wrong(format!("a JPEG file with {other:?} colours"))),
    };
    let entries = vec![
        ("Type", tree::name("XObject")),
        ("Subtype", tree::name("Image")),
        ("Width", Object::Int(width.into())),
        ("Height", Object::Int(height.into())),
        ("ColorSpace", tree::name(space)),
        ("BitsPerComponent", Object::Int(8)),
        ("Filter", tree::name("DCTDecode")),
        ("Interpolate", Object::Bool(true)),
    ];
    let stream = ExternalStream { dict: map(entries), content: jpeg.to_vec(), compress: false };
    Ok(ExternalXObject { stream, width: None, height: None, dpi: None })
}

/// An object in the writer's own type.
fn item(object: Object) -> DictItem {
    match object {
        Object::Null => DictItem::Null,
        Object::Bool(value) => DictItem::Bool(value),
        Object::Int(value) => DictItem::Int(value),
        Object::Real(value) => DictItem::Real(value),
        Object::Name(name) => DictItem::Name(name.into_bytes()),
        Object::Ascii(text) => DictItem::String { data: text.into_bytes(), literal: true },
        Object::Bytes(bytes) => DictItem::Bytes(bytes),
        Object::Array(items) => DictItem::Array(items.into_iter().map(item).collect()),
        Object::Dict(entries) => DictItem::Dict { map: map(entries) },
        Object::Ref((obj, generation)) => DictItem::Ref { obj, r#gen: generation },
        Object::Stream(entries, content) => {
            DictItem::Stream { stream: ExternalStream { dict: map(entries), content, compress: true } }
        }
    }
}

fn map(entries: Vec<(&'static str, Object)>) -> BTreeMap<String, DictItem> {
    entries.into_iter().map(|(key, value)| (key.to_owned(), item(value))).collect()
}
