//! The faces that reports are set in, embedded in the program, and what is read from them once.
//!
//! Every painter takes its bytes and outlines from here, so that layout, PDF and pixels agree. This file must not know
//! blocks or pages.

use std::sync::LazyLock;

use harfrust::ShaperData;
use skrifa::charmap::Charmap;
use skrifa::{FontRef, MetadataProvider as _};

use super::page::Face;

/// What stands for a character that cannot be printed: U+FFFD. A test below holds that every face has it.
pub const REPLACEMENT: char = '\u{FFFD}';

/// A face with everything that is read from it once.
pub struct FaceData {
    /// The file's bytes, for embedding.
    pub bytes: &'static [u8],
    /// The file, for outlines.
    pub font: FontRef<'static>,
    /// The shaper's tables.
    pub shaper: ShaperData,
    /// Units in an em.
    pub units: f32,
    /// From characters to glyphs.
    pub charmap: Charmap<'static>,
}

static REGULAR: LazyLock<FaceData> =
    LazyLock::new(|| read(include_bytes!("../../../assets/fonts/NotoSans-Regular.ttf")));
static BOLD: LazyLock<FaceData> = LazyLock::new(|| read(include_bytes!("../../../assets/fonts/NotoSans-Bold.ttf")));
static SIGNS: LazyLock<FaceData> =
    LazyLock::new(|| read(include_bytes!("../../../assets/fonts/NotoSansMath-Regular.ttf")));

/// The face's data.
pub fn data(face: Face) -> &'static FaceData {
    match face {
        Face::Regular => &REGULAR,
        Face::Bold => &BOLD,
        Face::Signs => &SIGNS,
    }
}

/// The face that a character is set in when `face` is wished for; `None` when no face has it.
pub fn face_for(c: char, face: Face) -> Option<Face> {
    let has = |face: &Face| data(*face).charmap.map(c).is_some();
    [face, Face::Signs].into_iter().find(has)
}

#[allow(clippy::expect_used, reason = "the file is part of the program and every test run reads it")]
fn read(bytes: &'static [u8]) -> FaceData {
    let font = FontRef::new(bytes).expect("the embedded font file is whole");
    let units = f32::from(
        font.metrics(skrifa::instance::Size::unscaled(), skrifa::instance::LocationRef::default()).units_per_em,
    );
    FaceData { bytes, shaper: ShaperData::new(&font), units, charmap: font.charmap(), font }
}

#[cfg(test)]
mod tests {
    use super::*;
    use skrifa::instance::{LocationRef, Size};

    #[test]
    fn every_face_has_what_the_layout_relies_on() {
        for face in Face::ALL {
            let data = data(face);
            assert!((data.units - 1000.0).abs() < f32::EPSILON, "printed widths are whole thousandths of an em");
            let metrics = data.font.metrics(Size::unscaled(), LocationRef::default());
            if face == Face::Signs {
                continue;
            }
            assert_eq!(metrics.cap_height, Some(714.0), "style::Type::baseline relies on it");
            assert!(data.charmap.map(REPLACEMENT).is_some(), "{face:?} has no replacement character");
            for (name, letters) in [
                ("Polish", "ĄąĆćĘęŁłŃńÓóŚśŹźŻż"),
                ("Greek", "ΑαΒβΓγΔδΩωΆάΈέΉήΊίΌόΎύΏώΐΰς"),
                ("Cyrillic", "АаБбЖжЩщЪъЫыЬьЭэЮюЯяЁёЇїЄєҐґЎў"),
                ("signs", "×÷±°µΩ…–—‘’“”„½¼¾²³€£№•·§\u{2011}\u{a0}\u{2009}"),
            ] {
                let lacking: String = letters.chars().filter(|&c| data.charmap.map(c).is_none()).collect();
                assert_eq!(lacking, "", "{face:?} lacks {name} letters");
            }
        }
    }

    #[test]
    fn signs_of_measuring_come_from_the_face_for_signs() {
        for face in [Face::Regular, Face::Bold] {
            for c in "−≤≥≈≠→←↑↓↔√∞∅Σ".chars() {
                assert!(face_for(c, face).is_some(), "{c}");
            }
            assert_eq!(face_for('a', face), Some(face));
            assert_eq!(face_for('≥', face), Some(Face::Signs));
            assert_eq!(face_for('東', face), None);
        }
    }

    #[test]
    fn figures_are_all_of_one_width() {
        for face in [Face::Regular, Face::Bold] {
            let data = data(face);
            let metrics = data.font.glyph_metrics(Size::unscaled(), LocationRef::default());
            let widths: Vec<_> = "0123456789"
                .chars()
                .map(|c| data.charmap.map(c).and_then(|glyph| metrics.advance_width(glyph)))
                .collect();
            assert!(widths.iter().all(|w| w.is_some() && *w == widths[0]), "{face:?}: {widths:?}");
        }
    }
}
