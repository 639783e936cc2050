//! Defects that were planted on a machine for a class: which of them nobody has taken out yet. Must not know the class.

use chrono::NaiveDate;

use crate::garage::Bay;
use crate::inspection::{Event, EventKind};

/// A planted defect that is still on the machine.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Planted<'a> {
    /// The event that says so.
    pub event: &'a Event,
    /// The id of the exercise it was planted for; empty where none is named.
    pub exercise: &'a str,
    /// What was planted, and where.
    pub what: &'a str,
    /// How it is taken out.
    pub remove: &'a str,
}

/// The removal list of a machine on a day: what was planted and not taken out, in the order of the planting. One that is
/// dated later counts already, for it may be on the machine; what was taken out later does not.
pub fn planted(bay: &Bay, today: NaiveDate) -> Vec<Planted<'_>> {
    let is_out = |event: &Event| {
        bay.in_force().any(|other| match &other.kind {
            EventKind::Unplanted { planted, look } => {
                // As for a repair: without a second look and a name it counts for nothing.
                let is_said = !look.trim().is_empty() && !other.by.trim().is_empty();
                planted == &event.id && is_said && other.date <= today
            }
            _ => false,
        })
    };
    bay.in_force()
        .filter_map(|event| match &event.kind {
            EventKind::Planted { exercise, what, remove } if !is_out(event) => {
                Some(Planted { event, exercise, what, remove })
            }
            _ => None,
        })
        .collect()
}
