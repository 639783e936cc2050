//! What is in hand, and what is worked out for it: chosen anew where it is gone, worked out again where it has changed.

use chrono::NaiveDate;

use super::shell::Shell;
use crate::inspection::InspectionId;
use crate::machine::MachineId;
use crate::ui::Stale;

/// What the derived view was worked out for.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Stamp {
    revision: u64,
    machine: Option<MachineId>,
    inspection: Option<InspectionId>,
    today: NaiveDate,
}

impl Shell {
    /// Works out again what follows from the garage, where something has changed.
    pub(super) fn refresh(&mut self) {
        self.show_meetings();
        let today = self.today();
        let stamp = Stamp {
            revision: self.revision,
            machine: self.state.machine.clone(),
            inspection: self.state.inspection.clone(),
            today,
        };
        if self.derived_for.as_ref() != Some(&stamp) {
            if self.derived_for.as_ref().is_none_or(|old| old.today != today) {
                self.stale = Stale::Everything;
            }
            let stale = std::mem::take(&mut self.stale);
            self.derived.update(&self.garage, &self.catalogue, &self.state, today, &stale);
            self.derived.revision = self.revision;
            self.derived_for = Some(stamp);
            if stale == Stale::Everything {
                self.read_the_shelf();
            }
        }
        self.saved = match (self.saver.trouble(), self.saver.waiting(), &self.read_only) {
            (Some(trouble), _, _) => Err(trouble.to_owned()),
            (None, 1.., Some(why)) => Err(why.clone()),
            _ => Ok(()),
        };
    }

    /// Chooses what is there where what was chosen is gone, or nothing was chosen yet.
    pub(super) fn mend_selection(&mut self) {
        let state = &mut self.state;
        let is_there = state.machine.as_ref().is_some_and(|id| self.garage.bay(id).is_some());
        if !is_there {
            let bays = &self.garage.bays;
            let last = bays.iter().find(|b| self.settings.machine.as_ref() == Some(&b.machine.id.0));
            let listed = last.or(bays.iter().find(|b| !b.machine.archived)).or(bays.first());
            state.machine = listed.map(|b| b.machine.id.clone());
            state.inspection = None;
        }
        self.bring_in_hand();
        let state = &mut self.state;
        let bay = state.machine.as_ref().and_then(|id| self.garage.bay(id));
        let inspection = state.inspection.as_ref().and_then(|id| bay?.inspection(id));
        match inspection {
            None => {
                state.inspection = bay.and_then(|b| b.latest()).map(|i| i.id.clone());
                state.finding = None;
                state.check = None;
            }
            Some(inspection) => {
                // One of an earlier day may be in hand too, to say whether it is still there.
                let of_this = |id| inspection.findings.iter().any(|f| &f.id == id);
                let is_known = |id| of_this(id) || inspection.carried.contains_key(id);
                if state.finding.as_ref().is_some_and(|id| !is_known(id)) {
                    state.finding = None;
                }
            }
        }
        if state.wheel.is_some_and(|w| bay.is_none_or(|b| b.machine.wheel(w).is_none())) {
            state.wheel = None;
        }
    }
}
