//! What goes into the report that is shown.

use chrono::{DateTime, FixedOffset};

use crate::garage::Bay;
use crate::inspection::Inspection;
use crate::report::block::{DocumentSpec, Paper};
use crate::report::content::{self, Album, Options, RecordInput};
use crate::ui::ViewCtx;

/// The record of an inspection.
pub fn record(
    cx: &ViewCtx<'_>,
    bay: &Bay,
    inspection: &Inspection,
    paper: Paper,
    now: DateTime<FixedOffset>,
    photos: &Album,
) -> DocumentSpec {
    content::record(&RecordInput {
        bay,
        inspection,
        catalogue: cx.catalogue,
        units: cx.units(),
        today: cx.today,
        now,
        paper,
        photos,
        options: Options::default(),
    })
}
