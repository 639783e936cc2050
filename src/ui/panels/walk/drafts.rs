//! Text that is being typed and is not yet in the record, by the name of its field. Nothing typed is lost: a text that
//! could not be read stays, with the reason beside it.

use std::collections::BTreeMap;

/// Texts in the making.
#[derive(Clone, Debug, Default)]
pub(super) struct Drafts {
    texts: BTreeMap<String, String>,
    /// Why a text could not be read, until it is changed.
    refused: BTreeMap<String, String>,
    /// Whether the next field that is drawn takes the keyboard.
    pub focus_next: bool,
    /// Whether the field that was left by Enter held something new.
    pub read_new: bool,
    /// What was typed while no field had the keyboard: the next field that takes it begins with this.
    pub seed: Option<String>,
    /// Whether that goes only into a field of which nothing is recorded, so that nothing is written over unseen.
    pub open_only: bool,
    /// The one field that takes the keyboard when it is drawn.
    pub focus_key: Option<String>,
}

impl Drafts {
    /// The text in the making of a field, if there is one.
    pub fn get(&self, key: &str) -> Option<&str> {
        self.texts.get(key).map(String::as_str)
    }
    /// Keeps a text in the making.
    pub fn set(&mut self, key: &str, text: String) {
        self.texts.insert(key.to_owned(), text);
        self.refused.remove(key);
    }
    /// Keeps why a text could not be read.
    pub fn refuse(&mut self, key: &str, why: String) {
        self.refused.insert(key.to_owned(), why);
    }
    /// Why a text could not be read, if it was not changed since.
    pub fn refused(&self, key: &str) -> Option<&str> {
        self.refused.get(key).map(String::as_str)
    }
    /// Forgets a text that has gone into the record or was taken back.
    pub fn clear(&mut self, key: &str) {
        self.texts.remove(key);
        self.refused.remove(key);
    }
    /// Forgets every text whose key begins so.
    pub fn clear_under(&mut self, prefix: &str) {
        self.texts.retain(|key, _| !key.starts_with(prefix));
        self.refused.retain(|key, _| !key.starts_with(prefix));
    }
    /// The first reason under a prefix why a text could not be read.
    pub fn refused_under(&self, prefix: &str) -> Option<&str> {
        self.refused.iter().find(|(key, _)| key.starts_with(prefix)).map(|(_, why)| why.as_str())
    }
    /// The texts that could not be read, as they were typed.
    pub fn all_refused(&self) -> impl Iterator<Item = &str> {
        self.refused.keys().filter_map(|key| self.get(key))
    }
    /// The text in the making, or the record's, to be changed in place.
    pub fn text_or(&self, key: &str, shown: &str) -> String {
        self.get(key).unwrap_or(shown).to_owned()
    }
    /// The keys and texts that begin so.
    pub fn under(&self, prefix: &str) -> Vec<(String, String)> {
        self.texts.iter().filter(|(k, _)| k.starts_with(prefix)).map(|(k, t)| (k.clone(), t.clone())).collect()
    }
}
