//! The one write path: a command is decided against the garage and becomes a change, and only a change is applied.
//!
//! Undo is a change turned round; saving writes the one record that a change names. Must not know files or the window.

mod class;
mod command;
mod decide;
mod events;
mod history;
mod photos;
mod record;

pub use crate::inspection::may_overrule;
pub use class::timed;
pub use command::{Command, PhotoHome};
pub use decide::{Rejected, decide};
pub use events::after_fitting;
pub use history::History;
pub use photos::photos;
pub use record::{Change, Record, RecordKey};
