//! The end of the window: what is typed is read, what is on its way is written, and what closing would give up is said
//! before it is given up.

use std::time::Duration;

use super::saving::Written;
use super::shell::Shell;

/// The heading of the warning before the window is closed with changes that are not on disk.
const NOT_SAVED: &str = "Not everything is saved";
/// The heading of the warning before the window is closed with something that is still being written.
const STILL_WRITTEN: &str = "Something is still being written";
/// The heading of the warning before the window is closed with something typed that is in no record.
const NOT_WRITTEN: &str = "Something typed is not written down yet";
/// How long closing waits for each that writes before it asks, and again before it gives up.
const CLOSING: Duration = Duration::from_secs(5);

impl Shell {
    /// The window was asked to close: everything typed is read and written first; what would be given up is said once.
    pub(super) fn see_to_closing(&mut self, ctx: &egui::Context) {
        if ctx.text_edit_focused() && !self.is_closing {
            if let Some(id) = ctx.memory(|m| m.focused()) {
                ctx.memory_mut(|m| m.surrender_focus(id));
            }
            self.is_closing = true;
            ctx.send_viewport_cmd(egui::ViewportCommand::CancelClose);
            ctx.send_viewport_cmd(egui::ViewportCommand::Close);
            ctx.request_repaint();
            return;
        }
        // Photos that are only shown are needed no more.
        if self.was_warned_of_closing || !self.pictures.is_keeping() {
            self.pictures.stop();
        }
        let is_told = self.settle_within(CLOSING);
        if is_told {
            // What could not be written has just been said, and is to be read.
            self.is_closing = false;
            ctx.send_viewport_cmd(egui::ViewportCommand::CancelClose);
        } else if self.is_unfinished() && !self.was_warned_of_closing {
            self.was_warned_of_closing = true;
            self.is_closing = false;
            ctx.send_viewport_cmd(egui::ViewportCommand::CancelClose);
            self.warn_of_closing();
        }
    }

    /// Takes the warning back once there is nothing more to be given up.
    pub(super) fn mend_warning(&mut self) {
        if self.was_warned_of_closing && !self.is_unfinished() {
            self.was_warned_of_closing = false;
            self.notes.retain(|n| ![NOT_SAVED, STILL_WRITTEN, NOT_WRITTEN].contains(&n.summary.as_str()));
        }
    }

    /// Whether closing now would give something up.
    fn is_unfinished(&self) -> bool {
        self.saver.waiting() > 0 || !self.being_written().is_empty() || !self.state.unwritten().is_empty()
    }

    /// What is still on its way to disk and is no change, in words.
    fn being_written(&self) -> Vec<String> {
        let mut all = Vec::new();
        if self.saver.is_copying() {
            all.push("the copy of the garage in its other folder".to_owned());
        } else if self.saver.is_at_work() && self.saver.waiting() == 0 {
            all.push("where the walk is".to_owned());
        }
        if self.pictures.is_keeping() {
            all.push("photos".to_owned());
        }
        if self.report_to.is_some() {
            all.push("the report whose pages are being made".to_owned());
        }
        all.extend(self.printer.at_work().map(|path| format!("the report {}", path.display())));
        all
    }

    fn warn_of_closing(&mut self) {
        let waiting = match self.saver.waiting() {
            0 => None,
            // They go into the copy.
            _ if self.saver.is_copying() => None,
            1 => Some("One change is only in this window. Save it".to_owned()),
            n => Some(format!("{n} changes are only in this window. Save them")),
        };
        if let Some(waiting) = waiting {
            self.trouble_of_garage(
                NOT_SAVED,
                format!("{waiting} to another folder, or close the window again to give up what is not saved."),
            );
        }
        let unwritten = self.state.unwritten();
        if !unwritten.is_empty() {
            let details = format!("{}. Write it down, or close the window again to give it up.", unwritten.join("; "));
            self.trouble(NOT_WRITTEN, details);
        }
        let writing = self.being_written();
        if !writing.is_empty() {
            let details = format!(
                "Expected everything on disk, found still on its way: {}. Wait until it is there, or close the window \
                 again to give it up.",
                writing.join("; ")
            );
            self.trouble(STILL_WRITTEN, details);
        }
    }

    /// Notes the machine in hand for the next start.
    pub fn remember_machine(&mut self) {
        let machine = self.state.machine.as_ref().map(|id| id.0.clone());
        if machine.is_some() && self.settings.machine != machine {
            self.settings.machine = machine;
            self.remember();
        }
    }

    /// Waits until everything is written or stuck. For the end of the program.
    pub fn settle(&mut self) {
        self.settle_within(Duration::from_secs(10));
    }

    /// Waits until nothing moves any more, in the list and on the pages in view too. For tests and measurements.
    pub fn settle_all(&mut self) {
        self.settle_pictures(Duration::from_secs(60));
        self.settle_shelf(Duration::from_secs(600));
        self.state.report.settle(Duration::from_secs(30));
        self.state.report.settle_painting(Duration::from_secs(30));
        // A whole set of pages as pictures takes a while on a machine that is busy.
        self.settle_within(Duration::from_secs(60));
    }

    /// Waits until everything is written or stuck, at most so long for each that writes. Gives whether something failed
    /// that is said in a message alone.
    pub(super) fn settle_within(&mut self, most: Duration) -> bool {
        self.settle_pictures(most);
        if self.report_to.is_some() {
            self.state.report.settle(most);
            self.write_report_if_made();
        }
        let issued = self.printer.settle(most);
        let mut is_told = issued.iter().any(|one| one.result.is_err());
        self.hear_printer(issued);
        let news = self.saver.settle(&self.folder_or_none(), most);
        is_told |= news.iter().any(|one| matches!(one, Written::All(_, Err(_))));
        self.hear(news);
        self.refresh();
        is_told
    }

    fn settle_pictures(&mut self, most: Duration) {
        let came = self.pictures.settle(most);
        self.came.extend(came);
        self.hear_pictures(None);
    }
}
