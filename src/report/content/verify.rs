//! A report read back: the record inside it is laid out again and the pages are compared.
//!
//! It trusts nothing in the file: the record is data, the limits of the reader hold, and what differs is said with its
//! page and words. It must not know files.

use std::collections::BTreeMap;
use std::time::Duration;

use thiserror::Error;

use super::album::Album;
use super::kinds;
use super::packet::{NAME, Packet, hash};
use super::seal;
use crate::garage::Bay;
use crate::guard;
use crate::guard::limits::PDF_RECORD;
use crate::report::pdf::compare::{Difference, compare};
use crate::report::pdf::read::{Carried, LONGEST, Read, ReadError, read, read_within};
use crate::report::{layout, pdf};

/// The most bytes of a record that is read.
const RECORD_MOST: usize = PDF_RECORD.size();

/// Why a file is no report that can be compared.
#[derive(Debug, Error)]
pub enum VerifyError {
    /// It cannot be read as a PDF.
    #[error(transparent)]
    Read(#[from] ReadError),
    /// It carries no record.
    #[error(
        "expected a report of Stemclock with its record inside, found a PDF without one: it was made by another program, or the record was taken out"
    )]
    NoRecord,
    /// It carries several records.
    #[error("expected one attached record, found {0} of the same name: nobody can say which of them the pages show")]
    SeveralRecords(usize),
    /// The record cannot be read.
    #[error(
        "expected a record in {NAME}, found text that is none ({0}): the record was changed, or a newer version of Stemclock made it"
    )]
    Unreadable(String),
    /// The record does not hold what its pages need.
    #[error("expected {0} in the record, found none: the record was changed, or a newer version of Stemclock made it")]
    Lacking(String),
    /// The pages could not be made again.
    #[error("the pages could not be made again from the record: {0}")]
    Remake(String),
}

/// What comes of comparing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verified {
    /// The pages show what the record inside the file gives.
    Intact,
    /// The pages differ from the record, or something was added.
    Altered,
}

/// A report that was read back.
#[derive(Clone, Debug)]
pub struct Verification {
    /// What comes of comparing.
    pub verified: Verified,
    /// The record inside.
    pub packet: Packet,
    /// The SHA-256 of the attached record, worked out anew.
    pub sha256: String,
    /// What differs, page by page.
    pub differences: Vec<Difference>,
    /// What is worth knowing and changes no page.
    pub notes: Vec<String>,
    /// How many pages the file has.
    pub pages: usize,
    /// The photos of the pages by name, as they are printed.
    pub photos: BTreeMap<String, Vec<u8>>,
}

/// Reads a report back and compares its pages with its record.
///
/// # Errors
/// When the file is no PDF that can be read, carries no record, or carries one that cannot be laid out.
pub fn verify(bytes: &[u8]) -> Result<Verification, VerifyError> {
    verify_within(bytes, LONGEST)
}

/// Reads a report back like [`verify`], where its parts must be read within a time.
///
/// # Errors
/// As [`verify`].
pub fn verify_within(bytes: &[u8], most: Duration) -> Result<Verification, VerifyError> {
    let found = read_within(bytes, most)?;
    let attachments = found.attachments()?;
    let (record, others) = record_of(&attachments)?;
    let record = match record.bytes() {
        Err(ReadError::Damaged(why)) => return Err(VerifyError::Unreadable(why)),
        other => other?,
    };
    let text = std::str::from_utf8(&record).map_err(|e| VerifyError::Unreadable(e.to_string()))?;
    if text.len() > RECORD_MOST {
        return Err(VerifyError::Unreadable(format!("{} bytes", text.len())));
    }
    let packet = Packet::read(text).map_err(VerifyError::Unreadable)?;
    let (photos, mut differences) = photos(&found, &packet);
    let made = made_again(&packet, text, &photos)?;
    differences.extend(compare(&found, &made));
    for other in others {
        let what = format!("the file “{}” was attached beside the record", guard::line(&other.name));
        differences.push(Difference { page: None, what });
    }
    let mut notes = Vec::new();
    if packet.made_with != env!("CARGO_PKG_VERSION") {
        notes.push(format!(
            "the report was made with Stemclock {} and is compared by {}: words may differ between versions, so compare \
             it with that version before calling it altered",
            packet.made_with,
            env!("CARGO_PKG_VERSION")
        ));
    }
    Ok(Verification {
        verified: if differences.is_empty() { Verified::Intact } else { Verified::Altered },
        sha256: hash(&record),
        pages: found.page_count(),
        packet,
        differences,
        notes,
        photos,
    })
}

/// The attached record, and whatever else is attached.
fn record_of<'a, 'b>(attachments: &'a [Carried<'b>]) -> Result<(&'a Carried<'b>, Vec<&'a Carried<'b>>), VerifyError> {
    let (mut records, others): (Vec<_>, Vec<_>) = attachments.iter().partition(|a| a.name == NAME);
    match (records.pop(), records.len()) {
        (None, _) => Err(VerifyError::NoRecord),
        (Some(record), 0) => Ok((record, others)),
        (Some(_), more) => Err(VerifyError::SeveralRecords(more + 1)),
    }
}

/// The photos of the pages by the names in the record, and what is wrong with them.
fn photos(found: &Read, packet: &Packet) -> (BTreeMap<String, Vec<u8>>, Vec<Difference>) {
    let mut by_hash: BTreeMap<String, Vec<u8>> = found.photos().into_iter().map(|jpeg| (hash(&jpeg), jpeg)).collect();
    let mut photos = BTreeMap::new();
    let mut lost = Vec::new();
    for (name, hash) in &packet.photos {
        match by_hash.get(hash) {
            Some(jpeg) => drop(photos.insert(name.clone(), jpeg.clone())),
            None => lost.push(name.clone()),
        }
    }
    by_hash.retain(|hash, _| !packet.photos.values().any(|known| known == hash));
    let mut differences = Vec::new();
    for name in lost {
        differences.push(Difference { page: None, what: format!("the photo {name} is not the one that was recorded") });
    }
    if differences.is_empty() && !by_hash.is_empty() {
        differences.push(Difference { page: None, what: "a photo was added that is not in the record".into() });
    }
    (photos, differences)
}

/// The report made again from its record.
fn made_again(packet: &Packet, text: &str, photos: &BTreeMap<String, Vec<u8>>) -> Result<Read, VerifyError> {
    let garage = packet.garage();
    if let Some(why) = garage.bays.iter().find_map(Bay::too_many) {
        return Err(VerifyError::Remake(why));
    }
    let catalogue = packet.catalogue().map_err(|e| VerifyError::Lacking(e.to_string()))?;
    let mut album = Album::from_pages(photos).map_err(|e| VerifyError::Remake(e.to_string()))?;
    for (name, why) in packet.unshown.iter().filter(|(name, _)| !photos.contains_key(*name)) {
        album.put(name.as_str(), Err(why.clone()));
    }
    let request = packet.request(&garage, &catalogue, &album).map_err(VerifyError::Lacking)?;
    let (mut spec, request) = kinds::bare(&request).map_err(|e| VerifyError::Remake(e.to_string()))?;
    seal::seal(&mut spec, &request, text.to_owned());
    let bytes = pdf::write(&layout::lay_out(&spec)).map_err(|e| VerifyError::Remake(e.to_string()))?;
    Ok(read(&bytes)?)
}
