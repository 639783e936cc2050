//! A picture decoded within limits and turned upright.

use std::io::Cursor;
use std::panic::{AssertUnwindSafe, catch_unwind};

use image::metadata::Orientation;
use image::{DynamicImage, ImageDecoder, ImageReader, RgbImage};

use super::{Kind, Refusal, jpeg, png, webp};
use crate::guard;
use crate::guard::limits::{PHOTO_BYTES, PHOTO_DECODED, PHOTO_PIXELS, PHOTO_SIDE};

/// The most bytes of a file.
pub const MOST_BYTES: usize = PHOTO_BYTES.size();
/// The most pixels.
pub const MOST_PIXELS: u64 = PHOTO_PIXELS.most;
/// The most bytes of decoded pixels.
const MOST_DECODED: u64 = PHOTO_DECODED.most;
/// The longest side.
const LONGEST: u32 = PHOTO_SIDE.most as u32;

/// What a file says of itself before it is decoded.
pub(super) struct Head<'a> {
    /// Its kind.
    pub kind: Kind,
    /// Width as coded.
    pub width: u32,
    /// Height as coded.
    pub height: u32,
    /// How it is to be turned.
    pub turn: Orientation,
    /// The file without its metadata.
    pub stripped: jpeg::Stripped,
    bytes: &'a [u8],
}

/// Reads the head of a file and weighs what decoding it would cost. Refuses what is too large, moving or cut short.
pub(super) fn head(bytes: &[u8]) -> Result<Head<'_>, Refusal> {
    if bytes.len() > MOST_BYTES {
        return Err(Refusal::TooManyBytes { bytes: bytes.len() });
    }
    let kind = Kind::of(bytes)?;
    guarded(kind, || weighed(kind, bytes))
}

/// Runs other people's decoders. The file may be made to break them: what they stumble over is a damaged file, and the
/// thread goes on.
fn guarded<T>(kind: Kind, run: impl FnOnce() -> Result<T, Refusal>) -> Result<T, Refusal> {
    let stumbled = |_| Refusal::Damaged { kind, why: "its reader stumbled over it".into() };
    catch_unwind(AssertUnwindSafe(run)).map_err(stumbled)?
}

/// Refuses a picture without pixels or with too many, by what its head says.
pub(super) fn must_fit(width: u32, height: u32) -> Result<(), Refusal> {
    if width == 0 || height == 0 {
        return Err(Refusal::NoPixels { width, height });
    }
    let pixels = u64::from(width) * u64::from(height);
    if pixels > MOST_PIXELS || width > LONGEST || height > LONGEST {
        return Err(Refusal::TooManyPixels { width, height });
    }
    Ok(())
}

fn weighed(kind: Kind, bytes: &[u8]) -> Result<Head<'_>, Refusal> {
    let stripped = match kind {
        Kind::Jpeg => jpeg::strip(bytes)?,
        Kind::Png => png::strip(bytes)?,
        Kind::WebP => webp::strip(bytes)?,
    };
    let mut decoder = decoder(kind, bytes)?;
    let (width, height) = decoder.dimensions();
    must_fit(width, height)?;
    if decoder.total_bytes() > MOST_DECODED {
        return Err(Refusal::TooManyPixels { width, height });
    }
    // Camera data that cannot be read say nothing about how the picture is turned.
    let turn = decoder.orientation().unwrap_or(Orientation::NoTransforms);
    Ok(Head { kind, width, height, turn, stripped, bytes })
}

/// Refuses what cannot be opened; every pixel is decoded to know it.
///
/// # Errors
/// Why it cannot be opened.
pub fn must_open(bytes: &[u8]) -> Result<(), Refusal> {
    head(bytes)?.decode().map(drop)
}

fn decoder(kind: Kind, bytes: &[u8]) -> Result<impl ImageDecoder + '_, Refusal> {
    let mut limits = image::Limits::default();
    limits.max_alloc = Some(MOST_DECODED * 2);
    let mut reader = ImageReader::with_format(Cursor::new(bytes), kind.format());
    reader.limits(limits);
    reader.into_decoder().map_err(|e| damaged(kind, &e))
}

fn damaged(kind: Kind, error: &image::ImageError) -> Refusal {
    let why = guard::line(&error.to_string()).chars().take(160).collect();
    Refusal::Damaged { kind, why }
}

impl Head<'_> {
    /// The picture, upright.
    pub(super) fn decode(&self) -> Result<DynamicImage, Refusal> {
        let decode = || DynamicImage::from_decoder(decoder(self.kind, self.bytes)?).map_err(|e| damaged(self.kind, &e));
        let mut picture = guarded(self.kind, decode)?;
        picture.apply_orientation(self.turn);
        Ok(picture)
    }
    /// Width and height once upright.
    pub(super) fn upright(&self) -> (u32, u32) {
        let is_across = self.turn.to_exif() >= 5;
        if is_across { (self.height, self.width) } else { (self.width, self.height) }
    }
}

/// Eight bits a channel, what is see-through laid on white.
pub(super) fn on_white(picture: DynamicImage) -> RgbImage {
    if !picture.color().has_alpha() {
        return picture.into_rgb8();
    }
    let rgba = picture.into_rgba8();
    let mut rgb = RgbImage::new(rgba.width(), rgba.height());
    for (to, from) in rgb.pixels_mut().zip(rgba.pixels()) {
        let [r, g, b, a] = from.0.map(u16::from);
        let over = |c: u16| ((c * a + 255 * (255 - a)) / 255) as u8;
        to.0 = [over(r), over(g), over(b)];
    }
    rgb
}

/// The picture scaled down to fit into a room; never up.
pub(super) fn fitted(picture: RgbImage, (most_wide, most_high): (u32, u32)) -> RgbImage {
    let (wide, high) = (f64::from(picture.width()), f64::from(picture.height()));
    let scale = (f64::from(most_wide) / wide).min(f64::from(most_high) / high);
    if scale >= 1.0 {
        return picture;
    }
    let to = |side: f64, most: u32| ((side * scale).round() as u32).clamp(1, most.max(1));
    let (w, h) = (to(wide, most_wide), to(high, most_high));
    // Whole blocks are averaged first, which is many times faster than the filter on all pixels and looks the same.
    let near = if scale < 0.25 { image::imageops::thumbnail(&picture, w * 2, h * 2) } else { picture };
    image::imageops::resize(&near, w, h, image::imageops::FilterType::Triangle)
}
