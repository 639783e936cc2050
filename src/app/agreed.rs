//! A path as it was typed: nothing that is there is written over before the user has seen its name.

use std::path::{Path, PathBuf};

use super::paths;
use super::shell::Shell;
use crate::store::Standing;

impl Shell {
    /// The path that is meant by a typed one, with `name` in a folder that is there, and with the ending where there is
    /// one. None where a file is there already and the same path was not asked for just before; the user is told.
    pub(super) fn agreed(&mut self, typed: &Path, name: &str, ending: Option<&str>) -> Option<PathBuf> {
        let path = paths::meant(typed);
        let path = match (self.disk.look(&path), ending) {
            (Standing::Folder, _) => path.join(name),
            (Standing::File | Standing::Nothing, Some(ending)) => paths::with_ending(&path, ending),
            (Standing::File | Standing::Nothing, None) => path,
        };
        let is_asked_again = self.to_replace.take().as_ref() == Some(&path);
        if self.disk.look(&path) == Standing::File && !is_asked_again {
            self.trouble(
                "There is a file of that name already",
                format!(
                    "Expected a free name, found {}: type another one, or save to the same path again to write over it.",
                    path.display()
                ),
            );
            self.to_replace = Some(path);
            return None;
        }
        Some(path)
    }
}
