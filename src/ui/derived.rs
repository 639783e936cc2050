//! What follows from the garage and is shown: worked out once a change, not once a frame.

use chrono::NaiveDate;

use super::UiState;
use crate::catalogue::Catalogue;
use crate::garage::Garage;
use crate::history::{Again, Lives, OdometerLog, seen_again};
use crate::inspection::Severity;
use crate::machine::MachineId;
use crate::repair::{RepairList, repairs};
use crate::rules::{Assessment, Case, Verdict, assess, standing};

/// A row of the machine list.
#[derive(Clone, Debug)]
pub struct MachineRow {
    /// The machine.
    pub id: MachineId,
    /// Its name.
    pub name: String,
    /// Its layout in words.
    pub layout: &'static str,
    /// Whether it is put away.
    pub archived: bool,
    /// Where it stands today; none before its first inspection.
    pub verdict: Option<Verdict>,
    /// Open findings and readings outside their limits: minor, major, dangerous.
    pub open: [usize; 3],
    /// Open defects: recorded findings, those that are one counted once.
    pub defects: usize,
    /// What is to be put right, in strip-downs.
    pub repairs: RepairList,
    /// Days since its last inspection.
    pub age_days: Option<i64>,
}

/// What follows from the garage for the window.
#[derive(Clone, Debug, Default)]
pub struct Derived {
    /// Goes up whenever the garage changes, for what is drawn once and kept.
    pub revision: u64,
    /// The machine list.
    pub rows: Vec<MachineRow>,
    /// The inspection in hand, assessed.
    pub assessment: Option<Assessment>,
    /// Findings of the inspection in hand that may be earlier ones seen again.
    pub again: Vec<Again>,
}

impl Derived {
    /// Works everything out again.
    pub fn of(garage: &Garage, catalogue: &Catalogue, state: &UiState, today: NaiveDate) -> Self {
        let rows = garage
            .bays
            .iter()
            .map(|bay| {
                let standing = standing(bay, catalogue, &garage.info.units, today);
                let repairs = repairs(bay, &standing, catalogue, None);
                let count = |s: Severity| standing.verdict.as_ref().map_or(0, |v| v.count(s));
                MachineRow {
                    id: bay.machine.id.clone(),
                    name: bay.machine.name.clone(),
                    layout: bay.machine.layout.word(),
                    archived: bay.machine.archived,
                    open: Severity::ALL.map(count),
                    defects: standing.open.len(),
                    repairs,
                    age_days: standing.inspection.map(|i| (today - i.date).num_days()),
                    verdict: standing.verdict,
                }
            })
            .collect();
        let assessment = state.machine.as_ref().and_then(|id| garage.bay(id)).and_then(|bay| {
            let id = state.inspection.as_ref()?;
            let index = bay.inspections.iter().position(|i| &i.id == id)?;
            let inspection = bay.inspections.get(index)?;
            let earlier = &bay.inspections[..index];
            let case = Case::new(&bay.machine, inspection, earlier, catalogue, &garage.info.units, today);
            Some(assess(&case))
        });
        let again = state.machine.as_ref().and_then(|id| garage.bay(id)).and_then(|bay| {
            let inspection = bay.inspection(state.inspection.as_ref()?)?;
            let lives = Lives::of(bay, &OdometerLog::of(bay, today), today);
            Some(seen_again(bay, inspection, &lives))
        });
        Self { revision: 0, rows, assessment, again: again.unwrap_or_default() }
    }
}
