//! The embedded catalogue, parsed once, and its invariants.

use std::sync::OnceLock;

use serde::de::DeserializeOwned;
use thiserror::Error;

use super::{Caution, Check, Fault, JobEntry, Kind, Region};
use crate::guard;
use crate::guard::limits::RECORD_VALUES;
use crate::inspection::{CheckRef, Finding, Station, Subject};
use crate::machine::{FluidKind, Machine};

/// Data files of the checks. A check, a kind or a region is an entry in one data file, and no code.
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
const REGIONS: &str = include_str!("../../assets/catalogue/regions.ron");
const KINDS: &str = include_str!("../../assets/catalogue/kinds.ron");
const JOBS: &str = include_str!("../../assets/catalogue/jobs.ron");
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
    /// The jobs of the workshop.
    pub jobs: Vec<JobEntry>,
}

/// Why catalogue data could not be used.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum CatalogueError {
    /// The text is not what the schema asks for.
    #[error("{file}:{}:{}: {}", error.span.start.line, error.span.start.col, error.code)]
    Syntax {
        /// The data file.
        file: String,
        /// What the reader says, with its place.
        error: Box<ron::error::SpannedError>,
    },
    /// An entry that can be read makes no sense.
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

pub(super) fn read<T: DeserializeOwned>(file: &str, text: &str) -> Result<T, CatalogueError> {
    ron::Options::default()
        .with_default_extension(ron::extensions::Extensions::IMPLICIT_SOME)
        .from_str(text)
        .map_err(|error| CatalogueError::Syntax { file: file.to_owned(), error: Box::new(error) })
}

/// Reads a file of a garage's own, which may come from a stranger.
pub(super) fn read_own<T: DeserializeOwned>(file: &str, text: &str) -> Result<T, CatalogueError> {
    guard::from_ron(text, &RECORD_VALUES)
        .map_err(|error| CatalogueError::Syntax { file: file.to_owned(), error: Box::new(error) })
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
            regions: read("regions.ron", REGIONS)?,
            cautions: read("cautions.ron", CAUTIONS)?,
            jobs: read("jobs.ron", JOBS)?,
        };
        for (file, text) in CHECKS {
            catalogue.checks.extend(read::<Vec<Check>>(file, text)?);
        }
        catalogue.verify()?;
        Ok(catalogue)
    }

    /// Ids are used once and every reference points somewhere.
    pub fn verify(&self) -> Result<(), CatalogueError> {
        let twice = |mut ids: Vec<&String>| {
            ids.sort();
            ids.windows(2).find(|w| w[0] == w[1]).map(|w| w[0].clone())
        };
        let all = [
            ("check", self.checks.iter().map(|c| &c.id).collect::<Vec<_>>()),
            ("kind", self.kinds.iter().map(|k| &k.id).collect()),
            ("region", self.regions.iter().map(|r| &r.id).collect()),
            ("caution", self.cautions.iter().map(|c| &c.id).collect()),
            ("job", self.jobs.iter().map(|j| &j.id).collect()),
        ];
        for (what, ids) in all {
            if let Some(id) = twice(ids) {
                return Err(CatalogueError::Invariant(format!("the {what} {id} is there twice")));
            }
        }
        let wrong = self.checks.iter().find_map(|check| self.wrong_check(check));
        let wrong = wrong.or_else(|| self.kinds.iter().find_map(|kind| self.wrong_kind(kind)));
        let wrong = wrong.or_else(|| self.regions.iter().find_map(super::Region::wrong));
        if let Some(words) = self.jobs.iter().find_map(|job| self.wrong_job(job)) {
            return Err(CatalogueError::Invariant(words));
        }
        wrong.map_or(Ok(()), |(_, words)| Err(CatalogueError::Invariant(words)))
    }

    /// The check with an id.
    pub fn check(&self, id: &str) -> Option<&Check> {
        self.checks.iter().find(|c| c.id == id)
    }
    /// The fault of a finding; none where its check or its fault is in no catalogue.
    pub fn fault_of(&self, finding: &Finding) -> Option<&Fault> {
        self.check(&finding.check.check)?.fault(&finding.fault)
    }
    /// What a finding is, in words: `a nail or screw in the tread`; of a fault that is in no catalogue the id.
    pub fn fault_words<'a>(&'a self, finding: &'a Finding) -> &'a str {
        self.fault_of(finding).map_or(finding.fault.as_str(), |fault| fault.words.as_str())
    }
    /// The kind with an id.
    pub fn kind(&self, id: &str) -> Option<&Kind> {
        self.kinds.iter().find(|k| k.id == id)
    }
    /// The region with an id, case forgiven.
    pub fn region(&self, id: &str) -> Option<&Region> {
        self.regions.iter().find(|r| r.id.eq_ignore_ascii_case(id.trim()))
    }
    /// The region whose rules count for an id: its own, else those of the region that it is a part of (`us` for
    /// `us-tx`, whose own rule is not here), else none.
    pub fn region_or_wider(&self, id: &str) -> Option<&Region> {
        self.region(id).or_else(|| self.region_or_wider(id.rsplit_once('-')?.0))
    }
    /// The region whose rules are applied to a machine: its own or the wider one, else `generic`, which applies no law.
    pub fn region_applied(&self, machine: &Machine) -> &Region {
        self.region_or_wider(&machine.region)
            .or_else(|| self.region("generic"))
            .expect("the catalogue always holds the generic region")
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
        asked.sort_by_key(|(order, _, check)| match kind.in_order {
            true => (kind.checks.index_of(&check.id).unwrap_or(usize::MAX), *order),
            false => (0, *order),
        });
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
