//! Where an entry comes from that a garage brought of its own: its file, and what it stands in the place of. Whoever
//! names such an entry says so, for by its own words it could pass for the one that it replaced.

use super::{Catalogue, Check, Kind, Region};
use crate::guard;

/// The file of a garage that an entry was read from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Origin {
    /// The file, from the garage's folder: `regions/gb.ron`.
    pub file: String,
    /// The name of the built-in entry that it stands in the place of; none where it was added.
    pub instead_of: Option<String>,
}

impl Origin {
    /// A file, and the name of what was built in under the same id.
    pub(super) fn new(file: &str, instead_of: Option<&String>) -> Self {
        Self { file: file.to_owned(), instead_of: instead_of.cloned() }
    }
    /// `as changed by this garage (regions/gb.ron)`, or `of this garage (regions/isle.ron)`.
    pub fn words(&self) -> String {
        let how = if self.instead_of.is_some() { "as changed by this garage" } else { "of this garage" };
        format!("{how} ({})", guard::line(&self.file))
    }
    /// The entry's name with where it comes from, and with what it stands in the place of where that is called otherwise.
    pub fn after(&self, name: &str) -> String {
        let place = match &self.instead_of {
            Some(built_in) if built_in != name => format!(", in the place of {built_in}"),
            _ => String::new(),
        };
        format!("{}{place}, {}", guard::line(name), self.words())
    }
}

impl Region {
    /// Its name as it is shown wherever its rules are named: `Great Britain, as changed by this garage
    /// (regions/gb.ron)`.
    pub fn shown(&self) -> String {
        self.origin.as_ref().map_or_else(|| self.name.clone(), |own| own.after(&self.name))
    }
    /// What a sentence calls its rule: `law` in the words given, unless a garage's own file has it so.
    pub fn rule_words(&self, law: &str) -> String {
        match &self.origin {
            Some(own) => format!("this garage's own rule ({})", guard::line(&own.file)),
            None => law.to_owned(),
        }
    }
}

impl Check {
    /// As a source of what is judged by it, where a garage brought it: `the check “Horn”, as changed by this garage
    /// (kinds/horn.ron)`. In quotes, for titles hold commas.
    pub fn own_words(&self) -> Option<String> {
        self.origin.as_ref().map(|own| format!("the check “{}”, {}", guard::line(&self.title), own.words()))
    }
}

impl Kind {
    /// How the verdict names it, with the commas that set its file off: `a before-ride look, as changed by this garage
    /// (kinds/ride.ron),`.
    pub fn shown(&self) -> String {
        match &self.origin {
            Some(own) => format!("{}, {},", guard::line(&self.called), own.words()),
            None => self.called.clone(),
        }
    }
}

/// An entry that a garage brought of its own.
#[derive(Clone, Copy, Debug)]
pub struct OwnEntry<'a> {
    /// What it is: `region`, `kind`, `check`.
    pub what: &'static str,
    /// Its id.
    pub id: &'a str,
    /// Its name.
    pub name: &'a str,
    /// Where it comes from.
    pub own: &'a Origin,
}

impl OwnEntry<'_> {
    /// `the region Great Britain, as changed by this garage (regions/gb.ron)`.
    pub fn words(&self) -> String {
        format!("the {} {}", self.what, self.own.after(self.name))
    }
}

impl Catalogue {
    /// Everything that a garage brought of its own: regions, kinds, checks.
    pub fn own_entries(&self) -> Vec<OwnEntry<'_>> {
        fn entry<'a>(
            what: &'static str,
            id: &'a str,
            name: &'a str,
            origin: &'a Option<Origin>,
        ) -> Option<OwnEntry<'a>> {
            origin.as_ref().map(|own| OwnEntry { what, id, name, own })
        }
        let regions = self.regions.iter().filter_map(|r| entry("region", &r.id, &r.name, &r.origin));
        let kinds = self.kinds.iter().filter_map(|k| entry("kind", &k.id, &k.name, &k.origin));
        let checks = self.checks.iter().filter_map(|c| entry("check", &c.id, &c.title, &c.origin));
        regions.chain(kinds).chain(checks).collect()
    }
    /// The same in words, each with its file.
    pub fn own_words(&self) -> Vec<String> {
        self.own_entries().iter().map(OwnEntry::words).collect()
    }
    /// Whether any of it stands in the place of something built in.
    pub fn is_changed(&self) -> bool {
        self.own_entries().iter().any(|entry| entry.own.instead_of.is_some())
    }
    /// The checks that a garage changed, in words that name their files: `the check “Horn”, as changed by this garage
    /// (kinds/horn.ron)`. Changed means that a fault may be graded lower, or that it is asked of other machines.
    pub fn changed_checks(&self) -> Option<String> {
        let changed = |c: &&Check| c.origin.as_ref().is_some_and(|own| own.instead_of.is_some());
        let changed: Vec<&Check> = self.checks.iter().filter(changed).collect();
        let mut files: Vec<&str> = changed.iter().filter_map(|c| Some(c.origin.as_ref()?.file.as_str())).collect();
        files.dedup();
        let files = files.iter().map(|f| guard::line(f)).collect::<Vec<_>>().join(", ");
        match changed.as_slice() {
            [] => None,
            [one] => one.own_words(),
            many => Some(format!("{} checks as changed by this garage ({files})", many.len())),
        }
    }
    /// Marks an entry of a record that came from elsewhere as the garage's own, where it is not built in.
    pub(crate) fn mark_own(&mut self, file_of: impl Fn(&str, &str) -> String) {
        let built_in = Self::builtin();
        for region in self.regions.iter_mut().filter(|r| built_in.region(&r.id) != Some(r)) {
            let file = file_of("region", &region.id);
            region.origin = Some(Origin::new(&file, built_in.region(&region.id).map(|r| &r.name)));
        }
        for kind in self.kinds.iter_mut().filter(|k| built_in.kind(&k.id) != Some(k)) {
            let file = file_of("kind", &kind.id);
            kind.origin = Some(Origin::new(&file, built_in.kind(&kind.id).map(|k| &k.name)));
        }
        for check in self.checks.iter_mut().filter(|c| built_in.check(&c.id) != Some(c)) {
            let file = file_of("check", &check.id);
            check.origin = Some(Origin::new(&file, built_in.check(&check.id).map(|c| &c.title)));
        }
    }
}
