//! Undo and redo: the changes that were made, to be turned round.

use super::{Change, RecordKey};

/// The changes made in this window, and those taken back.
#[derive(Clone, Debug, Default)]
pub struct History {
    done: Vec<Change>,
    undone: Vec<Change>,
}

impl History {
    /// Notes a change that was just made; what was taken back before it is forgotten.
    pub fn push(&mut self, change: Change) {
        self.done.push(change);
        self.undone.clear();
    }
    /// The change that takes the last one back, to be applied by the caller.
    pub fn undo(&mut self) -> Option<Change> {
        let change = self.done.pop()?;
        let back = change.inverse();
        self.undone.push(change);
        Some(back)
    }
    /// The change that was taken back last, to be applied again by the caller.
    pub fn redo(&mut self) -> Option<Change> {
        let change = self.undone.pop()?;
        self.done.push(change.clone());
        Some(change)
    }
    /// Forgets the changes of a record that has been changed from outside: they do not lead back to anything it was.
    pub fn forget(&mut self, key: &RecordKey) {
        self.done.retain(|change| &change.key != key);
        self.undone.retain(|change| &change.key != key);
    }
    /// What undo would take back.
    pub fn undo_label(&self) -> Option<&str> {
        self.done.last().map(|c| c.label.as_str())
    }
    /// What redo would do again.
    pub fn redo_label(&self) -> Option<&str> {
        self.undone.last().map(|c| c.label.as_str())
    }
}
