//! A part that wears towards a figure of its own: a disc that thins, a drum that widens.

use super::proof::margin;
use super::{Case, Judgement, Outcome, Source};
use crate::inspection::{CheckRef, Severity};
use crate::units::Length;

/// A part that wears towards a figure of its own: at the figure major, beyond it dangerous.
pub(super) struct Worn<'a> {
    /// The rule that judges.
    pub rule: &'static str,
    /// The field that was read.
    pub field: &'a str,
    /// What it is.
    pub part: &'a str,
    /// Its figure with its source, where known.
    pub limit: Option<(Length, Source)>,
    /// Whether the figure is the least allowed, else the greatest.
    pub least: bool,
    /// Where to look for the figure.
    pub way_out: &'a str,
}

impl Worn<'_> {
    /// Judges what was read.
    pub(super) fn judge(self, case: &Case<'_>, check: &CheckRef, read: Length) -> Judgement {
        let (shown, part) = (case.units.show_depth(read), self.part);
        let new = |outcome, sentence: String| {
            Judgement::new(self.rule, check, outcome, sentence).of(self.field).read(shown.as_str())
        };
        if read.as_mm() <= 0.0 {
            return new(
                Outcome::Refused,
                format!("Expected a figure above zero for the {part}, found {shown}: measure it again."),
            );
        }
        let Some((limit, source)) = self.limit else {
            let which = if self.least { "least thickness" } else { "greatest diameter" };
            return new(
                Outcome::Noted,
                format!(
                    "{shown} cannot be judged: the {which} of this {part} is not known, and no standard gives one. {}",
                    self.way_out
                ),
            );
        };
        let edge = case.units.show_depth(limit);
        let (beyond, word) = if self.least { (read < limit, "least") } else { (read > limit, "greatest") };
        let (outcome, sentence) = if beyond {
            (
                Outcome::Fault(Severity::Dangerous),
                format!(
                    "{shown} is beyond the {word} figure of this {part}, {edge}: dangerous. Renew it before it is ridden."
                ),
            )
        } else if read == limit {
            (
                Outcome::Fault(Severity::Major),
                format!("{shown}: the {part} has reached its {word} figure: major. Renew it."),
            )
        } else {
            (Outcome::Sound, format!("{shown} is within the {word} figure of this {part}, {edge}."))
        };
        let bound = if self.least { "more than" } else { "less than" };
        new(outcome, sentence)
            .against(format!("{bound} {edge}"), source)
            .with_margin(margin(case, read, limit))
            .graded(case.directive("1.1.14"))
    }
}
