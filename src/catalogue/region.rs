//! Regions and their rules as data, each rule with its citation and its dates in force.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use crate::machine::{Category, Machine};
use crate::units::Length;

/// Where round and across a tyre a law wants its depth.
#[derive(Clone, Copy, Debug, PartialEq, Deserialize, Serialize)]
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

/// A tread rule of a region.
#[derive(Clone, Debug, PartialEq, Deserialize, Serialize)]
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
    /// First day in force, where it matters.
    #[serde(default)]
    pub from: Option<NaiveDate>,
    /// Last day in force.
    #[serde(default)]
    pub until: Option<NaiveDate>,
}

impl TreadLaw {
    /// Whether it is about a machine on a day. A capacity rule is about machines whose capacity is known.
    pub fn is_about(&self, machine: &Machine, on: NaiveDate) -> bool {
        let category = self.categories.is_empty() || self.categories.contains(&machine.category);
        let above = self.above_cc.is_none_or(|cc| machine.capacity_cc.is_some_and(|c| c > cc));
        let up_to = self.up_to_cc.is_none_or(|cc| machine.capacity_cc.is_some_and(|c| c <= cc));
        let begun = self.from.is_none_or(|d| d <= on);
        let running = self.until.is_none_or(|d| on <= d);
        category && above && up_to && begun && running
    }
}

/// A region with its rules.
#[derive(Clone, Debug, PartialEq, Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
pub struct Region {
    /// Its id in lower case: `gb`, `us-md`.
    pub id: String,
    /// Its name.
    pub name: String,
    /// Whether the classes of Directive 2014/45/EU are law here; else they are "graded after the directive".
    pub directive_in_force: bool,
    /// What a reader should know of the whole.
    #[serde(default)]
    pub remark: String,
    /// What else is law here, by the id of the rule whose figure it gives: the document. Where a rule's figure comes
    /// from a law and its id is not here, the figure is shown for comparison.
    #[serde(default)]
    pub laws: BTreeMap<String, String>,
    /// Its tread rules, the first that is about the machine counts.
    pub tread: Vec<TreadLaw>,
}
