//! Picture files made for the tests, with metadata put in by hand after the formats' own documents.

use std::io::Cursor;

use image::{DynamicImage, ImageFormat, Rgb, RgbImage};

/// A picture whose every corner has its own colour, so that a turn is seen.
pub fn picture(width: u32, height: u32) -> RgbImage {
    RgbImage::from_fn(width, height, |x, y| {
        let (x, y) = (x * 255 / width.max(1), y * 255 / height.max(1));
        Rgb([x as u8, y as u8, ((x * 7 + y * 3) % 256) as u8])
    })
}

pub fn coded(picture: &RgbImage, format: ImageFormat) -> Vec<u8> {
    let mut bytes = Cursor::new(Vec::new());
    DynamicImage::ImageRgb8(picture.clone()).write_to(&mut bytes, format).unwrap();
    bytes.into_inner()
}

pub fn jpeg(width: u32, height: u32) -> Vec<u8> {
    coded(&picture(width, height), ImageFormat::Jpeg)
}

pub fn png(width: u32, height: u32) -> Vec<u8> {
    coded(&picture(width, height), ImageFormat::Png)
}

pub fn webp(width: u32, height: u32) -> Vec<u8> {
    coded(&picture(width, height), ImageFormat::WebP)
}

/// A TIFF head with one entry, the orientation (Exif 2.3, tag 0x0112), and words that must not survive.
pub fn exif(orientation: u16) -> Vec<u8> {
    let mut tiff = b"MM\0\x2a\0\0\0\x08\0\x01\x01\x12\0\x03\0\0\0\x01".to_vec();
    tiff.extend_from_slice(&orientation.to_be_bytes());
    tiff.extend_from_slice(b"\0\0\0\0\0\0SECRET serial 4711 at 48.1 N 11.5 E");
    tiff
}

fn segment(marker: u8, data: &[u8]) -> Vec<u8> {
    let mut out = vec![0xff, marker];
    out.extend_from_slice(&(data.len() as u16 + 2).to_be_bytes());
    out.extend_from_slice(data);
    out
}

/// A JPEG with camera data, XMP, IPTC, a colour profile, a comment, a thumbnail, and a second picture behind its end.
pub fn told_jpeg(width: u32, height: u32, orientation: u16) -> Vec<u8> {
    let plain = jpeg(width, height);
    let mut out = plain[..2].to_vec();
    out.extend(segment(0xe1, &[b"Exif\0\0".as_slice(), &exif(orientation)].concat()));
    out.extend(segment(0xe1, b"http://ns.adobe.com/xap/1.0/\0<x>SECRET owner</x>"));
    out.extend(segment(0xe2, b"ICC_PROFILE\0\x01\x01SECRET profile"));
    out.extend(segment(0xe0, b"JFXX\0\x10SECRET thumbnail"));
    out.extend(segment(0xed, b"IPTC\0\0SECRET caption"));
    out.extend(segment(0xfe, b"SECRET comment"));
    out.extend(segment(0xef, b"SECRET maker"));
    out.extend_from_slice(&plain[2..]);
    out.extend_from_slice(b"SECRET film");
    out
}

fn chunk(name: &[u8; 4], data: &[u8]) -> Vec<u8> {
    let mut out = (data.len() as u32).to_be_bytes().to_vec();
    out.extend_from_slice(name);
    out.extend_from_slice(data);
    // ISO/IEC 15948 annex D: CRC-32 of the name and the data.
    let mut crc = u32::MAX;
    for byte in name.iter().chain(data) {
        crc ^= u32::from(*byte);
        for _ in 0..8 {
            crc = if crc & 1 == 1 { 0xedb8_8320 ^ (crc >> 1) } else { crc >> 1 };
        }
    }
    out.extend_from_slice(&(!crc).to_be_bytes());
    out
}

/// A PNG with texts, EXIF and a time, and something behind its end.
pub fn told_png(width: u32, height: u32, orientation: u16) -> Vec<u8> {
    let plain = png(width, height);
    // The signature and IHDR are 8 + 25 bytes.
    let mut out = plain[..33].to_vec();
    out.extend(chunk(b"tEXt", b"Author\0SECRET owner"));
    out.extend(chunk(b"iTXt", b"XML:com.adobe.xmp\0\0\0\0\0SECRET"));
    out.extend(chunk(b"eXIf", &exif(orientation)));
    out.extend(chunk(b"tIME", b"\x07\xe8\x01\x02\x03\x04\x05"));
    out.extend(chunk(b"prVt", b"SECRET of a program"));
    out.extend_from_slice(&plain[33..]);
    out.extend_from_slice(b"SECRET behind");
    out
}

/// A PNG that says to have so many pixels and holds nearly nothing.
pub fn bomb(width: u32, height: u32) -> Vec<u8> {
    let mut head = width.to_be_bytes().to_vec();
    head.extend_from_slice(&height.to_be_bytes());
    head.extend_from_slice(&[8, 2, 0, 0, 0]);
    let mut out = png(1, 1)[..8].to_vec();
    out.extend(chunk(b"IHDR", &head));
    out.extend(chunk(b"IDAT", b"\x78\x9c\x03\0\0\0\0\x01"));
    out.extend(chunk(b"IEND", b""));
    out
}

/// A PNG that moves.
pub fn moving_png() -> Vec<u8> {
    let plain = png(4, 4);
    let mut out = plain[..33].to_vec();
    out.extend(chunk(b"acTL", b"\0\0\0\x02\0\0\0\0"));
    out.extend_from_slice(&plain[33..]);
    out
}

/// A WebP as an extended file with EXIF and XMP (RFC 9649).
pub fn told_webp(width: u32, height: u32, orientation: u16, animated: bool) -> Vec<u8> {
    let plain = webp(width, height);
    let part = |name: &[u8; 4], data: &[u8]| {
        let mut out = name.to_vec();
        out.extend_from_slice(&(data.len() as u32).to_le_bytes());
        out.extend_from_slice(data);
        if data.len() % 2 == 1 {
            out.push(0);
        }
        out
    };
    let mut flags = vec![if animated { 0x0e } else { 0x0c }, 0, 0, 0];
    flags.extend_from_slice(&(width - 1).to_le_bytes()[..3]);
    flags.extend_from_slice(&(height - 1).to_le_bytes()[..3]);
    let mut body = b"WEBP".to_vec();
    body.extend(part(b"VP8X", &flags));
    if animated {
        body.extend(part(b"ANIM", &[0; 6]));
    }
    body.extend_from_slice(&plain[12..]);
    body.extend(part(b"EXIF", &exif(orientation)));
    body.extend(part(b"XMP ", b"<x>SECRET owner</x>"));
    let mut out = b"RIFF".to_vec();
    out.extend_from_slice(&(body.len() as u32).to_le_bytes());
    out.extend(body);
    out
}

/// Whether words stand somewhere in bytes.
pub fn says(bytes: &[u8], words: &str) -> bool {
    bytes.windows(words.len()).any(|w| w == words.as_bytes())
}
