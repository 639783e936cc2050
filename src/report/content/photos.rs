//! Photos of findings and of the machine as blocks: each with its words, or the reason why it is not shown.

use super::RecordInput;
use super::album::{Album, WIDTH};
use crate::drawing::shape::Ink;
use crate::inspection::Finding;
use crate::photo::PhotoRef;
use crate::report::block::{Block, Photo, Span};

/// The photos of a finding; one that cannot be shown is named, with the reason.
pub(super) fn blocks(input: &RecordInput<'_>, finding: &Finding) -> Vec<Block> {
    finding.photos.iter().map(|photo| block(input.photos, photo)).collect()
}

/// A photo as a block of its own.
pub(super) fn block(album: &Album, photo: &PhotoRef) -> Block {
    match ready(album, photo) {
        Ok(ready) => Block::image(ready, caption(photo)),
        Err(why) => Block::spans(vec![
            Span::text(format!("Photo {} cannot be shown: {why}.", photo.file)).small().ink(Ink::Faint),
        ]),
    }
}

/// A photo ready to be placed.
///
/// # Errors
/// Why there is none, to be said in its place.
pub(super) fn ready(album: &Album, photo: &PhotoRef) -> Result<Photo, String> {
    let printed = match album.get(&photo.file) {
        Some(Ok(printed)) => printed,
        Some(Err(why)) => return Err(why.clone()),
        None => return Err("it is not in the machine's photo folder".into()),
    };
    Ok(Photo {
        name: photo.file.clone(),
        jpeg: printed.jpeg(),
        pixel_width: printed.width(),
        pixel_height: printed.height(),
        width: Some(WIDTH),
        summary: summary(photo),
    })
}

/// The words below a photo: what it shows, else which one it is.
pub(super) fn caption(photo: &PhotoRef) -> String {
    if photo.words.trim().is_empty() { format!("Photo: {}", photo.file) } else { photo.words.trim().to_owned() }
}

fn summary(photo: &PhotoRef) -> String {
    let words = photo.words.trim();
    if words.is_empty() { format!("photo {}", photo.file) } else { format!("photo: {words}") }
}

#[cfg(test)]
mod tests {
    use std::io::Cursor;

    use super::*;

    fn png(width: u32, height: u32) -> Vec<u8> {
        let mut bytes = Vec::new();
        let picture = image::RgbImage::from_pixel(width, height, image::Rgb([90, 120, 140]));
        image::DynamicImage::ImageRgb8(picture)
            .write_to(&mut Cursor::new(&mut bytes), image::ImageFormat::Png)
            .expect("a PNG in memory");
        bytes
    }

    #[test]
    fn a_large_photo_is_scaled_to_what_paper_shows() {
        let mut album = Album::default();
        album.add("a.png", &png(1054, 1054), &[]);
        // 190 pt are 2.639 in; at 200 pixels an inch 527 pixels.
        let photo = ready(&album, &"a.png".into()).expect("a photo");
        assert_eq!((photo.pixel_width, photo.pixel_height), (527, 527));
        assert_eq!(&photo.jpeg[..2], [0xff, 0xd8]);
    }

    #[test]
    fn what_cannot_be_shown_says_why() {
        let mut album = Album::default();
        album.add("a.jpg", b"not a photo", &[]);
        let why = ready(&album, &"a.jpg".into()).expect_err("no photo");
        assert!(why.contains("expected a JPEG, PNG or WebP picture"), "{why}");
        let why = ready(&album, &"b.jpg".into()).expect_err("none");
        assert!(why.contains("not in the machine's photo folder"), "{why}");
    }
}
