//! What is open and selected in the window. Not a record: it is never part of a garage.

use crate::clock::Side;
use crate::inspection::{CheckRef, FindingId, InspectionId};
use crate::machine::{MachineId, WheelPosition};

/// Which place of the window is open in the middle.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Place {
    /// The walk-around.
    #[default]
    Walk,
    /// The machine's data.
    Machine,
    /// The report.
    Report,
    /// The garage: name, units, where it is, what could not be read.
    Garage,
    /// The history of a machine: timeline, wear, comparison.
    History,
    /// What falls due over all machines.
    Calendar,
    /// What is to be put right, and what happened.
    Repairs,
    /// Class exercises.
    Class,
}

/// What is open and selected.
#[derive(Clone, Debug, Default)]
pub struct UiState {
    /// The place in the middle.
    pub place: Place,
    /// The machine in hand.
    pub machine: Option<MachineId>,
    /// The inspection in hand.
    pub inspection: Option<InspectionId>,
    /// The check in hand.
    pub check: Option<CheckRef>,
    /// The finding in hand.
    pub finding: Option<FindingId>,
    /// The wheel in view.
    pub wheel: Option<WheelPosition>,
    /// The side of the machine one stands on.
    pub side: Option<Side>,
    /// Whether machines that were put away are listed too.
    pub show_archived: bool,
    /// Whether a place was just opened by a key or a press: the keyboard then goes on from its beginning.
    pub is_arriving: bool,
    /// Whether the machine list has the place in the middle, in a window too narrow to show both.
    pub is_listing: bool,
    /// The folder typed for a copy of the garage while this one cannot be written.
    pub elsewhere: String,
    /// State of the machine list.
    pub machines: super::panels::machines::MachinesState,
    /// State of the machine form.
    pub machine_form: super::panels::machine_form::MachineFormState,
    /// State of the walk-around.
    pub walk: super::panels::walk::WalkState,
    /// Photos: those brought for the window, and the one that is seen large.
    pub photos: super::panels::photos::PhotosState,
    /// Records that were changed here and on disk, and the one that is compared.
    pub meeting: super::panels::meeting::MeetingState,
    /// State of the repairs.
    pub repairs: super::panels::repairs::RepairsState,
    /// State of the class.
    pub class: super::panels::class::ClassState,
    /// State of the report pane.
    pub report: super::panels::report::ReportState,
    /// State of the history pane.
    pub history: super::panels::history::HistoryState,
    /// State of the calendar pane.
    pub calendar: super::panels::calendar::CalendarState,
    /// State of the calculators that stand beside checks and parts of machines.
    pub calculator: super::panels::calculator::CalculatorState,
    /// State of the garage pane.
    pub garage: super::panels::garage::GarageState,
}

impl UiState {
    /// What is typed and is in no record yet, in words: closing the window would give it up.
    pub fn unwritten(&self) -> Vec<String> {
        self.walk.unwritten().chain(self.repairs.unwritten()).collect()
    }
}
