//! What a rule may look at.

use chrono::NaiveDate;

use super::Source;
use crate::catalogue::{Catalogue, Law, Region, force_words};
use crate::inspection::Inspection;
use crate::machine::Machine;
use crate::units::Preferences;

/// One inspection of one machine, with the catalogue, the region, the user's units and the day.
#[derive(Clone, Copy, Debug)]
pub struct Case<'a> {
    /// The machine.
    pub machine: &'a Machine,
    /// The inspection being judged.
    pub inspection: &'a Inspection,
    /// Earlier inspections of the machine, oldest first.
    pub earlier: &'a [Inspection],
    /// The catalogue.
    pub catalogue: &'a Catalogue,
    /// The region whose rules apply.
    pub region: &'a Region,
    /// The units sentences are written in.
    pub units: &'a Preferences,
    /// The day of judging.
    pub today: NaiveDate,
}

impl<'a> Case<'a> {
    /// A case. A region that the catalogue does not know falls back to the one that it is a part of (`us` for `us-tx`),
    /// else to `generic`, which applies no law.
    pub fn new(
        machine: &'a Machine,
        inspection: &'a Inspection,
        earlier: &'a [Inspection],
        catalogue: &'a Catalogue,
        units: &'a Preferences,
        today: NaiveDate,
    ) -> Self {
        let region = catalogue
            .region_or_wider(&machine.region)
            .or_else(|| catalogue.region("generic"))
            .expect("the catalogue always holds the generic region");
        Self { machine, inspection, earlier, catalogue, region, units, today }
    }
    /// The law that gives a rule its figure in the region, in force today.
    pub fn law(&self, rule: &str) -> Option<&'a Law> {
        self.region.law(rule, self.today)
    }
    /// A figure's document as a source: law where the region names the rule among its laws in force, else for comparison.
    pub fn law_or_comparison(&self, rule: &str, document: &str) -> Source {
        match self.law(rule) {
            Some(law) => Source::Law(in_words(&law.citation, law.from, law.until)),
            None => Source::Practice(format!("{document} (not law here)")),
        }
    }
    /// Whether a rule's figure is law in the region today.
    pub fn is_law(&self, rule: &str) -> bool {
        self.law(rule).is_some()
    }
    /// An item of the directive as a source, said to be law or not by the region and the day.
    pub fn directive(&self, item: &str) -> Source {
        Source::Directive { item: item.to_owned(), in_force: self.region.directive_binds(self.today) }
    }
}

/// A document with the days between which it is in force, where they are known.
pub(super) fn in_words(citation: &str, from: Option<NaiveDate>, until: Option<NaiveDate>) -> String {
    match force_words(from, until) {
        days if days.is_empty() => citation.to_owned(),
        days => format!("{citation}, {days}"),
    }
}
