//! Where a walk under way is, kept in a file of the user's own and not in the garage: written whenever it changes, on the
//! saving thread, so that the program comes back to the same step with the same half-typed figure after a crash too.

use std::path::{Path, PathBuf};

use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};

use super::shell::Shell;
use crate::ui::panels::walk::Kept;

/// The file of a garage.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
struct KeptFile {
    schema: u32,
    /// The garage's folder, for a person who wonders what the file is.
    garage: String,
    kept: Kept,
}

/// The one file of all garages that older versions wrote, the garage opened last behind the others.
#[derive(Clone, Debug, Default, PartialEq, Deserialize)]
#[serde(default, deny_unknown_fields)]
struct OldFile {
    #[serde(rename = "schema")]
    _schema: u32,
    garages: Vec<(PathBuf, Kept)>,
}

/// What was kept last of the garage that is open.
#[derive(Debug, Default)]
pub struct Keeping {
    last: Kept,
    /// Whether the file could not be read; it is then left as it is.
    is_unreadable: bool,
}

fn options() -> ron::Options {
    ron::Options::default().with_default_extension(ron::extensions::Extensions::IMPLICIT_SOME)
}

impl Shell {
    /// Goes back to where the walk of this garage was left.
    pub(super) fn take_up_walks(&mut self) {
        self.kept = Keeping::default();
        let Some(folder) = self.folder.clone() else { return };
        let kept = match self.read_kept::<KeptFile>(&self.homes.walks_file(&folder)) {
            Ok(Some(file)) => Some(file.kept),
            // Its file is written with the next change, and then the old one is asked no more.
            Ok(None) => match self.read_kept::<OldFile>(&self.homes.old_walks_file()) {
                Ok(file) => {
                    file.and_then(|f| f.garages.into_iter().rev().find(|(of, _)| *of == folder)).map(|(_, k)| k)
                }
                Err(error) => {
                    self.trouble("Where the walk was could not be read", error);
                    None
                }
            },
            Err(error) => {
                self.kept.is_unreadable = true;
                self.trouble("Where the walk was could not be read", error);
                None
            }
        };
        let Some(kept) = kept else { return };
        self.kept.last = kept.clone();
        if let Some((machine, _)) = kept.hand.clone() {
            self.bring(&machine);
        }
        let is_there = kept.hand.as_ref().is_none_or(|(machine, inspection)| {
            self.garage.bay(machine).is_some_and(|bay| bay.inspection(inspection).is_some())
        });
        // An inspection that was taken away meanwhile takes its walk with it.
        if is_there {
            kept.put_back(&mut self.state);
        }
    }

    /// Keeps where the walks are, where that has changed.
    pub(super) fn keep_walks(&mut self) {
        let Some(folder) = self.folder.clone() else { return };
        if self.kept.is_unreadable {
            return;
        }
        let kept = Kept::of(&self.state);
        if kept == self.kept.last {
            return;
        }
        self.kept.last = kept.clone();
        let file = KeptFile { schema: 1, garage: folder.display().to_string(), kept };
        let written = options()
            .to_string_pretty(&file, ron::ser::PrettyConfig::default())
            .map_err(|e| format!("it could not be put into words: {e}"))
            .and_then(|text| self.saver.write_aside(self.homes.walks_file(&folder), text));
        if let Err(error) = written {
            self.trouble("Where the walk is could not be kept", error);
        }
    }

    /// Reads a file of walks; none where there is no such file or nothing in it. Errors: with the way out.
    fn read_kept<T: DeserializeOwned>(&self, path: &Path) -> Result<Option<T>, String> {
        let text = self.disk.read_text(path)?.unwrap_or_default();
        if text.trim().is_empty() {
            return Ok(None);
        }
        options().from_str(&text).map(Some).map_err(|error| {
            format!(
                "{}:{}:{}: {}; what was entered is in the garage, and the file is left as it is: mend it or remove it",
                path.display(),
                error.span.start.line,
                error.span.start.col,
                crate::guard::brief(&error.code.to_string())
            )
        })
    }
}
