//! What goes into the report that is shown: the order, and the snapshot of the garage that it is made from.

use chrono::{DateTime, FixedOffset, NaiveDate};

use super::Told;
use crate::catalogue::Catalogue;
use crate::garage::{Bay, Garage};
use crate::inspection::InspectionId;
use crate::machine::MachineId;
use crate::report::block::{DocumentSpec, Paper};
use crate::report::content::{self, Lacking, Options, ReportCx, ReportKind, Request};
use crate::ui::{OnDisk, UiState, ViewCtx};

/// What a report was ordered with: where one of these changes, its pages are made again.
#[derive(Clone, Debug, PartialEq)]
pub struct Order {
    /// The kind by its id.
    pub kind: &'static str,
    machine: Option<MachineId>,
    inspection: Option<InspectionId>,
    earlier: Option<InspectionId>,
    paper: Paper,
    options: Options,
    revision: u64,
    today: NaiveDate,
    photos: usize,
}

impl Order {
    /// What the panel's choices ask for.
    pub fn of(cx: &ViewCtx<'_>, state: &UiState) -> Self {
        let report = &state.report;
        let make = report.kind.make;
        let machine = state.machine.clone().filter(|_| make.needs_machine());
        Self {
            kind: report.kind.id,
            inspection: state.inspection.clone().filter(|_| make.needs_inspection()),
            earlier: report.earlier.clone().filter(|_| make.needs_earlier()),
            paper: report.paper,
            options: report.options,
            revision: cx.derived.revision,
            today: cx.today,
            photos: if machine.is_some() { report.told.came } else { 0 },
            machine,
        }
    }
    /// A name for the file.
    pub fn name(&self) -> String {
        let machine = self.machine.as_ref().map_or_else(String::new, |id| format!("{id}-"));
        let day = self.inspection.as_ref().and_then(|id| id.0.get(..10).map(ToOwned::to_owned));
        format!("{machine}{}-{}", day.unwrap_or_else(|| self.today.to_string()), self.kind)
    }
}

/// Everything that a report is made from, apart from the window.
pub struct Snapshot {
    order: Order,
    kind: &'static ReportKind,
    garage: Garage,
    catalogue: Catalogue,
    told: Told,
    now: DateTime<FixedOffset>,
    /// The machines of the snapshot whose records are still on disk.
    on_disk: OnDisk,
}

impl Snapshot {
    /// The garage as it is now; only the machine in hand, where the report is about one.
    pub fn take(cx: &ViewCtx<'_>, order: &Order, kind: &'static ReportKind, told: &Told) -> Self {
        let mut garage = Garage { info: cx.garage.info.clone(), ..Garage::default() };
        let is_meant = |bay: &&Bay| order.machine.as_ref().is_none_or(|id| *id == bay.machine.id);
        garage.bays = cx.garage.bays.iter().filter(is_meant).cloned().collect();
        if kind.make.needs_class() {
            garage.courses.clone_from(&cx.garage.courses);
        }
        let mut on_disk = cx.derived.on_disk.clone();
        let is_of_class = |id: &MachineId| cx.garage.courses.iter().any(|c| c.exercise.machine == *id);
        on_disk.machines.retain(|id| garage.bay(id).is_some() && (!kind.make.needs_class() || is_of_class(id)));
        let (catalogue, told, now) = (cx.catalogue.clone(), told.clone(), told.now);
        Self { order: order.clone(), kind, garage, catalogue, told, now, on_disk }
    }
    /// Reads the records that are still on disk; for the thread that makes the pages.
    ///
    /// # Errors
    /// Why one could not be read.
    pub fn complete(&mut self) -> Result<(), String> {
        let Some(fetch) = &self.on_disk.fetch else { return Ok(()) };
        for id in &self.on_disk.machines {
            let whole = fetch(id)?;
            if let Some(bay) = self.garage.bay_mut(id) {
                *bay = whole;
            }
        }
        Ok(())
    }
    /// The document.
    ///
    /// # Errors
    /// What the report lacks.
    pub fn document(&self) -> Result<DocumentSpec, Lacking> {
        let order = &self.order;
        let bay = order.machine.as_ref().and_then(|id| self.garage.bay(id));
        let inspection = |id: &Option<InspectionId>| id.as_ref().and_then(|id| bay?.inspection(id));
        content::document(&Request {
            kind: self.kind,
            cx: ReportCx {
                garage: &self.garage,
                catalogue: &self.catalogue,
                today: order.today,
                now: self.now,
                paper: order.paper,
                photos: &self.told.photos,
                options: order.options,
            },
            bay,
            inspection: inspection(&order.inspection),
            earlier: inspection(&order.earlier),
        })
    }
}
