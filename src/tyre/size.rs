//! Tyre sizes in the three formats of the trade, with what can be computed from them.
//!
//! Outer diameter = rim × 25.4 + 2 × width × aspect / 100. Alpha width letters: trade tables; P and the aspect of
//! inch sizes (taken as 100 %) are indicative only.

use std::f64::consts::PI;
use std::fmt;

use serde::{Deserialize, Serialize};
use thiserror::Error;

use super::{LoadIndex, SpeedSymbol};

/// How the size was written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SizeFormat {
    /// `120/70 ZR17`.
    Metric,
    /// `MT90B16`.
    Alpha,
    /// `3.25-19`.
    Inch,
}

/// How the carcass is built.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Construction {
    /// R.
    Radial,
    /// B.
    BiasBelted,
    /// D or a dash.
    Diagonal,
}

/// Why a text is not a tyre marking.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum TyreError {
    /// Not one of the three formats.
    #[error(
        "expected a tyre size such as 120/70 ZR17 M/C 58W, MT90B16 or 3.25-19, found \"{0}\": copy it from the sidewall"
    )]
    Form(String),
    /// A figure far outside what is made for motorcycles.
    #[error("expected {what} from {low} to {high}, found {found} in \"{text}\": read the sidewall again")]
    Range {
        /// Which figure.
        what: &'static str,
        /// Least.
        low: f64,
        /// Greatest.
        high: f64,
        /// What was found.
        found: f64,
        /// The whole text.
        text: String,
    },
    /// A load index off the table.
    #[error(transparent)]
    LoadIndex(#[from] super::LoadIndexError),
    /// An alpha code whose width letter is not known.
    #[error(
        "expected a width letter H, J, L, M, N, P, R, T, U or V after the M, found \"{found}\" in \"{text}\": read the sidewall again"
    )]
    WidthLetter {
        /// The letter.
        found: char,
        /// The whole text.
        text: String,
    },
}

/// A tyre size in its normal form. Stored and printed as text.
#[derive(Clone, Debug, PartialEq)]
pub struct TyreSize {
    /// How it was written.
    pub format: SizeFormat,
    /// Section width in mm (nominal).
    pub width_mm: f64,
    /// Height of the section in per cent of the width.
    pub aspect_percent: f64,
    /// How the carcass is built.
    pub construction: Construction,
    /// Rim code in inches.
    pub rim_inch: f64,
    /// Whether the size carries ZR (over 240 km/h).
    pub z_rated: bool,
    /// Whether M/C stands in it.
    pub motorcycle_mark: bool,
    /// The width letter of an alpha code, or the inch width.
    width_text: String,
}

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

impl TyreSize {
    /// Outer diameter in mm.
    pub fn outer_diameter_mm(&self) -> f64 {
        self.rim_diameter_mm() + 2.0 * self.section_height_mm()
    }
    /// Height of the section in mm.
    pub fn section_height_mm(&self) -> f64 {
        self.width_mm * self.aspect_percent / 100.0
    }
    /// Circumference along the crown in mm.
    pub fn circumference_mm(&self) -> f64 {
        PI * self.outer_diameter_mm()
    }
    /// Nominal rim diameter: rim code × 25.4 mm.
    pub fn rim_diameter_mm(&self) -> f64 {
        self.rim_inch * 25.4
    }
    /// Turns in one kilometre by the nominal circumference.
    pub fn revolutions_per_km(&self) -> f64 {
        1_000_000.0 / self.circumference_mm()
    }
    /// Reads a size alone.
    pub fn parse(text: &str) -> Result<Self, TyreError> {
        Ok(TyreMarking::parse(text)?.size)
    }
}

impl TyreMarking {
    /// Reads a size with or without a service description; spaces, case and dashes are forgiven.
    pub fn parse(text: &str) -> Result<Self, TyreError> {
        let form = || TyreError::Form(text.trim().chars().take(80).collect());
        let mut upper = text.trim().to_uppercase().replace(['–', '−', '—'], "-").replace(',', ".");
        let motorcycle_mark = upper.contains("M/C");
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
        let mut size = read_size(&mut cursor, text).ok_or_else(form)??;
        size.motorcycle_mark = motorcycle_mark;
        let (load_index, speed_symbol, bracketed) = read_service(cursor.rest).ok_or_else(form)??;
        check_range(&size, text)?;
        Ok(Self { size, load_index, speed_symbol, bracketed })
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
    /// The construction with an old-style speed letter before it, as in `ZR`, `VB`, `H-`, `S 18`.
    fn construction(&mut self) -> (Construction, bool, Option<SpeedSymbol>) {
        self.skip_blanks();
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
            let _ = self.take("D");
            Construction::Diagonal
        };
        let _ = self.take("-");
        (construction, z_rated, speed)
    }
}

type SizeResult = Option<Result<TyreSize, TyreError>>;

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
    let _ = cursor.take("M");
    cursor.skip_blanks();
    let letter = cursor.rest.chars().next().filter(char::is_ascii_alphabetic)?;
    cursor.rest = &cursor.rest[1..];
    let (aspect_percent, _) = cursor.number()?;
    let (construction, z_rated, _) = cursor.construction();
    let (rim_inch, _) = cursor.number()?;
    Some(match alpha_width(letter) {
        None => Err(TyreError::WidthLetter { found: letter, text: text.trim().chars().take(80).collect() }),
        Some(width_mm) => Ok(TyreSize {
            format: SizeFormat::Alpha,
            width_mm,
            aspect_percent,
            construction,
            rim_inch,
            z_rated,
            motorcycle_mark: false,
            width_text: letter.to_string(),
        }),
    })
}

fn read_figures(cursor: &mut Cursor<'_>) -> SizeResult {
    let (width, width_text) = cursor.number()?;
    let aspect = if cursor.take("/") { Some(cursor.number()?.0) } else { None };
    let inch = width < 20.0;
    if !inch && aspect.is_none() {
        return None;
    }
    let (construction, z_rated, _) = cursor.construction();
    let (rim_inch, _) = cursor.number()?;
    Some(Ok(TyreSize {
        format: if inch { SizeFormat::Inch } else { SizeFormat::Metric },
        width_mm: if inch { width * 25.4 } else { width },
        aspect_percent: aspect.unwrap_or(100.0),
        construction,
        rim_inch,
        z_rated,
        motorcycle_mark: false,
        width_text,
    }))
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

impl fmt::Display for TyreSize {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let letter = match (self.construction, self.format) {
            (Construction::Radial, _) => "R",
            (Construction::BiasBelted, _) => "B",
            (Construction::Diagonal, _) => "-",
        };
        let z = if self.z_rated { "Z" } else { "" };
        match self.format {
            SizeFormat::Metric => {
                let gap = if letter == "-" { "" } else { " " };
                write!(f, "{}/{}{gap}{z}{letter}{}", self.width_text, self.aspect_percent, self.rim_inch)?;
            }
            SizeFormat::Alpha => write!(f, "M{}{}{z}{letter}{}", self.width_text, self.aspect_percent, self.rim_inch)?,
            SizeFormat::Inch if self.aspect_percent == 100.0 => {
                write!(f, "{}{z}{letter}{}", self.width_text, self.rim_inch)?
            }
            SizeFormat::Inch => write!(f, "{}/{}{z}{letter}{}", self.width_text, self.aspect_percent, self.rim_inch)?,
        }
        if self.motorcycle_mark { f.write_str(" M/C") } else { Ok(()) }
    }
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
        ] {
            assert_eq!(TyreMarking::parse(text).map(|m| m.to_string()), Ok(normal.to_owned()), "{text}");
        }
    }

    #[test]
    fn diameters_agree_with_the_formula_and_the_published_examples() {
        // Check values 3.5 and 3.7 of the trade facts; 245/55-18 = 726.7 mm is a published example.
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
