//! What goes into the report that is shown.

use crate::garage::Bay;
use crate::inspection::Inspection;
use crate::report::block::{Block, DocumentSpec, Paper};
use crate::ui::ViewCtx;

/// The record of an inspection.
pub fn record(cx: &ViewCtx<'_>, bay: &Bay, inspection: &Inspection, paper: Paper) -> DocumentSpec {
    let mut spec = DocumentSpec::new(bay.machine.name.clone(), cx.now.and_utc().fixed_offset());
    spec.paper = paper;
    spec.blocks.push(Block::heading(1, format!("{} on {}", bay.machine.name, inspection.date)));
    spec
}
