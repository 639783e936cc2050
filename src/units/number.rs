//! Numbers as people write them: decimal point or comma, spaces between thousands, fractions, a real minus sign.

use thiserror::Error;

/// Why a text is not a number.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum NumberError {
    /// Nothing was typed.
    #[error("expected a number, found nothing: type a figure such as 2.5 or 4/32")]
    Empty,
    /// The text is not a number at all.
    #[error("expected a number, found \"{0}\": type a figure such as 2.5 or 4/32")]
    NotANumber(String),
    /// `12,000` may mean twelve or twelve thousand.
    #[error("\"{0}\" can be read two ways: write {1} for thousands, or {2} for a decimal")]
    Ambiguous(String, String, String),
    /// NaN, infinity or a figure too large to hold.
    #[error("expected a finite number, found \"{0}\": read the gauge again and type what it shows")]
    NotFinite(String),
    /// A fraction over zero.
    #[error("expected a fraction with a denominator above zero, found \"{0}\": write it as in 4/32")]
    ZeroDenominator(String),
}

/// Fractions that keyboards and phones write as one sign.
const VULGAR: [(char, &str); 7] =
    [('½', "1/2"), ('¼', "1/4"), ('¾', "3/4"), ('⅛', "1/8"), ('⅜', "3/8"), ('⅝', "5/8"), ('⅞', "7/8")];

/// Reads `2.5`, `2,5`, `12 000`, `1,234.5`, `4/32`, `1 1/2`, `1½`, `−3`. The result is finite.
pub fn parse_number(text: &str) -> Result<f64, NumberError> {
    let mut clean = String::new();
    for c in text.trim().chars() {
        match c {
            '−' | '–' => clean.push('-'),
            '⁄' | '∕' => clean.push('/'),
            c if c.is_whitespace() => clean.push(' '),
            c => match VULGAR.iter().find(|(sign, _)| *sign == c) {
                // A figure before it is the whole part: 1½ is 1 1/2.
                Some((_, fraction)) => {
                    clean.push_str(if clean.ends_with(|c: char| c.is_ascii_digit()) { " " } else { "" });
                    clean.push_str(fraction);
                }
                None => clean.push(c),
            },
        }
    }
    if clean.is_empty() {
        return Err(NumberError::Empty);
    }
    if let Some((left, denominator)) = clean.split_once('/') {
        return fraction(text, left.trim(), denominator.trim());
    }
    plain(text, &clean)
}

fn fraction(text: &str, left: &str, denominator: &str) -> Result<f64, NumberError> {
    // A hyphen may join them, as in 1-1/2; one at the front is the sign.
    let joined = left.char_indices().rev().find(|(i, c)| *c == ' ' || (*c == '-' && *i > 0));
    let (whole, numerator) = match joined {
        Some((at, _)) => (plain(text, left[..at].trim_end())?, plain(text, &left[at + 1..])?),
        None => (0.0, plain(text, left)?),
    };
    let denominator = plain(text, denominator)?;
    if denominator <= 0.0 {
        return Err(NumberError::ZeroDenominator(text.trim().to_owned()));
    }
    let part = numerator / denominator;
    finite(text, if whole.is_sign_negative() { whole - part } else { whole + part })
}

fn plain(text: &str, number: &str) -> Result<f64, NumberError> {
    let shown = || text.trim().to_owned();
    let lower = number.to_ascii_lowercase();
    if ["nan", "inf", "infinity"].contains(&lower.trim_start_matches(['-', '+'])) {
        return Err(NumberError::NotFinite(shown()));
    }
    let joined = join_thousands(number).ok_or_else(|| NumberError::NotANumber(shown()))?;
    let commas = joined.matches(',').count();
    let points = joined.matches('.').count();
    let normal = match (commas, points) {
        (0, 0 | 1) => joined,
        (1, 0) => {
            let (whole, decimals) = joined.split_once(',').unwrap_or((&joined, ""));
            let digits = whole.trim_start_matches(['-', '+']);
            if decimals.len() == 3 && (1..=3).contains(&digits.len()) && digits != "0" {
                return Err(NumberError::Ambiguous(
                    shown(),
                    format!("{whole}{decimals}"),
                    format!("{whole}.{decimals}"),
                ));
            }
            joined.replace(',', ".")
        }
        // Both marks, or one of them twice, can be read one way only.
        _ => grouped(&joined).ok_or_else(|| NumberError::NotANumber(shown()))?,
    };
    let is_digit_or = |c: char| c.is_ascii_digit() || matches!(c, '.' | '-' | '+' | 'e' | 'E');
    if !normal.chars().all(is_digit_or) || !normal.contains(|c: char| c.is_ascii_digit()) {
        return Err(NumberError::NotANumber(shown()));
    }
    let value: f64 = normal.parse().map_err(|_| NumberError::NotANumber(shown()))?;
    finite(text, value)
}

/// Takes the thousands marks out of `1,234.5`, `1.234,5` and `1,234,567`; none where they do not stand at threes.
fn grouped(number: &str) -> Option<String> {
    let last = number.rfind([',', '.'])?;
    let mark = number.chars().find(|c| matches!(c, ',' | '.'))?;
    // The last mark is a decimal mark unless it is the same as the first.
    let (whole, decimals) =
        if number[last..].starts_with(mark) { (number, "") } else { (&number[..last], &number[last + 1..]) };
    let mut groups = whole.split(mark);
    let first = groups.next()?.trim_start_matches(['-', '+']);
    let digits = |s: &str| s.chars().all(|c| c.is_ascii_digit());
    let sound = (1..=3).contains(&first.len()) && digits(first) && groups.all(|g| g.len() == 3 && digits(g));
    let joined = whole.replace(mark, "");
    (sound && digits(decimals)).then(|| if decimals.is_empty() { joined } else { format!("{joined}.{decimals}") })
}

/// Joins `12 000` into `12000`; other blanks inside a number are refused.
fn join_thousands(number: &str) -> Option<String> {
    let mut groups = number.split(' ');
    let mut joined = groups.next()?.to_owned();
    for group in groups {
        let digits = group.split(['.', ',']).next().unwrap_or("");
        if digits.len() != 3 || !digits.chars().all(|c| c.is_ascii_digit()) || joined.contains(['.', ',']) {
            return None;
        }
        joined.push_str(group);
    }
    Some(joined)
}

fn finite(text: &str, value: f64) -> Result<f64, NumberError> {
    if value.is_finite() { Ok(value) } else { Err(NumberError::NotFinite(text.trim().to_owned())) }
}

/// Prints with at most `decimals` decimals, half away from zero, without trailing zeros beyond `keep`, and with thin
/// spacing of thousands from 10 000 on.
pub fn print_number(value: f64, decimals: usize, decimal_comma: bool) -> String {
    let scale = 10f64.powi(decimals.min(9) as i32);
    // A nudge of one part in 10^12 keeps 0.15 (stored as 0.1499…) from rounding down.
    let rounded = ((value * scale).abs() * (1.0 + 1e-12)).round() / scale;
    let negative = value < 0.0 && rounded > 0.0;
    let mut text = format!("{rounded:.decimals$}");
    let point = text.find('.').unwrap_or(text.len());
    if point >= 5 {
        let mut grouped = String::new();
        for (i, c) in text[..point].chars().enumerate() {
            if i > 0 && (point - i) % 3 == 0 {
                grouped.push('\u{a0}');
            }
            grouped.push(c);
        }
        grouped.push_str(&text[point..]);
        text = grouped;
    }
    if decimal_comma {
        text = text.replace('.', ",");
    }
    if negative { format!("−{text}") } else { text }
}

/// Prints a number as [`print_number`] does, without needless noughts: `2.5`, `2`.
pub fn print_short(value: f64, most_decimals: usize, decimal_comma: bool) -> String {
    let text = print_number(value, most_decimals, decimal_comma);
    if text.contains(['.', ',']) { text.trim_end_matches('0').trim_end_matches(['.', ',']).to_owned() } else { text }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_read_as_people_write_them() {
        for (text, expected) in [
            ("2.5", 2.5),
            ("2,5", 2.5),
            ("4/32", 0.125),
            ("1 1/2", 1.5),
            ("12 000", 12_000.0),
            ("12\u{202f}000,5", 12_000.5),
            ("−3", -3.0),
            ("0,125", 0.125),
            (" 36 ", 36.0),
            ("-1 1/2", -1.5),
            ("1½", 1.5),
            ("¾", 0.75),
            ("1-1/2", 1.5),
            ("1,234.5", 1234.5),
            ("1.234,5", 1234.5),
            ("1,234,567", 1_234_567.0),
        ] {
            assert_eq!(parse_number(text), Ok(expected), "{text}");
        }
    }

    #[test]
    fn what_is_no_number_says_what_was_found_and_the_way_out() {
        for (text, words) in [
            ("", "found nothing"),
            ("abc", "found \"abc\""),
            ("NaN", "finite"),
            ("inf", "finite"),
            ("1e999", "finite"),
            ("12,000", "two ways"),
            ("4/0", "denominator"),
            ("1.2.3", "1.2.3"),
            ("1 2", "1 2"),
            ("1,23,4", "1,23,4"),
            ("12.34.567", "12.34.567"),
            ("1/2/3", "1/2/3"),
        ] {
            let message = parse_number(text).expect_err(text).to_string();
            assert!(message.contains(words), "{text}: {message}");
        }
    }

    #[test]
    fn numbers_are_printed_rounded_half_up_and_grouped() {
        assert_eq!(print_number(0.15, 1, false), "0.2");
        assert_eq!(print_number(2.5, 1, true), "2,5");
        assert_eq!(print_number(12_345.6, 0, false), "12\u{a0}346");
        assert_eq!(print_number(-0.04, 1, false), "0.0");
        assert_eq!(print_number(-3.0, 0, false), "−3");
        assert_eq!(print_number(1234.0, 0, false), "1234");
        assert_eq!(print_short(2.50, 2, true), "2,5");
        assert_eq!(print_short(10.0, 2, false), "10");
        assert_eq!(print_short(100.0, 0, false), "100");
    }
}
