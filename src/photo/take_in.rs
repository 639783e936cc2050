//! A file from outside to the copy that goes into the garage.

use image::{DynamicImage, ImageFormat};

use super::{Kind, Refusal, open, print};

/// Of 100, for a picture that has to be turned and therefore coded again.
const TURNED_QUALITY: u8 = 92;

/// What becomes of the metadata.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Keep {
    /// Place, serial number, owner, thumbnails, descriptions and colour profile are left out.
    #[default]
    PictureOnly,
    /// The file is kept byte for byte, because the user says so.
    Everything,
}

/// A copy for the garage.
#[derive(Clone, PartialEq, Eq)]
pub struct Taken {
    /// The file.
    pub bytes: Vec<u8>,
    /// Its kind.
    pub kind: Kind,
    /// Width once upright.
    pub width: u32,
    /// Height once upright.
    pub height: u32,
    /// What was left out, in words.
    pub removed: Vec<&'static str>,
    /// Whether it was turned upright and therefore coded again. Otherwise its pixels are coded as they were.
    pub is_turned: bool,
}

impl std::fmt::Debug for Taken {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "Taken({} {} × {}, {} bytes)", self.kind, self.width, self.height, self.bytes.len())
    }
}

impl Taken {
    /// What was done, in a few words: `camera data and place (EXIF) left out; turned upright`.
    pub fn words(&self) -> String {
        let mut words = match self.removed.is_empty() {
            true => String::new(),
            false => format!("left out: {}", self.removed.join(", ")),
        };
        if self.is_turned {
            words.push_str(if words.is_empty() { "turned upright" } else { "; turned upright" });
        }
        words
    }
}

/// Takes a picture in. The name serves only to refuse an ending that lies; no part of it is kept. The picture is decoded
/// whole, so that what is broken is refused here and not when a report is made.
///
/// # Errors
/// When it is no picture, is damaged, moving or too large, or its name lies.
pub fn take_in(name: &str, bytes: &[u8], keep: Keep) -> Result<Taken, Refusal> {
    let head = open::head(bytes)?;
    head.kind.must_be_named(name)?;
    let picture = head.decode()?;
    let (width, height) = head.upright();
    if keep == Keep::Everything {
        let bytes = bytes.to_vec();
        return Ok(Taken { bytes, kind: head.kind, width, height, removed: Vec::new(), is_turned: false });
    }
    let removed = head.stripped.removed.clone();
    if head.turn.to_exif() == 1 {
        let bytes = head.stripped.bytes;
        if !removed.is_empty() {
            // What is kept must open too: a file may be made so that its reader sees other parts than we take out.
            open::head(&bytes)?.decode()?;
        }
        return Ok(Taken { bytes, kind: head.kind, width, height, removed, is_turned: false });
    }
    let (bytes, kind) = match head.kind {
        Kind::Jpeg => (print::encoded(&picture.into_rgb8(), TURNED_QUALITY)?, Kind::Jpeg),
        Kind::WebP if !picture.color().has_alpha() => {
            (print::encoded(&picture.into_rgb8(), TURNED_QUALITY)?, Kind::Jpeg)
        }
        Kind::Png | Kind::WebP => (png(&picture)?, Kind::Png),
    };
    Ok(Taken { bytes, kind, width, height, removed, is_turned: true })
}

/// Pixels from the clipboard as a PNG file, to be taken in like any other.
///
/// # Errors
/// When the pixels are not as many as width and height say, or are too many.
pub fn as_png(width: u32, height: u32, rgba: &[u8]) -> Result<Vec<u8>, Refusal> {
    if width == 0 || height == 0 {
        return Err(Refusal::NoPixels { width, height });
    }
    if u64::from(width) * u64::from(height) > open::MOST_PIXELS {
        return Err(Refusal::TooManyPixels { width, height });
    }
    let picture = image::RgbaImage::from_raw(width, height, rgba.to_vec())
        .ok_or_else(|| Refusal::Copy("the clipboard holds fewer pixels than it says".into()))?;
    // What is opaque everywhere is kept without an opacity channel.
    let is_opaque = picture.pixels().all(|p| p.0[3] == 255);
    let picture = DynamicImage::ImageRgba8(picture);
    png(&if is_opaque { DynamicImage::ImageRgb8(picture.into_rgb8()) } else { picture })
}

fn png(picture: &DynamicImage) -> Result<Vec<u8>, Refusal> {
    let mut bytes = std::io::Cursor::new(Vec::new());
    picture.write_to(&mut bytes, ImageFormat::Png).map_err(|e| Refusal::Copy(e.to_string()))?;
    Ok(bytes.into_inner())
}
