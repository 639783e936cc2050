//! One record by itself, apart from any folder: read as one of a garage is, and given back in the form that this program
//! writes. For comparing the two readers and what they cost, and for whoever has a record's text and no garage. Must not
//! know paths.

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
    /// The swift one; what it does not take is refused without a reason.
    Swift,
}

/// Does something with a record of a sort, read from its bytes.
macro_rules! with {
    ($sort:expr, $work:ident($by:expr, $bytes:expr)) => {
        match $sort {
            Sort::Garage => $work::<GarageInfo>($by, $bytes),
            Sort::Machine => $work::<Machine>($by, $bytes),
            Sort::Inspection => $work::<Inspection>($by, $bytes),
            Sort::Event => $work::<Event>($by, $bytes),
            Sort::Kinds => $work::<OwnKinds>($by, $bytes),
            Sort::Exercise => $work::<Exercise>($by, $bytes),
            Sort::Key => $work::<Key>($by, $bytes),
            Sort::Sheet => $work::<Sheet>($by, $bytes),
        }
    };
}

/// Reads a record's bytes and gives its text as this program would write it. Errors: what is wrong with it, with line
/// and column; the name `record` stands for its path.
pub fn normal_form(sort: Sort, by: By, bytes: &[u8]) -> Result<String, Problem> {
    with!(sort, again(by, bytes))
}

/// Reads a record's bytes and keeps nothing: what reading alone costs. Errors: what is wrong with it.
pub fn reads(sort: Sort, by: By, bytes: &[u8]) -> Result<(), Problem> {
    with!(sort, only(by, bytes))
}

fn again<T: Stored>(by: By, bytes: &[u8]) -> Result<String, Problem> {
    let record: T = decoded(by, bytes)?;
    codec::encode(&record).map_err(|message| Problem::whole(NAME, message))
}

fn only<T: Stored>(by: By, bytes: &[u8]) -> Result<(), Problem> {
    decoded::<T>(by, bytes).map(drop)
}

/// What stands for the path of a record that has none.
const NAME: &str = "record";

fn decoded<T: Stored>(by: By, bytes: &[u8]) -> Result<T, Problem> {
    match by {
        By::Opening => codec::decode(NAME, bytes),
        By::General => codec::decode_any_form(NAME, bytes),
        By::Swift => codec::decode_swiftly(bytes).ok_or_else(|| {
            Problem::whole(
                NAME,
                "expected the form that Stemclock writes, found another: read it by the general reader",
            )
        }),
    }
}
