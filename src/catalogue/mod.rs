//! The catalogue: checks, inspection kinds, jobs, cautions and regions, as data embedded from `assets/catalogue`.
//!
//! Adding a check or a region touches one data file and no code. Pure: it takes text, never files; the store brings
//! what a garage adds of its own.

mod applies;
mod check;
mod job;
mod kind;
mod load;
mod origin;
mod own;
mod region;

pub use applies::{Condition, On};
pub use check::{Caution, Check, Choice, Engine, Fault, Field, FieldKind, GeneralLimit, ZoneGroup};
pub use job::{Fits, JobEntry, Serves, Strip, Where, part_fitted, part_of};
pub use kind::{Kind, OwnKinds, Selection};
pub use load::{Catalogue, CatalogueError};
pub use origin::{Origin, OwnEntry};
pub use region::{BrakingLaw, BrakingMinimum, Law, Region, TreadGeometry, TreadLaw, force_words, in_force};
