//! What a rule may look at.

use chrono::NaiveDate;

use super::Source;
use crate::catalogue::{Catalogue, Region};
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
    /// A case; a region that the catalogue does not know falls back to `generic`, which applies no law.
    pub fn new(
        machine: &'a Machine,
        inspection: &'a Inspection,
        earlier: &'a [Inspection],
        catalogue: &'a Catalogue,
        units: &'a Preferences,
        today: NaiveDate,
    ) -> Self {
        let region = catalogue
            .region(&machine.region)
            .or_else(|| catalogue.region("generic"))
            .expect("the catalogue always holds the generic region");
        Self { machine, inspection, earlier, catalogue, region, units, today }
    }
    /// A figure's document as a source: law where the region names the rule among its laws, else for comparison.
    pub fn law_or_comparison(&self, rule: &str, document: &str) -> Source {
        match self.region.laws.get(rule) {
            Some(citation) => Source::Law(citation.clone()),
            None => Source::Practice(format!("{document} (not law here)")),
        }
    }
    /// Whether a rule's figure is law in the region.
    pub fn is_law(&self, rule: &str) -> bool {
        self.region.laws.contains_key(rule)
    }
    /// An item of the directive as a source, said to be law or not by the region.
    pub fn directive(&self, item: &str) -> Source {
        Source::Directive { item: item.to_owned(), in_force: self.region.directive_in_force }
    }
}
