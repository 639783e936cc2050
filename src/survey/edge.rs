//! What a limit asks of the readings of a survey.

/// What a limit asks of the readings.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Edge {
    /// No reading below it.
    Least,
    /// No reading above it.
    Most,
    /// Greatest less least reading not above it.
    Swing,
}

impl Edge {
    /// With its figure in words, as it stands beside a line of a drawing.
    pub fn words(self, shown: &str) -> String {
        match self {
            Self::Least => format!("at least {shown}"),
            Self::Most => format!("at most {shown}"),
            Self::Swing => format!("total at most {shown}"),
        }
    }
    /// The numbers at which its lines are drawn: a swing takes half of it to each side of the readings' middle.
    pub fn lines(self, limit: f64, middle: f64) -> Vec<f64> {
        match self {
            Self::Least | Self::Most => vec![limit],
            Self::Swing => vec![middle - limit / 2.0, middle + limit / 2.0],
        }
    }
}
