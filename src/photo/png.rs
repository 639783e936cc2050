//! A PNG file without anything but its picture: chunks after ISO/IEC 15948, the coded pixels copied as they are.

use super::jpeg::Stripped;
use super::open::must_fit;
use super::{Kind, Refusal};

const CUT: Refusal = Refusal::CutShort { kind: Kind::Png };

/// What the pixels need: head, palette, pixels, transparency, and how bright the numbers are meant.
const KEPT: [&[u8; 4]; 9] = [b"IHDR", b"PLTE", b"IDAT", b"IEND", b"tRNS", b"gAMA", b"cHRM", b"sRGB", b"sBIT"];

/// The file without texts, EXIF, time, colour profile and whatever stands behind its end.
pub(super) fn strip(bytes: &[u8]) -> Result<Stripped, Refusal> {
    let mut out = Vec::with_capacity(bytes.len());
    let mut removed = Vec::new();
    out.extend_from_slice(bytes.get(..8).ok_or(CUT)?);
    let mut at = 8;
    loop {
        let head = bytes.get(at..at + 8).ok_or(CUT)?;
        let &[a, b, c, d, ref name @ ..] = head else { return Err(CUT) };
        let length = u32::from_be_bytes([a, b, c, d]) as usize;
        let chunk = at.checked_add(length).and_then(|end| bytes.get(at..end + 12)).ok_or(CUT)?;
        at += chunk.len();
        let what = match name {
            b"acTL" | b"fcTL" | b"fdAT" => return Err(Refusal::Moving { kind: Kind::Png }),
            b"tEXt" | b"zTXt" | b"iTXt" => "texts",
            b"eXIf" => "camera data and place (EXIF)",
            b"iCCP" => "a colour profile",
            b"tIME" => "the time of the last change",
            name if KEPT.iter().any(|kept| *kept == name) => {
                out.extend_from_slice(chunk);
                if name == b"IHDR" {
                    must_have_pixels(chunk)?;
                }
                if name == b"IEND" {
                    break;
                }
                continue;
            }
            _ => "other data of a program",
        };
        if !removed.contains(&what) {
            removed.push(what);
        }
    }
    if at < bytes.len() {
        removed.push("what stood behind the picture");
    }
    Ok(Stripped { bytes: out, removed })
}

fn must_have_pixels(chunk: &[u8]) -> Result<(), Refusal> {
    let number = |from: usize| chunk.get(from..from + 4).map_or(0, |b| u32::from_be_bytes([b[0], b[1], b[2], b[3]]));
    let (width, height) = (number(8), number(12));
    must_fit(width, height)
}
