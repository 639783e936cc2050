//! What follows from the garage and is shown: worked out once a change and only for the machine that was changed, not once
//! a frame. What follows from a machine that stays on disk is worked out elsewhere and taken in here.

use std::collections::BTreeSet;
use std::fmt;
use std::sync::Arc;

use chrono::NaiveDate;

use super::UiState;
use crate::catalogue::Catalogue;
use crate::forecast::{Due, due_of, in_order};
use crate::garage::{Bay, Garage, GarageInfo};
use crate::history::{Again, Lives, OdometerLog, seen_again};
use crate::inspection::Severity;
use crate::machine::{Machine, MachineId};
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
    /// Whether it is a history that was taken in to be read.
    pub is_history: bool,
    /// Whether its records have been read; until then nothing else here is known.
    pub is_read: bool,
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
    /// What falls due, where its records stay on disk; of the others it is worked out when it is looked at.
    pub due: Option<Vec<Due>>,
}

impl MachineRow {
    /// Works it out from all records of a machine.
    pub fn of(bay: &Bay, catalogue: &Catalogue, info: &GarageInfo, today: NaiveDate) -> Self {
        let standing = standing(bay, catalogue, &info.units, today);
        let repairs = repairs(bay, &standing, catalogue, None);
        let count = |s: Severity| standing.verdict.as_ref().map_or(0, |v| v.count(s));
        Self {
            is_read: true,
            open: Severity::ALL.map(count),
            defects: standing.open.len(),
            repairs,
            age_days: standing.inspection.map(|i| (today - i.date).num_days()),
            verdict: standing.verdict,
            ..Self::unread(&bay.machine)
        }
    }
    /// A machine whose records have not been read.
    pub fn unread(machine: &Machine) -> Self {
        Self {
            id: machine.id.clone(),
            name: machine.name.clone(),
            layout: machine.layout.word(),
            archived: machine.archived,
            is_history: machine.read_only.is_some(),
            is_read: false,
            verdict: None,
            open: [0; 3],
            defects: 0,
            repairs: RepairList::default(),
            age_days: None,
            due: None,
        }
    }
}

/// What has to be worked out again.
#[derive(Clone, Debug, Default, PartialEq)]
pub enum Stale {
    /// Nothing.
    #[default]
    Nothing,
    /// These machines.
    Machines(BTreeSet<MachineId>),
    /// All: the day, the units, the catalogue or the whole garage has changed.
    Everything,
}

impl Stale {
    /// Adds a machine.
    pub fn add(&mut self, machine: &MachineId) {
        match self {
            Self::Nothing => *self = Self::Machines(BTreeSet::from([machine.clone()])),
            Self::Machines(all) => {
                all.insert(machine.clone());
            }
            Self::Everything => {}
        }
    }
    fn holds(&self, machine: &MachineId) -> bool {
        match self {
            Self::Nothing => false,
            Self::Machines(all) => all.contains(machine),
            Self::Everything => true,
        }
    }
}

/// Reads all records of a machine from disk; for threads. Errors: what was expected, what was found, the way out.
pub type Fetch = Arc<dyn Fn(&MachineId) -> Result<Bay, String> + Send + Sync>;

/// The machines whose records stay on disk until they are taken in hand, as in a large garage.
#[derive(Clone, Default)]
pub struct OnDisk {
    /// Which.
    pub machines: BTreeSet<MachineId>,
    /// Reads one of them.
    pub fetch: Option<Fetch>,
}

impl fmt::Debug for OnDisk {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:?}", self.machines)
    }
}

/// What follows from the garage for the window.
#[derive(Clone, Debug, Default)]
pub struct Derived {
    /// Goes up whenever the garage changes, for what is drawn once and kept.
    pub revision: u64,
    /// Goes up whenever what follows from a machine on disk has come in.
    pub arrivals: u64,
    /// The machine list.
    pub rows: Vec<MachineRow>,
    /// The inspection in hand, assessed.
    pub assessment: Option<Assessment>,
    /// Findings of the inspection in hand that may be earlier ones seen again.
    pub again: Vec<Again>,
    /// The machines whose records stay on disk.
    pub on_disk: OnDisk,
}

impl Derived {
    /// Works everything out.
    pub fn of(garage: &Garage, catalogue: &Catalogue, state: &UiState, today: NaiveDate) -> Self {
        let mut derived = Self::default();
        derived.update(garage, catalogue, state, today, &Stale::Everything);
        derived
    }

    /// Works out again what has to be, and the inspection in hand.
    pub fn update(&mut self, garage: &Garage, catalogue: &Catalogue, state: &UiState, today: NaiveDate, stale: &Stale) {
        self.update_rows(garage, catalogue, today, stale);
        let bay = state.machine.as_ref().and_then(|id| garage.bay(id));
        self.assessment = bay.and_then(|bay| {
            let id = state.inspection.as_ref()?;
            let index = bay.inspections.iter().position(|i| &i.id == id)?;
            let inspection = bay.inspections.get(index)?;
            let earlier = &bay.inspections[..index];
            let case = Case::new(&bay.machine, inspection, earlier, catalogue, &garage.info.units, today);
            Some(assess(&case))
        });
        let again = bay.and_then(|bay| {
            let inspection = bay.inspection(state.inspection.as_ref()?)?;
            let lives = Lives::of(bay, &OdometerLog::of(bay, today), today);
            Some(seen_again(bay, inspection, &lives))
        });
        self.again = again.unwrap_or_default();
    }

    fn update_rows(&mut self, garage: &Garage, catalogue: &Catalogue, today: NaiveDate, stale: &Stale) {
        if *stale == Stale::Nothing {
            return;
        }
        // Both are in the order of ids, so one pass finds each machine's row.
        let mut old = std::mem::take(&mut self.rows).into_iter().peekable();
        self.rows = garage
            .bays
            .iter()
            .map(|bay| {
                let id = &bay.machine.id;
                while old.next_if(|row| row.id < *id).is_some() {}
                let kept = old.next_if(|row| row.id == *id).filter(|_| !stale.holds(id));
                match kept {
                    Some(row) => row,
                    None if self.on_disk.machines.contains(id) => MachineRow::unread(&bay.machine),
                    None => MachineRow::of(bay, catalogue, &garage.info, today),
                }
            })
            .collect();
    }

    /// Takes in what follows from a machine whose records stay on disk.
    pub fn take_in(&mut self, row: MachineRow) {
        if let Some(old) = self.row_mut(&row.id) {
            *old = row;
            self.arrivals += 1;
        }
    }

    /// Keeps what falls due on a machine whose records go back to disk.
    pub fn keep_due(&mut self, bay: &Bay, catalogue: &Catalogue, info: &GarageInfo, today: NaiveDate) {
        if let Some(row) = self.row_mut(&bay.machine.id) {
            row.due = Some(due_of(bay, catalogue, info, today));
        }
    }

    fn row_mut(&mut self, id: &MachineId) -> Option<&mut MachineRow> {
        let at = self.rows.binary_search_by(|row| row.id.cmp(id)).ok()?;
        self.rows.get_mut(at)
    }

    /// Everything that falls due over all machines in use, overdue first, then by day.
    pub fn due(&self, garage: &Garage, catalogue: &Catalogue, today: NaiveDate) -> Vec<Due> {
        let in_use = self.rows.iter().filter(|row| !row.archived && !row.is_history);
        in_order(
            in_use
                .flat_map(|row| match (&row.due, garage.bay(&row.id)) {
                    (Some(due), _) => due.clone(),
                    (None, Some(bay)) if row.is_read => due_of(bay, catalogue, &garage.info, today),
                    (None, _) => Vec::new(),
                })
                .collect(),
        )
    }

    /// How many machines have been read, and of how many; none when all have.
    pub fn far(&self) -> Option<(usize, usize)> {
        let read = self.rows.iter().filter(|row| row.is_read).count();
        (read < self.rows.len()).then_some((read, self.rows.len()))
    }
}
