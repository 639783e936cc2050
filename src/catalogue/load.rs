//! The embedded catalogue, parsed once, and its invariants.

use std::collections::BTreeSet;
use std::sync::OnceLock;

use serde::de::DeserializeOwned;
use thiserror::Error;

use super::{Caution, Check, Kind, Region};
use crate::inspection::{CheckRef, Station, Subject};
use crate::machine::{FluidKind, Machine};

/// Data files of the catalogue. Adding a check adds to one of these; adding a region adds a file and a line.
const CHECKS: &[(&str, &str)] = &[
    ("checks/tyres.ron", include_str!("../../assets/catalogue/checks/tyres.ron")),
    ("checks/wheels.ron", include_str!("../../assets/catalogue/checks/wheels.ron")),
    ("checks/brakes.ron", include_str!("../../assets/catalogue/checks/brakes.ron")),
    ("checks/drive.ron", include_str!("../../assets/catalogue/checks/drive.ron")),
    ("checks/electrics.ron", include_str!("../../assets/catalogue/checks/electrics.ron")),
    ("checks/lamps.ron", include_str!("../../assets/catalogue/checks/lamps.ron")),
    ("checks/controls.ron", include_str!("../../assets/catalogue/checks/controls.ron")),
    ("checks/chassis.ron", include_str!("../../assets/catalogue/checks/chassis.ron")),
    ("checks/fluids.ron", include_str!("../../assets/catalogue/checks/fluids.ron")),
    ("checks/engine.ron", include_str!("../../assets/catalogue/checks/engine.ron")),
    ("checks/body.ron", include_str!("../../assets/catalogue/checks/body.ron")),
    ("checks/road.ron", include_str!("../../assets/catalogue/checks/road.ron")),
];
const REGIONS: &[(&str, &str)] = &[
    ("regions/generic.ron", include_str!("../../assets/catalogue/regions/generic.ron")),
    ("regions/us.ron", include_str!("../../assets/catalogue/regions/us.ron")),
    ("regions/us-md.ron", include_str!("../../assets/catalogue/regions/us-md.ron")),
    ("regions/gb.ron", include_str!("../../assets/catalogue/regions/gb.ron")),
    ("regions/eu.ron", include_str!("../../assets/catalogue/regions/eu.ron")),
    ("regions/de.ron", include_str!("../../assets/catalogue/regions/de.ron")),
    ("regions/fr.ron", include_str!("../../assets/catalogue/regions/fr.ron")),
    ("regions/es.ron", include_str!("../../assets/catalogue/regions/es.ron")),
    ("regions/au.ron", include_str!("../../assets/catalogue/regions/au.ron")),
    ("regions/ca.ron", include_str!("../../assets/catalogue/regions/ca.ron")),
    ("regions/ca-mb.ron", include_str!("../../assets/catalogue/regions/ca-mb.ron")),
    ("regions/ca-qc.ron", include_str!("../../assets/catalogue/regions/ca-qc.ron")),
];
const KINDS: &str = include_str!("../../assets/catalogue/kinds.ron");
const CAUTIONS: &str = include_str!("../../assets/catalogue/cautions.ron");

/// Everything that can be asked, and by whose rules.
#[derive(Clone, Debug, PartialEq)]
pub struct Catalogue {
    /// The checks in walking order.
    pub checks: Vec<Check>,
    /// The inspection kinds.
    pub kinds: Vec<Kind>,
    /// The regions.
    pub regions: Vec<Region>,
    /// The cautions.
    pub cautions: Vec<Caution>,
}

/// Why catalogue data could not be used.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum CatalogueError {
    /// The text is not what the schema asks for.
    #[error("{file}:{line}:{column}: {message}")]
    Read {
        /// The data file.
        file: String,
        /// Line, from 1.
        line: usize,
        /// Column, from 1.
        column: usize,
        /// What was expected and found.
        message: String,
    },
    /// An id is used twice or points nowhere.
    #[error("catalogue: {0}")]
    Invariant(String),
}

fn read<T: DeserializeOwned>(file: &str, text: &str) -> Result<T, CatalogueError> {
    ron::Options::default().with_default_extension(ron::extensions::Extensions::IMPLICIT_SOME).from_str(text).map_err(
        |e| CatalogueError::Read {
            file: file.to_owned(),
            line: e.span.start.line,
            column: e.span.start.col,
            message: e.code.to_string(),
        },
    )
}

impl Catalogue {
    /// The catalogue that is built into the program.
    pub fn builtin() -> &'static Self {
        static BUILTIN: OnceLock<Catalogue> = OnceLock::new();
        BUILTIN.get_or_init(|| Self::read_builtin().expect("the embedded catalogue is held sound by a test"))
    }

    /// Reads the embedded data files.
    fn read_builtin() -> Result<Self, CatalogueError> {
        let mut catalogue = Self {
            checks: Vec::new(),
            kinds: read("kinds.ron", KINDS)?,
            regions: Vec::new(),
            cautions: read("cautions.ron", CAUTIONS)?,
        };
        for (file, text) in CHECKS {
            catalogue.checks.extend(read::<Vec<Check>>(file, text)?);
        }
        for (file, text) in REGIONS {
            catalogue.regions.push(read(file, text)?);
        }
        catalogue.verify()?;
        Ok(catalogue)
    }

    /// Adds a region from text, for example from a garage's own folder; it replaces one with the same id.
    pub fn add_region(&mut self, file: &str, text: &str) -> Result<(), CatalogueError> {
        let region: Region = read(file, text)?;
        self.regions.retain(|r| r.id != region.id);
        self.regions.push(region);
        Ok(())
    }

    /// Adds an inspection kind from text; it replaces one with the same id. One that names a check which is not there
    /// is refused: it would silently ask less than its author meant.
    pub fn add_kind(&mut self, file: &str, text: &str) -> Result<(), CatalogueError> {
        let kind: Kind = read(file, text)?;
        self.verify_kind(&kind)?;
        self.kinds.retain(|k| k.id != kind.id);
        self.kinds.push(kind);
        Ok(())
    }

    /// Ids are used once and every reference points somewhere.
    pub fn verify(&self) -> Result<(), CatalogueError> {
        let fail = |text: String| Err(CatalogueError::Invariant(text));
        let mut seen = BTreeSet::new();
        for check in &self.checks {
            if !seen.insert(&check.id) {
                return fail(format!("the check {} is there twice", check.id));
            }
            let faults: BTreeSet<_> = check.faults.iter().map(|f| &f.id).collect();
            if faults.len() != check.faults.len() {
                return fail(format!("a fault of {} is there twice", check.id));
            }
            for caution in &check.cautions {
                if !self.cautions.iter().any(|c| &c.id == caution) {
                    return fail(format!("{} names the caution {caution}, which is not there", check.id));
                }
            }
            if let Some(field) = check.decided_by.iter().find(|f| check.field(f).is_none()) {
                return fail(format!("{} is decided by the field {field}, which is not there", check.id));
            }
            for field in &check.fields {
                if let super::FieldKind::Choice(choices) = &field.kind {
                    for fault in choices.iter().filter_map(|c| c.fault.as_ref()) {
                        if !faults.contains(fault) {
                            return fail(format!(
                                "a choice of {} names the fault {fault}, which is not there",
                                check.id
                            ));
                        }
                    }
                }
            }
        }
        self.kinds.iter().try_for_each(|kind| self.verify_kind(kind))?;
        Ok(())
    }

    /// Every check that a kind names is there.
    fn verify_kind(&self, kind: &Kind) -> Result<(), CatalogueError> {
        for selection in [&kind.checks, &kind.required] {
            if let super::Selection::These(ids) | super::Selection::AllBut(ids) = selection
                && let Some(id) = ids.iter().find(|id| self.check(id).is_none())
            {
                return Err(CatalogueError::Invariant(format!(
                    "the kind {} names the check {id}, which is not there; correct the id or leave it out",
                    kind.id
                )));
            }
        }
        Ok(())
    }

    /// The check with an id.
    pub fn check(&self, id: &str) -> Option<&Check> {
        self.checks.iter().find(|c| c.id == id)
    }
    /// The kind with an id.
    pub fn kind(&self, id: &str) -> Option<&Kind> {
        self.kinds.iter().find(|k| k.id == id)
    }
    /// The region with an id, case forgiven.
    pub fn region(&self, id: &str) -> Option<&Region> {
        self.regions.iter().find(|r| r.id.eq_ignore_ascii_case(id.trim()))
    }
    /// The caution with an id.
    pub fn caution(&self, id: &str) -> Option<&Caution> {
        self.cautions.iter().find(|c| c.id == id)
    }
    /// The checks that a kind asks of a machine, part by part, in order of station and of the catalogue.
    pub fn checks_for<'a>(&'a self, machine: &Machine, kind: &Kind) -> Vec<(CheckRef, &'a Check)> {
        let mut asked: Vec<(usize, CheckRef, &Check)> = Vec::new();
        for check in self.checks.iter().filter(|c| kind.checks.holds(&c.id)) {
            if !check.when.iter().all(|c| c.holds(machine)) {
                continue;
            }
            for subject in check.on.subjects(machine) {
                let reference = CheckRef::new(check.id.clone(), subject);
                let station = Self::station(check, &reference);
                let order = Station::ALL.iter().position(|s| *s == station).unwrap_or(0);
                asked.push((order, reference, check));
            }
        }
        asked.sort_by_key(|(order, _, _)| *order);
        asked.into_iter().map(|(_, reference, check)| (reference, check)).collect()
    }
    /// Where one stands for a check on a part: at the wheel for a wheel, at its reservoir for a fluid that is worked by
    /// lever or pedal, else at the check's own station. The rear brake's pedal and reservoir are at the right, the levers
    /// at the bars: common practice.
    pub fn station(check: &Check, reference: &CheckRef) -> Station {
        match reference.subject {
            Subject::Fluid(FluidKind::RearBrakeFluid) => Station::RightFlank,
            Subject::Fluid(FluidKind::FrontBrakeFluid | FluidKind::ClutchFluid) => Station::Bars,
            subject => subject.wheel().map_or(check.station, Station::of_wheel),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_embedded_catalogue_is_sound() {
        if let Err(error) = Catalogue::read_builtin() {
            assert_eq!(error.to_string(), "", "the embedded catalogue cannot be used");
        }
    }
}
