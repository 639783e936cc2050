//! Photo files to photos that fit a page: turned upright, scaled to what paper can show, as JPEG.

use std::io::Cursor;
use std::sync::Arc;

use image::codecs::jpeg::JpegEncoder;
use image::{DynamicImage, ImageDecoder, ImageReader};

use super::RecordInput;
use crate::drawing::shape::Ink;
use crate::inspection::Finding;
use crate::report::block::{Block, Photo, Span};

/// The width of a photo on paper, in points.
const WIDTH: f32 = 190.0;
/// Pixels an inch on paper; a laser printer's screen shows no more.
const RESOLUTION: f32 = 200.0;
/// Of 100.
const QUALITY: u8 = 78;
/// The most pixels along a side that a photo file may claim before it is decoded.
const LONGEST: u32 = 20_000;

/// The photos of a finding; one that cannot be shown is named, with the reason.
pub(super) fn blocks(input: &RecordInput<'_>, finding: &Finding) -> Vec<Block> {
    finding
        .photos
        .iter()
        .map(|name| {
            let shown = input
                .photos
                .get(name)
                .ok_or_else(|| "it is not in the machine's photo folder".to_owned())
                .and_then(|bytes| prepared(name, bytes));
            match shown {
                Ok(photo) => Block::image(photo, format!("Photo: {name}")),
                Err(why) => Block::spans(vec![
                    Span::text(format!("Photo {name} cannot be shown: {why}.")).small().ink(Ink::Faint),
                ]),
            }
        })
        .collect()
}

/// A photo as it goes on the page.
fn prepared(name: &str, bytes: &[u8]) -> Result<Photo, String> {
    let unreadable = |e: image::ImageError| format!("expected a JPEG or PNG file, found one that does not open ({e})");
    let mut reader = ImageReader::new(Cursor::new(bytes)).with_guessed_format().map_err(|e| e.to_string())?;
    let mut limits = image::Limits::default();
    (limits.max_image_width, limits.max_image_height) = (Some(LONGEST), Some(LONGEST));
    reader.limits(limits);
    let mut decoder = reader.into_decoder().map_err(unreadable)?;
    let turned = decoder.orientation().map_err(unreadable)?;
    let widest = (WIDTH / 72.0 * RESOLUTION) as u32;
    let (width, height) = decoder.dimensions();
    if width <= widest && is_plain_jpeg(bytes) {
        // Passed through as it is: nothing is lost by coding it again, and a photo taken from a report fits it again.
        return Ok(photo(name, Arc::from(bytes), width, height));
    }
    let mut picture = DynamicImage::from_decoder(decoder).map_err(unreadable)?;
    picture.apply_orientation(turned);
    if picture.width() > widest {
        picture = picture.resize(widest, u32::MAX, image::imageops::FilterType::Triangle);
    }
    let picture = picture.into_rgb8();
    let mut jpeg = Vec::new();
    JpegEncoder::new_with_quality(&mut jpeg, QUALITY)
        .encode_image(&picture)
        .map_err(|e| format!("it could not be written as JPEG ({e})"))?;
    Ok(photo(name, Arc::from(jpeg), picture.width(), picture.height()))
}

fn photo(name: &str, jpeg: Arc<[u8]>, pixel_width: u32, pixel_height: u32) -> Photo {
    let summary = format!("photo {name}");
    Photo { name: name.to_owned(), jpeg, pixel_width, pixel_height, width: Some(WIDTH), summary }
}

/// Whether a file is a JPEG that carries nothing beside its picture: no application segment but the first (ISO/IEC
/// 10918-5), no comment.
fn is_plain_jpeg(bytes: &[u8]) -> bool {
    let mut rest = match bytes {
        [0xff, 0xd8, rest @ ..] => rest,
        _ => return false,
    };
    while let [0xff, marker, high, low, ..] = rest {
        match marker {
            0xe1..=0xef | 0xfe => return false,
            0xda => return true,
            _ => {}
        }
        let length = usize::from(u16::from_be_bytes([*high, *low])) + 2;
        rest = rest.get(length..).unwrap_or_default();
    }
    false
}

#[cfg(test)]
mod tests {
    use super::*;

    fn png(width: u32, height: u32) -> Vec<u8> {
        let mut bytes = Vec::new();
        let picture = DynamicImage::ImageRgb8(image::RgbImage::from_pixel(width, height, image::Rgb([90, 120, 140])));
        picture.write_to(&mut Cursor::new(&mut bytes), image::ImageFormat::Png).expect("a PNG in memory");
        bytes
    }

    #[test]
    fn a_large_photo_is_scaled_to_what_paper_shows() {
        // 190 pt are 2.639 in; at 200 pixels an inch 527 pixels.
        let photo = prepared("a.png", &png(1054, 1054)).expect("a photo");
        assert_eq!((photo.pixel_width, photo.pixel_height), (527, 527));
        assert_eq!(&photo.jpeg[..2], [0xff, 0xd8]);
    }

    #[test]
    fn what_is_no_photo_says_so() {
        let why = prepared("a.jpg", b"not a photo").expect_err("no photo");
        assert!(why.contains("expected a JPEG or PNG file"), "{why}");
    }
}
