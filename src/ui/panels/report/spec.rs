//! What goes into the report that is shown.

use std::collections::{BTreeMap, BTreeSet};

use chrono::{DateTime, FixedOffset};

use crate::garage::Bay;
use crate::inspection::Inspection;
use crate::report::block::{DocumentSpec, Paper};
use crate::report::content::{self, Options, RecordInput};
use crate::ui::ViewCtx;

/// The record of an inspection.
pub fn record(
    cx: &ViewCtx<'_>,
    bay: &Bay,
    inspection: &Inspection,
    paper: Paper,
    now: DateTime<FixedOffset>,
    photos: &BTreeMap<String, Vec<u8>>,
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

/// The photos that a record of this machine may show.
pub fn photo_names(bay: &Bay) -> BTreeSet<String> {
    bay.inspections.iter().flat_map(|i| &i.findings).flat_map(|f| f.photos.iter().cloned()).collect()
}
