//! The record that travels inside a report: everything its pages were made from, as text, so that the pages can be laid
//! out again from it and compared.
//!
//! The text is the canonical form: fields in their order, one line ending, nothing that depends on the system. What the
//! privacy switches leave out is not in it.

use std::collections::BTreeMap;

use chrono::{DateTime, FixedOffset};
use serde::{Deserialize, Serialize};
use sha2::{Digest as _, Sha256};

use super::album::Album;
use super::kinds::{self, ReportCx, Request};
use super::options::Options;
use crate::catalogue::{Catalogue, CatalogueError, Check, Kind, OwnEntry, Region};
use crate::garage::{Bay, Garage, GarageInfo};
use crate::guard;
use crate::guard::limits::PDF_VALUES;
use crate::inspection::{Event, Inspection, InspectionId};
use crate::machine::{Machine, MachineId, SCHEMA};
use crate::report::block::{Block, BlockKind, DocumentSpec, Paper, Photo, Picture};

/// The name of the attached file.
pub const NAME: &str = "stemclock-record.ron";

/// What a report was made from.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Packet {
    /// The schema of the records inside.
    pub schema: u32,
    /// The version of the program that made the report.
    pub made_with: String,
    /// The kind of report by its id.
    pub kind: String,
    /// `A4` or `Letter`.
    pub paper: String,
    /// The moment of printing.
    pub printed: DateTime<FixedOffset>,
    /// The choices.
    pub options: Options,
    /// The garage's name and units.
    pub garage: GarageInfo,
    /// The machine, where the report is about one.
    pub machine: Option<MachineId>,
    /// The inspection that is written down.
    pub inspection: Option<InspectionId>,
    /// The inspection it is compared with.
    pub earlier: Option<InspectionId>,
    /// The machines with their inspections and events.
    pub machines: Vec<Held>,
    /// Inspection kinds of the garage's own that are used.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub kinds: Vec<Kind>,
    /// Checks of the garage's own.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub checks: Vec<Check>,
    /// Regions of the garage's own that are used.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub regions: Vec<Region>,
    /// The garage's file of each of these, by what it is and its id: `region gb`.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub own_files: BTreeMap<String, String>,
    /// SHA-256 of each photo on the pages, by its name. The photos themselves are in the pages.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub photos: BTreeMap<String, String>,
    /// Photos that the records name and no page shows, with the reason that the pages give.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub unshown: BTreeMap<String, String>,
}

/// A machine with what is known of it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Held {
    /// The machine.
    pub machine: Machine,
    /// Its inspections, oldest first.
    pub inspections: Vec<Inspection>,
    /// Its events, oldest first.
    pub events: Vec<Event>,
    /// Records of it that could not be read.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub unread: Vec<String>,
}

impl Packet {
    /// What a document was made from. The request must be the cleaned one.
    pub fn of(request: &Request<'_>, spec: &DocumentSpec) -> Self {
        let ReportCx { garage, catalogue, now, paper, options, photos: album, .. } = request.cx;
        let bays: Vec<&Bay> = match request.bay {
            Some(bay) => vec![bay],
            None => garage.bays.iter().collect(),
        };
        let builtin = Catalogue::builtin();
        let uses_kind = |kind: &Kind| bays.iter().flat_map(|b| &b.inspections).any(|i| i.kind == kind.id);
        let own_kinds = catalogue.kinds.iter().filter(|k| builtin.kind(&k.id) != Some(k) && uses_kind(k));
        let uses_region = |region: &Region| bays.iter().any(|b| catalogue.region_applied(&b.machine).id == region.id);
        let own_regions = catalogue.regions.iter().filter(|r| builtin.region(&r.id) != Some(r) && uses_region(r));
        let mut packet = Self {
            schema: SCHEMA,
            made_with: env!("CARGO_PKG_VERSION").to_owned(),
            kind: request.kind.id.to_owned(),
            paper: paper_word(paper).to_owned(),
            printed: now,
            options,
            garage: garage.info.clone(),
            machine: request.bay.map(|b| b.machine.id.clone()),
            inspection: request.inspection.map(|i| i.id.clone()),
            earlier: request.earlier.map(|i| i.id.clone()),
            machines: bays.iter().map(|bay| Held::of(bay)).collect(),
            kinds: own_kinds.cloned().collect(),
            checks: catalogue.checks.iter().filter(|c| builtin.check(&c.id) != Some(c)).cloned().collect(),
            regions: own_regions.cloned().collect(),
            photos: photos(&spec.blocks).into_iter().map(|p| (p.name.clone(), hash(&p.jpeg))).collect(),
            unshown: album.refused().map(|(name, why)| (name.to_owned(), why.to_owned())).collect(),
            own_files: BTreeMap::new(),
        };
        packet.own_files = packet.files_of(catalogue);
        packet
    }

    /// The files from which the entries that travel were read.
    fn files_of(&self, catalogue: &Catalogue) -> BTreeMap<String, String> {
        let travels = |entry: &OwnEntry<'_>| match entry.what {
            "region" => self.regions.iter().any(|r| r.id == entry.id),
            "kind" => self.kinds.iter().any(|k| k.id == entry.id),
            _ => self.checks.iter().any(|c| c.id == entry.id),
        };
        let own = catalogue.own_entries();
        own.iter().filter(|e| travels(e)).map(|e| (format!("{} {}", e.what, e.id), e.own.file.clone())).collect()
    }

    /// The canonical text.
    ///
    /// # Errors
    /// When a value cannot be written, which would be a bug.
    pub fn text(&self) -> Result<String, String> {
        let pretty = ron::ser::PrettyConfig::new().new_line("\n").indentor(" ").depth_limit(6);
        ron::Options::default().to_string_pretty(self, pretty).map(|text| text + "\n").map_err(|e| e.to_string())
    }

    /// Reads a packet back.
    ///
    /// # Errors
    /// With line and column, and what was expected there.
    pub fn read(text: &str) -> Result<Self, String> {
        guard::from_ron(text, &PDF_VALUES).map_err(|e| {
            guard::brief(&format!("line {}, column {}: {}", e.span.start.line, e.span.start.col, e.code)).into_owned()
        })
    }

    /// The garage that the report was made from.
    pub fn garage(&self) -> Garage {
        let bays = self.machines.iter().map(|held| Bay {
            machine: held.machine.clone(),
            inspections: held.inspections.clone(),
            events: held.events.clone(),
            unread: held.unread.clone(),
        });
        Garage { info: self.garage.clone(), bays: bays.collect(), ..Garage::default() }
    }

    /// The program's catalogue with what the garage added.
    ///
    /// # Errors
    /// When an addition does not fit this catalogue.
    pub fn catalogue(&self) -> Result<Catalogue, CatalogueError> {
        let mut catalogue = Catalogue::builtin().clone();
        catalogue.kinds.retain(|kind| !self.kinds.iter().any(|own| own.id == kind.id));
        catalogue.kinds.extend(self.kinds.iter().cloned());
        catalogue.regions.retain(|region| !self.regions.iter().any(|own| own.id == region.id));
        catalogue.regions.extend(self.regions.iter().cloned());
        catalogue.checks.retain(|check| !self.checks.iter().any(|own| own.id == check.id));
        catalogue.checks.extend(self.checks.iter().cloned());
        catalogue.mark_own(|what, id| match self.own_files.get(&format!("{what} {id}")) {
            Some(file) if !file.trim().is_empty() => file.clone(),
            _ => "a file that is not named".into(),
        });
        catalogue.verify()?;
        Ok(catalogue)
    }

    /// The request that made the report, on what [`Self::garage`] and [`Self::catalogue`] gave.
    ///
    /// # Errors
    /// When the kind is not known, or what it names is not among the records.
    pub fn request<'a>(
        &self,
        garage: &'a Garage,
        catalogue: &'a Catalogue,
        photos: &'a Album,
    ) -> Result<Request<'a>, String> {
        let kind = kinds::kind(&self.kind).ok_or_else(|| format!("a report of the kind “{}”", self.kind))?;
        let paper = paper_named(&self.paper).ok_or_else(|| format!("the paper “{}”", self.paper))?;
        let bay = match &self.machine {
            Some(id) => Some(garage.bay(id).ok_or_else(|| format!("the machine {id}"))?),
            None => None,
        };
        let inspection = |id: &Option<InspectionId>| match id {
            Some(id) => bay.and_then(|b| b.inspection(id)).map(Some).ok_or_else(|| format!("the inspection {id}")),
            None => Ok(None),
        };
        let cx = ReportCx {
            garage,
            catalogue,
            today: self.printed.date_naive(),
            now: self.printed,
            paper,
            photos,
            options: self.options,
        };
        Ok(Request { kind, cx, bay, inspection: inspection(&self.inspection)?, earlier: inspection(&self.earlier)? })
    }
}

impl Held {
    fn of(bay: &Bay) -> Self {
        Self {
            machine: bay.machine.clone(),
            inspections: bay.inspections.clone(),
            events: bay.events.clone(),
            unread: bay.unread.clone(),
        }
    }
}

fn paper_word(paper: Paper) -> &'static str {
    match paper {
        Paper::A4 => "A4",
        Paper::Letter => "Letter",
    }
}

fn paper_named(word: &str) -> Option<Paper> {
    [Paper::A4, Paper::Letter].into_iter().find(|paper| paper_word(*paper) == word)
}

/// The SHA-256 of some bytes as 64 figures (FIPS 180-4).
pub fn hash(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().map(|byte| format!("{byte:02x}")).collect()
}

/// The photos of a document, wherever they stand.
fn photos(blocks: &[Block]) -> Vec<&Photo> {
    fn of_picture(picture: &Picture) -> Option<&Photo> {
        match picture {
            Picture::Photo(photo) => Some(photo),
            Picture::Drawing(_) => None,
        }
    }
    blocks
        .iter()
        .flat_map(|block| match &block.kind {
            BlockKind::Image { photo, .. } => vec![photo],
            BlockKind::Gallery { pictures, .. } => pictures.iter().filter_map(|(p, _)| of_picture(p)).collect(),
            BlockKind::SideBySide { picture, blocks } => {
                of_picture(picture).into_iter().chain(photos(blocks)).collect()
            }
            _ => Vec::new(),
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_hash_is_that_of_the_standard() {
        // FIPS 180-4, the example of NIST for the message "abc".
        assert_eq!(hash(b"abc"), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    }
}
