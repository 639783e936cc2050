//! The inspection record, part by part.

use chrono::{DateTime, FixedOffset, NaiveDate};

use super::album::Album;
use super::case::RecordCase;
use super::options::Options;
use super::words::day;
use super::{ReportCx, checks, closing, findings, head, history, readings, together};
use crate::catalogue::Catalogue;
use crate::garage::{Bay, GarageInfo};
use crate::inspection::Inspection;
use crate::machine::Months;
use crate::report::block::{DocumentSpec, Ends, Paper};
use crate::units::Preferences;

/// What a record is made of.
#[derive(Clone, Copy, Debug)]
pub struct RecordInput<'a> {
    /// The machine with its inspections and events.
    pub bay: &'a Bay,
    /// The inspection that is recorded; it is judged as on its own day.
    pub inspection: &'a Inspection,
    /// The catalogue.
    pub catalogue: &'a Catalogue,
    /// The units the record is written in.
    pub units: &'a Preferences,
    /// The day of printing.
    pub today: NaiveDate,
    /// The moment of printing.
    pub now: DateTime<FixedOffset>,
    /// The paper.
    pub paper: Paper,
    /// The photos, ready for their pages. One that is named by a finding and not here is said to be missing.
    pub photos: &'a Album,
    /// The choices.
    pub options: Options,
    /// The months in which the garage's machines stand; a machine's own go before them.
    pub off_road: Months,
}

impl<'a> RecordInput<'a> {
    /// An inspection of a machine, for a report.
    pub fn new(cx: &ReportCx<'a>, bay: &'a Bay, inspection: &'a Inspection) -> Self {
        let ReportCx { garage, catalogue, today, now, paper, photos, options } = *cx;
        let GarageInfo { units, off_road, .. } = &garage.info;
        Self { bay, inspection, catalogue, units, today, now, paper, photos, options, off_road: *off_road }
    }
}

/// The inspection record as a document.
pub fn record(input: &RecordInput<'_>) -> DocumentSpec {
    let machine = &input.bay.machine;
    let title = format!("Inspection record: {}", machine.name);
    let mut spec = DocumentSpec::new(&title, input.now);
    let case = RecordCase::new(input);
    spec.author.clone_from(&input.inspection.inspector);
    spec.subject = format!("{} of {} on {}", case.kind_name(), machine.name, day(input.inspection.date));
    spec.paper = input.paper;
    spec.head = Ends { left: machine.name.clone(), right: format!("Inspection of {}", day(input.inspection.date)) };
    spec.foot = crate::report::content::foot();
    for part in [
        head::blocks,
        findings::blocks,
        together::blocks,
        history::blocks,
        checks::open,
        readings::blocks,
        checks::closed,
        closing::blocks,
    ] {
        spec.blocks.extend(part(&case));
    }
    spec
}
