//! Writes what falls due as a calendar file, where the user wants it.

use std::path::Path;

use super::shell::Shell;
use crate::forecast::ics;

impl Shell {
    /// To a path as it was typed. Nothing that is there is written over before the user has seen its name.
    pub(super) fn save_calendar_at(&mut self, typed: &Path) {
        if let Some(path) = self.agreed(typed, "due.ics", Some("ics")) {
            self.save_calendar(&path);
        }
    }

    /// To a path that is agreed on.
    pub(super) fn save_calendar(&mut self, path: &Path) {
        let info = &self.garage.info;
        let today = self.clock.now().date_naive();
        let items = self.derived.due(&self.garage, &self.catalogue, today);
        let (file, left_out) = ics::calendar(&items, &info.name, &info.units, today);
        let written = items.len() - left_out;
        match self.disk.write_file(path, file.as_bytes()) {
            Ok(()) => {
                let without = match left_out {
                    0 => String::new(),
                    n => format!("{n} have no day and are left out. "),
                };
                self.tell(
                    format!("What falls due is in {}", path.display()),
                    format!(
                        "{written} entries. {without}Import it into your calendar; a newer file replaces its entries."
                    ),
                );
            }
            Err(error) => self.trouble(format!("The calendar could not be written to {}", path.display()), error),
        }
    }
}
