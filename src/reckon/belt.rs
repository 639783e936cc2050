//! `reckon belt`: deflection of a drive belt under a known force, at several wheel positions.

use chrono::NaiveDate;
use clap::Args;
use serde_json::json;

use super::entry::{above_zero, both};
use super::{Reckon, ReckonError, Reckoning};
use crate::units::{Force, Length};

/// The force that two makers push with: 10 lbf.
const USUAL_FORCE_LBF: f64 = 10.0;

/// The entries of the belt calculator.
#[derive(Clone, Debug, Args)]
pub struct Belt {
    /// The force on the middle of the lower run, at right angles to it
    #[arg(long, value_name = "FORCE", default_value = "10 lbf", allow_hyphen_values = true)]
    pub force: Force,
    /// The least deflection that the manual allows
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub min: Option<Length>,
    /// The greatest deflection that the manual allows
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub max: Option<Length>,
    /// Deflections, one for each wheel position, as in "8 mm" "7 mm"
    #[arg(value_name = "DEFLECTION", required = true)]
    pub deflections: Vec<Length>,
}

impl Reckon for Belt {
    const ID: &'static str = "belt";
    const ABOUT: &'static str = "Drive belt: deflection under a force, at several wheel positions";
    const EXAMPLE: &'static str = "belt --min \"6.3 mm\" --max \"9.5 mm\" \"8 mm\" \"7.5 mm\" \"8 mm\" \"8.5 mm\"";

    fn reckon(&self, _today: NaiveDate) -> Result<Reckoning, ReckonError> {
        let force = above_zero("a force", self.force)?;
        let mut least: Option<Length> = None;
        let mut greatest: Option<Length> = None;
        for deflection in &self.deflections {
            above_zero("a deflection", *deflection)?;
            least = Some(least.map_or(*deflection, |l| if *deflection < l { *deflection } else { l }));
            greatest = Some(greatest.map_or(*deflection, |g| if *deflection > g { *deflection } else { g }));
        }
        let (Some(least), Some(greatest)) = (least, greatest) else {
            return Err(ReckonError::expected(
                "a deflection",
                "none",
                "write one for each wheel position, as in \"8 mm\"",
            ));
        };
        if let (Some(min), Some(max)) = (self.min, self.max)
            && min > max
        {
            return Err(ReckonError::expected(
                "a least deflection below the greatest",
                format!("{min} and {max}"),
                "are the two swapped?",
            ));
        }
        // The tightest place decides, for there the belt and the bearings carry most.
        let too_tight = self.min.is_some_and(|min| least < min);
        let too_loose = self.max.is_some_and(|max| least > max);
        let count = self.deflections.len();
        let mut answer = Reckoning::new(
            "Belt deflection",
            json!({
                "force_n": force,
                "positions": count,
                "least_mm": least.as_mm(),
                "greatest_mm": greatest.as_mm(),
                "spread_mm": greatest.as_mm() - least.as_mm(),
                "min_mm": self.min.map(Length::as_mm),
                "max_mm": self.max.map(Length::as_mm),
                "too_tight": too_tight,
                "too_loose": too_loose,
            }),
        );
        answer.line(format!(
            "{} at the tightest of {count} wheel position{}, which counts; {} at the loosest, under {}.",
            both(least),
            if count == 1 { "" } else { "s" },
            both(greatest),
            both(self.force)
        ));
        answer.line(match (too_tight, too_loose, self.min.is_some() || self.max.is_some()) {
            (true, ..) => "Too tight by the figures given.",
            (_, true, _) => "Too loose by the figures given.",
            (_, _, true) => "Within the figures given.",
            _ => "The range belongs to the machine: look it up, and give it with --min and --max.",
        });
        answer.formula("the least deflection counts; no other reckoning is done");
        answer.source("two makers' method: 10 lbf (4.5 kgf) in the middle of the lower run, repeated every quarter turn of the wheel");
        if (self.force.as_newtons() - Force::parse("10 lbf", None).map_or(force, Force::as_newtons)).abs() > 0.5 {
            answer.caution(format!(
                "The usual force is {USUAL_FORCE_LBF} lbf; a deflection under another force is not compared with a range for that one."
            ));
        }
        if count < 4 {
            answer.caution(
                "Fewer than four wheel positions: turn the wheel a quarter each time, and go round the whole belt.",
            );
        }
        answer.caution(
            "Deflection is read in the stance and with the load that the manual names; in another it is no reading.",
        );
        Ok(answer)
    }
}
