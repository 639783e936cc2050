//! The colour that each ink has on paper. It must not know blocks or pages.
//!
//! Severities take their colours from the palette of Okabe and Ito, "Color Universal Design" (2008): sky blue for
//! minor, vermilion for major, and reddish purple, darkened so that it weighs most, for dangerous. In greyscale the
//! three fall apart by lightness, darker as the severity grows; a test below holds them apart. The mark and the word
//! carry the meaning and the colour only helps, so words are never set in the inks of minor and major.

use crate::drawing::shape::Ink;

/// A colour with red, green and blue from 0 to 255 (sRGB).
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Rgb(pub u8, pub u8, pub u8);

impl Rgb {
    /// The lightness that remains in greyscale, from 0 (black) to 255: the luma of ITU-R BT.601, as printers use it.
    pub fn grey(self) -> f32 {
        0.299 * f32::from(self.0) + 0.587 * f32::from(self.1) + 0.114 * f32::from(self.2)
    }
}

/// The print colour of an ink.
pub fn print(ink: Ink) -> Rgb {
    match ink {
        Ink::Line => Rgb(26, 26, 26),
        Ink::Strong => Rgb(0, 0, 0),
        Ink::Faint => Rgb(105, 105, 105),
        Ink::Paper => Rgb(255, 255, 255),
        Ink::Wash => Rgb(241, 242, 244),
        // Okabe and Ito's blue.
        Ink::Accent => Rgb(0, 114, 178),
        Ink::Rubber => Rgb(70, 70, 70),
        Ink::Metal => Rgb(150, 150, 150),
        // Okabe and Ito's sky blue, orange-red (vermilion) and reddish purple, the last darkened to 45 %.
        Ink::Minor => Rgb(86, 180, 233),
        Ink::Major => Rgb(213, 94, 0),
        Ink::Dangerous => Rgb(92, 20, 62),
        Ink::Sound => Rgb(26, 26, 26),
        Ink::Unchecked => Rgb(130, 130, 130),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn severities_fall_apart_in_greyscale_and_grow_darker() {
        let [minor, major, dangerous] = [Ink::Minor, Ink::Major, Ink::Dangerous].map(|ink| print(ink).grey());
        // A step of 30 of 255 is about 12 % grey, well above what a laser printer's screen blurs.
        assert!(minor - major > 30.0, "minor {minor}, major {major}");
        assert!(major - dangerous > 30.0, "major {major}, dangerous {dangerous}");
    }

    #[test]
    fn words_have_the_contrast_of_wcag_on_paper_and_wash() {
        // WCAG 2.2, 1.4.3: 4.5 to 1 for text. Relative luminance as defined there.
        fn luminance(colour: Rgb) -> f32 {
            let channel = |value: u8| {
                let value = f32::from(value) / 255.0;
                if value <= 0.04045 { value / 12.92 } else { ((value + 0.055) / 1.055).powf(2.4) }
            };
            0.2126 * channel(colour.0) + 0.7152 * channel(colour.1) + 0.0722 * channel(colour.2)
        }
        for ink in [Ink::Line, Ink::Strong, Ink::Faint, Ink::Accent, Ink::Dangerous] {
            for ground in [Ink::Paper, Ink::Wash] {
                let ratio = (luminance(print(ground)) + 0.05) / (luminance(print(ink)) + 0.05);
                assert!(ratio >= 4.5, "{ink:?} on {ground:?}: {ratio}");
            }
        }
    }
}
