//! What others have changed on disk while the garage is open: taken in where this window has not touched the record,
//! else shown beside what this window has. Nothing is written here.

use std::collections::BTreeSet;

use super::shell::Shell;
use crate::edit::{Change, Record, RecordKey};
use crate::machine::MachineId;
use crate::store::{self, Look, OnDisk, Touched};

/// The heading of the message about what was taken in.
const TAKEN_IN: &str = "Changed on disk and taken in";
/// The heading of the message about what is no longer there.
const GONE: &str = "Gone from the disk";
/// The heading of the message about a file that cannot be read any more.
const UNREADABLE: &str = "A file was changed on disk and cannot be read";

impl Shell {
    /// Hears what was found on disk.
    pub(super) fn look_came(&mut self, opened: u64, found: Result<Box<Look>, String>) {
        if opened != self.opened {
            return;
        }
        match found {
            Ok(look) => self.take_in(*look),
            Err(error) => {
                self.trouble_of_garage(
                    "The garage's folder cannot be read any more; what you see is in this window",
                    error,
                );
            }
        }
    }

    /// Hears that changes on disk are not seen.
    pub(super) fn is_unwatched(&mut self, opened: u64, why: String) {
        if opened == self.opened {
            self.trouble_of_garage("What other programs change here is not seen by itself", why);
        }
    }

    fn take_in(&mut self, look: Look) {
        let Look { mut records, folders, catalogue } = look;
        let seen: BTreeSet<RecordKey> = records.iter().map(|(key, _)| key.clone()).collect();
        let look = Look { records: Vec::new(), folders, catalogue: None };
        let gone = self.garage.keys().into_iter().filter(|key| look.covers(key) && !seen.contains(key));
        // What a machine holds goes before the machine goes, and comes after it has come.
        records.splice(0..0, gone.map(|key| (key, Ok(None))));
        records.sort_by_key(|(key, found)| match (is_home(key), matches!(found, Ok(None))) {
            (false, true) => 0,
            (true, true) => 1,
            (true, false) => 2,
            (false, false) => 3,
        });
        if let Some(new) = catalogue {
            let (catalogue, problems) = *new;
            self.catalogue = catalogue;
            self.unreadable.retain(|p| !p.starts_with("kinds/") && !p.starts_with("regions/"));
            self.unreadable.extend(problems.iter().map(ToString::to_string));
            self.revision += 1;
        }
        let mut on_disk = self.on_disk_of(&seen, &look);
        let (mut taken, mut gone) = (Vec::new(), Vec::new());
        for (key, found) in records {
            let Ok(path) = store::path_of(&key) else { continue };
            // Of a machine that stays on disk only its own record is in memory. It is read again below, and what is wrong
            // with it then is said then.
            if !is_home(&key) && machine_of(&key).is_some_and(|id| on_disk.contains(id)) {
                self.forget_problem(&path);
                continue;
            }
            match found {
                Err(problem) => self.is_unreadable(&key, &path, problem.to_string()),
                Ok(theirs) => {
                    self.is_readable(&key, &path);
                    // What is gone is named by what this window knew of it.
                    let (is_gone, known) = (theirs.is_none(), self.what_with_findings(&key));
                    if self.take_one(&key, theirs, &look) {
                        if is_gone {
                            gone.push(known);
                        } else {
                            taken.push(self.what(&key));
                        }
                    }
                }
            }
        }
        on_disk.retain(|id| self.garage.bay(id).is_some());
        self.derived.on_disk.machines.retain(|id| self.garage.bay(id).is_some());
        self.read_again(on_disk);
        if !taken.is_empty() {
            self.notes.retain(|n| n.summary != TAKEN_IN);
            self.tell_of_garage(TAKEN_IN, listed(taken));
        }
        if !gone.is_empty() {
            let words = format!("{}. Undo puts it back as this window knew it.", listed(gone));
            self.trouble_of_garage(GONE, words);
        }
        self.mend_selection();
    }

    /// What a record is called, and how much was found in it.
    fn what_with_findings(&self, key: &RecordKey) -> String {
        let found = match self.garage.record(key) {
            Some(Record::Inspection(inspection)) => inspection.findings.len(),
            _ => 0,
        };
        let what = self.what(key);
        match found {
            0 => what,
            1 => format!("{what}, with 1 finding"),
            n => format!("{what}, with {n} findings"),
        }
    }

    /// The machines that stay on disk and of which something was looked at.
    fn on_disk_of(&self, seen: &BTreeSet<RecordKey>, look: &Look) -> BTreeSet<MachineId> {
        let on_disk = &self.derived.on_disk.machines;
        let below = |id: &&MachineId| {
            let home = format!("machines/{id}");
            let covers =
                |f: &String| f.is_empty() || f == "machines" || *f == home || f.starts_with(&format!("{home}/"));
            look.folders.iter().any(covers)
        };
        let by_record = seen.iter().filter_map(machine_of).filter(|id| on_disk.contains(*id));
        on_disk.iter().filter(below).chain(by_record).cloned().collect()
    }

    /// Takes one record as it is on disk. Gives whether the garage has changed by it.
    fn take_one(&mut self, key: &RecordKey, theirs: Option<Record>, look: &Look) -> bool {
        // Under a machine that cannot be read nothing is in this window, and nothing can be taken in.
        if !is_home(key) && machine_of(key).is_some_and(|id| self.garage.bay(id).is_none()) {
            return false;
        }
        let folder = self.folder.clone().unwrap_or_default();
        let mine = self.garage.record(key);
        let on_disk = |theirs: Option<Record>| theirs.map_or(OnDisk::Gone, |r| OnDisk::Record(Box::new(r)));
        let is_met = self.saver.met().contains_key(key);
        if Record::are_same(mine.as_ref(), theirs.as_ref()) {
            // Both are one again: there is nothing to choose and nothing to write.
            if is_met {
                self.saver.give_up(key, &folder);
            }
            return false;
        }
        let pending: Vec<Change> = self.saver.pending(key).cloned().collect();
        if let Some(first) = pending.first() {
            if Record::are_same(first.before.as_ref(), theirs.as_ref()) {
                if is_met {
                    self.saver.part(key, &folder);
                }
            } else if is_met || !pending.iter().any(|c| Record::are_same(c.after.as_ref(), theirs.as_ref())) {
                self.saver.meet(key.clone(), on_disk(theirs));
            }
            return false;
        }
        if self.meetings.is_changed_here(key, theirs.is_none()) {
            let label = "keep what this window has".to_owned();
            let back = Change { key: key.clone(), before: theirs.clone(), after: mine, label };
            self.saver.meet_with(back, on_disk(theirs));
            return false;
        }
        // A machine that comes back brings what its folder holds, and that has not been looked at.
        if mine.is_none()
            && let Some(below) = store::path_of(key).ok().and_then(|p| Some(p.rsplit_once('/')?.0.to_owned()))
            && is_home(key)
            && !look.covers(key)
        {
            self.saver.ear().look(self.opened, &folder, Touched { folders: [below].into(), ..Touched::default() });
        }
        self.history.forget(key);
        let is_gone = theirs.is_none();
        let change =
            Change { key: key.clone(), before: mine, after: theirs, label: "what is gone from the disk".into() };
        self.evolved(&change);
        if is_gone {
            self.history.push(change);
        }
        self.revision += 1;
        true
    }

    /// A file cannot be read: it is listed, and while it is, nothing is called fit that it may speak against.
    fn is_unreadable(&mut self, key: &RecordKey, path: &str, problem: String) {
        self.forget_problem(path);
        self.trouble_of_garage(UNREADABLE, problem.clone());
        self.unreadable.push(problem);
        if let Some(bay) = machine_of(key).and_then(|id| self.garage.bay_mut(id)) {
            bay.unread.retain(|unread| unread != path);
            bay.unread.push(path.to_owned());
            let id = bay.machine.id.clone();
            self.stale.add(&id);
        }
        self.revision += 1;
    }

    fn is_readable(&mut self, key: &RecordKey, path: &str) {
        let count = self.unreadable.len();
        self.forget_problem(path);
        if count != self.unreadable.len() {
            if let Some(bay) = machine_of(key).and_then(|id| self.garage.bay_mut(id)) {
                bay.unread.retain(|unread| unread != path);
            }
            self.revision += 1;
        }
    }

    fn forget_problem(&mut self, path: &str) {
        let is_of = |words: &str| words.strip_prefix(path).is_some_and(|rest| rest.starts_with(':'));
        self.unreadable.retain(|problem| !is_of(problem));
        self.notes.retain(|note| !(note.is_of_garage && is_of(&note.details)));
    }
}

/// Some things by name, the first few of many.
fn listed(things: Vec<String>) -> String {
    let more = things.len().saturating_sub(4);
    let words = things.into_iter().take(4).collect::<Vec<_>>().join("; ");
    if more > 0 { format!("{words}; and {more} more") } else { words }
}

/// Whether other records live in this one's folder.
fn is_home(key: &RecordKey) -> bool {
    matches!(key, RecordKey::Machine(_) | RecordKey::Exercise(_))
}

fn machine_of(key: &RecordKey) -> Option<&MachineId> {
    match key {
        RecordKey::Machine(id) | RecordKey::Inspection(id, _) | RecordKey::Event(id, _) => Some(id),
        _ => None,
    }
}
