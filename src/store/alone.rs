//! One record by itself, apart from any folder: read as one of a garage is, and given back in the form that this program
//! writes. For comparing the two readers, and for whoever has a record's text and no garage. Must not know paths.

use super::codec;
use super::problem::Problem;
use super::stored::Stored;
use crate::catalogue::OwnKinds;
use crate::exercise::{Exercise, Key, Sheet};
use crate::garage::GarageInfo;
use crate::inspection::{Event, Inspection};
use crate::machine::Machine;

/// What a record is of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sort {
    /// `garage.ron`.
    Garage,
    /// `machine.ron`.
    Machine,
    /// An inspection.
    Inspection,
    /// An event.
    Event,
    /// A garage's own kinds and checks.
    Kinds,
    /// A class exercise.
    Exercise,
    /// The key to one.
    Key,
    /// A student's sheet.
    Sheet,
}

impl Sort {
    /// Every sort.
    pub const ALL: [Self; 8] = [
        Self::Garage,
        Self::Machine,
        Self::Inspection,
        Self::Event,
        Self::Kinds,
        Self::Exercise,
        Self::Key,
        Self::Sheet,
    ];
}

/// Which reader reads.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum By {
    /// Whichever reads a record of a garage that is opened: the swift one where it can.
    Opening,
    /// The general one, whatever the record looks like.
    General,
}

/// Reads a record's bytes and gives its text as this program would write it. Errors: what is wrong with it, with line
/// and column; the name `record` stands for its path.
pub fn normal_form(sort: Sort, by: By, bytes: &[u8]) -> Result<String, Problem> {
    match sort {
        Sort::Garage => again::<GarageInfo>(by, bytes),
        Sort::Machine => again::<Machine>(by, bytes),
        Sort::Inspection => again::<Inspection>(by, bytes),
        Sort::Event => again::<Event>(by, bytes),
        Sort::Kinds => again::<OwnKinds>(by, bytes),
        Sort::Exercise => again::<Exercise>(by, bytes),
        Sort::Key => again::<Key>(by, bytes),
        Sort::Sheet => again::<Sheet>(by, bytes),
    }
}

fn again<T: Stored>(by: By, bytes: &[u8]) -> Result<String, Problem> {
    let record: T = match by {
        By::Opening => codec::decode("record", bytes)?,
        By::General => codec::decode_any_form("record", bytes)?,
    };
    codec::encode(&record).map_err(|message| Problem::whole("record", message))
}
