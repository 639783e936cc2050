//! The text of a record taken apart: blanks, marks, names, words in quotes, figures, each only in the form that this
//! program writes. Must not know what the values are.

use std::borrow::Cow;

use serde::de::Visitor;

use super::{Outcome, Unusual};
use crate::guard;
use crate::guard::limits::RECORD_VALUES;

/// Greatest number of keys and items in all. The general reader counts up to four values for one of them.
const MOST_IN_ALL: u64 = RECORD_VALUES.most / 8;

/// A text, and how far it is read.
pub(super) struct Swift<'de> {
    text: &'de str,
    pub(super) at: usize,
    /// How many keys and items may still come.
    left: u64,
    /// Whether the words that come next may surely run over several lines.
    pub(super) has_lines: bool,
}

impl<'de> Swift<'de> {
    /// A text that is to be read from behind the remark at its head.
    pub(super) fn new(text: &'de str) -> Outcome<Self> {
        let mut swift = Self { text, at: 0, left: MOST_IN_ALL, has_lines: false };
        if text.starts_with("//") {
            swift.at = text.find('\n').ok_or(Unusual)? + 1;
            if text[..swift.at].contains('\0') {
                return Err(Unusual);
            }
        }
        Ok(swift)
    }
    /// The text from a place up to where it is read.
    pub(super) fn since(&self, from: usize) -> Outcome<&'de str> {
        self.text.get(from..self.at).ok_or(Unusual)
    }
    /// Whether nothing but blanks is left.
    pub(super) fn is_at_end(&mut self) -> bool {
        self.blanks();
        self.at == self.text.len()
    }
    pub(super) fn peek(&self) -> Option<u8> {
        self.text.as_bytes().get(self.at).copied()
    }
    pub(super) fn blanks(&mut self) {
        while let Some(b' ' | b'\n') = self.peek() {
            self.at += 1;
        }
    }
    /// Counts a key or an item.
    pub(super) fn count(&mut self) -> Outcome<()> {
        self.left = self.left.checked_sub(1).ok_or(Unusual)?;
        Ok(())
    }
    /// Goes past blanks and a mark.
    pub(super) fn take(&mut self, mark: u8) -> Outcome<()> {
        self.blanks();
        self.take_here(mark)
    }
    pub(super) fn take_here(&mut self, mark: u8) -> Outcome<()> {
        if self.peek() == Some(mark) {
            self.at += 1;
            Ok(())
        } else {
            Err(Unusual)
        }
    }
    /// Goes past a comma, or stands before the end of what it parts.
    pub(super) fn comma_or(&mut self, end: u8) -> Outcome<()> {
        self.blanks();
        match self.peek() {
            Some(b',') => {
                self.at += 1;
                Ok(())
            }
            Some(mark) if mark == end => Ok(()),
            _ => Err(Unusual),
        }
    }
    /// Goes past the end of a list and says whether it is there.
    pub(super) fn ends(&mut self, end: u8) -> bool {
        self.blanks();
        let is_end = self.peek() == Some(end);
        self.at += usize::from(is_end);
        is_end
    }
    /// The text while its bytes are of a sort.
    fn while_of(&mut self, is_of: impl Fn(u8) -> bool) -> &'de str {
        let from = self.at;
        while self.peek().is_some_and(&is_of) {
            self.at += 1;
        }
        // Only ASCII was passed over, so these are bounds of characters.
        self.text.get(from..self.at).unwrap_or("")
    }
    /// A name; one that would be taken for a word of the language is written `r#None`.
    pub(super) fn name(&mut self) -> Outcome<&'de str> {
        self.blanks();
        if self.text.as_bytes().get(self.at..self.at + 2) == Some(b"r#") {
            self.at += 2;
            if self.peek() == Some(b' ') {
                return Err(Unusual);
            }
        }
        self.word()
    }
    pub(super) fn word(&mut self) -> Outcome<&'de str> {
        self.blanks();
        if !self.peek().is_some_and(|b| b.is_ascii_alphabetic() || b == b'_') {
            return Err(Unusual);
        }
        let word = self.while_of(|b| b.is_ascii_alphanumeric() || b == b'_');
        // A raw name or a byte string is none of ours.
        if matches!(self.peek(), Some(b'#' | b'"' | b'\'')) { Err(Unusual) } else { Ok(word) }
    }
    /// Goes past a word if it is this one.
    pub(super) fn is_word(&mut self, wanted: &str) -> bool {
        self.blanks();
        let from = self.at;
        let is_it = self.word() == Ok(wanted);
        if !is_it {
            self.at = from;
        }
        is_it
    }
    fn string(&mut self) -> Outcome<Cow<'de, str>> {
        self.take(b'"')?;
        let mut from = self.at;
        let mut before = String::new();
        loop {
            match self.peek() {
                Some(b'"') => break,
                Some(b'\\') => {
                    before.push_str(self.text.get(from..self.at).ok_or(Unusual)?);
                    before.push(match self.text.as_bytes().get(self.at + 1) {
                        Some(mark @ (b'\'' | b'"' | b'\\')) => char::from(*mark),
                        Some(b'n') if self.has_lines => '\n',
                        Some(b't') if self.has_lines => '\t',
                        _ => return Err(Unusual),
                    });
                    self.at += 2;
                    from = self.at;
                }
                // A sign that this program would have written as an escape.
                None | Some(0..=0x1f | 0x7f) => return Err(Unusual),
                Some(_) => self.at += 1,
            }
        }
        let text = self.text.get(from..self.at).ok_or(Unusual)?;
        self.at += 1;
        // The general reader counts the characters, and makes signs that turn or hide what stands beside them visible.
        if before.len() + text.len() > guard::most_words(self.has_lines).size() {
            return Err(Unusual);
        }
        if !text.is_ascii() && text.contains(guard::is_hidden)
            || !before.is_ascii() && before.contains(guard::is_hidden)
        {
            return Err(Unusual);
        }
        if before.is_empty() { Ok(Cow::Borrowed(text)) } else { Ok(Cow::Owned(before + text)) }
    }
    pub(super) fn give_string<V: Visitor<'de>>(&mut self, visitor: V) -> Outcome<V::Value> {
        match self.string()? {
            Cow::Borrowed(text) => visitor.visit_borrowed_str(text),
            Cow::Owned(text) => visitor.visit_string(text),
        }
    }
    /// Plain figures: `12`, `-0.5`. Written in any other way, a number is for the general reader.
    fn figures(&mut self) -> Outcome<&'de str> {
        self.blanks();
        let text = self.while_of(|b| b.is_ascii_digit() || matches!(b, b'-' | b'.'));
        let unsigned = text.strip_prefix('-').unwrap_or(text);
        let (whole, part) = unsigned.split_once('.').unwrap_or((unsigned, "0"));
        let are_figures = |t: &str| !t.is_empty() && t.bytes().all(|b| b.is_ascii_digit());
        let is_led_by_zero = whole.len() > 1 && whole.starts_with('0');
        let is_cut_short = self.peek().is_some_and(|b| b.is_ascii_alphanumeric() || b == b'_');
        if are_figures(whole) && are_figures(part) && !is_led_by_zero && !is_cut_short {
            Ok(text)
        } else {
            Err(Unusual)
        }
    }
    pub(super) fn number<N: std::str::FromStr>(&mut self) -> Outcome<N> {
        let figures = self.figures()?;
        // A whole number beyond 64 bits is refused by the general reader, even where a fraction is asked for.
        if figures.len() > 18 && figures.bytes().all(|b| b.is_ascii_digit() || b == b'-') {
            return Err(Unusual);
        }
        figures.parse().map_err(|_| Unusual)
    }
    /// Looks at the schema, which stands first, and goes back.
    pub(super) fn schema(&mut self, known: u32) -> Outcome<()> {
        let from = self.at;
        self.take(b'(')?;
        if self.word()? != "schema" {
            return Err(Unusual);
        }
        self.take_here(b':')?;
        let schema: u32 = self.number()?;
        self.at = from;
        // An older record is brought up to date by the general reader.
        if schema == known { Ok(()) } else { Err(Unusual) }
    }
}
