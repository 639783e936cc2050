//! What is said to the user: what the threads have done, and every message of this room.

use super::printing::Issued;
use super::saving::Written;
use super::shell::Shell;
use crate::ui::Note;

impl Shell {
    /// Tells what the saving thread has done.
    pub(super) fn hear(&mut self, news: Vec<Written>) {
        for written in news {
            match written {
                Written::One(Ok(None)) => {}
                Written::One(Ok(Some(copy))) => self.trouble(
                    "A file was changed by somebody else meanwhile",
                    format!(
                        "Expected the file as it was read, found it changed. What this window knows is saved, and what \
                         was there is kept whole in {}: compare the two, then remove the copy.",
                        copy.display()
                    ),
                ),
                Written::Met(key, _) => log::warn!("{} was changed on disk too", self.what(&key)),
                Written::Looked(opened, found) => self.look_came(opened, found),
                Written::Unwatched(opened, why) => self.is_unwatched(opened, why),
                // The strip under the tabs shows it for as long as it lasts.
                Written::One(Err(error)) => log::error!("a change could not be saved: {error}"),
                Written::All(folder, Ok(left)) => self.moved_to(folder, &left),
                Written::All(folder, Err(error)) => {
                    self.trouble(format!("The garage could not be written to {}", folder.display()), error);
                }
                Written::Aside(Ok(())) => {}
                Written::Aside(Err(error)) => self.trouble("Where the walk is could not be kept", error),
                // It stands where every change that waits is shown.
                Written::Ended => log::error!("the saving thread has ended"),
            }
        }
    }

    /// Tells what has become of reports.
    pub(super) fn hear_printer(&mut self, issued: Vec<Issued>) {
        for Issued { path, result } in issued {
            match result {
                Ok(notes) => self.tell(format!("The report is in {}", path.display()), notes.join("; ")),
                Err(error) => self.trouble(format!("The report could not be written to {}", path.display()), error),
            }
        }
    }

    /// Shows a message.
    pub(super) fn tell(&mut self, summary: impl Into<String>, details: impl Into<String>) {
        self.note(Note { summary: summary.into(), details: details.into(), is_trouble: false, is_of_garage: false });
    }
    /// Shows a message about the garage that is open; it goes when one is opened afresh.
    pub(super) fn tell_of_garage(&mut self, summary: impl Into<String>, details: impl Into<String>) {
        self.note(Note { summary: summary.into(), details: details.into(), is_trouble: false, is_of_garage: true });
    }
    /// Shows a message about something that went wrong.
    pub(super) fn trouble(&mut self, summary: impl Into<String>, details: impl Into<String>) {
        self.warn(summary.into(), details.into(), false);
    }
    /// Shows a message about the garage that is open; it goes when one is opened afresh.
    pub(super) fn trouble_of_garage(&mut self, summary: impl Into<String>, details: impl Into<String>) {
        self.warn(summary.into(), details.into(), true);
    }
    fn warn(&mut self, summary: String, details: String, is_of_garage: bool) {
        log::warn!("{summary}: {details}");
        self.note(Note { summary, details, is_trouble: true, is_of_garage });
    }
    fn note(&mut self, note: Note) {
        self.notes.retain(|n| n != &note);
        self.notes.push(note);
    }
}
