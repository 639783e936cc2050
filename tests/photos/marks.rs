//! Marks burnt into the copy that leaves the garage, and what a page carries.

use image::{Rgb, RgbImage};
use stemclock::photo::{At, PhotoMark, for_print, marked_copy};

use crate::bytes::{coded, jpeg, told_jpeg};

const PLATE: PhotoMark = PhotoMark::Blur { corner: At { x: 2500, y: 2500 }, across: At { x: 7500, y: 5000 } };

/// A grey ground with a plate of black strokes, different for each text.
fn plate(text: u32) -> RgbImage {
    RgbImage::from_fn(400, 200, |x, y| {
        let is_stroke = (110..290).contains(&x) && (55..95).contains(&y) && (text >> ((x - 110) / 12)) & 1 == 1;
        Rgb(if is_stroke { [20, 20, 20] } else { [160, 150, 140] })
    })
}

#[test]
fn nothing_of_what_is_under_a_blur_box_is_left() {
    let read = |bytes: &[u8]| image::load_from_memory(bytes).unwrap().into_rgb8();
    // Two plates with as many strokes give the very same copy: there is nothing to compare.
    let (one, other) = (plate(0b101_1001_1010_0110), plate(0b110_0101_0101_1010));
    assert_ne!(one, other);
    let png = |picture: &RgbImage| coded(picture, image::ImageFormat::Png);
    let copy = |picture: &RgbImage| marked_copy(&png(picture), &[PLATE]).unwrap();
    assert_eq!(copy(&one), copy(&other));
    let print = |picture: &RgbImage| for_print(&png(picture), &[PLATE], (200, 200)).unwrap();
    assert_eq!(print(&one), print(&other));
    // The box is one colour, but for what coding it as JPEG does near its edge.
    let shown = read(&copy(&one));
    let middle = shown.get_pixel(200, 75).0;
    for (x, y) in (116..284).step_by(7).flat_map(|x| (60..92).step_by(4).map(move |y| (x, y))) {
        let pixel = shown.get_pixel(x, y).0;
        assert!(pixel.iter().zip(middle).all(|(a, b)| a.abs_diff(b) < 6), "{x},{y}: {pixel:?} in {middle:?}");
    }
    // Outside the box the picture is as it was.
    assert!(shown.get_pixel(20, 180).0[0].abs_diff(160) < 6);
}

#[test]
fn a_box_drawn_from_any_corner_hides_the_same() {
    let png = coded(&plate(0b1011), image::ImageFormat::Png);
    let PhotoMark::Blur { corner, across } = PLATE else { unreachable!() };
    let turned = PhotoMark::Blur { corner: At { x: across.x, y: corner.y }, across: At { x: corner.x, y: across.y } };
    assert_eq!(marked_copy(&png, &[PLATE]).unwrap(), marked_copy(&png, &[turned]).unwrap());
}

#[test]
fn marks_are_drawn_where_they_were_put_and_the_file_stays() {
    let file = told_jpeg(600, 400, 1);
    let before = file.clone();
    let arrow = PhotoMark::Arrow { tail: At { x: 1000, y: 5000 }, tip: At { x: 9000, y: 5000 } };
    let copy = image::load_from_memory(&marked_copy(&file, &[arrow]).unwrap()).unwrap().into_rgb8();
    let [r, g, b] = copy.get_pixel(300, 200).0;
    // Vermilion of the Okabe and Ito palette is 213, 94, 0.
    assert!(r > 170 && g < 140 && b < 90, "the shaft is drawn: {r} {g} {b}");
    assert_eq!(file, before);
}

#[test]
fn a_small_photo_passes_through_and_a_large_one_is_scaled_to_its_place() {
    let small = jpeg(500, 300);
    assert_eq!(&for_print(&small, &[], (527, 2000)).unwrap().jpeg()[..], &small[..], "as it is coded");
    let told = for_print(&told_jpeg(500, 300, 1), &[], (527, 2000)).unwrap();
    assert_eq!(&told.jpeg()[..], &small[..], "and without its metadata");
    let large = for_print(&jpeg(2000, 1500), &[], (527, 2000)).unwrap();
    assert_eq!((large.width(), large.height()), (527, 395));
    let tall = for_print(&jpeg(200, 4000), &[], (527, 2000)).unwrap();
    assert_eq!((tall.width(), tall.height()), (100, 2000));
    // Grey stays grey where it passes; a page holds either.
    let grey = image::DynamicImage::ImageLuma8(image::GrayImage::from_pixel(20, 10, image::Luma([90])));
    let mut bytes = std::io::Cursor::new(Vec::new());
    grey.write_to(&mut bytes, image::ImageFormat::Jpeg).unwrap();
    let bytes = bytes.into_inner();
    assert_eq!(&for_print(&bytes, &[], (527, 2000)).unwrap().jpeg()[..], &bytes[..]);
}
