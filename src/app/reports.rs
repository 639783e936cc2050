//! Where a report goes: to a PDF or to pictures, as soon as its pages are made. The window never waits for them.

use std::path::PathBuf;
use std::time::Duration;

use super::shell::Shell;

/// Where the report in the pane is to go.
#[derive(Clone, Debug)]
pub(super) enum ReportTo {
    /// A PDF file.
    File(PathBuf),
    /// A folder, a picture a page.
    Pictures(PathBuf),
}

impl Shell {
    /// Writes the report, at once or when its pages are made; what was asked before and is not written yet is given up.
    pub(super) fn send_report(&mut self, to: ReportTo) {
        self.report_to = Some(to);
        self.write_report_if_made();
    }

    /// Writes the report that was asked for, if its pages are made.
    pub(super) fn write_report_if_made(&mut self) {
        if self.report_to.is_none() {
            return;
        }
        self.state.report.settle(Duration::ZERO);
        if self.state.report.is_making() {
            return;
        }
        let (Some(to), layout) = (self.report_to.take(), self.state.report.layout()) else { return };
        let Some(layout) = layout else {
            self.trouble(
                "There is no report to write",
                "Expected an inspection to report on, found none: begin one on the walk-around.",
            );
            return;
        };
        let (what, sent) = match to {
            ReportTo::File(path) => ("report", self.printer.write_report(path, layout)),
            ReportTo::Pictures(folder) => {
                let stem = self.state.report.file_name().trim_end_matches(".pdf").to_owned();
                ("pictures", self.printer.write_pictures(folder, stem, layout))
            }
        };
        if let Err(error) = sent {
            self.trouble(format!("The {what} could not be written"), error);
        }
    }
}
