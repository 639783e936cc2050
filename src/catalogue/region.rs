//! Regions and their rules as data, each rule with its citation and its dates in force.

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use super::Origin;
use crate::machine::{Category, Machine};
use crate::units::{Length, Speed, day};

/// Where round and across a tyre a law wants its depth.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub enum TreadGeometry {
    /// All round, over a continuous band of at least this per cent of the breadth, anywhere across it.
    ContinuousBand(f64),
    /// In the main grooves: the wide grooves within the middle per cent of the breadth, all round.
    MainGrooves(f64),
    /// The thinnest point of any groove.
    ThinnestGroove,
    /// At four points spread evenly round; this many of them may be below.
    FourPoints {
        /// How many of the four may be below.
        may_be_below: u32,
    },
}

/// Whether a rule with these first and last days is in force on a day. A day that is not known is no bound.
pub fn in_force(from: Option<NaiveDate>, until: Option<NaiveDate>, on: NaiveDate) -> bool {
    from.is_none_or(|d| d <= on) && until.is_none_or(|d| on <= d)
}

/// The first and last day of a rule as a phrase: `in force since 5 May 2012`; empty where neither is known.
pub fn force_words(from: Option<NaiveDate>, until: Option<NaiveDate>) -> String {
    match (from, until) {
        (Some(from), Some(until)) => format!("in force from {} to {}", day::words(from), day::words(until)),
        (Some(from), None) => format!("in force since {}", day::words(from)),
        (None, Some(until)) => format!("in force until {}", day::words(until)),
        (None, None) => String::new(),
    }
}

/// A tread rule of a region.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TreadLaw {
    /// Which categories it is about; empty for all.
    #[serde(default)]
    pub categories: Vec<Category>,
    /// Only machines above this capacity in cm³.
    #[serde(default)]
    pub above_cc: Option<u32>,
    /// Only machines up to this capacity in cm³.
    #[serde(default)]
    pub up_to_cc: Option<u32>,
    /// The least depth.
    pub minimum: Length,
    /// Where it is wanted.
    pub geometry: TreadGeometry,
    /// Whether it binds an owner in service here; else it is shown for comparison.
    pub binds: bool,
    /// The document.
    pub citation: String,
    /// What else a reader should know.
    #[serde(default)]
    pub remark: String,
    /// First day in force, where it is known.
    #[serde(default)]
    pub from: Option<NaiveDate>,
    /// Last day in force.
    #[serde(default)]
    pub until: Option<NaiveDate>,
}

impl TreadLaw {
    /// Whether it is about a machine on a day. A capacity rule is about machines whose capacity is known.
    pub fn is_about(&self, machine: &Machine, on: NaiveDate) -> bool {
        self.is_for(machine) && in_force(self.from, self.until, on)
    }
    /// Whether it is about a machine on any day.
    pub fn is_for(&self, machine: &Machine) -> bool {
        let category = self.categories.is_empty() || self.categories.contains(&machine.category);
        let above = self.above_cc.is_none_or(|cc| machine.capacity_cc.is_some_and(|c| c > cc));
        let up_to = self.up_to_cc.is_none_or(|cc| machine.capacity_cc.is_some_and(|c| c <= cc));
        category && above && up_to
    }
}

/// What a braking rule asks, in per cent of the weight unless it is said otherwise.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub enum BrakingMinimum {
    /// Each of two controls alone: one of them gives at least the first figure, the other at least the second.
    EachControl {
        /// For the better of the two.
        one: f64,
        /// For the other.
        other: f64,
    },
    /// One control alone is enough, and gives this much.
    OneControl(f64),
    /// All brakes together.
    Together(f64),
    /// All brakes together stop it from a speed within a distance.
    StopWithin {
        /// From this speed.
        from: Speed,
        /// Within this distance.
        within: Length,
    },
}

/// A rule of a region on what the brakes must give.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BrakingLaw {
    /// Which categories it is about; empty for all.
    #[serde(default)]
    pub categories: Vec<Category>,
    /// Only machines first used on this day or later, or whose first use is not known.
    #[serde(default)]
    pub first_used_from: Option<NaiveDate>,
    /// Only machines known to be first used before this day.
    #[serde(default)]
    pub first_used_before: Option<NaiveDate>,
    /// What it asks.
    pub minimum: BrakingMinimum,
    /// The document.
    pub citation: String,
    /// What else a reader should know.
    #[serde(default)]
    pub remark: String,
    /// First day in force, where it is known.
    #[serde(default)]
    pub from: Option<NaiveDate>,
    /// Last day in force.
    #[serde(default)]
    pub until: Option<NaiveDate>,
}

impl BrakingLaw {
    /// Whether it is about a machine on a day.
    pub fn is_about(&self, machine: &Machine, on: NaiveDate) -> bool {
        let category = self.categories.is_empty() || self.categories.contains(&machine.category);
        let not_older = self.first_used_from.is_none_or(|d| machine.first_use.is_none_or(|used| used >= d));
        let older = self.first_used_before.is_none_or(|d| machine.first_use.is_some_and(|used| used < d));
        category && not_older && older && in_force(self.from, self.until, on)
    }
}

/// A document that makes the figure of a rule law in a region.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Law {
    /// The id of the rule.
    pub rule: String,
    /// The document.
    pub citation: String,
    /// The figure, for a rule whose figure differs from region to region.
    #[serde(default)]
    pub figure: Option<Length>,
    /// First day in force, where it is known.
    #[serde(default)]
    pub from: Option<NaiveDate>,
    /// Last day in force.
    #[serde(default)]
    pub until: Option<NaiveDate>,
}

/// A region with its rules.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Region {
    /// Its id in lower case: `gb`, `us-md`. What stands before a dash names the region that it is a part of.
    pub id: String,
    /// Its name.
    pub name: String,
    /// Whether it stands in the place of one with the same id; only a garage's own file needs to say so.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub replaces: bool,
    /// The garage's file that it was read from, if it is not built in.
    #[serde(skip)]
    pub origin: Option<Origin>,
    /// Whether the classes of Directive 2014/45/EU are law here; else they are "graded after the directive".
    pub directive_in_force: bool,
    /// First day on which they are.
    #[serde(default)]
    pub directive_from: Option<NaiveDate>,
    /// Last day on which they are.
    #[serde(default)]
    pub directive_until: Option<NaiveDate>,
    /// What a reader should know of the whole.
    #[serde(default)]
    pub remark: String,
    /// What else is law here, by rule. Where a rule's figure comes from a law and the rule is not here, the figure is
    /// shown for comparison. Of several in force for one rule, the first counts.
    #[serde(default)]
    pub laws: Vec<Law>,
    /// What the brakes must give; the first that is about the machine counts. Empty where only the directive's minima
    /// are known.
    #[serde(default)]
    pub braking: Vec<BrakingLaw>,
    /// Its tread rules, the first that is about the machine counts.
    pub tread: Vec<TreadLaw>,
}

impl Region {
    /// A document as the source of a figure of this region, with the days between which it is in force; and with the
    /// garage's file that has it so, for the document itself may say another figure.
    pub fn cite(&self, citation: &str, from: Option<NaiveDate>, until: Option<NaiveDate>) -> String {
        let days = match force_words(from, until) {
            days if days.is_empty() => String::new(),
            days => format!(", {days}"),
        };
        let own = self.origin.as_ref().map_or_else(String::new, |own| format!(", {}", own.words()));
        format!("{citation}{days}{own}")
    }
    /// The law that gives a rule its figure here on a day.
    pub fn law(&self, rule: &str, on: NaiveDate) -> Option<&Law> {
        self.laws.iter().find(|law| law.rule == rule && in_force(law.from, law.until, on))
    }
    /// Whether the directive's classes are law here on a day.
    pub fn directive_binds(&self, on: NaiveDate) -> bool {
        self.directive_in_force && in_force(self.directive_from, self.directive_until, on)
    }
    /// What is wrong with it, with the words of the file to point at.
    pub(super) fn wrong(&self) -> Option<(String, String)> {
        let at = |needle: &str, words: String| Some((format!("\"{needle}\""), words));
        if !is_id(&self.id) {
            return at(
                &self.id,
                format!("expected an id of lower-case letters, figures and dashes, found \"{}\"", self.id),
            );
        }
        if self.name.trim().is_empty() {
            return at(&self.name, "expected the name of the region, found none".into());
        }
        for law in &self.tread {
            let per_cent = match law.geometry {
                TreadGeometry::ContinuousBand(p) | TreadGeometry::MainGrooves(p) => p,
                TreadGeometry::ThinnestGroove => 100.0,
                TreadGeometry::FourPoints { may_be_below } if may_be_below < 4 => 100.0,
                TreadGeometry::FourPoints { may_be_below } => {
                    let found =
                        format!("expected fewer than four of four points that may be below, found {may_be_below}");
                    return Some(("may_be_below".into(), found));
                }
            };
            if !(per_cent > 0.0 && per_cent <= 100.0) {
                let found = format!("expected a share of the breadth above 0 and up to 100 %, found {per_cent}");
                return Some(("geometry".into(), found));
            }
            if !(law.minimum.as_mm() > 0.0 && law.minimum.as_mm() < 20.0) {
                let found = format!("expected a least depth above zero and below 20 mm, found {}", law.minimum);
                return Some(("minimum".into(), found));
            }
        }
        for law in &self.braking {
            let sane = |p: f64| p > 0.0 && p <= 100.0;
            let fits = match law.minimum {
                BrakingMinimum::EachControl { one, other } => sane(one) && sane(other) && other <= one,
                BrakingMinimum::OneControl(p) | BrakingMinimum::Together(p) => sane(p),
                BrakingMinimum::StopWithin { from, within } => from.as_kmh() > 0.0 && within.as_mm() > 0.0,
            };
            if !fits {
                let words = "expected braking minima above 0 and up to 100 %, the first not below the second";
                return Some(("braking".into(), words.into()));
            }
        }
        let cited = self.tread.iter().map(|l| (&l.citation, l.from, l.until));
        let cited = cited.chain(self.laws.iter().map(|l| (&l.citation, l.from, l.until)));
        let cited = cited.chain(self.braking.iter().map(|l| (&l.citation, l.from, l.until)));
        for (citation, from, until) in cited {
            if citation.trim().is_empty() {
                return Some(("citation".into(), "expected the document that a rule stands in, found none".into()));
            }
            if let (Some(from), Some(until)) = (from, until)
                && until < from
            {
                let words = format!("expected a last day in force on or after the first ({from}), found {until}");
                return at(&until.to_string(), words);
            }
        }
        None
    }
}

/// Whether a text will do as an id: lower-case letters, figures and single dashes.
pub(super) fn is_id(text: &str) -> bool {
    let plain = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit();
    !text.is_empty() && text.split('-').all(|part| !part.is_empty() && part.chars().all(plain))
}
