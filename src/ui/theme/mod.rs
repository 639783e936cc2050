//! Colours, sizes and fonts of both themes: the only place that makes a colour.
//!
//! The severities take colours of the Okabe and Ito palette, which colour-blind people tell apart; a word and a notch
//! mark always stand beside them.

use std::sync::Arc;

use egui::{Color32, FontData, FontDefinitions, FontFamily, FontId, FontTweak, TextStyle, Theme};

use crate::drawing::shape::Ink;

/// The ink of marks on photos in both themes, as it is burnt into copies (Okabe-Ito vermilion).
pub const PHOTO_INK: Color32 = Color32::from_rgb(0xd5, 0x5e, 0x00);
/// The rim that sets it off from any photo.
pub const PHOTO_RIM: Color32 = Color32::WHITE;
/// What a picture is multiplied by so that it is shown in its own colours.
pub const UNTINTED: Color32 = Color32::WHITE;

/// Sizes and colours by meaning.
#[derive(Clone, Debug, PartialEq)]
pub struct Tokens {
    /// Ordinary lines and words.
    pub line: Color32,
    /// What matters most.
    pub strong: Color32,
    /// Guides and captions.
    pub faint: Color32,
    /// The surface.
    pub paper: Color32,
    /// A quiet area.
    pub wash: Color32,
    /// What is selected.
    pub accent: Color32,
    /// Tyre rubber.
    pub rubber: Color32,
    /// Rim, spoke, disc, frame.
    pub metal: Color32,
    /// Minor (Okabe-Ito sky blue).
    pub minor: Color32,
    /// Major (Okabe-Ito orange).
    pub major: Color32,
    /// Dangerous (Okabe-Ito vermilion).
    pub dangerous: Color32,
    /// Sound.
    pub sound: Color32,
    /// Not looked at.
    pub unchecked: Color32,
    /// Space between things, in points.
    pub gap: f32,
    /// Least height of something to press, in points.
    pub target: f32,
}

impl Tokens {
    /// The tokens of a theme.
    pub fn of(theme: Theme) -> Self {
        let hex = |rgb: u32| Color32::from_rgb((rgb >> 16) as u8, (rgb >> 8) as u8, rgb as u8);
        match theme {
            Theme::Light => Self {
                line: hex(0x2b2f33),
                strong: hex(0x0c0e10),
                faint: hex(0x6b7278),
                paper: hex(0xfbfaf7),
                wash: hex(0xecebe6),
                accent: hex(0x0072b2),
                rubber: hex(0x3a3d40),
                metal: hex(0x9aa2a8),
                minor: hex(0x2f8fc4),
                major: hex(0xb97800),
                dangerous: hex(0xc44500),
                sound: hex(0x2b2f33),
                unchecked: hex(0x8d949a),
                gap: 8.0,
                target: 30.0,
            },
            Theme::Dark => Self {
                line: hex(0xd6d9dc),
                strong: hex(0xffffff),
                faint: hex(0x98a0a6),
                paper: hex(0x17191b),
                wash: hex(0x24282b),
                accent: hex(0x56b4e9),
                // Lighter than the surface, so that what is drawn on it in paper, the rolling arrow, is seen.
                rubber: hex(0x3d4348),
                metal: hex(0x7d868c),
                minor: hex(0x56b4e9),
                major: hex(0xe69f00),
                dangerous: hex(0xff7a33),
                sound: hex(0xd6d9dc),
                unchecked: hex(0x7d868c),
                gap: 8.0,
                target: 30.0,
            },
        }
    }
    /// The same for what is pressed with a gloved or dirty finger: at least 44 points high.
    pub fn large(&self) -> Self {
        Self { target: 44.0, ..self.clone() }
    }
    /// The colour of an ink.
    pub fn ink(&self, ink: Ink) -> Color32 {
        match ink {
            Ink::Line => self.line,
            Ink::Strong => self.strong,
            Ink::Faint => self.faint,
            Ink::Paper => self.paper,
            Ink::Wash => self.wash,
            Ink::Accent => self.accent,
            Ink::Rubber => self.rubber,
            Ink::Metal => self.metal,
            Ink::Minor => self.minor,
            Ink::Major => self.major,
            Ink::Dangerous => self.dangerous,
            Ink::Sound => self.sound,
            Ink::Unchecked => self.unchecked,
        }
    }
}

/// Sizes of type that is read from the machine, two metres away.
///
/// Letters are read with ease from 16 minutes of arc on (ISO 9241-303, from memory): 9.3 mm high at two metres, which is
/// 49 points of this face where 96 points make an inch. A window with less room has smaller ones.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LargeType {
    /// What the step is called.
    pub title: f32,
    /// The limit.
    pub figure: f32,
    /// What is said of it.
    pub body: f32,
    /// What is read close by.
    pub small: f32,
}

impl LargeType {
    /// The sizes for a window of a size in points.
    pub fn of(window: egui::Vec2) -> Self {
        let share = (window.x / 1600.0).min(window.y / 1000.0).clamp(0.3, 1.2);
        Self {
            title: (50.0 * share).max(22.0),
            figure: (50.0 * share).max(20.0),
            body: (27.0 * share).max(16.0),
            small: (20.0 * share).max(13.5),
        }
    }
}

/// Sets everything that is drawn here in large type, with things to press of at least 44 points.
pub fn enlarge(ui: &mut egui::Ui, large: &LargeType) {
    let style = ui.style_mut();
    for (name, size) in [
        (TextStyle::Heading, large.title),
        (TextStyle::Body, large.body),
        // In a small window, as at 200 per cent, the keys must leave room for what they are about.
        (TextStyle::Button, if large.body < 18.0 { 14.5 } else { large.body.min(22.0) }),
        (TextStyle::Small, large.small),
    ] {
        if let Some(font) = style.text_styles.get_mut(&name) {
            font.size = size;
        }
    }
    style.spacing.interact_size.y = 44.0;
    if large.body < 18.0 {
        style.spacing.button_padding.x = 7.0;
        style.spacing.item_spacing = egui::vec2(5.0, 4.0);
    }
}

/// The family of the heavier face.
pub fn strong_family() -> FontFamily {
    FontFamily::Name("strong".into())
}

/// Gives a context the fonts, type scale and colours of both themes.
pub fn install(ctx: &egui::Context) {
    let mut fonts = FontDefinitions::empty();
    let faces = [
        ("text", include_bytes!("../../../assets/fonts/NotoSans-Regular.ttf").as_slice()),
        ("strong", include_bytes!("../../../assets/fonts/NotoSans-Bold.ttf").as_slice()),
        ("signs", include_bytes!("../../../assets/fonts/NotoSansMath-Regular.ttf").as_slice()),
    ];
    for (name, bytes) in faces {
        // Running the hinting programs of these faces took longer than all else in the first frame, and a glyph that
        // is placed between pixels gains little from them.
        let tweak = FontTweak { hinting: Some(false), ..FontTweak::default() };
        fonts.font_data.insert(name.into(), Arc::new(FontData::from_static(bytes).tweak(tweak)));
    }
    for family in [FontFamily::Proportional, FontFamily::Monospace] {
        fonts.families.insert(family, vec!["text".into(), "signs".into()]);
    }
    // Minus, at most, at least and arrows are not in the text faces.
    fonts.families.insert(strong_family(), vec!["strong".into(), "signs".into()]);
    ctx.set_fonts(fonts);
    for theme in [Theme::Light, Theme::Dark] {
        let t = Tokens::of(theme);
        ctx.style_mut_of(theme, |style| {
            style.text_styles = [
                (TextStyle::Heading, FontId::new(20.0, strong_family())),
                (TextStyle::Body, FontId::new(15.0, FontFamily::Proportional)),
                (TextStyle::Button, FontId::new(15.0, FontFamily::Proportional)),
                (TextStyle::Monospace, FontId::new(14.0, FontFamily::Monospace)),
                (TextStyle::Small, FontId::new(12.5, FontFamily::Proportional)),
            ]
            .into();
            style.spacing.item_spacing = egui::vec2(t.gap, t.gap * 0.75);
            style.spacing.button_padding = egui::vec2(10.0, 5.0);
            style.spacing.interact_size.y = t.target;
            let v = &mut style.visuals;
            v.panel_fill = t.paper;
            v.window_fill = t.paper;
            v.extreme_bg_color = t.wash;
            v.override_text_color = Some(t.line);
            v.selection.bg_fill = t.accent.gamma_multiply(0.35);
            v.hyperlink_color = t.accent;
            v.widgets.noninteractive.bg_stroke.color = t.wash;
            // An outline that is still seen when a projector washes the pale surfaces out.
            v.widgets.inactive.bg_stroke = egui::Stroke::new(1.0, t.metal.gamma_multiply(0.7));
            // What has the focus is ringed in one way everywhere, so that the keyboard alone finds it.
            v.widgets.active.weak_bg_fill = t.wash;
            v.widgets.active.bg_stroke = egui::Stroke::new(2.0, t.accent);
            v.selection.stroke = egui::Stroke::new(2.0, t.accent);
            // A cursor that blinks would draw the window twice a second for as long as a field is open.
            v.text_cursor.blink = false;
        });
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every text file of a folder, with those below it.
    fn texts(folder: &std::path::Path, into: &mut Vec<(String, String)>) {
        for entry in std::fs::read_dir(folder).expect("a folder of the project") {
            let path = entry.expect("an entry").path();
            if path.is_dir() {
                texts(&path, into);
            } else if path.extension().is_some_and(|e| e == "rs" || e == "ron") {
                let text = std::fs::read_to_string(&path).expect("text in UTF-8");
                into.push((path.display().to_string(), text));
            }
        }
    }

    #[test]
    fn the_fonts_have_every_sign_that_the_program_writes() {
        let ctx = egui::Context::default();
        install(&ctx);
        let mut output = ctx.run_ui(egui::RawInput::default(), |_| {});
        output.textures_delta.clear();
        let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR"));
        let mut all = Vec::new();
        for folder in ["src", "assets", "sample-garage"] {
            texts(&root.join(folder), &mut all);
        }
        assert!(all.len() > 200, "the sources were found: {}", all.len());
        let mut missing = std::collections::BTreeMap::new();
        for family in [FontFamily::Proportional, FontFamily::Monospace, strong_family()] {
            let font = FontId::new(15.0, family.clone());
            ctx.fonts_mut(|fonts| {
                for (path, text) in &all {
                    for c in text.split("#[cfg(test)]").next().unwrap_or_default().chars().filter(|c| !c.is_control()) {
                        // Marks that steer the layout of text and are never drawn.
                        if !matches!(c, '\u{feff}' | '\u{200b}'..='\u{200f}') && !fonts.has_glyph(&font, c) {
                            missing.entry((format!("{family:?}"), c)).or_insert_with(|| path.clone());
                        }
                    }
                }
                // The signs of the trade that are not in the text faces alone.
                for c in "−≤≥→←±×÷·°µ½¼¾⅛′″√≈∅ºΩ…“”’–—".chars() {
                    if !fonts.has_glyph(&font, c) {
                        missing.entry((format!("{family:?}"), c)).or_insert_with(|| "the signs of the trade".into());
                    }
                }
            });
        }
        assert!(missing.is_empty(), "no font has these: {missing:?}");
    }
}
