//! Reading what is moulded on a sidewall: a size in any of the three formats, with or without a service description.
//!
//! Alpha width letters: trade tables; P is indicative only.

use std::fmt;

use serde::{Deserialize, Serialize};

use super::{Construction, LoadIndex, SizeFormat, SpeedSymbol, TyreError, TyreSize};

/// A size with its service description, as moulded on the sidewall.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct TyreMarking {
    /// The size.
    pub size: TyreSize,
    /// The load index, where given.
    pub load_index: Option<LoadIndex>,
    /// The speed symbol, where given.
    pub speed_symbol: Option<SpeedSymbol>,
    /// Whether the description stands in brackets: above the symbol's speed with a maker's figure.
    pub bracketed: bool,
}

impl TyreMarking {
    /// Reads a size with or without a service description; spaces, case and dashes are forgiven.
    pub fn parse(text: &str) -> Result<Self, TyreError> {
        let form = || TyreError::Form(text.trim().chars().take(80).collect());
        let mut upper = text.trim().to_uppercase().replace(['–', '−', '—'], "-").replace(',', ".");
        let motorcycle_mark = upper.contains("M/C") || upper.split_whitespace().any(|word| word == "MC");
        upper = upper.replace("M/C", " ");
        let mut words: Vec<String> = Vec::new();
        for word in upper.split_whitespace() {
            // Words that stand beside a size and change none of its figures.
            if !matches!(word, "TL" | "TT" | "REINF" | "REINF." | "REINFORCED" | "RF" | "FRONT" | "REAR" | "MC" | "WW")
            {
                words.push(word.to_owned());
            }
        }
        let joined = words.join(" ");
        let mut cursor = Cursor { rest: &joined };
        let (mut size, old_symbol) = read_size(&mut cursor, text).ok_or_else(form)??;
        size.motorcycle_mark = motorcycle_mark;
        let (load_index, speed_symbol, bracketed) = read_service(cursor.rest).ok_or_else(form)??;
        check_range(&size, text)?;
        // The service description rules; a letter inside the size counts where it names no speed.
        Ok(Self { size, load_index, speed_symbol: speed_symbol.or(old_symbol), bracketed })
    }
}

/// Reads pieces off the front of a text.
struct Cursor<'a> {
    rest: &'a str,
}

impl Cursor<'_> {
    fn skip_blanks(&mut self) {
        self.rest = self.rest.trim_start();
    }
    fn number(&mut self) -> Option<(f64, String)> {
        self.skip_blanks();
        let end = self.rest.find(|c: char| !c.is_ascii_digit() && c != '.').unwrap_or(self.rest.len());
        let (digits, rest) = self.rest.split_at(end);
        if digits.is_empty() || digits.len() > 6 {
            return None;
        }
        let value: f64 = digits.parse().ok()?;
        self.rest = rest;
        Some((value, digits.to_owned()))
    }
    fn take(&mut self, token: &str) -> bool {
        self.skip_blanks();
        match self.rest.strip_prefix(token) {
            Some(rest) => {
                self.rest = rest;
                true
            }
            None => false,
        }
    }
    /// Takes a token where it stands.
    fn skip(&mut self, token: &str) {
        self.take(token);
    }
    /// The fraction of an inch after a whole one, as in `2 1/4-17`.
    fn fraction(&mut self) -> Option<f64> {
        let (numerator, rest) = self.rest.strip_prefix(' ')?.split_once('/')?;
        let end = rest.find(|c: char| !c.is_ascii_digit())?;
        let (numerator, denominator): (u32, u32) = (numerator.parse().ok()?, rest[..end].parse().ok()?);
        (numerator < denominator && matches!(denominator, 2 | 4 | 8 | 16)).then(|| {
            self.rest = &rest[end..];
            f64::from(numerator) / f64::from(denominator)
        })
    }
    /// The construction with an old-style speed letter before it, as in `ZR`, `VB`, `H-`, `S 18`.
    fn construction(&mut self) -> (Construction, bool, Option<SpeedSymbol>) {
        self.skip_blanks();
        // `120/70-ZR17` is as common as `120/70 ZR17`.
        if self.rest.strip_prefix('-').is_some_and(|r| r.trim_start().starts_with(|c: char| c.is_ascii_alphabetic())) {
            self.skip("-");
            self.skip_blanks();
        }
        let mut z_rated = false;
        let mut speed = None;
        if let Some(first) = self.rest.chars().next().filter(char::is_ascii_alphabetic) {
            let second = self.rest[1..].trim_start().chars().next();
            let stands_before_construction = matches!(second, Some('R' | 'B' | 'D' | '-'));
            let stands_before_rim = second.is_some_and(|c| c.is_ascii_digit()) && !matches!(first, 'R' | 'B' | 'D');
            if stands_before_construction || stands_before_rim {
                z_rated = first == 'Z';
                speed = SpeedSymbol::parse(&first.to_string()).ok().filter(|s| !s.is_open_ended());
                self.rest = &self.rest[1..];
            }
        }
        let construction = if self.take("R") {
            Construction::Radial
        } else if self.take("B") {
            Construction::BiasBelted
        } else {
            self.skip("D");
            Construction::Diagonal
        };
        self.skip("-");
        (construction, z_rated, speed)
    }
}

/// A size with the speed letter inside it, where one stood there.
type SizeResult = Option<Result<(TyreSize, Option<SpeedSymbol>), TyreError>>;

fn read_size(cursor: &mut Cursor<'_>, text: &str) -> SizeResult {
    if cursor.rest.starts_with('M') { read_alpha(cursor, text) } else { read_figures(cursor) }
}

/// Section widths of the alpha letters in mm (trade tables; P is indicative).
fn alpha_width(letter: char) -> Option<f64> {
    Some(match letter {
        'H' => 80.0,
        'J' => 90.0,
        'L' | 'M' => 100.0,
        'N' => 110.0,
        'P' | 'R' => 120.0,
        'T' => 130.0,
        'U' => 140.0,
        'V' => 150.0,
        _ => return None,
    })
}

fn read_alpha(cursor: &mut Cursor<'_>, text: &str) -> SizeResult {
    cursor.skip("M");
    cursor.skip_blanks();
    let letter = cursor.rest.chars().next().filter(char::is_ascii_alphabetic)?;
    cursor.rest = &cursor.rest[1..];
    let (aspect_percent, _) = cursor.number()?;
    let (construction, z_rated, symbol) = cursor.construction();
    let (rim_inch, _) = cursor.number()?;
    Some(match alpha_width(letter) {
        None => Err(TyreError::WidthLetter { found: letter, text: text.trim().chars().take(80).collect() }),
        Some(width_mm) => {
            let size = TyreSize {
                format: SizeFormat::Alpha,
                width_mm,
                aspect_percent,
                construction,
                rim_inch,
                z_rated,
                motorcycle_mark: false,
                width_text: letter.to_string(),
            };
            Ok((size, symbol))
        }
    })
}

fn read_figures(cursor: &mut Cursor<'_>) -> SizeResult {
    let (mut width, mut width_text) = cursor.number()?;
    if let Some(fraction) = cursor.fraction() {
        width += fraction;
        width_text = format!("{width:.2}");
    }
    let aspect = if cursor.take("/") { Some(cursor.number()?.0) } else { None };
    let inch = width < 20.0;
    if !inch && aspect.is_none() {
        return None;
    }
    let (construction, z_rated, symbol) = cursor.construction();
    let (rim_inch, _) = cursor.number()?;
    let size = TyreSize {
        format: if inch { SizeFormat::Inch } else { SizeFormat::Metric },
        width_mm: if inch { width * 25.4 } else { width },
        aspect_percent: aspect.unwrap_or(100.0),
        construction,
        rim_inch,
        z_rated,
        motorcycle_mark: false,
        width_text,
    };
    Some(Ok((size, symbol)))
}

type Service = (Option<LoadIndex>, Option<SpeedSymbol>, bool);

/// Reads `58W`, `(73W)`, `58 W`, `4PR`, or nothing.
fn read_service(rest: &str) -> Option<Result<Service, TyreError>> {
    let compact: String = rest.chars().filter(|c| !c.is_whitespace()).collect();
    if compact.is_empty() || compact.strip_suffix("PR").is_some_and(|n| n.parse::<u8>().is_ok()) {
        return Some(Ok((None, None, false)));
    }
    let bracketed = compact.starts_with('(') && compact.ends_with(')');
    let inner = compact.trim_start_matches('(').trim_end_matches(')');
    let digits = inner.find(|c: char| !c.is_ascii_digit()).unwrap_or(inner.len());
    let (index, symbol) = inner.split_at(digits);
    let symbol = if symbol.is_empty() { None } else { Some(SpeedSymbol::parse(symbol).ok()?) };
    if index.is_empty() {
        return symbol.map(|s| Ok((None, Some(s), bracketed)));
    }
    let index: u16 = index.parse().ok()?;
    Some(LoadIndex::new(index).map(|i| (Some(i), symbol, bracketed)).map_err(TyreError::from))
}

fn check_range(size: &TyreSize, text: &str) -> Result<(), TyreError> {
    let checks = [
        ("a section width in mm", size.width_mm, 40.0, 400.0),
        ("an aspect in per cent", size.aspect_percent, 25.0, 110.0),
        ("a rim code in inches", size.rim_inch, 4.0, 30.0),
    ];
    for (what, found, low, high) in checks {
        if !(low..=high).contains(&found) {
            return Err(TyreError::Range { what, low, high, found, text: text.trim().chars().take(80).collect() });
        }
    }
    Ok(())
}

impl fmt::Display for TyreMarking {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.size)?;
        let index = self.load_index.map(|i| i.get().to_string()).unwrap_or_default();
        let symbol = self.speed_symbol.map(|s| s.symbol()).unwrap_or_default();
        match (index.is_empty() && symbol.is_empty(), self.bracketed) {
            (true, _) => Ok(()),
            (false, true) => write!(f, " ({index}{symbol})"),
            (false, false) => write!(f, " {index}{symbol}"),
        }
    }
}
impl TryFrom<String> for TyreMarking {
    type Error = TyreError;
    fn try_from(text: String) -> Result<Self, TyreError> {
        Self::parse(&text)
    }
}
impl From<TyreMarking> for String {
    fn from(marking: TyreMarking) -> String {
        marking.to_string()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_three_formats_are_read_and_shown_in_normal_form() {
        for (text, normal) in [
            ("120/70 ZR17 M/C 58W", "120/70 ZR17 M/C 58W"),
            ("120/70zr17 58w", "120/70 ZR17 58W"),
            ("120/70-17", "120/70-17"),
            ("180/55 ZR 17 M/C (73W)", "180/55 ZR17 M/C (73W)"),
            ("mt90b16", "MT90B16"),
            ("MT90 B 16 M/C 74H", "MT90B16 M/C 74H"),
            ("3.25-19", "3.25-19"),
            ("3,50 - 18 56P", "3.50-18 56P"),
            ("2.75-17 47P TT", "2.75-17 47P"),
            ("110/80 R 17 54H", "110/80 R17 54H"),
            ("4.00-19 4PR", "4.00-19"),
            ("130/90B16", "130/90 B16"),
            ("120/70-ZR17 (58W)", "120/70 ZR17 (58W)"),
            ("180/55-R17 MC 73V", "180/55 R17 M/C 73V"),
            ("110/90H16", "110/90-16 H"),
            ("150/80VB16", "150/80 B16 V"),
            ("150/80VB16 71V", "150/80 B16 71V"),
            ("2 1/4-17 39J", "2.25-17 39J"),
        ] {
            assert_eq!(TyreMarking::parse(text).map(|m| m.to_string()), Ok(normal.to_owned()), "{text}");
            assert_eq!(TyreMarking::parse(normal).map(|m| m.to_string()), Ok(normal.to_owned()), "{normal} again");
        }
    }

    #[test]
    fn diameters_agree_with_the_formula_and_the_published_examples() {
        // The size formula, by hand; 245/55-18 = 726.7 mm is a published example.
        for (text, diameter) in [("120/70-17", 599.8), ("MT90-16", 640.4), ("130/90-16", 640.4), ("245/55-18", 726.7)] {
            let size = TyreSize::parse(text).expect(text);
            assert!((size.outer_diameter_mm() - diameter).abs() < 0.05, "{text}: {}", size.outer_diameter_mm());
        }
        let size = TyreSize::parse("120/70-17").expect("size");
        assert!((size.circumference_mm() - 1884.3).abs() < 0.1);
    }

    #[test]
    fn service_descriptions_are_read() {
        let marking = TyreMarking::parse("110/80 17 54H").expect("marking");
        assert_eq!(marking.load_index.map(LoadIndex::kg), Some(212.0));
        assert_eq!(marking.speed_symbol.map(SpeedSymbol::kmh), Some(210.0));
    }

    #[test]
    fn what_is_no_tyre_size_says_how_to_write_one() {
        for text in [
            "",
            "abc",
            "120",
            "120/70",
            "999/70-17",
            "120/70-99",
            "120/70 ZR17 5W",
            "MX90B16",
            "120/70 ZR17 101W",
            "NaN/70-17",
            "é/é",
        ] {
            assert!(TyreMarking::parse(text).is_err(), "{text}");
        }
        let message = TyreMarking::parse("120/70 ZR17 101W").expect_err("off the table").to_string();
        assert!(message.contains("10 to 100") && message.contains("101"), "{message}");
    }
}
