//! The report pane: the pages that become the PDF, and what goes in.

use crate::ui::{Action, UiState, ViewCtx};

/// What the panel keeps between frames.
#[derive(Clone, Debug, Default)]
pub struct ReportState {}

/// Draws the panel.
pub fn ui(_cx: &ViewCtx<'_>, _state: &mut UiState, _actions: &mut Vec<Action>, _ui: &mut egui::Ui) {}

impl ReportState {
    /// The name offered for the file.
    pub fn file_name(&self) -> String {
        "record.pdf".into()
    }
    /// The pages that are shown.
    pub fn layout(&self) -> Option<std::sync::Arc<crate::report::layout::Layout>> {
        None
    }
}
