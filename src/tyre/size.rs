//! Tyre sizes in the three formats of the trade, with what can be computed from them. Reading one is the work of
//! [`TyreMarking`].
//!
//! Outer diameter = rim × 25.4 + 2 × width × aspect / 100. The aspect of inch sizes (taken as 100 %) is indicative
//! only.

use std::f64::consts::PI;
use std::fmt;

use thiserror::Error;

use super::TyreMarking;

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
    pub(super) width_text: String,
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
