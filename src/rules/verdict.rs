//! The verdict: what the findings and the open checks come to (house rule 2), and the sentence that says so.

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use super::Case;
use super::assess::{CheckResult, Status};
use super::proof::capital;
use crate::catalogue::Kind;
use crate::clock::Side;
use crate::garage::Bay;
use crate::history::planted;
use crate::inspection::{CheckRef, Finding, FindingId, InspectionId, Place, Severity, clock_words};
use crate::units::day;

/// The five decisions, in the order in which the first that applies counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Decision {
    /// A dangerous finding is open.
    DoNotRide,
    /// A major finding is open.
    NotFitUntilRepaired,
    /// A required check is open.
    NotYetDecided,
    /// Only minor findings are open.
    FitWithMinorDefects,
    /// Nothing is open.
    FitToRide,
}

impl Decision {
    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Self::DoNotRide => "do not ride",
            Self::NotFitUntilRepaired => "not fit until repaired",
            Self::NotYetDecided => "not yet decided",
            Self::FitWithMinorDefects => "fit with minor defects",
            Self::FitToRide => "fit to ride",
        }
    }
    /// As scripts and tables read it: `do-not-ride`.
    pub fn id(self) -> &'static str {
        match self {
            Self::DoNotRide => "do-not-ride",
            Self::NotFitUntilRepaired => "not-fit-until-repaired",
            Self::NotYetDecided => "not-yet-decided",
            Self::FitWithMinorDefects => "fit-with-minor-defects",
            Self::FitToRide => "fit-to-ride",
        }
    }
    /// The decision by the worst open finding and the number of required checks that are open.
    pub fn from(worst: Option<Severity>, required_open: usize) -> Self {
        match worst {
            Some(Severity::Dangerous) => Self::DoNotRide,
            Some(Severity::Major) => Self::NotFitUntilRepaired,
            _ if required_open > 0 => Self::NotYetDecided,
            Some(Severity::Minor) => Self::FitWithMinorDefects,
            None => Self::FitToRide,
        }
    }
}

/// One thing that speaks against riding.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Because {
    /// Its class after any overruling.
    pub severity: Severity,
    /// The check.
    #[serde(serialize_with = "check_text")]
    pub check: CheckRef,
    /// The finding, if it is one that was recorded (else a reading).
    pub finding: Option<FindingId>,
    /// The rule that judged the reading, where it is one.
    pub rule: Option<&'static str>,
    /// The inspection it comes from.
    pub inspection: InspectionId,
    /// The sentence.
    pub words: String,
}

fn check_text<S: serde::Serializer>(check: &CheckRef, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.collect_str(check)
}

impl Because {
    /// A reason from a finding.
    pub(super) fn finding(case: &Case<'_>, result: &CheckResult, finding: &Finding, severity: Severity) -> Self {
        Self {
            severity,
            check: finding.check.clone(),
            finding: Some(finding.id.clone()),
            rule: None,
            inspection: case.inspection.id.clone(),
            words: finding_words(case, finding, &result.title),
        }
    }
}

/// A finding in words, where and what: `Front wheel, 4:30 from the right: cut`.
pub(super) fn finding_words(case: &Case<'_>, finding: &Finding, title: &str) -> String {
    format!("{}: {}", place(finding, title), case.catalogue.fault_words(finding))
}

/// Where a finding is, so that two alike are told apart: `Front wheel, 4:30 from the right`; else the check's title,
/// with the part in the finder's words where the title does not name it already.
fn place(finding: &Finding, title: &str) -> String {
    match &finding.place {
        Place::Wheel { position, spot: Some(spot), .. } => {
            format!("{} wheel, {}", capital(position.word()), clock_words(*spot, Side::Right))
        }
        Place::Part { part, .. } if !title.to_lowercase().contains(&part.trim().to_lowercase()) => {
            format!("{title}, {}", part.trim())
        }
        Place::Wheel { .. } | Place::Part { .. } => title.to_owned(),
    }
}

/// What an inspection comes to.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Verdict {
    /// The decision.
    pub decision: Decision,
    /// What makes it so, worst first.
    pub because: Vec<Because>,
    /// Required checks that are open.
    #[serde(serialize_with = "checks_text")]
    pub required_open: Vec<CheckRef>,
    /// Checks that work since has disturbed and nobody has looked at again.
    #[serde(serialize_with = "checks_text")]
    pub asked_again: Vec<CheckRef>,
    /// How many findings that were open when it began nobody has looked at again.
    pub carried_open: usize,
    /// The last second look after work that followed it: its day and how many checks it looked at.
    pub second_look: Option<(NaiveDate, usize)>,
    /// How many checks were looked at.
    pub looked_at: usize,
    /// How many were asked.
    pub asked: usize,
    /// The kind as the verdict names it: `a season-opening inspection`.
    pub kind: String,
    /// The day of the inspection.
    pub date: NaiveDate,
    /// Why an earlier verdict no longer holds, if it does not.
    pub lapsed: Option<String>,
    /// What was planted for a class and is still on the machine; while there is any, it is not ridden.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub planted: Vec<String>,
    /// What of the garage's own, in the place of what is built in, it was judged by, each with its file.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub changed: Vec<String>,
}

fn checks_text<S: serde::Serializer>(checks: &[CheckRef], serializer: S) -> Result<S::Ok, S::Error> {
    serializer.collect_seq(checks.iter().map(ToString::to_string))
}

impl Verdict {
    pub(super) fn of_inspection(case: &Case<'_>, kind: &Kind, results: &[CheckResult], because: Vec<Because>) -> Self {
        let required_open: Vec<CheckRef> =
            results.iter().filter(|r| r.required && r.status.is_open()).map(|r| r.check.clone()).collect();
        let asked: Vec<&CheckResult> = results.iter().filter(|r| r.status != Status::NotApplicable).collect();
        let carried_open = case.inspection.carried.values().filter(|r| r.seen.is_open()).count();
        Self {
            decision: Decision::from(because.first().map(|b| b.severity), required_open.len() + carried_open),
            because,
            asked_again: Vec::new(),
            carried_open,
            second_look: None,
            looked_at: asked.iter().filter(|r| !r.status.is_open()).count(),
            asked: asked.len(),
            required_open,
            kind: kind.shown(),
            date: case.inspection.date,
            lapsed: None,
            planted: Vec::new(),
            changed: case.changed(),
        }
    }
    /// The verdict of a machine that nobody has gone over and that carries planted defects.
    pub fn of_planted(planted: Vec<String>, date: NaiveDate) -> Self {
        Self {
            decision: Decision::DoNotRide,
            because: Vec::new(),
            required_open: Vec::new(),
            asked_again: Vec::new(),
            carried_open: 0,
            second_look: None,
            looked_at: 0,
            asked: 0,
            kind: String::new(),
            date,
            lapsed: None,
            planted,
            changed: Vec::new(),
        }
    }
    /// What the machine reads today because of planted defects, whatever else it comes to: "On 4 October 2026 the
    /// machine reads: Do not ride, class exercise: 2 planted defects are still in." None where none is in. It says
    /// nothing of where they are.
    pub fn planted_today(bay: &Bay, today: NaiveDate) -> Option<String> {
        let planted: Vec<String> = planted(bay, today).iter().map(|p| p.what.to_owned()).collect();
        let verdict = (!planted.is_empty()).then(|| Self::of_planted(planted, today))?;
        Some(format!("On {} the machine reads: {}", day::words(today), verdict.sentence()))
    }
    /// The decision in words: `fit to ride`; with planted defects `do not ride, class exercise`.
    pub fn words(&self) -> String {
        let class = if self.planted.is_empty() { "" } else { ", class exercise" };
        format!("{}{class}", self.decision.words())
    }
    /// How many checks stand between the machine and a decision: required ones that are open, those that work has
    /// disturbed, and open findings that nobody has looked at again.
    pub fn open_checks(&self) -> usize {
        self.required_open.len() + self.asked_again.len() + self.carried_open
    }
    /// How many findings of a class speak against riding.
    pub fn count(&self, severity: Severity) -> usize {
        self.because.iter().filter(|b| b.severity == severity).count()
    }
    /// Which inspection it stands on, and how much was looked at.
    fn add_inspection(&self, text: &mut String) {
        text.push_str(&format!(", on {} of {}", self.kind, count(self.asked, "check")));
        if self.looked_at < self.asked {
            text.push_str(&format!(" ({} looked at)", self.looked_at));
        }
        text.push_str(&format!(", {}", day::words(self.date)));
        if let Some((day, looked_at)) = self.second_look {
            let day = day::words(day);
            text.push_str(&format!(", with a second look after work at {} on {day}", count(looked_at, "check")));
        }
    }
    /// The verdict as a sentence that names its kind, its day and how much was looked at (house rule 5): "Not yet
    /// decided, on a before-ride look of 11 checks (9 looked at), 3 May 2026: 2 required checks are open; 1 minor
    /// finding."
    pub fn sentence(&self) -> String {
        let mut text = capital(&self.words());
        // Of a machine that nobody has gone over only what was planted is known.
        if !self.kind.is_empty() {
            self.add_inspection(&mut text);
        }
        let mut because: Vec<String> = Vec::new();
        match self.planted.len() {
            0 => {}
            1 => because.push("1 planted defect is still in".into()),
            n => because.push(format!("{n} planted defects are still in")),
        }
        because.extend(self.lapsed.iter().cloned());
        let open = self.required_open.len();
        if self.decision == Decision::NotYetDecided && open > 0 {
            because.push(format!("{} {} open", count(open, "required check"), if open == 1 { "is" } else { "are" }));
        }
        let verb = |n: usize| if n == 1 { "is" } else { "are" };
        if self.decision == Decision::NotYetDecided && self.carried_open > 0 {
            let n = self.carried_open;
            because.push(format!("{} {} not looked at again", count(n, "open finding"), verb(n)));
        }
        if self.decision == Decision::NotYetDecided && !self.asked_again.is_empty() {
            let n = self.asked_again.len();
            because.push(format!("{} {} asked again after work", count(n, "check"), verb(n)));
        }
        let classes: Vec<String> = Severity::ALL
            .iter()
            .rev()
            .map(|&s| (self.count(s), s))
            .filter(|(n, _)| *n > 0)
            .map(|(n, s)| format!("{n} {}", s.word()))
            .collect();
        if !classes.is_empty() {
            let total = self.because.len();
            because.push(format!("{} finding{}", classes.join(", "), if total == 1 { "" } else { "s" }));
        }
        if !self.changed.is_empty() {
            because.push(format!("judged by {}", self.changed.join(" and ")));
        }
        if !because.is_empty() {
            text.push_str(&format!(": {}", because.join("; ")));
        }
        text.push('.');
        text
    }
}

/// `1 check`, `11 checks`.
pub(super) fn count(n: usize, noun: &str) -> String {
    format!("{n} {noun}{}", if n == 1 { "" } else { "s" })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_first_rule_that_applies_decides() {
        // house rule 2.
        use Severity::{Dangerous, Major, Minor};
        for (worst, open, decision) in [
            (Some(Dangerous), 9, Decision::DoNotRide),
            (Some(Major), 9, Decision::NotFitUntilRepaired),
            (Some(Minor), 1, Decision::NotYetDecided),
            (None, 1, Decision::NotYetDecided),
            (Some(Minor), 0, Decision::FitWithMinorDefects),
            (None, 0, Decision::FitToRide),
        ] {
            assert_eq!(Decision::from(worst, open), decision);
        }
    }

    #[test]
    fn the_sentence_names_kind_day_and_how_much_was_looked_at() {
        let verdict = Verdict {
            decision: Decision::NotYetDecided,
            because: Vec::new(),
            required_open: vec![CheckRef::new("horn", crate::inspection::Subject::Machine)],
            asked_again: Vec::new(),
            carried_open: 0,
            second_look: None,
            looked_at: 10,
            asked: 11,
            kind: "a before-ride look".into(),
            date: "2026-05-03".parse().expect("a day"),
            lapsed: None,
            planted: Vec::new(),
            changed: Vec::new(),
        };
        assert_eq!(
            verdict.sentence(),
            "Not yet decided, on a before-ride look of 11 checks (10 looked at), 3 May 2026: 1 required check is open."
        );
        let fit = Verdict { decision: Decision::FitToRide, required_open: Vec::new(), looked_at: 11, ..verdict };
        assert_eq!(fit.sentence(), "Fit to ride, on a before-ride look of 11 checks, 3 May 2026.");
        let planted = Verdict { decision: Decision::DoNotRide, planted: vec!["a nail".into(), "a fuse".into()], ..fit };
        assert_eq!(
            planted.sentence(),
            "Do not ride, class exercise, on a before-ride look of 11 checks, 3 May 2026: 2 planted defects are still in."
        );
        let never = Verdict::of_planted(vec!["a nail".into()], planted.date);
        assert_eq!(never.sentence(), "Do not ride, class exercise: 1 planted defect is still in.");
    }
}
