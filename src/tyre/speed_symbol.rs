//! Speed symbol to speed (UN R75 and R30 series; trade tables that agree).

use std::fmt;

use serde::{Deserialize, Serialize};
use thiserror::Error;

/// A speed symbol, upper case: `A1` to `A8`, `B` to `Y`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct SpeedSymbol(usize);

/// A symbol that is not in use.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
#[error("expected a speed symbol such as H, V or W, found \"{0}\": read the letter after the load index, as in 58W")]
pub struct SpeedSymbolError(pub String);

/// Symbol and km/h. H stands out of alphabetical order.
const TABLE: [(&str, f64); 30] = [
    ("A1", 5.0),
    ("A2", 10.0),
    ("A3", 15.0),
    ("A4", 20.0),
    ("A5", 25.0),
    ("A6", 30.0),
    ("A7", 35.0),
    ("A8", 40.0),
    ("B", 50.0),
    ("C", 60.0),
    ("D", 65.0),
    ("E", 70.0),
    ("F", 80.0),
    ("G", 90.0),
    ("J", 100.0),
    ("K", 110.0),
    ("L", 120.0),
    ("M", 130.0),
    ("N", 140.0),
    ("P", 150.0),
    ("Q", 160.0),
    ("R", 170.0),
    ("S", 180.0),
    ("T", 190.0),
    ("U", 200.0),
    ("H", 210.0),
    ("V", 240.0),
    ("W", 270.0),
    ("Y", 300.0),
    ("Z", 240.0),
];

impl SpeedSymbol {
    /// Reads a symbol, case forgiven.
    pub fn parse(text: &str) -> Result<Self, SpeedSymbolError> {
        let upper = text.trim().to_ascii_uppercase();
        TABLE
            .iter()
            .position(|(symbol, _)| *symbol == upper)
            .map(Self)
            .ok_or_else(|| SpeedSymbolError(text.trim().to_owned()))
    }
    /// The greatest speed in km/h; for Z the figure above which it stands, see [`Self::is_open_ended`].
    pub fn kmh(self) -> f64 {
        TABLE[self.0.min(TABLE.len() - 1)].1
    }
    /// Whether the symbol says "over 240 km/h" with no upper figure (Z).
    pub fn is_open_ended(self) -> bool {
        self.symbol() == "Z"
    }
    /// The symbol.
    pub fn symbol(self) -> &'static str {
        TABLE[self.0.min(TABLE.len() - 1)].0
    }
}

impl fmt::Display for SpeedSymbol {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.symbol())
    }
}
impl TryFrom<String> for SpeedSymbol {
    type Error = SpeedSymbolError;
    fn try_from(text: String) -> Result<Self, SpeedSymbolError> {
        Self::parse(&text)
    }
}
impl From<SpeedSymbol> for String {
    fn from(symbol: SpeedSymbol) -> String {
        symbol.symbol().to_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn speeds_agree_with_the_published_table() {
        // Published tyre tables that agree.
        for (symbol, kmh) in
            [("H", 210.0), ("w", 270.0), ("V", 240.0), ("P", 150.0), ("B", 50.0), ("A8", 40.0), ("Y", 300.0)]
        {
            assert_eq!(SpeedSymbol::parse(symbol).map(SpeedSymbol::kmh), Ok(kmh), "{symbol}");
        }
        assert!(SpeedSymbol::parse("I").is_err() && SpeedSymbol::parse("").is_err());
    }
}
