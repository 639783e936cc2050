//! A WebP file without anything but its picture: chunks after RFC 9649, the coded pixels copied as they are.

use super::jpeg::Stripped;
use super::{Kind, Refusal};

const CUT: Refusal = Refusal::CutShort { kind: Kind::WebP };

/// In the flags of an extended file: it has an opacity channel.
const ALPHA: u8 = 0x10;

/// The file without EXIF, XMP, colour profile and whatever stands behind its end.
pub(super) fn strip(bytes: &[u8]) -> Result<Stripped, Refusal> {
    let mut out = b"RIFF\0\0\0\0WEBP".to_vec();
    let mut removed = Vec::new();
    let mut note = |what: &'static str| {
        if !removed.contains(&what) {
            removed.push(what);
        }
    };
    let said = size(bytes, 4)?;
    let end = said.checked_add(8).filter(|end| *end <= bytes.len()).ok_or(CUT)?;
    let body = bytes.get(12..end).ok_or(CUT)?;
    let mut at = 0;
    let mut has_picture = false;
    while at < body.len() {
        let name = body.get(at..at + 4).ok_or(CUT)?;
        let length = size(body, at + 4)?;
        let data = (at + 8).checked_add(length).and_then(|end| body.get(at + 8..end)).ok_or(CUT)?;
        at += 8 + length + length % 2;
        match name {
            b"VP8X" => {
                let mut data = data.to_vec();
                if let Some(flags) = data.first_mut() {
                    *flags &= ALPHA;
                }
                chunk(&mut out, name, &data);
            }
            b"ALPH" => chunk(&mut out, name, data),
            b"VP8 " | b"VP8L" => {
                has_picture = true;
                chunk(&mut out, name, data);
            }
            b"ANIM" | b"ANMF" => return Err(Refusal::Moving { kind: Kind::WebP }),
            b"EXIF" => note("camera data and place (EXIF)"),
            b"XMP " => note("a description (XMP)"),
            b"ICCP" => note("a colour profile"),
            _ => note("other data of a program"),
        }
    }
    if !has_picture {
        return Err(CUT);
    }
    if end < bytes.len() {
        note("what stood behind the picture");
    }
    let whole = u32::try_from(out.len() - 8).unwrap_or(u32::MAX);
    out[4..8].copy_from_slice(&whole.to_le_bytes());
    Ok(Stripped { bytes: out, removed })
}

fn size(bytes: &[u8], at: usize) -> Result<usize, Refusal> {
    match bytes.get(at..at + 4) {
        Some(&[a, b, c, d]) => Ok(u32::from_le_bytes([a, b, c, d]) as usize),
        _ => Err(CUT),
    }
}

fn chunk(out: &mut Vec<u8>, name: &[u8], data: &[u8]) {
    out.extend_from_slice(name);
    out.extend_from_slice(&u32::try_from(data.len()).unwrap_or(u32::MAX).to_le_bytes());
    out.extend_from_slice(data);
    if data.len() % 2 == 1 {
        out.push(0);
    }
}
