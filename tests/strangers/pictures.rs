//! A picture from a stranger: what it may cost to look at one.

use std::fs;
use std::path::Path;

use image::{GrayImage, ImageFormat};

use crate::bench::{MACHINE, refused, run, sample, text};

/// A chunk of a PNG file (ISO/IEC 15948) with its check sum.
fn chunk(name: &[u8; 4], data: &[u8]) -> Vec<u8> {
    let mut crc = u32::MAX;
    for byte in name.iter().chain(data) {
        crc ^= u32::from(*byte);
        for _ in 0..8 {
            crc = if crc & 1 == 1 { crc >> 1 ^ 0xedb8_8320 } else { crc >> 1 };
        }
    }
    let length = u32::try_from(data.len()).unwrap().to_be_bytes();
    [&length[..], name, data, &(!crc).to_be_bytes()].concat()
}

/// A PNG file that says how large it is, of a colour type and depth, and holds some packed pixels.
fn png(width: u32, height: u32, depth: u8, colour: u8, packed: &[u8]) -> Vec<u8> {
    let head = [&width.to_be_bytes()[..], &height.to_be_bytes(), &[depth, colour, 0, 0, 0]].concat();
    let parts = [chunk(b"IHDR", &head), chunk(b"IDAT", packed), chunk(b"IEND", b"")];
    [b"\x89PNG\r\n\x1a\n".to_vec(), parts.concat()].concat()
}

fn add(garage: &Path, name: &str, bytes: &[u8], words: &[&str], most_mib: u64) {
    let file = garage.with_file_name(name);
    fs::write(&file, bytes).unwrap();
    refused(&["photo", "add", text(garage), "--machine", MACHINE, text(&file)], words, most_mib);
    let photos = fs::read_dir(garage.join("machines").join(MACHINE).join("photos")).unwrap().count();
    let before =
        fs::read_dir(Path::new(env!("CARGO_MANIFEST_DIR")).join("sample-garage/machines").join(MACHINE).join("photos"));
    assert_eq!(photos, before.unwrap().count(), "{name} was kept");
}

#[test]
fn a_picture_that_says_it_is_huge_is_refused_by_its_head() {
    let (_home, garage) = sample();
    for (width, height) in [(60_000, 60_000), (u32::MAX >> 1, 1), (1, 40_000), (8_000, 8_000)] {
        add(&garage, "huge.png", &png(width, height, 8, 2, b""), &["expected at most 50 million pixels"], 16);
    }
    // Four channels of sixteen bits at 49 million pixels would be 392 MB.
    add(&garage, "deep.png", &png(7_000, 7_000, 16, 6, b""), &["expected at most"], 16);
    // A JPEG's head (ISO/IEC 10918-1 B.2.2) that says 65 500 by 65 500.
    let mut jpeg = Vec::new();
    image::RgbImage::new(16, 16).write_to(&mut std::io::Cursor::new(&mut jpeg), ImageFormat::Jpeg).unwrap();
    let at = jpeg.windows(2).position(|w| w == [0xff, 0xc0]).unwrap();
    jpeg[at + 5..at + 9].copy_from_slice(&[0xff, 0xdc, 0xff, 0xdc]);
    add(&garage, "huge.jpg", &jpeg, &["expected at most 50 million pixels", "65500"], 16);
}

#[test]
fn the_largest_picture_that_is_taken_stays_within_the_stated_memory() {
    let (_home, garage) = sample();
    let file = garage.with_file_name("large.png");
    // 49 million pixels of one colour are some 50 KB; four channels of eight bits are 196 MB.
    let mut bytes = Vec::new();
    let large = image::DynamicImage::ImageLuma8(GrayImage::new(7_000, 7_000)).into_rgba8();
    large.write_to(&mut std::io::Cursor::new(&mut bytes), ImageFormat::Png).unwrap();
    fs::write(&file, bytes).unwrap();
    let done = run(&["photo", "add", text(&garage), "--machine", MACHINE, text(&file)]);
    assert_eq!(done.code, 0, "{}", done.err);
    assert!(done.peak_mib <= 512, "{} MiB", done.peak_mib);
}

#[test]
fn what_is_no_picture_is_said_whatever_its_name_is() {
    let (_home, garage) = sample();
    for (name, bytes, words) in [
        ("a\u{202e}gpj.exe", &b"\xff\xd8\xff\xe0"[..], "expected"),
        ("a.jpg", b"#!/bin/sh\n", "something else"),
        ("a.svg", b"<svg xmlns=\"http://www.w3.org/2000/svg\"/>", "an SVG"),
        ("a\u{1b}[2J.png", b"\x89PNG\r\n\x1a\n", "cut short"),
    ] {
        add(&garage, name, bytes, &[words], 16);
    }
}
