//! Watching a garage's folder: which of its files may have changed on disk. Must not read them, nor know who changed
//! them.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};
use std::time::{Duration, SystemTime};

use notify::event::ModifyKind;
use notify::{Config, Event, EventKind, RecommendedWatcher, RecursiveMode, Watcher as _};

use super::StoreError;
use super::layout::{self, EXERCISES, KINDS, MACHINES, REGIONS, Root};

/// What may have changed, by paths from the garage's folder with `/` between the parts.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Touched {
    /// Files of records.
    pub files: BTreeSet<String>,
    /// Folders that came, went or were renamed, with whatever is in them; the empty path is the garage itself.
    pub folders: BTreeSet<String>,
    /// Whether the garage's own kinds or regions may have changed.
    pub additions: bool,
}

impl Touched {
    /// Whether nothing may have changed.
    pub fn is_empty(&self) -> bool {
        self.files.is_empty() && self.folders.is_empty() && !self.additions
    }
    /// Adds what else may have changed.
    pub fn add(&mut self, other: Self) {
        self.files.extend(other.files);
        self.folders.extend(other.folders);
        self.additions |= other.additions;
    }
    /// Everything may have changed.
    pub fn everything() -> Self {
        Self { folders: [String::new()].into(), additions: true, ..Self::default() }
    }
}

/// How much the clock of a disk, or of another computer whose disk it is, may be behind.
const BEHIND: Duration = Duration::from_secs(2);

/// This moment, for [`changed_since`].
pub fn moment() -> SystemTime {
    SystemTime::now()
}

/// What was changed in a garage since a moment, by the times of its files and folders; rather too much than too little.
/// Errors: a folder cannot be listed.
pub fn changed_since(folder: &Path, since: SystemTime) -> Result<Touched, StoreError> {
    let root = Root::new(folder)?;
    let since = since.checked_sub(BEHIND).unwrap_or(SystemTime::UNIX_EPOCH);
    let mut touched = Touched::default();
    changed_below(&root, "", since, &mut touched)?;
    Ok(touched)
}

fn changed_below(root: &Root, folder: &str, since: SystemTime, into: &mut Touched) -> Result<(), StoreError> {
    let is_new = |path: &Path| {
        // What cannot be told apart may be new.
        fs::symlink_metadata(path).and_then(|about| about.modified()).map_or(true, |at| at >= since)
    };
    let is_addition = |path: &str| path.starts_with(KINDS) || path.starts_with(REGIONS);
    let path = root.at(folder);
    // What was added, removed or renamed in a folder changes the folder's own time.
    if is_new(&path) && !folder.is_empty() {
        into.additions |= is_addition(folder);
        into.folders.insert(folder.to_owned());
    }
    for entry in layout::entries(&path)? {
        let relative = if folder.is_empty() { entry.name.clone() } else { format!("{folder}/{}", entry.name) };
        let is_ours = !folder.is_empty() || PARTS.contains(&entry.name.as_str());
        if entry.is_folder {
            if is_ours && !entry.name.starts_with('.') && entry.name != "photos" && !path.join(&entry.name).is_symlink()
            {
                changed_below(root, &relative, since, into)?;
            }
        } else if is_new(&path.join(&entry.name)) {
            if layout::key_of(&relative).is_some() {
                into.files.insert(relative);
            } else if is_addition(&relative) {
                into.additions = true;
            }
        }
    }
    Ok(())
}

/// Watches as long as it lives.
pub struct Watch {
    watcher: RecommendedWatcher,
    root: PathBuf,
    watched: BTreeSet<&'static str>,
}

/// Folders of the garage that are watched with what is below them. Others, such as that of a version control system,
/// are none of ours.
const PARTS: [&str; 4] = [MACHINES, EXERCISES, KINDS, REGIONS];

impl Watch {
    /// Watches a garage; `told` is called on the watcher's own thread and must not wait for it. Links are not followed.
    /// Errors: the folder is not there, or the system lets no more be watched.
    pub fn start(folder: &Path, told: impl Fn(Touched) + Send + 'static) -> Result<Self, StoreError> {
        let root = Root::new(folder)?.path().to_path_buf();
        let within = root.clone();
        let hear = move |event: notify::Result<Event>| {
            let touched = match event {
                Ok(event) => touched(&within, &event),
                // What cannot be told apart may be anything.
                Err(_) => Touched::everything(),
            };
            if !touched.is_empty() {
                told(touched);
            }
        };
        let fail = |e: &notify::Error| refused(folder, e);
        let watcher =
            RecommendedWatcher::new(hear, Config::default().with_follow_symlinks(false)).map_err(|e| fail(&e))?;
        let mut watch = Self { watcher, root, watched: BTreeSet::new() };
        watch.watcher.watch(&watch.root, RecursiveMode::NonRecursive).map_err(|e| fail(&e))?;
        watch.extend()?;
        Ok(watch)
    }

    /// Watches parts of the garage that were not there before. Errors: the system lets no more be watched.
    pub fn extend(&mut self) -> Result<(), StoreError> {
        for part in PARTS {
            let path = self.root.join(part);
            if !path.is_dir() || path.is_symlink() {
                self.watched.remove(part);
            } else if self.watched.insert(part) {
                self.watcher.watch(&path, RecursiveMode::Recursive).map_err(|e| refused(&path, &e))?;
            }
        }
        Ok(())
    }
}

fn refused(folder: &Path, error: &notify::Error) -> StoreError {
    let reason = match &error.kind {
        notify::ErrorKind::MaxFilesWatch => "the system lets no more folders be watched".to_owned(),
        notify::ErrorKind::Io(e) if e.raw_os_error() == Some(24) => "the system lets no more programs watch".to_owned(),
        _ => error.to_string(),
    };
    StoreError::Unwatched { folder: folder.to_path_buf(), reason }
}

/// What an event of the system says of the garage.
fn touched(root: &Path, event: &Event) -> Touched {
    if event.need_rescan() {
        return Touched::everything();
    }
    // Opening and reading change nothing; our own reading would be heard without end.
    if matches!(event.kind, EventKind::Access(_)) {
        return Touched::default();
    }
    let is_of_names =
        matches!(event.kind, EventKind::Create(_) | EventKind::Remove(_) | EventKind::Modify(ModifyKind::Name(_)));
    let mut touched = Touched::default();
    for path in &event.paths {
        let Ok(relative) = path.strip_prefix(root) else { continue };
        let parts: Option<Vec<&str>> = relative.components().map(|part| part.as_os_str().to_str()).collect();
        let Some(parts) = parts.filter(|parts| !parts.iter().any(|part| part.starts_with('.'))) else { continue };
        touched.add(place(&parts, is_of_names));
    }
    touched
}

/// What a path is to the garage. Photos are files that a record names; nothing is read again for them.
fn place(parts: &[&str], is_of_names: bool) -> Touched {
    let relative = parts.join("/");
    let is_record = parts.last().is_some_and(|name| name.ends_with(".ron"));
    match parts {
        [KINDS | REGIONS, ..] => Touched { additions: true, ..Touched::default() },
        [MACHINES, _, "photos", ..] => Touched::default(),
        _ if layout::key_of(&relative).is_some() => Touched { files: [relative].into(), ..Touched::default() },
        [] if is_of_names => Touched::everything(),
        [MACHINES | EXERCISES] | [MACHINES | EXERCISES, _] | [MACHINES | EXERCISES, _, _]
            if is_of_names && !is_record =>
        {
            Touched { folders: [relative].into(), ..Touched::default() }
        }
        _ => Touched::default(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn paths_of_records_and_folders_are_told_from_what_is_none_of_ours() {
        let at = |path: &str| place(&path.split('/').filter(|p| !p.is_empty()).collect::<Vec<_>>(), true);
        for record in ["garage.ron", "machines/a/machine.ron", "machines/a/events/e-1.ron", "exercises/x/sheets/s.ron"]
        {
            assert_eq!(at(record).files, [record.to_owned()].into(), "{record}");
        }
        for folder in ["machines", "machines/a", "machines/a/inspections", "exercises/x"] {
            assert_eq!(at(folder).folders, [folder.to_owned()].into(), "{folder}");
        }
        assert_eq!(at(""), Touched::everything());
        assert!(at("kinds/club.ron").additions && at("regions").additions);
        for other in ["machines/a/photos/p.jpg", "letter.txt", "machines/a/machine.ron.set-aside-1", "machines/a/x/y/z"]
        {
            assert!(at(other).files.is_empty() && !at(other).additions, "{other}");
        }
        let event = |kind| Event::new(kind).add_path("/g/.git/index".into()).add_path("/g/machines/a/.x.swp".into());
        assert!(touched(Path::new("/g"), &event(EventKind::Any)).is_empty());
        let opened = Event::new(EventKind::Access(notify::event::AccessKind::Any)).add_path("/g/garage.ron".into());
        assert!(touched(Path::new("/g"), &opened).is_empty());
    }
}
