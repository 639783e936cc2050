//! What a rule may look at.

use chrono::NaiveDate;

use super::Source;
use crate::catalogue::{Catalogue, Law, Origin, Region};
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
        let region = catalogue.region_applied(machine);
        Self { machine, inspection, earlier, catalogue, region, units, today }
    }
    /// The law that gives a rule its figure in the region, in force today.
    pub fn law(&self, rule: &str) -> Option<&'a Law> {
        self.region.law(rule, self.today)
    }
    /// A figure's document as a source: law where the region names the rule among its laws in force, else for comparison.
    pub fn law_or_comparison(&self, rule: &str, document: &str) -> Source {
        match self.law(rule) {
            Some(law) => Source::Law(self.region.cite(&law.citation, law.from, law.until)),
            None => Source::Practice(format!("{document} (not law here)")),
        }
    }
    /// What of the garage's own, in the place of what is built in, it is judged by: the rules of its region, and checks.
    pub(super) fn changed(&self) -> Vec<String> {
        let changed = |own: &&Origin| own.instead_of.is_some();
        let region = self.region.origin.as_ref().filter(changed);
        let region = region.map(|own| format!("the rules of {}", own.after(&self.region.name)));
        region.into_iter().chain(self.catalogue.changed_checks()).collect()
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
