//! Files that are not what they say, cost too much, or say too much: a clear refusal, or a clean picture.

use image::ImageFormat;
use proptest::prelude::*;
use stemclock::photo::{Keep, Kind, MOST_BYTES, Refusal, for_print, for_screen, take_in};

use crate::bytes::{bomb, coded, jpeg, moving_png, picture, png, says, told_jpeg, told_png, told_webp, webp};

fn refused(name: &str, bytes: &[u8]) -> String {
    take_in(name, bytes, Keep::PictureOnly).unwrap_err().to_string()
}

#[test]
fn a_refusal_says_what_was_expected_what_was_found_and_the_way_out() {
    let too_large = vec![0xff; MOST_BYTES + 1];
    for (name, bytes, words) in [
        ("a.jpg", png(4, 4), vec!["expected a JPEG file", "found a PNG file", ".png"]),
        ("a.png", jpeg(4, 4), vec!["expected a PNG file", "found a JPEG file", ".jpg"]),
        ("a.webp", jpeg(4, 4), vec!["expected a WebP file", "found a JPEG file"]),
        ("a.png", bomb(30_000, 30_000), vec!["at most 50 million pixels", "30000 × 30000", "smaller"]),
        ("a.png", bomb(0, 5), vec!["at least one pixel", "0 × 5"]),
        ("a.png", moving_png(), vec!["a still picture", "moving PNG"]),
        ("a.webp", told_webp(4, 4, 1, true), vec!["a still picture", "moving WebP"]),
        ("a.jpg", jpeg(64, 64)[..500].to_vec(), vec!["whole JPEG", "cut short", "copy it again"]),
        ("a.jpg", too_large, vec!["at most 32 MiB", "smaller"]),
        ("a.jpg", b"GIF89a".to_vec(), vec!["a GIF", "export"]),
        ("a.jpg", Vec::new(), vec!["an empty file"]),
    ] {
        let why = refused(name, &bytes);
        assert!(why.starts_with("expected "), "{why}");
        for word in words {
            assert!(why.contains(word), "{name}: {why} lacks {word}");
        }
    }
}

#[test]
fn a_frame_without_lines_is_refused() {
    // ISO/IEC 10918-1 B.2.2: a frame head is marker, length, precision, height, width.
    let mut bytes = jpeg(16, 16);
    let at = bytes.windows(2).position(|w| w == [0xff, 0xc0]).unwrap();
    bytes[at + 5..at + 7].copy_from_slice(&[0, 0]);
    assert_eq!(take_in("a.jpg", &bytes, Keep::PictureOnly).unwrap_err(), Refusal::NoPixels { width: 16, height: 0 });
}

#[test]
fn metadata_is_left_out_and_the_pixels_are_coded_as_they_were() {
    for (name, told, plain) in [
        ("a.jpg", told_jpeg(40, 30, 1), jpeg(40, 30)),
        ("a.png", told_png(40, 30, 1), png(40, 30)),
        ("a.webp", told_webp(40, 30, 1, false), webp(40, 30)),
    ] {
        let taken = take_in(name, &told, Keep::PictureOnly).unwrap();
        assert!(!says(&taken.bytes, "SECRET") && !says(&taken.bytes, "Exif"), "{name} still says it");
        assert!(!taken.is_turned && (taken.width, taken.height) == (40, 30));
        assert!(taken.words().contains("EXIF"), "{}", taken.words());
        let format = match taken.kind {
            Kind::Jpeg => ImageFormat::Jpeg,
            Kind::Png => ImageFormat::Png,
            Kind::WebP => ImageFormat::WebP,
        };
        let read = |bytes: &[u8]| image::load_from_memory_with_format(bytes, format).unwrap().into_rgb8();
        assert_eq!(read(&taken.bytes), read(&plain), "{name}");
        // Taken in again, it is the same file: nothing is lost by copying a garage's photo.
        assert_eq!(take_in(name, &taken.bytes, Keep::PictureOnly).unwrap().bytes, taken.bytes, "{name}");
    }
    // The JPEG without metadata is the very file that it was before they were put in.
    assert_eq!(take_in("a.jpg", &told_jpeg(40, 30, 1), Keep::PictureOnly).unwrap().bytes, jpeg(40, 30));
}

#[test]
fn a_photo_is_kept_byte_for_byte_when_the_user_says_so() {
    let told = told_jpeg(40, 30, 6);
    let taken = take_in("a.jpg", &told, Keep::Everything).unwrap();
    assert_eq!(taken.bytes, told);
    assert_eq!((taken.width, taken.height), (30, 40), "it is known to stand upright");
    // What leaves the garage is clean all the same.
    let printed = for_print(&taken.bytes, &[], (527, 2000)).unwrap();
    assert!(!says(&printed.jpeg(), "SECRET"));
    assert_eq!((printed.width(), printed.height()), (30, 40));
}

#[test]
fn every_orientation_comes_out_upright() {
    // Exif 2.3, tag 0x0112: where the stored first row and first column stand in the picture as it is seen. For each,
    // the corner of the stored picture that is seen at the top left, and whether width and height change places.
    let stored = picture(64, 48);
    let corner = |x: u32, y: u32| stored.get_pixel(x, y).0;
    let (left, right, top, bottom) = (4, 59, 4, 43);
    for (orientation, seen, across) in [
        (1, corner(left, top), false),
        (2, corner(right, top), false),
        (3, corner(right, bottom), false),
        (4, corner(left, bottom), false),
        (5, corner(left, top), true),
        (6, corner(left, bottom), true),
        (7, corner(right, bottom), true),
        (8, corner(right, top), true),
    ] {
        for (name, bytes) in
            [("a.png", told_png(64, 48, orientation)), ("a.webp", told_webp(64, 48, orientation, false))]
        {
            let taken = take_in(name, &bytes, Keep::PictureOnly).unwrap();
            let size = if across { (48, 64) } else { (64, 48) };
            assert_eq!((taken.width, taken.height), size, "{name} {orientation}");
            let seen_now = image::load_from_memory(&taken.bytes).unwrap().into_rgb8().get_pixel(4, 4).0;
            let near = seen_now.iter().zip(seen).all(|(a, b)| a.abs_diff(b) < 24);
            assert!(near, "{name} {orientation}: {seen_now:?}, expected {seen:?}");
            assert_eq!(taken.is_turned, orientation != 1);
            let screen = for_screen(&bytes, 4000).unwrap();
            assert_eq!((screen.width as u32, screen.height as u32), size, "the window turns a kept file, too");
        }
    }
}

#[test]
fn a_file_cut_at_every_thousandth_byte_is_refused() {
    let noise = |i: u32| (i.wrapping_mul(2_654_435_761) >> 24) as u8;
    let grain =
        image::RgbImage::from_fn(160, 120, |x, y| image::Rgb([noise(x * 131 + y), noise(x + y * 977), noise(x * y)]));
    for (name, format) in [("a.jpg", ImageFormat::Jpeg), ("a.png", ImageFormat::Png), ("a.webp", ImageFormat::WebP)] {
        let whole = coded(&grain, format);
        assert!(whole.len() > 10_000, "{name} has {} bytes", whole.len());
        assert!(take_in(name, &whole, Keep::PictureOnly).is_ok());
        for end in (0..whole.len()).step_by(1000) {
            let result = take_in(name, &whole[..end], Keep::PictureOnly);
            assert!(result.is_err(), "{name} cut at {end} was taken");
        }
    }
}

fn never_panics(name: &str, bytes: &[u8]) {
    // A refusal or a picture; either is well.
    if let Ok(taken) = take_in(name, bytes, Keep::PictureOnly) {
        assert!(taken.width > 0 && taken.height > 0);
        assert!(for_screen(&taken.bytes, 64).is_ok(), "what was taken in can be shown");
        assert!(for_print(&taken.bytes, &[], (64, 64)).is_ok(), "what was taken in can be printed");
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(256))]

    #[test]
    fn any_bytes_are_a_picture_or_a_refusal(kind in 0..4_usize, tail in prop::collection::vec(any::<u8>(), 0..3000)) {
        let heads: [&[u8]; 4] = [b"", b"\xff\xd8\xff\xe0", b"\x89PNG\r\n\x1a\n", b"RIFF\x20\0\0\0WEBPVP8L"];
        never_panics("photo", &[heads[kind], &tail].concat());
    }

    #[test]
    fn a_sound_file_with_bytes_changed_is_a_picture_or_a_refusal(
        kind in 0..3_usize,
        changes in prop::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 1..12),
    ) {
        let mut bytes = match kind {
            0 => told_jpeg(24, 16, 6),
            1 => told_png(24, 16, 3),
            _ => told_webp(24, 16, 8, false),
        };
        for (at, value) in changes {
            let at = at.index(bytes.len());
            bytes[at] = value;
        }
        never_panics("photo", &bytes);
    }
}
