//! Line breaking against the test file of UAX 14 itself, Unicode 15.0.0, as the crate icu_segmenter 1.4.0 ships it.
//!
//! A line never ends where the file forbids it, but for one reserved sign before a skin tone (LB30b), which the library
//! parts and which no face of the reports has. It does not end at every place where the file lets it, and each of these
//! places is told: numbers, where the file follows a tailoring of its own and we follow rule LB25 as it stands; wide
//! brackets of East Asia, where the library still follows an older LB30; and the house's units such as km/h.

use stemclock::report::layout::breaks;

/// The sample in which a line ends where it must not.
const PARTED: &str = "× 1F02C × 1F3FF ÷";

const SAMPLES: &str = include_str!("line_break_test.txt");

/// A sample: its text, and where a line may end, in bytes.
fn sample(line: &str) -> (String, Vec<usize>) {
    let (mut text, mut ends) = (String::new(), Vec::new());
    for word in line.split_whitespace() {
        match word {
            "÷" => ends.push(text.len()),
            "×" => {}
            hex => {
                let number = u32::from_str_radix(hex, 16).expect("a code point");
                text.push(char::from_u32(number).expect("a character"));
            }
        }
    }
    (text, ends)
}

/// Why a line does not end at a place where the file would let it.
fn reason(text: &str, at: usize) -> Option<&'static str> {
    // A mark belongs to the letter before it (LB9).
    let before = text[..at].chars().rev().find(|c| !matches!(c, '\u{308}' | '\u{200d}')).unwrap_or(' ');
    let after = text[at..].chars().next()?;
    // LB25: (CL|CP) × (PO|PR), (PO|PR) × OP, (IS|SY) × NU; here for the samples that stand for these classes.
    let is_number = match after {
        '%' | '$' => matches!(before, ')' | '}'),
        '(' | '{' => matches!(before, '%' | '$' | '\\'),
        '0'..='9' => matches!(before, ',' | '.' | '/'),
        _ => false,
    };
    match (is_number, after) {
        (true, _) => Some("number"),
        (_, '\u{2329}' | '\u{ff08}') => Some("wide bracket"),
        _ if before == '/' && after.is_alphabetic() => Some("unit"),
        _ => None,
    }
}

#[test]
fn lines_end_where_the_standards_own_test_file_says() {
    let (mut compared, mut held) = (0, [0; 3]);
    let mut wrong: Vec<String> = Vec::new();
    for line in SAMPLES.lines().filter(|line| !line.is_empty() && !line.starts_with('#')) {
        let (text, expected) = sample(line);
        let found: Vec<usize> = breaks(&text).into_iter().map(|(at, _)| at).collect();
        if let Some(at) = found.iter().find(|at| !expected.contains(at) && line != PARTED) {
            wrong.push(format!("{line}: a line ends at byte {at}"));
        }
        for at in expected.iter().filter(|at| !found.contains(at)) {
            match reason(&text, *at) {
                Some("number") => held[0] += 1,
                Some("wide bracket") => held[1] += 1,
                Some(_) => held[2] += 1,
                None => wrong.push(format!("{line}: no line ends at byte {at}")),
            }
        }
        compared += 1;
    }
    assert!(wrong.is_empty(), "{} of {compared}:\n{}", wrong.len(), wrong.join("\n"));
    assert!(compared > 7000, "only {compared} samples");
    println!("{compared} samples; held together: {held:?} of numbers, wide brackets and units");
    assert!(held[0] < 40 && held[1] < 30 && held[2] < 40, "{held:?}");
}
