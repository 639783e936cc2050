//! Words to glyphs: shaping with kerning and ligatures, cached by word, and the replacement of what cannot be printed.
//!
//! It must not know lines, blocks or pages.

use std::collections::{BTreeMap, HashMap};
use std::rc::Rc;
use std::str::FromStr as _;
use std::sync::Arc;

use harfrust::{Direction, Language, Script, ShapeOptions, ShapePlan, Shaper, UnicodeBuffer};

use super::fonts::{self, REPLACEMENT};
use super::page::{Face, Glyph, MissingGlyph, TextRun};
use crate::drawing::shape::Ink;
use crate::guard::limits::PAGES_LETTERS;
use crate::report::block::Link;

/// How many characters around a missing one are quoted.
const CONTEXT: usize = 12;
/// How many glyphs of words are kept to be set again: some thousand words, more than a language uses often.
const CACHED: usize = 100_000;
/// How many letters a piece of a page counts for beside its own: its place and its rules take room too.
const PIECE: usize = 8;

/// Face, size and ink of words.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Style {
    /// The face.
    pub face: Face,
    /// The size in points.
    pub size: f32,
    /// What the words stand for.
    pub ink: Ink,
    /// Where they lead: a number of [`Typesetter::link`], 0 for nowhere.
    pub link: usize,
}

/// Glyphs of some words in font units.
#[derive(Debug)]
pub struct Shaped {
    /// The glyphs, with lengths in font units.
    pub glyphs: Vec<Glyph>,
    /// The sum of the advances in font units.
    pub width: f32,
}

/// Shapes words of one document and remembers what could not be printed.
pub struct Typesetter {
    shapers: [Shaper<'static>; 3],
    plans: Vec<(Face, Script, ShapePlan)>,
    language: Option<Language>,
    buffer: Option<UnicodeBuffer>,
    cache: [HashMap<Box<str>, Rc<Shaped>>; 3],
    /// How many glyphs the cache holds.
    cached: usize,
    missing: BTreeMap<char, MissingGlyph>,
    links: Vec<Arc<Link>>,
    /// How many letters may still come; none once there were too many.
    left: Option<usize>,
}

impl Typesetter {
    /// A typesetter for a document in the given language (BCP 47).
    pub fn new(language: &str) -> Self {
        let shaper = |face| {
            let data = fonts::data(face);
            data.shaper.shaper(&data.font).build()
        };
        Self {
            shapers: Face::ALL.map(shaper),
            plans: Vec::new(),
            language: Language::from_str(language).ok(),
            buffer: None,
            cache: Face::ALL.map(|_| HashMap::new()),
            cached: 0,
            missing: BTreeMap::new(),
            links: Vec::new(),
            left: Some(PAGES_LETTERS.size()),
        }
    }

    /// Takes a piece of so many letters from what the document may hold. Once it is false it stays so: the document is
    /// too long, and nothing more is set.
    pub fn take(&mut self, letters: usize) -> bool {
        self.left = self.left.and_then(|left| left.checked_sub(letters + PIECE));
        self.left.is_some()
    }

    /// Whether there were more letters than a document may hold.
    pub fn is_spent(&self) -> bool {
        self.left.is_none()
    }

    /// The number of a link, for a style.
    pub fn number(&mut self, link: &Link) -> usize {
        let at = self.links.iter().position(|known| **known == *link).unwrap_or_else(|| {
            self.links.push(Arc::new(link.clone()));
            self.links.len() - 1
        });
        at + 1
    }

    /// The link of a number.
    pub fn link(&self, number: usize) -> Option<Arc<Link>> {
        self.links.get(number.checked_sub(1)?).cloned()
    }

    /// What could not be printed, in the order of the characters' numbers.
    pub fn into_missing(self) -> Vec<MissingGlyph> {
        self.missing.into_values().collect()
    }

    /// The words as they will be printed: line ends become line feeds, tabs become spaces, and every character without
    /// a shape becomes U+FFFD and is reported. Characters that only guide line breaking are kept; see [`printed`].
    pub fn clean(&mut self, text: &str, face: Face) -> String {
        let mut clean = String::with_capacity(text.len());
        let mut chars = text.char_indices().peekable();
        while let Some((at, c)) = chars.next() {
            match c {
                '\r' => {
                    let _ = chars.next_if(|(_, next)| *next == '\n');
                    clean.push('\n');
                }
                '\n' | '\u{85}' | '\u{2028}' | '\u{2029}' => clean.push('\n'),
                '\t' => clean.push(' '),
                _ if is_invisible(c) => clean.push(c),
                _ if !c.is_control() && !hides_text(c) && fonts::face_for(c, face).is_some() => clean.push(c),
                _ if c.is_whitespace() && !c.is_control() => clean.push(' '),
                _ => {
                    self.report(text, at, c);
                    clean.push(REPLACEMENT);
                }
            }
        }
        clean
    }

    fn report(&mut self, text: &str, at: usize, character: char) {
        self.missing.entry(character).and_modify(|missing| missing.count += 1).or_insert_with(|| {
            let before: Vec<char> = text[..at].chars().rev().take(CONTEXT).collect();
            let after = text[at..].chars().take(CONTEXT + 1);
            let visible = |c: char| if c.is_control() || hides_text(c) { REPLACEMENT } else { c };
            let context = before.into_iter().rev().chain(after).map(visible).collect();
            MissingGlyph { character, count: 1, context }
        });
    }

    /// Shapes clean and printed words that stand on one line.
    pub fn shape(&mut self, text: &str, face: Face) -> Rc<Shaped> {
        let slot = face as usize;
        if let Some(shaped) = self.cache[slot].get(text) {
            return Rc::clone(shaped);
        }
        let shaped = Rc::new(self.shape_anew(text, face));
        if self.cached > CACHED {
            self.cache.iter_mut().for_each(HashMap::clear);
            self.cached = 0;
        }
        self.cached += shaped.glyphs.len();
        self.cache[slot].insert(text.into(), Rc::clone(&shaped));
        shaped
    }

    fn shape_anew(&mut self, text: &str, face: Face) -> Shaped {
        let mut buffer = self.buffer.take().unwrap_or_default();
        buffer.push_str(text);
        buffer.guess_segment_properties();
        buffer.set_direction(Direction::LeftToRight);
        if let Some(language) = &self.language {
            buffer.set_language(language.clone());
        }
        let script = buffer.script();
        let shaper = &self.shapers[face as usize];
        let known = self.plans.iter().position(|(f, s, _)| *f == face && *s == script);
        let plan = known.unwrap_or_else(|| {
            let plan = ShapePlan::new(shaper, Direction::LeftToRight, Some(script), self.language.as_ref(), &[]);
            self.plans.push((face, script, plan));
            self.plans.len() - 1
        });
        let output = shaper.shape(buffer, ShapeOptions::new().plan(Some(&self.plans[plan].2)));

        let infos = output.glyph_infos();
        let mut glyphs: Vec<Glyph> = infos
            .iter()
            .zip(output.glyph_positions())
            .map(|(info, position)| Glyph {
                // The faces have fewer than 65536 glyphs, as every TrueType font has.
                id: u16::try_from(info.glyph_id).unwrap_or_default(),
                start: info.cluster,
                len: 0,
                advance: position.x_advance as f32,
                dx: position.x_offset as f32,
                dy: -position.y_offset as f32,
            })
            .collect();
        give_clusters_their_words(&mut glyphs, text.len());
        let width = glyphs.iter().map(|glyph| glyph.advance).sum();
        self.buffer = Some(output.clear());
        Shaped { glyphs, width }
    }
}

/// A run without words.
pub fn empty_run(style: Style) -> TextRun {
    TextRun {
        x: 0.0,
        y: 0.0,
        face: style.face,
        size: style.size,
        ink: style.ink,
        text: String::new(),
        glyphs: Vec::new(),
        width: 0.0,
        link: None,
    }
}

/// Adds shaped words at the right end of a run of the same style.
pub fn append(run: &mut TextRun, text: &str, shaped: &Shaped) {
    let scale = run.size / fonts::data(run.face).units;
    let offset = u32::try_from(run.text.len()).unwrap_or(u32::MAX);
    run.text.push_str(text);
    run.glyphs.extend(shaped.glyphs.iter().map(|glyph| Glyph {
        start: glyph.start + offset,
        advance: glyph.advance * scale,
        dx: glyph.dx * scale,
        dy: glyph.dy * scale,
        ..*glyph
    }));
    run.width += shaped.width * scale;
}

/// Gives the first glyph of each cluster the words up to the next cluster, and the others none.
fn give_clusters_their_words(glyphs: &mut [Glyph], text_len: usize) {
    let mut end = u32::try_from(text_len).unwrap_or(u32::MAX);
    let mut i = glyphs.len();
    while i > 0 {
        let start = glyphs[i - 1].start;
        while i > 0 && glyphs[i - 1].start == start {
            i -= 1;
        }
        glyphs[i].len = end.saturating_sub(start);
        end = start;
    }
}

/// Cuts clean words where another face has to help out, and gives each part with its face.
pub fn by_face(text: &str, face: Face) -> Vec<(Face, &str)> {
    let of = |c: char| fonts::face_for(c, face).unwrap_or(face);
    let mut parts = Vec::new();
    let mut start = 0;
    let mut current = None;
    for (at, c) in text.char_indices() {
        let wanted = of(c);
        if current.is_some_and(|current| current != wanted) {
            parts.push((current.unwrap_or(face), &text[start..at]));
            start = at;
        }
        current = Some(wanted);
    }
    if start < text.len() {
        parts.push((current.unwrap_or(face), &text[start..]));
    }
    parts
}

/// Clean words without the characters that only guide where a line may end.
pub fn printed(clean: &str) -> String {
    clean.chars().filter(|c| !is_invisible(*c)).collect()
}

/// Characters that guide line breaking or joining and have no shape by definition.
fn is_invisible(c: char) -> bool {
    matches!(c, '\u{ad}' | '\u{34f}' | '\u{200b}'..='\u{200f}' | '\u{2060}' | '\u{feff}' | '\u{fe00}'..='\u{fe0f}')
}

/// Characters that reorder or hide what stands beside them: a record must show them, not obey them.
fn hides_text(c: char) -> bool {
    matches!(c, '\u{202a}'..='\u{202e}' | '\u{2061}'..='\u{206f}' | '\u{fff9}'..='\u{fffb}' | '\u{e0000}'..='\u{e0fff}')
}

#[cfg(test)]
mod tests {
    use super::*;

    fn run(text: &str) -> (TextRun, Vec<MissingGlyph>) {
        let mut typesetter = Typesetter::new("en");
        let clean = printed(&typesetter.clean(text, Face::Regular));
        let shaped = typesetter.shape(&clean, Face::Regular);
        let mut run = empty_run(Style { face: Face::Regular, size: 10.0, ink: Ink::Line, link: 0 });
        append(&mut run, &clean, &shaped);
        (run, typesetter.into_missing())
    }

    #[test]
    fn signs_that_the_face_lacks_come_from_another() {
        let parts = by_face("at ≥ −1.6", Face::Bold);
        let expected =
            [(Face::Bold, "at "), (Face::Signs, "≥"), (Face::Bold, " "), (Face::Signs, "−"), (Face::Bold, "1.6")];
        assert_eq!(parts, expected);
        assert_eq!(by_face("", Face::Bold), []);
    }

    #[test]
    fn kerning_brings_letters_together() {
        // "AV" is the classic kerning pair; its width is less than that of its letters apart.
        let apart = run("A").0.width + run("V").0.width;
        assert!(run("AV").0.width < apart - 0.1);
    }

    #[test]
    fn a_character_without_a_shape_is_seen_and_reported() {
        let (run, missing) = run("Name 日本 plate");
        assert_eq!(run.text, "Name \u{fffd}\u{fffd} plate");
        assert_eq!(run.glyphs.len(), "Name ?? plate".len());
        assert!(run.glyphs.iter().all(|glyph| glyph.id != 0), "no .notdef box");
        let found: Vec<_> = missing.iter().map(|m| (m.character, m.count)).collect();
        assert_eq!(found, [('日', 1), ('本', 1)]);
        assert_eq!(missing[0].context, "Name 日本 plate");
    }

    #[test]
    fn control_and_reordering_characters_are_seen_and_reported() {
        let (run, missing) = run("a\u{7}b\u{202e}c\u{0}");
        assert_eq!(run.text, "a\u{fffd}b\u{fffd}c\u{fffd}");
        assert_eq!(missing.len(), 3);
        assert!(missing.iter().all(|m| !m.context.chars().any(char::is_control)));
    }

    #[test]
    fn joiners_and_soft_hyphens_take_no_room() {
        let (with, missing) = run("co\u{ad}op\u{200b}er\u{feff}ate");
        let (without, _) = run("cooperate");
        assert!((with.width - without.width).abs() < 1e-4);
        assert!(missing.is_empty());
    }

    #[test]
    fn clusters_give_back_the_words() {
        // A letter with a mark of its own, a ligature where the font has one, and letters beyond the Latin ones.
        for text in ["e\u{301}t\u{e9}", "office fluffy", "Żółć", "Ωμέγα", "Щётка", "x\u{323}\u{301}y"] {
            let run = run(text).0;
            let joined: String = run.glyphs.iter().map(|glyph| run.cluster(glyph)).collect();
            assert_eq!(joined, text);
        }
    }
}
