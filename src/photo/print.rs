//! A photo as it leaves the garage: a JPEG with its marks burnt in and nothing beside its picture.

use std::sync::Arc;

use image::RgbImage;
use image::codecs::jpeg::{JpegDecoder, JpegEncoder};
use image::{ExtendedColorType, ImageDecoder as _};

use super::mark::PhotoMark;
use super::open::{self, Head};
use super::{Kind, Refusal, burn};

/// Of 100, for a page: the grain of paper hides what is lost.
const PAGE_QUALITY: u8 = 78;
/// Of 100, for a copy at full size.
const COPY_QUALITY: u8 = 90;
/// A JPEG with more bytes a pixel than this is coded again, however few pixels it has.
const MOST_BYTES_A_PIXEL: usize = 3;

/// A JPEG that is fit for a page: upright, scaled, its marks burnt in, without metadata. Only this room makes one, so
/// that no picture reaches a page whose blur boxes are still only data.
#[derive(Clone, PartialEq, Eq)]
pub struct Printed {
    jpeg: Arc<[u8]>,
    width: u32,
    height: u32,
}

impl std::fmt::Debug for Printed {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "Printed({} × {}, {} bytes)", self.width, self.height, self.jpeg.len())
    }
}

impl Printed {
    /// The bytes of the JPEG file.
    pub fn jpeg(&self) -> Arc<[u8]> {
        Arc::clone(&self.jpeg)
    }
    /// Width in pixels.
    pub fn width(&self) -> u32 {
        self.width
    }
    /// Height in pixels.
    pub fn height(&self) -> u32 {
        self.height
    }
    /// A photo that was on a page already and was taken from it, so that the page can be laid out again.
    ///
    /// # Errors
    /// When it is no JPEG that a page could hold.
    pub fn from_page(jpeg: &[u8]) -> Result<Self, Refusal> {
        let head = open::head(jpeg)?;
        if head.kind != Kind::Jpeg {
            return Err(Refusal::NoPicture { found: "another kind", way_out: "make the report again" });
        }
        Ok(Self { jpeg: Arc::from(jpeg), width: head.width, height: head.height })
    }
}

/// A photo for a page that has room for so many pixels. One that fits already, upright and unmarked, is passed through
/// with its pixels as they are coded.
///
/// # Errors
/// When it cannot be opened.
pub fn for_print(bytes: &[u8], marks: &[PhotoMark], most: (u32, u32)) -> Result<Printed, Refusal> {
    let head = open::head(bytes)?;
    if marks.is_empty() && passes(&head, most) {
        // Decoded once all the same: what is broken inside must not reach a page.
        head.decode()?;
        return Ok(Printed { jpeg: Arc::from(head.stripped.bytes), width: head.width, height: head.height });
    }
    let mut picture = open::on_white(head.decode()?);
    burn::hide(&mut picture, marks);
    let mut picture = open::fitted(picture, most);
    burn::draw(&mut picture, marks).ok_or_else(no_memory)?;
    let jpeg = encoded(&picture, PAGE_QUALITY)?;
    Ok(Printed { jpeg: Arc::from(jpeg), width: picture.width(), height: picture.height() })
}

/// A copy at full size with the marks burnt in, as a JPEG file, for a listing or a message.
///
/// # Errors
/// When it cannot be opened.
pub fn marked_copy(bytes: &[u8], marks: &[PhotoMark]) -> Result<Vec<u8>, Refusal> {
    let mut picture = open::on_white(open::head(bytes)?.decode()?);
    burn::hide(&mut picture, marks);
    burn::draw(&mut picture, marks).ok_or_else(no_memory)?;
    encoded(&picture, COPY_QUALITY)
}

fn no_memory() -> Refusal {
    Refusal::Copy("there is no memory for the marks".into())
}

fn passes(head: &Head<'_>, (wide, high): (u32, u32)) -> bool {
    let is_small = head.width <= wide && head.height <= high;
    let is_lean = head.stripped.bytes.len() <= head.width as usize * head.height as usize * MOST_BYTES_A_PIXEL + 4096;
    is_small && is_lean && head.kind == Kind::Jpeg && head.turn.to_exif() == 1 && has_page_colours(&head.stripped.bytes)
}

/// Whether a PDF can hold a JPEG as it is: grey, or red, green and blue, eight bits each.
fn has_page_colours(jpeg: &[u8]) -> bool {
    JpegDecoder::new(std::io::Cursor::new(jpeg))
        .is_ok_and(|d| matches!(d.original_color_type(), ExtendedColorType::L8 | ExtendedColorType::Rgb8))
}

pub(super) fn encoded(picture: &RgbImage, quality: u8) -> Result<Vec<u8>, Refusal> {
    let mut jpeg = Vec::new();
    JpegEncoder::new_with_quality(&mut jpeg, quality)
        .encode_image(picture)
        .map_err(|e| Refusal::Copy(e.to_string()))?;
    Ok(jpeg)
}
