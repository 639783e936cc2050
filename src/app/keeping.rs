//! Where a walk under way is, kept in a file of the user's own and not in the garage: written whenever it changes, on the
//! saving thread, so that the program comes back to the same step with the same half-typed figure after a crash too.

use std::path::PathBuf;

use serde::{Deserialize, Serialize};

use super::shell::Shell;
use crate::ui::panels::walk::Kept;

/// The file: the walks of each garage, the one opened last behind the others.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
struct KeptFile {
    schema: u32,
    garages: Vec<(PathBuf, Kept)>,
}

/// How many garages are remembered.
const GARAGES: usize = 6;

/// What was kept last.
#[derive(Debug, Default)]
pub struct Keeping {
    file: KeptFile,
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
        let Some(folder) = self.folder.clone() else { return };
        let path = self.homes.walks_file();
        let text = match self.disk.read_text(&path) {
            Ok(text) => text.unwrap_or_default(),
            Err(error) => {
                self.kept.is_unreadable = true;
                self.trouble("Where the walk was could not be read", error);
                return;
            }
        };
        if text.trim().is_empty() {
            return;
        }
        match options().from_str::<KeptFile>(&text) {
            Ok(file) => {
                let kept = file.garages.iter().rev().find(|(of, _)| *of == folder).map(|(_, kept)| kept.clone());
                self.kept = Keeping { file, last: kept.clone().unwrap_or_default(), is_unreadable: false };
                if let Some(kept) = kept {
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
            }
            Err(error) => {
                self.kept.is_unreadable = true;
                self.trouble(
                    "Where the walk was could not be read",
                    format!(
                        "{}:{}:{}: {}; what was entered is in the garage, and the file is left as it is: mend it or \
                         remove it",
                        path.display(),
                        error.span.start.line,
                        error.span.start.col,
                        crate::guard::brief(&error.code.to_string())
                    ),
                );
            }
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
        let garages = &mut self.kept.file.garages;
        garages.retain(|(of, _)| *of != folder);
        garages.push((folder, kept));
        if garages.len() > GARAGES {
            garages.remove(0);
        }
        self.kept.file.schema = 1;
        let written = options()
            .to_string_pretty(&self.kept.file, ron::ser::PrettyConfig::default())
            .map_err(|e| format!("it could not be put into words: {e}"))
            .and_then(|text| self.saver.write_aside(self.homes.walks_file(), text));
        if let Err(error) = written {
            self.trouble("Where the walk is could not be kept", error);
        }
    }
}
