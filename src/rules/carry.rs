//! What a new inspection begins with: the open findings as checks of their own, and what work has disturbed.

use super::Standing;
use crate::catalogue::Catalogue;
use crate::inspection::{Inspection, Revisit};
use crate::machine::Machine;

/// Gives an inspection that is about to begin the open findings and the checks that work has disturbed. A second look
/// after work asks only these; any other kind asks them besides its own.
pub fn carry_over(standing: &Standing<'_>, machine: &Machine, catalogue: &Catalogue, inspection: &mut Inspection) {
    for open in &standing.open {
        if open.inspection.date <= inspection.date {
            inspection.carried.insert(open.finding.id.clone(), Revisit::default());
        }
    }
    let own = catalogue.kind(&inspection.kind).map(|kind| catalogue.checks_for(machine, kind)).unwrap_or_default();
    let is_second_look = inspection.kind == "work";
    for again in standing.asked_again.iter().filter(|a| a.event.date <= inspection.date) {
        let is_own = own.iter().any(|(check, _)| check == &again.check);
        if (is_second_look || !is_own) && !inspection.asks.contains(&again.check) {
            inspection.asks.push(again.check.clone());
        }
    }
}
