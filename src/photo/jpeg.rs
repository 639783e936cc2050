//! A JPEG file without anything but its picture. The coded pixels are copied as they are, so nothing is lost.
//!
//! Segments after ISO/IEC 10918-1 annex B; the JFIF head after ISO/IEC 10918-5; the Adobe segment, which says how the
//! colours are coded, after ISO/IEC 10918-6.

use super::open::must_fit;
use super::{Kind, Refusal};

/// A JPEG file taken apart.
pub(super) struct Stripped {
    /// The file without metadata.
    pub bytes: Vec<u8>,
    /// What was taken out.
    pub removed: Vec<&'static str>,
}

const CUT: Refusal = Refusal::CutShort { kind: Kind::Jpeg };

fn damaged(why: impl Into<String>) -> Refusal {
    Refusal::Damaged { kind: Kind::Jpeg, why: why.into() }
}

/// The file without camera data, place, thumbnails, comments, colour profile and whatever stands behind its end, such as
/// a second picture or a film. Refuses a file that ends before its end mark.
pub(super) fn strip(bytes: &[u8]) -> Result<Stripped, Refusal> {
    let mut out = Vec::with_capacity(bytes.len());
    let mut removed = Vec::new();
    let mut note = |what: &'static str| {
        if !removed.contains(&what) {
            removed.push(what);
        }
    };
    out.extend_from_slice(&[0xff, 0xd8]);
    let mut at = 2;
    let mut has_scan = false;
    loop {
        let marker = marker_at(bytes, &mut at)?;
        match marker {
            0xd9 => {
                if !has_scan {
                    return Err(damaged("it ends before its picture begins"));
                }
                out.extend_from_slice(&[0xff, 0xd9]);
                if at < bytes.len() {
                    note("what stood behind the picture");
                }
                return Ok(Stripped { bytes: out, removed });
            }
            0xd8 => return Err(damaged("a second picture begins inside it")),
            0x01 | 0xd0..=0xd7 => {}
            _ => {
                let high = usize::from(*bytes.get(at).ok_or(CUT)?);
                let low = usize::from(*bytes.get(at + 1).ok_or(CUT)?);
                let length = high << 8 | low;
                if length < 2 {
                    return Err(damaged("a segment has no length"));
                }
                let data = bytes.get(at + 2..at + length).ok_or(CUT)?;
                at += length;
                if matches!(marker, 0xc0..=0xc3 | 0xc5..=0xc7 | 0xc9..=0xcb | 0xcd..=0xcf) {
                    must_have_pixels(data)?;
                }
                match marker {
                    0xc0..=0xcf | 0xda..=0xdf => segment(&mut out, marker, data),
                    // JFIF: version, density, and a thumbnail that is left behind.
                    0xe0 if data.starts_with(b"JFIF\0") && data.len() >= 12 => {
                        if data.len() > 14 {
                            note("a thumbnail");
                        }
                        let mut head = data[..12].to_vec();
                        head.extend_from_slice(&[0, 0]);
                        segment(&mut out, marker, &head);
                    }
                    0xe0 => note("a thumbnail"),
                    0xee if data.starts_with(b"Adobe") && data.len() >= 12 => segment(&mut out, marker, &data[..12]),
                    0xe1 if data.starts_with(b"Exif") => note("camera data and place (EXIF)"),
                    0xe1 => note("a description (XMP)"),
                    0xe2 if data.starts_with(b"ICC_PROFILE") => note("a colour profile"),
                    0xed => note("a caption and names (IPTC)"),
                    0xfe => note("a comment"),
                    _ => note("other data of the camera or a program"),
                }
                if marker == 0xda {
                    has_scan = true;
                    let end = end_of_scan(bytes, at)?;
                    out.extend_from_slice(&bytes[at..end]);
                    at = end;
                }
            }
        }
    }
}

/// The marker at a place; bytes of filling before it are passed over.
fn marker_at(bytes: &[u8], at: &mut usize) -> Result<u8, Refusal> {
    if *bytes.get(*at).ok_or(CUT)? != 0xff {
        return Err(damaged("a segment begins without its mark"));
    }
    while *bytes.get(*at).ok_or(CUT)? == 0xff {
        *at += 1;
    }
    let marker = bytes[*at];
    *at += 1;
    Ok(marker)
}

/// Where the coded pixels end: at a marker that is neither a stuffed byte nor a restart.
fn end_of_scan(bytes: &[u8], from: usize) -> Result<usize, Refusal> {
    let mut at = from;
    loop {
        match bytes.get(at..).ok_or(CUT)? {
            [0xff, 0x00 | 0xd0..=0xd7, ..] => at += 2,
            [0xff, 0xff, ..] => at += 1,
            [0xff, _, ..] => return Ok(at),
            [_, _, ..] => at += 1,
            _ => return Err(CUT),
        }
    }
}

fn must_have_pixels(frame: &[u8]) -> Result<(), Refusal> {
    let &[_, h1, h0, w1, w0, ..] = frame else { return Err(damaged("its head says no size")) };
    let (width, height) = (u32::from(w1) << 8 | u32::from(w0), u32::from(h1) << 8 | u32::from(h0));
    must_fit(width, height)
}

fn segment(out: &mut Vec<u8>, marker: u8, data: &[u8]) {
    // A segment that was read holds at most 65 533 bytes of data.
    let length = u16::try_from(data.len() + 2).unwrap_or(u16::MAX);
    out.extend_from_slice(&[0xff, marker]);
    out.extend_from_slice(&length.to_be_bytes());
    out.extend_from_slice(data);
}
