//! Spans to lines of a given width, by the Unicode line breaking algorithm (UAX 14).
//!
//! A word longer than the line is cut between letters, without a hyphen that nobody wrote. This file must not know
//! blocks or pages.

use unicode_linebreak::{BreakOpportunity, linebreaks};

use super::fonts;
use super::page::{Face, Placed, TextRun};
use super::shape::{Style, Typesetter, append, by_face, empty_run, printed};
use super::style::Type;
use crate::report::block::{Align, Span};

/// A line of words; its runs stand at the origin, on the baseline.
#[derive(Clone, Debug, Default)]
pub struct Line {
    /// The runs from left to right.
    pub runs: Vec<TextRun>,
    /// From the left end to the right end of the words.
    pub width: f32,
}

impl Line {
    /// The words as items, with their left end and baseline at the given place.
    pub fn place(self, x: f32, baseline: f32) -> impl Iterator<Item = Placed> {
        self.runs.into_iter().map(move |mut run| {
            run.x += x;
            run.y += baseline;
            Placed::Text(run)
        })
    }

    /// Where the line begins in a column of the given width.
    pub fn start(&self, width: f32, align: Align) -> f32 {
        match align {
            Align::Left => 0.0,
            Align::Middle => (width - self.width) / 2.0,
            Align::Right | Align::Decimal => width - self.width,
        }
    }

    /// The width up to the decimal mark, or the whole width for words without one.
    pub fn width_before_decimal_mark(&self) -> f32 {
        let mut after_digit = false;
        for run in &self.runs {
            let mut x = run.x;
            for glyph in &run.glyphs {
                let cluster = run.cluster(glyph);
                if after_digit && matches!(cluster, "." | ",") {
                    return x;
                }
                after_digit = cluster.chars().all(|c| c.is_ascii_digit()) && !cluster.is_empty();
                x += glyph.advance;
            }
        }
        self.width
    }
}

/// Words or spaces of one style, shaped as one.
struct Piece {
    text: String,
    style: Style,
    width: f32,
}

/// Pieces that stay together, the spaces after them, and whether a line must end there.
#[derive(Default)]
struct Group {
    words: Vec<Piece>,
    spaces: Vec<Piece>,
    ends_line: bool,
}

/// Breaks spans into lines no wider than `width` points. Without words, or where the document is full, there is no line.
pub fn lines(typesetter: &mut Typesetter, spans: &[Span], kind: Type, width: f32) -> Vec<Line> {
    if !typesetter.take(spans.iter().map(|span| span.text.len()).sum()) {
        return Vec::new();
    }
    let width = if width.is_finite() { width.max(0.0) } else { f32::MAX };
    let mut setter = Setter { typesetter, width, done: Vec::new(), line: Line::default(), pending: Vec::new() };
    let groups = groups(setter.typesetter, spans, kind);
    let last = groups.len().saturating_sub(1);
    for (i, group) in groups.into_iter().enumerate() {
        let ends_line = group.ends_line && i != last;
        setter.add(group);
        if ends_line {
            setter.end_line();
        }
    }
    if !setter.line.runs.is_empty() {
        setter.end_line();
    }
    setter.done
}

/// Words on one line in one style, whatever their width; line feeds become spaces.
pub fn one_line(typesetter: &mut Typesetter, text: &str, style: Style) -> Line {
    if !typesetter.take(text.len()) {
        return Line::default();
    }
    let clean = printed(&typesetter.clean(text, style.face).replace('\n', " "));
    let mut setter =
        Setter { typesetter, width: f32::MAX, done: Vec::new(), line: Line::default(), pending: Vec::new() };
    for (face, part) in by_face(&clean, style.face) {
        let piece = piece_of(setter.typesetter, part, Style { face, ..style });
        setter.push(&piece);
    }
    setter.line
}

fn style_of(typesetter: &mut Typesetter, span: &Span, kind: Type) -> Style {
    Style {
        link: span.link.as_ref().map_or(0, |link| typesetter.number(link)),
        face: if span.strong || kind.strong { Face::Bold } else { Face::Regular },
        size: if span.small { kind.small } else { kind.size },
        ink: span.ink,
    }
}

/// Cuts the spans where a line may end, keeping the style of each piece.
fn groups(typesetter: &mut Typesetter, spans: &[Span], kind: Type) -> Vec<Group> {
    let mut text = String::new();
    let mut styles: Vec<(usize, Style)> = Vec::new();
    for span in spans {
        let style = style_of(typesetter, span, kind);
        text.push_str(&typesetter.clean(&span.text, style.face));
        styles.push((text.len(), style));
    }
    let mut groups = Vec::new();
    let mut start = 0;
    let mut style_index = 0;
    for (end, opportunity) in linebreaks(&text).filter(|(end, _)| !splits_a_unit(&text, *end)) {
        let mut group = Group { ends_line: opportunity == BreakOpportunity::Mandatory, ..Group::default() };
        let words_end = start + text[start..end].trim_end_matches([' ', '\n']).len();
        while start < end {
            while styles.get(style_index).is_some_and(|(until, _)| *until <= start) {
                style_index += 1;
            }
            let Some(&(until, style)) = styles.get(style_index) else { break };
            let stop = if start < words_end { words_end } else { end }.min(until);
            let piece = &text[start..stop];
            if start < words_end {
                for (face, part) in by_face(&printed(piece), style.face) {
                    group.words.push(piece_of(typesetter, part, Style { face, ..style }));
                }
            } else {
                let spaces: String = piece.chars().filter(|c| *c == ' ').collect();
                if !spaces.is_empty() {
                    group.spaces.push(piece_of(typesetter, &spaces, style));
                }
            }
            start = stop;
        }
        groups.push(group);
    }
    groups
}

fn piece_of(typesetter: &mut Typesetter, text: &str, style: Style) -> Piece {
    let width = typesetter.shape(text, style.face).width * style.size / fonts::data(style.face).units;
    Piece { text: text.to_owned(), style, width }
}

/// Fills lines.
struct Setter<'a> {
    typesetter: &'a mut Typesetter,
    width: f32,
    done: Vec<Line>,
    line: Line,
    pending: Vec<Piece>,
}

impl Setter<'_> {
    fn add(&mut self, group: Group) {
        let words: f32 = group.words.iter().map(|piece| piece.width).sum();
        let before: f32 = self.pending.iter().map(|piece| piece.width).sum();
        // A hair's breadth of tolerance keeps rounding from breaking a line that fits its own width.
        let room = self.width + 0.01;
        if self.line.width + before + words > room && !self.line.runs.is_empty() {
            self.end_line();
        }
        for space in std::mem::take(&mut self.pending) {
            if !group.words.is_empty() {
                self.push(&space);
            }
        }
        for piece in group.words {
            if self.line.width + piece.width <= room || words <= room {
                self.push(&piece);
            } else {
                self.cut(&piece, room);
            }
        }
        self.pending = group.spaces;
    }

    /// Sets a piece that is longer than a line, ending lines between its clusters.
    fn cut(&mut self, piece: &Piece, room: f32) {
        let scale = piece.style.size / fonts::data(piece.style.face).units;
        let shaped = self.typesetter.shape(&piece.text, piece.style.face);
        let mut from = 0;
        let mut x = self.line.width;
        let mut i = 0;
        while i < shaped.glyphs.len() {
            let start = shaped.glyphs[i].start as usize;
            let cluster = shaped.glyphs[i..].iter().take_while(|glyph| glyph.start as usize == start);
            let (count, advance) = cluster.fold((0, 0.0), |(n, sum), glyph| (n + 1, sum + glyph.advance * scale));
            if x + advance > room && (start > from || !self.line.runs.is_empty()) {
                if start > from {
                    let chunk = piece_of(self.typesetter, &piece.text[from..start], piece.style);
                    self.push(&chunk);
                }
                self.end_line();
                from = start;
                x = 0.0;
            }
            x += advance;
            i += count;
        }
        let rest = piece_of(self.typesetter, &piece.text[from..], piece.style);
        self.push(&rest);
    }

    fn push(&mut self, piece: &Piece) {
        let shaped = self.typesetter.shape(&piece.text, piece.style.face);
        let style = piece.style;
        let link = self.typesetter.link(style.link);
        let fits = |run: &TextRun| {
            run.face == style.face && run.size == style.size && run.ink == style.ink && run.link == link
        };
        if !self.line.runs.last().is_some_and(fits) {
            let mut run = empty_run(style);
            run.x = self.line.width;
            run.link = link;
            self.line.runs.push(run);
        }
        if let Some(run) = self.line.runs.last_mut() {
            append(run, &piece.text, &shaped);
            self.line.width = run.x + run.width;
        }
    }

    fn end_line(&mut self) {
        // A line without letters takes its place too.
        self.typesetter.take(0);
        self.pending.clear();
        self.done.push(std::mem::take(&mut self.line));
    }
}

/// Where a line may end in a text, in bytes from its beginning, by UAX 14 and the house's exception for units; the second
/// says whether it must end there. The text's own end is one of them.
pub fn breaks(text: &str) -> Vec<(usize, bool)> {
    linebreaks(text)
        .filter(|(at, _)| !splits_a_unit(text, *at))
        .map(|(at, kind)| (at, kind == BreakOpportunity::Mandatory))
        .collect()
}

/// Whether a break would stand inside a unit such as `km/h` or `m/s`.
fn splits_a_unit(text: &str, at: usize) -> bool {
    // Three letters are looked at: where a line may end after each letter, the rest of the word would be read each time.
    let after = text[at..].chars().take(3).take_while(|c| c.is_alphanumeric()).count();
    text[..at].ends_with('/') && (1..=2).contains(&after)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::layout::style::BODY;

    fn set(text: &str, width: f32) -> Vec<String> {
        let mut typesetter = Typesetter::new("en");
        let set = lines(&mut typesetter, &[Span::text(text)], BODY, width);
        // A line that holds a single letter may be wider than its room; 12 points are wider than any letter here.
        for line in set.iter().filter(|_| width.is_finite()) {
            assert!(line.width <= width.max(12.0) + 0.02, "{} in {width}", line.width);
        }
        set.iter().map(|line| line.runs.iter().map(|run| run.text.as_str()).collect()).collect()
    }

    #[test]
    fn lines_end_at_spaces_and_line_feeds() {
        assert_eq!(set("one two three", 45.0), ["one two", "three"]);
        assert_eq!(set("one\ntwo\r\n\nthree", 500.0), ["one", "two", "", "three"]);
        assert_eq!(set("", 100.0), Vec::<String>::new());
        assert_eq!(set("end\n", 100.0), ["end"]);
    }

    #[test]
    fn a_no_break_space_holds_a_number_to_its_unit() {
        // Both are about the same width; only the ordinary space may end a line.
        assert_eq!(set("at 36 psi", 32.0), ["at 36", "psi"]);
        assert_eq!(set("at 36\u{a0}psi", 32.0), ["at", "36\u{a0}psi"]);
    }

    #[test]
    fn a_word_longer_than_the_line_is_cut_and_nothing_is_lost() {
        let word = "Kraftfahrzeughaftpflichtversicherung".repeat(20);
        let set = set(&word, 100.0);
        assert!(set.len() > 20);
        assert_eq!(set.concat(), word);
    }

    #[test]
    fn a_line_without_width_still_takes_every_letter() {
        for width in [0.0, -5.0, 0.5] {
            assert_eq!(set("abc d", width), ["a", "b", "c", "d"], "{width}");
        }
        assert_eq!(set("abc d", f32::NAN), ["abc d"]);
    }

    #[test]
    fn a_change_of_style_inside_a_word_does_not_end_a_line() {
        let mut typesetter = Typesetter::new("en");
        let spans = [Span::text("say un"), Span::text("break").strong(), Span::text("able words")];
        let set = lines(&mut typesetter, &spans, BODY, 78.0);
        let words: Vec<String> =
            set.iter().map(|line| line.runs.iter().map(|run| run.text.as_str()).collect()).collect();
        assert_eq!(words, ["say", "unbreakable", "words"]);
        assert_eq!(set[1].runs.len(), 3);
    }
}
