//! Words from a stranger as they may be shown: what would command a terminal, turn the reading direction or hide, is
//! written out as its number, `[U+202E]`, so that everybody sees the same words and sees that something was there.

use std::borrow::Cow;

use super::limits::MESSAGE;

/// Whether a character is a control sign, or turns or hides what stands beside it (Unicode categories Cc, Zl, Zp, and
/// those of Cf that are no part of any script's spelling). Line feed and tab are not; joiners, which scripts and emoji
/// need, are not.
pub fn is_hidden(c: char) -> bool {
    match c {
        '\n' | '\t' => false,
        c if c.is_control() => true,
        // Marks, embeddings, overrides and isolates of the bidirectional algorithm (UAX 9).
        '\u{61c}' | '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' => true,
        // Line and paragraph separators; signs without width or shape; annotation; tags.
        '\u{2028}' | '\u{2029}' | '\u{180e}' | '\u{200b}' | '\u{2060}'..='\u{2065}' | '\u{206a}'..='\u{206f}' => true,
        '\u{feff}' | '\u{fff9}'..='\u{fffb}' | '\u{e0000}'..='\u{e0fff}' => true,
        _ => false,
    }
}

/// Words of several lines. A line ending of another system becomes a line feed.
pub fn text(words: &str) -> Cow<'_, str> {
    shown(words, &|c| is_hidden(c))
}

/// Words that stand on one line, such as a name: a line feed in it could pass for the program's own next line.
pub fn line(words: &str) -> Cow<'_, str> {
    shown(words, &|c| is_hidden(c) || c == '\n' || c == '\t')
}

fn shown<'a>(words: &'a str, is_bad: &dyn Fn(char) -> bool) -> Cow<'a, str> {
    let Some(first) = words.find(is_bad) else { return Cow::Borrowed(words) };
    let mut plain = words[..first].to_owned();
    let mut rest = words[first..].chars().peekable();
    while let Some(c) = rest.next() {
        match c {
            '\r' if rest.peek() == Some(&'\n') => {}
            c if is_bad(c) => plain.push_str(&format!("[U+{:04X}]", u32::from(c))),
            c => plain.push(c),
        }
    }
    Cow::Owned(plain)
}

/// Words for a cell of a table that a spreadsheet will open: what it would take for a formula is marked as text. A plain
/// number is left a number.
pub fn cell(words: &str) -> Cow<'_, str> {
    let plain = text(words);
    // A spreadsheet forgives blanks before a formula, and takes the full-width signs for the plain ones.
    let first = plain.trim_start().chars().next();
    let is_formula = matches!(first, Some('=' | '+' | '-' | '@' | '\u{ff1d}' | '\u{ff0b}' | '\u{ff0d}' | '\u{ff20}'))
        && plain.trim().parse::<f64>().map_or(true, |number| !number.is_finite());
    if is_formula || plain.starts_with('\t') { Cow::Owned(format!("'{plain}")) } else { plain }
}

/// A message that quotes what stands in a file, with its middle left out where it is longer than anybody reads. The
/// end, where the way out stands, is kept.
pub fn brief(message: &str) -> Cow<'_, str> {
    let most = MESSAGE.size();
    if message.len() <= most || message.chars().count() <= most {
        return Cow::Borrowed(message);
    }
    let (head, tail) = (most * 2 / 3, most / 3 - 3);
    let begin: String = message.chars().take(head).collect();
    let end: Vec<char> = message.chars().rev().take(tail).collect();
    Cow::Owned(format!("{begin} … {}", end.into_iter().rev().collect::<String>()))
}

/// JSON text whose strings hold the same characters, the hidden ones escaped (RFC 8259 section 7).
pub fn json(text: &str) -> Cow<'_, str> {
    // Outside its strings JSON has no such character.
    if !text.contains(is_hidden) {
        return Cow::Borrowed(text);
    }
    let mut escaped = String::with_capacity(text.len());
    let mut units = [0; 2];
    for c in text.chars() {
        if is_hidden(c) {
            for unit in c.encode_utf16(&mut units) {
                escaped.push_str(&format!("\\u{unit:04x}"));
            }
        } else {
            escaped.push(c);
        }
    }
    Cow::Owned(escaped)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_commands_turns_or_hides_is_written_out() {
        // Right-to-left override (UAX 9), escape (ECMA-48), bell, next line, zero width space, a tag.
        for (found, shown) in [
            ("photo-\u{202e}gpj.exe", "photo-[U+202E]gpj.exe"),
            ("\u{1b}[2Jgone", "[U+001B][2Jgone"),
            ("a\u{7}\u{85}b", "a[U+0007][U+0085]b"),
            ("He\u{200b}ron", "He[U+200B]ron"),
            ("x\u{e0041}", "x[U+E0041]"),
            ("first\r\nsecond\rthird", "first\nsecond[U+000D]third"),
        ] {
            assert_eq!(text(found), shown);
            assert_eq!(text(&text(found)), shown, "what is plain stays as it is");
        }
        assert_eq!(line("Heron\nIntact: every page"), "Heron[U+000A]Intact: every page");
    }

    #[test]
    fn what_scripts_need_stays() {
        for words in ["Größe 2½ mm", "שלום", "می\u{200c}خواهم", "👩\u{200d}🔧", "été\nhiver\tsec"] {
            assert!(matches!(text(words), Cow::Borrowed(same) if same == words), "{words}");
        }
    }

    #[test]
    fn a_cell_starts_nothing() {
        for formula in ["=1+1", "+cmd", "-cmd|' /C x'!A0", "@sum", "  =1", "\u{ff1d}1", "\t=1", "-inf"] {
            assert!(cell(formula).starts_with('\''), "{formula}");
        }
        for plain in ["Kim", "-3.5", "+4", "3 - 1", "", "'=x"] {
            assert_eq!(cell(plain), plain);
        }
    }

    #[test]
    fn a_message_keeps_its_beginning_and_its_end() {
        let long = format!("expected a name, found \"{}\": correct it", "é".repeat(1 << 20));
        let short = brief(&long);
        assert_eq!(short.chars().count(), 1999);
        assert!(short.starts_with("expected a name") && short.ends_with("\": correct it"), "{short}");
        assert!(matches!(brief("as it is"), Cow::Borrowed("as it is")));
    }

    #[test]
    fn json_holds_the_same_text_without_the_signs() {
        let value = serde_json::json!({"name": "a\u{202e}b\u{7f}\u{e0041}", "two": "x\ny"});
        let printed = format!("{value:#}");
        let safe = json(&printed);
        assert!(!safe.contains(is_hidden) && safe.contains("\\u202e"), "{safe}");
        assert_eq!(serde_json::from_str::<serde_json::Value>(&safe).expect("JSON"), value);
    }
}
